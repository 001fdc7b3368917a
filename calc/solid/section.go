package solid

import (
	"container/heap"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Section is a shell cut level at a height: the outside and the inside of its walls in plan, x to the right
// and y to the back, as stretches with the foam's outside to the right of their way. Openings count as closed
// by their faces, so that a tape round the shell goes straight over them.
type Section struct {
	Z            float64
	Outer, Inner [][2]r2.Vec
}

// Section cuts the shell at height z. At the height of a corner it is what lies just below.
func (b *Body) Section(z float64) Section {
	return Section{z, cutLevel(b.outer, z), cutLevel(b.inner, z)}
}

// Beyond is how far, in mm, the inside as a section measures it reaches beyond the foam that stands there. The
// inside is taken as if every rim were cut flush; where rims are cut square and sides lean far, or walls are
// thick for their shell, it comes together where there is no foam, and says nothing.
func (b *Body) Beyond() float64 {
	most := 0.0
	for _, p := range b.Panels {
		for _, q := range b.inner[p.Face] {
			near := math.Inf(1)
			for _, c := range p.Corners {
				near = min(near, r3.Norm(r3.Sub(q, c.Back)), r3.Norm(r3.Sub(q, c.Show)))
			}
			most = max(most, near)
		}
	}
	return most
}

// cutLevel is where flat faces stand at a height.
func cutLevel(faces [][]r3.Vec, z float64) [][2]r2.Vec {
	var list [][2]r2.Vec
	var at []r2.Vec
	for _, f := range faces {
		at = at[:0]
		for k, p := range f {
			q := f[(k+1)%len(f)]
			if (p.Z < z) != (q.Z < z) {
				t := (z - p.Z) / (q.Z - p.Z)
				at = append(at, r2.Vec{X: p.X + t*(q.X-p.X), Y: p.Y + t*(q.Y-p.Y)})
			}
		}
		if len(at) < 2 {
			continue
		}
		n := loopNormal(f)
		way := r2.Vec{X: -n.Y, Y: n.X} // up × normal: the inside on the left
		slices.SortFunc(at, func(a, b r2.Vec) int {
			switch d := r2.Dot(way, r2.Sub(a, b)); {
			case d < 0:
				return -1
			case d > 0:
				return 1
			}
			return 0
		})
		for k := 0; k+1 < len(at); k += 2 {
			list = append(list, [2]r2.Vec{at[k], at[k+1]})
		}
	}
	return list
}

func loopNormal(f []r3.Vec) r3.Vec {
	var n r3.Vec
	for k := 1; k+1 < len(f); k++ {
		n = r3.Add(n, r3.Cross(r3.Sub(f[k], f[0]), r3.Sub(f[k+1], f[0])))
	}
	return n
}

// Girths are the lengths round the outside and the inside, mm.
func (s Section) Girths() (outer, inner float64) { return along(s.Outer), along(s.Inner) }

func along(list [][2]r2.Vec) float64 {
	sum := 0.0
	for _, e := range list {
		sum += r2.Norm(r2.Sub(e[1], e[0]))
	}
	return sum
}

// Clear is the room inside of a section: the largest circle that goes in, and how wide and deep it is across
// the circle's centre, along x and y. All 0 where nothing is inside.
type Clear struct {
	Diameter, Width, Depth float64
	At                     r2.Vec // the centre
}

// roundness is how near, in mm, the largest circle is found.
const roundness = 1e-3

// Clear measures the room inside. The centre is searched by squares, each parted in four while it may hold a
// better one: the room at any place of a square is at most that at its middle and half its diagonal.
func (s Section) Clear() Clear {
	if len(s.Inner) == 0 {
		return Clear{}
	}
	box := r2.Box{Min: s.Inner[0][0], Max: s.Inner[0][0]}
	for _, e := range s.Inner {
		for _, p := range e {
			box.Min = r2.Vec{X: min(box.Min.X, p.X), Y: min(box.Min.Y, p.Y)}
			box.Max = r2.Vec{X: max(box.Max.X, p.X), Y: max(box.Max.Y, p.Y)}
		}
	}
	mid := r2.Scale(0.5, r2.Add(box.Min, box.Max))
	half := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) / 2
	first := square{at: mid, half: half, room: s.room(mid)}
	best := first
	todo := &squares{first}
	for todo.Len() > 0 {
		q := heap.Pop(todo).(square)
		if q.most() < best.room+roundness {
			break
		}
		for _, sign := range [4]r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
			c := square{at: r2.Add(q.at, r2.Scale(q.half/2, sign)), half: q.half / 2}
			c.room = s.room(c.at)
			if c.room > best.room {
				best = c
			}
			if c.most() > best.room+roundness {
				heap.Push(todo, c)
			}
		}
	}
	if best.room <= 0 {
		return Clear{}
	}
	return Clear{2 * best.room, s.across(best.at, 0), s.across(best.at, 1), best.at}
}

// room is how far p is from the nearest wall, less than 0 outside.
func (s Section) room(p r2.Vec) float64 {
	near, turns := math.Inf(1), 0
	for _, e := range s.Inner {
		a, d := e[0], r2.Sub(e[1], e[0])
		t := 0.0
		if l := r2.Norm2(d); l > 0 {
			t = min(max(r2.Dot(r2.Sub(p, a), d)/l, 0), 1)
		}
		near = min(near, r2.Norm2(r2.Sub(p, r2.Add(a, r2.Scale(t, d)))))
		if (e[0].Y <= p.Y) != (e[1].Y <= p.Y) {
			if side := r2.Cross(d, r2.Sub(p, a)); side > 0 == (d.Y > 0) {
				if d.Y > 0 {
					turns++
				} else {
					turns--
				}
			}
		}
	}
	if turns == 0 {
		return -math.Sqrt(near)
	}
	return math.Sqrt(near)
}

// across is how long the free way through p is, along x (axis 0) or y (axis 1).
func (s Section) across(p r2.Vec, axis int) float64 {
	swap := func(v r2.Vec) r2.Vec {
		if axis == 1 {
			return r2.Vec{X: v.Y, Y: v.X}
		}
		return v
	}
	p = swap(p)
	low, high := math.Inf(-1), math.Inf(1)
	for _, e := range s.Inner {
		a, b := swap(e[0]), swap(e[1])
		if (a.Y <= p.Y) == (b.Y <= p.Y) {
			continue
		}
		x := a.X + (p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
		if x <= p.X {
			low = max(low, x)
		} else {
			high = min(high, x)
		}
	}
	if math.IsInf(high-low, 0) {
		return 0
	}
	return high - low
}

// square is a square of the plan that may hold the centre of the largest circle.
type square struct {
	at         r2.Vec
	half, room float64
}

// most is the greatest room that any place of the square can have.
func (q square) most() float64 { return q.room + q.half*math.Sqrt2 }

// squares is a heap, the most promising first.
type squares []square

// Len, Less, Swap, Push and Pop make it a heap.Interface.
func (s squares) Len() int           { return len(s) }
func (s squares) Less(i, j int) bool { return s[i].most() > s[j].most() }
func (s squares) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }

// Push appends a square.
func (s *squares) Push(x any) { *s = append(*s, x.(square)) }

// Pop takes the last one.
func (s *squares) Pop() any {
	last := len(*s) - 1
	q := (*s)[last]
	*s = (*s)[:last]
	return q
}

// Heights are the heights at which the inside of the shell has corners, rising: between two of them its
// section changes evenly.
func (b *Body) Heights() []float64 {
	var list []float64
	for _, f := range b.inner {
		for _, p := range f {
			list = append(list, p.Z)
		}
	}
	slices.Sort(list)
	const apart = 1e-3
	return slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(b-a) < apart })
}
