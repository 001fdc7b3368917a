package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// A half edge is a side of a triangle: number 3t+k leads from corner k of triangle t to the next one.

func (f *Facets) from(h int32) int32 { return f.Tri[h/3][h%3] }
func (f *Facets) to(h int32) int32   { return f.Tri[h/3][(h+1)%3] }

func following(h int32) int32 { return h - h%3 + (h+1)%3 }

// FlawKind says what is wrong with a mesh.
type FlawKind uint8

// The flaws of a mesh.
const (
	SharedEdge FlawKind = iota // more than two faces meet in an edge
	OneSided                   // going over edges leads back to the same face turned over
	Pinched                    // two corners of a panel are one point
	Touching                   // a panel runs into or lies on another that it has no seam with
	TooFine                    // more panels than may be cut
)

// Flaw is a fault of the mesh with its place.
type Flaw struct {
	Kind  FlawKind
	Count int    // how many of them there are; this is the first
	Place string // "line 4 and line 9"
	At    r3.Vec // a point of it
}

// linked is a welded mesh whose triangles know their neighbours.
type linked struct {
	*Facets
	mate      []int32 // of each half edge: the one of the other triangle, -1 at a rim
	component []int32 // of each triangle
	open      []bool  // of each component: it has a rim
}

// link finds for each half edge the one that runs beside it, turns triangles so that neighbours agree,
// and each component so that it looks outwards.
func (f *Facets) link() (*linked, *Flaw) {
	l := &linked{Facets: f, mate: make([]int32, 3*len(f.Tri))}
	if flaw := l.pair(); flaw != nil {
		return nil, flaw
	}
	if flaw := l.orient(); flaw != nil {
		return nil, flaw
	}
	l.outwards()
	return l, nil
}

// pair sorts half edges by their ends, first by counting over the lower one: n log n at worst.
func (l *linked) pair() *Flaw {
	n := int32(len(l.mate))
	start := make([]int32, len(l.Points)+1)
	for h := range n {
		start[min(l.from(h), l.to(h))+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	list, fill := make([]int32, n), slices.Clone(start)
	for h := range n {
		low := min(l.from(h), l.to(h))
		list[fill[low]] = h
		fill[low]++
	}
	high := func(h int32) int32 { return max(l.from(h), l.to(h)) }
	var flaw *Flaw
	for i := range l.Points {
		around := list[start[i]:start[i+1]]
		slices.SortFunc(around, func(a, b int32) int { return cmp.Or(cmp.Compare(high(a), high(b)), cmp.Compare(a, b)) })
		for len(around) > 0 {
			k := 1
			for k < len(around) && high(around[k]) == high(around[0]) {
				k++
			}
			switch {
			case k == 1:
				l.mate[around[0]] = -1
			case k == 2:
				l.mate[around[0]], l.mate[around[1]] = around[1], around[0]
			case flaw == nil:
				flaw = &Flaw{SharedEdge, 1, l.Where(int(around[0]/3)) + ", " + l.Where(int(around[1]/3)) + " and " + l.Where(int(around[2]/3)), l.middle(around[0])}
			default:
				flaw.Count++
			}
			around = around[k:]
		}
	}
	return flaw
}

func (l *linked) middle(h int32) r3.Vec {
	return r3.Scale(0.5, r3.Add(l.Points[l.from(h)], l.Points[l.to(h)]))
}

// orient walks each component over its edges and turns the triangles that run the same way along an
// edge as the one before. Turning a triangle swaps its second and third corner, and so its first and
// third half edge change places.
func (l *linked) orient() *Flaw {
	l.component = make([]int32, len(l.Tri))
	turned := make([]bool, len(l.Tri))
	for t := range l.component {
		l.component[t] = -1
	}
	var queue []int32
	for first := range l.Tri {
		if l.component[first] >= 0 {
			continue
		}
		number := int32(len(l.open))
		l.open = append(l.open, false)
		l.component[first] = number
		queue = append(queue[:0], int32(first))
		for len(queue) > 0 {
			t := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for h := 3 * t; h < 3*t+3; h++ {
				m := l.mate[h]
				if m < 0 {
					l.open[number] = true
					continue
				}
				same := l.from(h) == l.from(m)
				switch other := m / 3; {
				case l.component[other] < 0:
					l.component[other], turned[other] = number, turned[t] != same
					queue = append(queue, other)
				case (turned[t] != turned[other]) != same:
					return &Flaw{OneSided, 1, l.Where(int(t)) + " and " + l.Where(int(other)), l.middle(h)}
				}
			}
		}
	}
	l.turn(turned)
	return nil
}

// turn turns the marked triangles over.
func (l *linked) turn(marked []bool) {
	moved := func(h int32) int32 {
		if h >= 0 && marked[h/3] {
			return h - h%3 + 2 - h%3
		}
		return h
	}
	mate := make([]int32, len(l.mate))
	for h, m := range l.mate {
		mate[moved(int32(h))] = moved(m)
	}
	l.mate = mate
	for t := range l.Tri {
		if marked[t] {
			l.Tri[t][1], l.Tri[t][2] = l.Tri[t][2], l.Tri[t][1]
		}
	}
}

// outwards turns components that enclose less than nothing. An open one is closed in thought by a
// point in its middle; if that leaves next to nothing, as for a flat piece, its faces stay as they are.
func (l *linked) outwards() {
	const flat = 1e-6
	n := len(l.open)
	middle, corners := make([]r3.Vec, n), make([]float64, n)
	for t, c := range l.Tri {
		k := l.component[t]
		for _, i := range c {
			middle[k] = r3.Add(middle[k], l.Points[i])
			corners[k]++
		}
	}
	volume, area := make([]float64, n), make([]float64, n)
	for t := range l.Tri {
		k := l.component[t]
		o := r3.Scale(1/corners[k], middle[k])
		a, _, _ := l.corners(t)
		v := l.areaVector(t)
		volume[k] += r3.Dot(r3.Sub(a, o), v) / 3
		area[k] += r3.Norm(v)
	}
	marked := make([]bool, len(l.Tri))
	for t := range marked {
		k := l.component[t]
		marked[t] = volume[k] < 0 && (!l.open[k] || -volume[k] > flat*math.Pow(area[k], 1.5))
	}
	l.turn(marked)
}

// Rims are the open edges chained to closed loops, each given as points in the order in which the
// faces run along it.
func (l *linked) rims() [][]int32 {
	var rims [][]int32
	done := make([]bool, len(l.mate))
	for h := range int32(len(l.mate)) {
		if l.mate[h] >= 0 || done[h] {
			continue
		}
		var rim []int32
		for at := h; !done[at]; at = l.along(at, func(m int32) bool { return m < 0 }) {
			done[at] = true
			rim = append(rim, l.from(at))
		}
		rims = append(rims, rim)
	}
	return rims
}

// along is the border half edge that follows h around the same side: from its end it turns over the
// triangles there until one meets a border.
func (l *linked) along(h int32, border func(mate int32) bool) int32 {
	next := following(h)
	for !border(l.mate[next]) {
		next = following(l.mate[next])
	}
	return next
}
