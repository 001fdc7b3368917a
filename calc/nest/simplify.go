package nest

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// How far an outline is simplified for the search. It only ever grows by that.
const (
	growShare  = 0.003 // of the part's area may be added
	mostPoints = 36    // and more than that where there are more points than these
	thinAbove  = 2000  // points of a ring, above which it is thinned first
	thinShare  = 1e-4  // of the ring's size: how far the thinned ring may stray
)

// rings are a part's boundary with the material on the left: the outline counter-clockwise, holes clockwise.
type rings [][]r2.Vec

// boundary orders the rings of a part.
func boundary(outline []r2.Vec, holes [][]r2.Vec) rings {
	out := rings{slices.Clone(counterClockwise(outline))}
	for _, h := range holes {
		h = slices.Clone(counterClockwise(h))
		slices.Reverse(h)
		out = append(out, h)
	}
	return out
}

func (r rings) area() float64 {
	sum := 0.0
	for _, ring := range r {
		sum += ringArea(ring)
	}
	return sum
}

func (r rings) points() int {
	n := 0
	for _, ring := range r {
		n += len(ring)
	}
	return n
}

// simplified has fewer corners and covers all that the rings cover, but for the strays of thinning, which
// are the second result. Hollow corners are filled, and sides between two full corners are replaced by the
// point where their neighbours meet, the smallest gain of area first.
func (r rings) simplified() (rings, float64) {
	stray := 0.0
	box := ringBox(r[0])
	out := make(rings, len(r))
	for i, ring := range r {
		ring = cleaned(ring, 1e-9)
		if len(ring) > thinAbove {
			stray = thinShare * r2.Norm(box.Size())
			ring = thinned(ring, stray)
		}
		out[i] = ring
	}
	if !out.simple() {
		return rings{hull(r[0])}, stray
	}
	spare := growShare * math.Max(0, out.area())
	for {
		best, at := cut{cost: math.Inf(1)}, -1
		for i := range out {
			for k := range out[i] {
				if c, ok := out.cutAt(i, k); ok && c.cost < best.cost && out.free(c) {
					best, at = c, i
				}
			}
		}
		if at < 0 || best.cost > spare && out.points() <= mostPoints {
			return out, stray
		}
		spare -= best.cost
		out[at] = best.done(out[at])
	}
}

// simple tells whether no two edges cross.
func (r rings) simple() bool {
	var list []segment
	for _, ring := range r {
		for i, a := range ring {
			list = append(list, segment{a, ring[(i+1)%len(ring)]})
		}
	}
	slices.SortFunc(list, func(s, t segment) int { return cmp.Compare(s.left(), t.left()) })
	for i, s := range list {
		for _, t := range list[i+1:] {
			if t.left() > s.right() {
				break
			}
			if crossing(s.a, s.b, t.a, t.b) {
				return false
			}
		}
	}
	return true
}

// cut takes points from-1, from, … out of a ring: point k alone, or k and its follower for the point new.
type cut struct {
	cost   float64
	k      int
	pair   bool
	middle r2.Vec
	fills  [3]r2.Vec
}

// cutAt is the cheapest way to be rid of a corner by growing.
func (r rings) cutAt(i, k int) (cut, bool) {
	ring := r[i]
	n := len(ring)
	if n <= 3 {
		return cut{}, false
	}
	a, p, q, b := ring[(k+n-1)%n], ring[k], ring[(k+1)%n], ring[(k+2)%n]
	if turn := side(a, p, q); turn <= 0 {
		return cut{cost: -turn / 2, k: k, fills: [3]r2.Vec{a, p, q}}, true
	}
	if n == 4 && i == 0 {
		return cut{}, false // a box stays a box
	}
	u, v := r2.Sub(p, a), r2.Sub(q, b)
	den := r2.Cross(u, v)
	if side(p, q, b) <= 0 || den >= 0 {
		return cut{}, false
	}
	t := r2.Cross(r2.Sub(q, p), v) / den
	x := r2.Add(p, r2.Scale(t, u))
	if !(t > 0) || t > 1e6 {
		return cut{}, false
	}
	return cut{cost: math.Abs(side(p, x, q)) / 2, k: k, pair: true, middle: x, fills: [3]r2.Vec{p, x, q}}, true
}

// free tells whether nothing else of the boundary lies in what the cut fills.
func (r rings) free(c cut) bool {
	f := c.fills
	s := 1.0
	if side(f[0], f[1], f[2]) < 0 {
		s = -1
	}
	for _, ring := range r {
		for i, p := range ring {
			if p != f[0] && p != f[1] && p != f[2] && s*side(f[0], f[1], p) >= 0 && s*side(f[1], f[2], p) >= 0 && s*side(f[2], f[0], p) >= 0 {
				return false
			}
			if c.pair && crossing(f[0], f[1], p, ring[(i+1)%len(ring)]) {
				return false
			}
		}
	}
	return true
}

func (c cut) done(ring []r2.Vec) []r2.Vec {
	out := slices.Clone(ring)
	if c.pair {
		out[c.k] = c.middle
		return slices.Delete(out, (c.k+1)%len(out), (c.k+1)%len(out)+1)
	}
	return slices.Delete(out, c.k, c.k+1)
}

// thinned keeps points so that no left-out one is further than tol from its chord (Douglas and Peucker 1973).
func thinned(ring []r2.Vec, tol float64) []r2.Vec {
	far := 0
	for i, p := range ring {
		if r2.Norm2(r2.Sub(p, ring[0])) > r2.Norm2(r2.Sub(ring[far], ring[0])) {
			far = i
		}
	}
	keep := make([]bool, len(ring)+1)
	keep[0], keep[far] = true, true
	stack := [][2]int{{0, far}, {far, len(ring)}}
	for len(stack) > 0 {
		from, to := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		a, b := ring[from], ring[to%len(ring)]
		most, at := tol, -1
		for k := from + 1; k < to; k++ {
			if d := fromSegment(ring[k], a, b); d > most {
				most, at = d, k
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{from, at}, [2]int{at, to})
		}
	}
	var out []r2.Vec
	for i, p := range ring {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// fromSegment is the distance of p from the segment ab.
func fromSegment(p, a, b r2.Vec) float64 {
	u, v := r2.Sub(b, a), r2.Sub(p, a)
	t := r2.Dot(u, v)
	if l := r2.Norm2(u); l > 0 {
		t = math.Max(0, math.Min(1, t/l))
	} else {
		t = 0
	}
	return r2.Norm(r2.Sub(v, r2.Scale(t, u)))
}
