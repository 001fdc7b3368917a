package nest

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// unit is one copy of one item.
type unit struct{ item, copy int }

// plan is where each copy lies, in the order of units. A copy that lies nowhere is in no bin.
type plan struct {
	units []unit
	put   []put
	bins  []bin
}

// nowhere is the bin of a copy without a place.
const nowhere = -1

// rule is one way to lay parts one after the other.
type rule struct {
	size  func(*stock, int) float64 // of an item: the largest come first
	turns int                       // how many of an item's turns are looked at
	left  bool                      // of the turns, the one whose left end lies furthest left, not its right end
}

// rules are tried one by one for the first layout; where there are many parts, only the first two.
var rules = []rule{
	{byArea, 4, false}, {byArea, 4, true}, {byArea, 16, false}, {byReach, 16, false}, {byReach, 4, true}, {byBox, 4, false}, {byBox, 4, true}, {byArea, 1, true},
}

// manyParts are too many for all rules.
const manyParts = 400

func byArea(s *stock, item int) float64 { return s.kinds[item].area }

func byReach(s *stock, item int) float64 { return r2.Norm(s.itemBox(item)) }

func byBox(s *stock, item int) float64 { b := s.itemBox(item); return b.X * b.Y }

func (s *stock) itemBox(item int) r2.Vec { return ringBox(s.job.Items[item].Outline).Size() }

// A rule is tried as long as the spans that were looked at for the first layout stay below leastSpans and
// spansAStep for each step of the effort: parts with many windows cost a hundred times as much as plain ones.
const (
	leastSpans = 5_000_000
	spansAStep = 10
)

// first is the best of the layouts that the rules give, as many of them as suits the effort.
func (s *stock) first(steps int64) (plan, Layout) {
	n := newNofits(s.bodies)
	plain, spent := s.bottomLeft(n, rules[0])
	best := s.layout(plain)
	for i, r := range rules[1:] {
		if i > 0 && len(plain.units) > manyParts || spent > leastSpans+spansAStep*steps {
			break
		}
		p, more := s.bottomLeft(n, r)
		spent += more
		if l := s.layout(p); better(l, best) {
			plain, best = p, l
		}
	}
	return plain, best
}

// units are all copies, the largest first.
func (s *stock) units(r rule) []unit {
	var out []unit
	for i, it := range s.job.Items {
		for c := range it.Count {
			out = append(out, unit{i, c})
		}
	}
	slices.SortStableFunc(out, func(a, b unit) int { return cmp.Compare(r.size(s, b.item), r.size(s, a.item)) })
	return out
}

// laying is a layout in the making: bottom-left, one copy after the other.
type laying struct {
	*stock
	rule   rule
	nofits *nofits
	bins   []bin
	on     [][]put            // what lies in each bin, its rim first
	full   map[[2]int]bool    // kind and bin: no further copy fits, nor will it
	from   map[[2]int]float64 // body and bin: further left it found no place, nor will it
	never  map[[2]int]bool    // kind and sheet: does not fit on an empty one
	spans  []span
	spent  int64 // spans looked at
}

func (s *stock) newLaying(n *nofits, r rule) *laying {
	return &laying{stock: s, rule: r, nofits: n, full: map[[2]int]bool{}, from: map[[2]int]float64{}, never: map[[2]int]bool{}}
}

// bottomLeft lays every copy as far to the left as it goes, there as low as it goes, on the first sheet that
// takes it, in the turn that the rule prefers. spent is what it cost, in spans looked at.
func (s *stock) bottomLeft(n *nofits, r rule) (at plan, spent int64) {
	l, units := s.newLaying(n, r), s.units(r)
	p := plan{units: units, put: make([]put, len(units))}
	for i, u := range units {
		at, ok := l.lay(u.item)
		if !ok {
			at = put{bin: nowhere}
		}
		p.put[i] = at
	}
	p.bins = l.bins
	return p.inOrder(), l.spent
}

// inOrder has the bins in the order in which sheets are to be used up, and no empty ones.
func (p plan) inOrder() plan {
	holds := make([]bool, len(p.bins))
	for _, at := range p.put {
		if at.bin != nowhere {
			holds[at.bin] = true
		}
	}
	var order []int
	for b, h := range holds {
		if h {
			order = append(order, b)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.bins[a].sheet, p.bins[b].sheet), cmp.Compare(p.bins[a].number, p.bins[b].number))
	})
	place := make([]int, len(p.bins))
	out := plan{units: p.units, put: slices.Clone(p.put)}
	for i, b := range order {
		place[b] = i
		out.bins = append(out.bins, p.bins[b])
	}
	for i, at := range out.put {
		if at.bin != nowhere {
			out.put[i].bin = place[at.bin]
		}
	}
	return out
}

// lay puts a copy on the first sheet that takes it.
func (l *laying) lay(item int) (put, bool) {
	for sheet, sh := range l.job.Sheets {
		number := 0
		for b := range l.bins {
			if l.bins[b].sheet != sheet {
				continue
			}
			number++
			if at, ok := l.layIn(item, b); ok {
				return at, true
			}
		}
		if (sh.Count > 0 && number >= sh.Count) || l.never[[2]int{item, sheet}] {
			continue
		}
		l.open(sheet, number)
		if at, ok := l.layIn(item, len(l.bins)-1); ok {
			return at, true
		}
		l.never[[2]int{item, sheet}] = true
		l.shut()
	}
	return put{}, false
}

func (l *laying) open(sheet, number int) {
	b := l.newBin(sheet, number)
	l.bins = append(l.bins, b)
	var on []put
	if b.rim >= 0 {
		on = append(on, put{body: b.rim})
	}
	l.on = append(l.on, on)
}

// shut takes the newest bin away, which is empty.
func (l *laying) shut() {
	n := len(l.bins) - 1
	l.bins, l.on = l.bins[:n], l.on[:n]
	for key := range l.full {
		if key[1] == n {
			delete(l.full, key)
		}
	}
	for key := range l.from {
		if key[1] == n {
			delete(l.from, key)
		}
	}
}

// layIn puts a copy in the bin, if it goes in.
func (l *laying) layIn(item, b int) (put, bool) {
	if l.full[[2]int{item, b}] {
		return put{}, false
	}
	best, end, low, ok := put{}, math.Inf(1), math.Inf(1), false
	bodies := l.kinds[item].bodies
	for _, k := range bodies[:min(l.rule.turns, len(bodies))] {
		if x, y, fits := l.leftmost(k, b); fits {
			box := l.bodies[k].box
			e, v := x+box.Max.X, y+box.Min.Y
			if l.rule.left {
				e = x + box.Min.X
			}
			if e < end-clearOf || e < end+clearOf && v < low-clearOf {
				best, end, low, ok = put{k, b, x, y}, e, v, true
			}
		}
	}
	if !ok {
		l.full[[2]int{item, b}] = true
		return put{}, false
	}
	l.on[b] = append(l.on[b], best)
	return best, true
}

// leftmost is the place of body k in bin b that is furthest left, as far as a grid and the right ends of what
// lies there show it, slid left and down as far as it goes.
func (l *laying) leftmost(k, b int) (x, y float64, ok bool) {
	body := &l.bodies[k]
	r, ok := l.room(body, l.bins[b], l.bins[b].w)
	if !ok {
		return 0, 0, false
	}
	key := [2]int{k, b}
	from := r.x0
	if f, seen := l.from[key]; seen {
		from = f
	}
	for _, x := range l.columns(k, b, r, from) {
		if y, free := l.lowest(k, b, x, r); free {
			l.from[key] = x
			x, y = l.slid(k, b, x, y, r)
			return x, y, true
		}
	}
	return 0, 0, false
}

// columns are the x to look at, from left to right.
func (l *laying) columns(k, b int, r room, from float64) []float64 {
	step := math.Max(l.bodies[k].least/10, (r.x1-r.x0)/4000)
	list := []float64{from, r.x1}
	for i := math.Ceil((from - r.x0) / step); i < math.Inf(1) && r.x0+i*step < r.x1; i++ {
		list = append(list, r.x0+i*step)
	}
	for _, o := range l.on[b] {
		for _, p := range l.nofits.of(o.body, k).parts {
			if x := o.x + p.x1; x >= from && x <= r.x1 {
				list = append(list, x)
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// lowest is the least free y of body k in bin b at x.
func (l *laying) lowest(k, b int, x float64, r room) (float64, bool) {
	l.spans = l.spans[:0]
	for _, o := range l.on[b] {
		n, dx := l.nofits.of(o.body, k), x-o.x
		if dx <= n.x0 || dx >= n.x1 {
			continue
		}
		l.spent += int64(len(n.parts))
		for i := range n.parts {
			if lo, hi, ok := n.parts[i].spanY(dx); ok {
				l.spans = append(l.spans, span{lo + o.y, hi + o.y})
			}
		}
	}
	return firstFree(l.spans, r.y0, r.y1)
}

// slid moves a body that lies free to the left and down by turns until it stands.
func (l *laying) slid(k, b int, x, y float64, r room) (float64, float64) {
	for range 20 {
		x0, y0 := x, y
		x, y = l.stops(k, b, x, y, r)
		if x0-x+y0-y < 1e-6 {
			break
		}
	}
	return x, y
}

// stops is one slide to the left and one down.
func (l *laying) stops(k, b int, x, y float64, r room) (float64, float64) {
	left := r.x0
	for _, o := range l.on[b] {
		n := l.nofits.of(o.body, k)
		if y-o.y > n.y0 && y-o.y < n.y1 {
			for i := range n.parts {
				if lo, hi, ok := n.parts[i].spanX(y - o.y); ok && lo+o.x < x && hi+o.x > left {
					left = math.Min(x, hi+o.x)
				}
			}
		}
	}
	down := r.y0
	for _, o := range l.on[b] {
		n := l.nofits.of(o.body, k)
		if left-o.x > n.x0 && left-o.x < n.x1 {
			for i := range n.parts {
				if lo, hi, ok := n.parts[i].spanY(left - o.x); ok && lo+o.y < y && hi+o.y > down {
					down = math.Min(y, hi+o.y)
				}
			}
		}
	}
	return left, down
}
