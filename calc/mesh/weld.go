package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Weld puts points that stand within tol of each other together, at their mean, and takes out points
// that no triangle has and triangles that have no three corners left. Time grows with the number of
// points: each is looked for among those of the few cells of a grid around it, and as the ones kept
// are more than tol apart, a cell of four times that holds no more than a fixed number.
func (f *Facets) Weld(tol float64) {
	w := welder{tol: tol, cell: 4 * tol, head: map[uint64]int32{}}
	to := make([]int32, len(f.Points))
	for i := range to {
		to[i] = -1
	}
	for t := range f.Tri {
		for k, i := range f.Tri[t] {
			if to[i] < 0 {
				to[i] = w.weld(f.Points[i])
			}
			f.Tri[t][k] = to[i]
		}
	}
	f.Points = w.means()
	f.keep(func(t int) bool {
		c := f.Tri[t]
		return c[0] != c[1] && c[1] != c[2] && c[2] != c[0]
	})
}

// keep takes out the triangles that it is not told to keep.
func (f *Facets) keep(yes func(t int) bool) {
	n := 0
	for t := range f.Tri {
		if yes(t) {
			f.Tri[n], f.Group[n], f.Place[n] = f.Tri[t], f.Group[t], f.Place[t]
			n++
		}
	}
	f.Tri, f.Group, f.Place = f.Tri[:n], f.Group[:n], f.Place[:n]
}

type welder struct {
	tol, cell float64
	head      map[uint64]int32 // the last kept point of the cells with that hash
	next      []int32          // the one before it, -1 for none
	first     []r3.Vec         // where the first of those put together stands
	shift     []r3.Vec         // sum of the others' distances from it
	count     []int32
}

// weld is the kept point that p is put to: the first found within tol, else p itself.
func (w *welder) weld(p r3.Vec) int32 {
	if !(w.tol > 0) {
		w.cell = 1 // only points in the very same place
	}
	var low, high [3]int64
	for i, v := range [3]float64{p.X, p.Y, p.Z} {
		low[i], high[i] = int64(math.Floor((v-w.tol)/w.cell)), int64(math.Floor((v+w.tol)/w.cell))
	}
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			for z := low[2]; z <= high[2]; z++ {
				if k := w.near(hash(x, y, z), p); k >= 0 {
					w.shift[k] = r3.Add(w.shift[k], r3.Sub(p, w.first[k]))
					w.count[k]++
					return k
				}
			}
		}
	}
	at := hash(int64(math.Floor(p.X/w.cell)), int64(math.Floor(p.Y/w.cell)), int64(math.Floor(p.Z/w.cell)))
	k := int32(len(w.first))
	before, ok := w.head[at]
	if !ok {
		before = -1
	}
	w.head[at] = k
	w.next, w.first = append(w.next, before), append(w.first, p)
	w.shift, w.count = append(w.shift, r3.Vec{}), append(w.count, 1)
	return k
}

// near is a kept point of a cell within tol of p, -1 for none. Cells whose hashes fall together only
// cost a look.
func (w *welder) near(cell uint64, p r3.Vec) int32 {
	k, ok := w.head[cell]
	for ok && k >= 0 {
		if r3.Norm(r3.Sub(w.first[k], p)) <= w.tol {
			return k
		}
		k = w.next[k]
	}
	return -1
}

func (w *welder) means() []r3.Vec {
	for k := range w.first {
		w.first[k] = r3.Add(w.first[k], r3.Scale(1/float64(w.count[k]), w.shift[k]))
	}
	return w.first
}

// hash mixes a cell's three numbers (the finalizer of Steele, Lea and Flood's SplitMix64, 2014).
func hash(x, y, z int64) uint64 {
	h := uint64(0)
	for _, v := range [3]int64{x, y, z} {
		h = h*0x9e3779b97f4a7c15 + uint64(v)
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		h ^= h >> 31
	}
	return h
}
