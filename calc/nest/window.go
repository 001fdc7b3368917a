package nest

import "slices"

// window is a part of a plan: some of its bins and the units in them.
type window struct {
	plan
	unit []int // places of its units in the whole
	from int   // the first of its bins in the whole
}

// window takes bins from the last one back, as long as they hold no more than most units, and the extra
// units that lie nowhere.
func (p plan) window(most int, extra ...int) window {
	count := make([]int, len(p.bins))
	for _, at := range p.put {
		if at.bin != nowhere {
			count[at.bin]++
		}
	}
	w := window{from: len(p.bins)}
	for n := 0; w.from > 0 && n+count[w.from-1] <= most; w.from-- {
		n += count[w.from-1]
	}
	w.bins = p.bins[w.from:]
	for i, at := range p.put {
		if at.bin >= w.from {
			at.bin -= w.from
		} else if !slices.Contains(extra, i) {
			continue
		}
		w.unit, w.units, w.put = append(w.unit, i), append(w.units, p.units[i]), append(w.put, at)
	}
	return w
}

// with is the plan with other places for the units of the window.
func (p plan) with(w window, at []put) plan {
	p.put = slices.Clone(p.put)
	for i, u := range w.unit {
		p.put[u] = at[i]
		p.put[u].bin += w.from
	}
	return p.inOrder()
}
