package nest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// coverError is the share of a part's area that its convex pieces may miss or count twice before they
// are not trusted, and its hull is taken instead.
const coverError = 1e-6

// convexPieces are convex polygons, counter-clockwise, that together are the outline without its holes:
// ears cut off one by one, then neighbours put together again as long as they stay convex (Hertel and
// Mehlhorn 1983: at most four times as many as need be). Where the rings are not simple enough for
// that, it is the hull of the outline, which is never too small.
func convexPieces(outline []r2.Vec, holes [][]r2.Vec) [][]r2.Vec {
	outline = counterClockwise(outline)
	area := ringArea(outline)
	var clockwise [][]r2.Vec
	for _, h := range holes {
		h = slices.Clone(counterClockwise(h))
		area -= ringArea(h)
		slices.Reverse(h)
		clockwise = append(clockwise, h)
	}
	whole := hull(outline)
	if len(holes) == 0 && ringArea(whole) <= area*(1+coverError) {
		return [][]r2.Vec{whole}
	}
	ring, ok := bridged(outline, clockwise)
	if !ok {
		return [][]r2.Vec{whole}
	}
	best := [][]r2.Vec{whole}
	for _, sharpest := range []bool{true, false} {
		ears, ok := ears(ring, sharpest)
		sum := 0.0
		for _, e := range ears {
			sum += ringArea(e)
		}
		if !ok || math.Abs(sum-area) > coverError*math.Max(area, ringArea(whole)) {
			continue
		}
		if pieces := merged(ears); len(best) == 1 || len(pieces) < len(best) {
			best = pieces
		}
	}
	return best
}

// bridged joins the holes to the outline by double edges, each along the shortest way that crosses nothing.
func bridged(outline []r2.Vec, holes [][]r2.Vec) ([]r2.Vec, bool) {
	ring, left := slices.Clone(outline), slices.Clone(holes)
	for len(left) > 0 {
		h, from, to, ok := shortestBridge(ring, left)
		if !ok {
			return nil, false
		}
		hole := left[h]
		left = slices.Delete(left, h, h+1)
		var in []r2.Vec
		for k := range len(hole) + 1 {
			in = append(in, hole[(from+k)%len(hole)])
		}
		in = append(in, ring[to])
		ring = slices.Insert(ring, to+1, in...)
	}
	return ring, true
}

// shortestBridge gives the hole, its point and the point of the ring.
func shortestBridge(ring []r2.Vec, holes [][]r2.Vec) (hole, from, to int, ok bool) {
	best := math.Inf(1)
	for h, pts := range holes {
		for i, p := range pts {
			for k, q := range ring {
				if d := r2.Norm2(r2.Sub(p, q)); d < best && d > 0 && inCone(ring, k, p) && unhindered(p, q, ring, holes) {
					best, hole, from, to, ok = d, h, i, k, true
				}
			}
		}
	}
	return hole, from, to, ok
}

// inCone tells whether p lies on the inner side of corner k, so that a ring that passes a point twice
// is entered at the right one.
func inCone(ring []r2.Vec, k int, p r2.Vec) bool {
	n := len(ring)
	a, q, b := ring[(k+n-1)%n], ring[k], ring[(k+1)%n]
	if side(a, q, b) >= 0 {
		return side(a, q, p) > 0 && side(q, b, p) > 0
	}
	return side(a, q, p) > 0 || side(q, b, p) > 0
}

// unhindered tells whether nothing crosses the way from p to q, nor a point lies on it.
func unhindered(p, q r2.Vec, ring []r2.Vec, holes [][]r2.Vec) bool {
	free := func(r []r2.Vec) bool {
		for i, a := range r {
			if crossing(p, q, a, r[(i+1)%len(r)]) || a != p && a != q && onWay(p, q, a) {
				return false
			}
		}
		return true
	}
	if !free(ring) {
		return false
	}
	for _, h := range holes {
		if !free(h) {
			return false
		}
	}
	return true
}

func onWay(p, q, a r2.Vec) bool {
	u, v := r2.Sub(q, p), r2.Sub(a, p)
	return math.Abs(r2.Cross(u, v)) <= 1e-12*r2.Norm2(u) && r2.Dot(u, v) >= 0 && r2.Dot(u, v) <= r2.Norm2(u)
}

// ears cuts triangles off the ring until none is left: the one with the largest least angle each time, or
// (not sharpest) the first that can be cut. A flat corner is cut off as nothing.
func ears(ring []r2.Vec, fattest bool) ([][]r2.Vec, bool) {
	left := slices.Clone(ring)
	var out [][]r2.Vec
	for len(left) > 3 {
		best, at := -1.0, -1
		for i := range left {
			if q := earQuality(left, i); q > best {
				best, at = q, i
				if !fattest {
					break
				}
			}
		}
		if at < 0 {
			return nil, false
		}
		n := len(left)
		if t := []r2.Vec{left[(at+n-1)%n], left[at], left[(at+1)%n]}; ringArea(t) > 0 {
			out = append(out, t)
		}
		left = slices.Delete(left, at, at+1)
	}
	if ringArea(left) > 0 {
		out = append(out, left)
	}
	return out, true
}

// earQuality is −1 for a corner that is no ear, 0 for a flat one, else the least height over the
// longest side.
func earQuality(ring []r2.Vec, i int) float64 {
	n := len(ring)
	a, p, b := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	turn, long := side(a, p, b), math.Max(r2.Norm2(r2.Sub(p, a)), math.Max(r2.Norm2(r2.Sub(b, p)), r2.Norm2(r2.Sub(b, a))))
	if math.Abs(turn) <= 1e-13*long {
		return 0
	}
	if turn < 0 {
		return -1
	}
	for k, q := range ring {
		if k == i || q == a || q == p || q == b {
			continue
		}
		if side(a, p, q) >= 0 && side(p, b, q) >= 0 && side(b, a, q) >= 0 {
			return -1
		}
	}
	return turn / long
}

// merged puts neighbours together as long as the result is convex.
func merged(list [][]r2.Vec) [][]r2.Vec {
	list = slices.Clone(list)
	for again := true; again; {
		again = false
		for i := 0; i < len(list); i++ {
			for k := i + 1; k < len(list); k++ {
				if m, ok := joined(list[i], list[k]); ok {
					list[i] = m
					list = slices.Delete(list, k, k+1)
					again = true
					k--
				}
			}
		}
	}
	return list
}

// joined is p and q as one convex polygon, if they share a side and it is one.
func joined(p, q []r2.Vec) ([]r2.Vec, bool) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		k := slices.Index(q, b)
		if k < 0 || q[(k+1)%len(q)] != a {
			continue
		}
		var out []r2.Vec
		for s := range len(p) {
			out = append(out, p[(i+1+s)%len(p)])
		}
		for s := 2; s < len(q); s++ {
			out = append(out, q[(k+s)%len(q)])
		}
		return out, isConvex(out)
	}
	return nil, false
}

func isConvex(ring []r2.Vec) bool {
	for i, a := range ring {
		p, b := ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]
		u, v := r2.Sub(p, a), r2.Sub(b, p)
		if r2.Cross(u, v) < -1e-12*r2.Norm(u)*r2.Norm(v) {
			return false
		}
	}
	return true
}

// grown moves the sides of a convex polygon outwards by d. At a corner that turns by more than a quarter
// the point is cut off, never nearer than d, by as many further sides as it takes.
func grown(p []r2.Vec, d float64) []r2.Vec {
	p = cleaned(p, 1e-9)
	if d <= 0 || len(p) < 3 {
		return p
	}
	var out []r2.Vec
	for i, q := range p {
		u := r2.Unit(r2.Sub(q, p[(i+len(p)-1)%len(p)]))
		v := r2.Unit(r2.Sub(p[(i+1)%len(p)], q))
		turn := math.Max(0, math.Atan2(r2.Cross(u, v), r2.Dot(u, v)))
		n := max(1, int(math.Ceil(turn/(math.Pi/2)-1e-9)))
		reach := d / math.Cos(turn/float64(2*n))
		for k := range n {
			// The normals at the corner run from that of u to that of v; each new point stands between two.
			s, c := math.Sincos(turn * (float64(k) + 0.5) / float64(n))
			w := r2.Vec{X: u.Y, Y: -u.X}
			out = append(out, r2.Add(q, r2.Scale(reach, r2.Vec{X: w.X*c - w.Y*s, Y: w.X*s + w.Y*c})))
		}
	}
	return out
}
