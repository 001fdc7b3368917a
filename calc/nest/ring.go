package nest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A ring is a closed polygon, its first point not repeated.

// ringArea is positive for a ring that runs counter-clockwise.
func ringArea(ring []r2.Vec) float64 {
	sum, o := 0.0, ring[0] // from a point of its own, so that far-off rings lose no digits
	for i := 1; i+1 < len(ring); i++ {
		sum += r2.Cross(r2.Sub(ring[i], o), r2.Sub(ring[i+1], o))
	}
	return sum / 2
}

func ringBox(ring []r2.Vec) r2.Box {
	b := r2.Box{Min: ring[0], Max: ring[0]}
	for _, p := range ring[1:] {
		b.Min.X, b.Max.X = math.Min(b.Min.X, p.X), math.Max(b.Max.X, p.X)
		b.Min.Y, b.Max.Y = math.Min(b.Min.Y, p.Y), math.Max(b.Max.Y, p.Y)
	}
	return b
}

// counterClockwise is the ring, or it reversed.
func counterClockwise(ring []r2.Vec) []r2.Vec {
	if ringArea(ring) >= 0 {
		return ring
	}
	out := slices.Clone(ring)
	slices.Reverse(out)
	return out
}

// cleaned leaves out points that repeat the one before, and those in the middle of a straight run.
func cleaned(ring []r2.Vec, tol float64) []r2.Vec {
	var out []r2.Vec
	for _, p := range ring {
		if len(out) == 0 || r2.Norm(r2.Sub(p, out[len(out)-1])) > tol {
			out = append(out, p)
		}
	}
	for len(out) > 1 && r2.Norm(r2.Sub(out[0], out[len(out)-1])) <= tol {
		out = out[:len(out)-1]
	}
	for again := true; again && len(out) > 3; {
		again = false
		kept := out[:0:0]
		for i, p := range out {
			a, b := out[(i+len(out)-1)%len(out)], out[(i+1)%len(out)]
			if len(kept) > 0 && i > 0 {
				a = kept[len(kept)-1]
			}
			u := r2.Sub(b, a)
			straight := math.Abs(r2.Cross(u, r2.Sub(p, a))) <= tol*r2.Norm(u) && r2.Dot(r2.Sub(p, a), u) >= 0 && r2.Dot(r2.Sub(b, p), u) >= 0
			if straight && len(out)-(i-len(kept)) > 3 {
				again = true
				continue
			}
			kept = append(kept, p)
		}
		out = kept
	}
	return out
}

// hull is the convex hull, counter-clockwise, without points on its sides (Andrew's monotone chain).
func hull(pts []r2.Vec) []r2.Vec {
	p := slices.Clone(pts)
	slices.SortFunc(p, func(a, b r2.Vec) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	var out []r2.Vec
	half := func(from int, p []r2.Vec) {
		for _, q := range p {
			for len(out) >= from+2 && r2.Cross(r2.Sub(out[len(out)-1], out[len(out)-2]), r2.Sub(q, out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, q)
		}
		out = out[:len(out)-1]
	}
	half(0, p)
	slices.Reverse(p)
	half(len(out), p)
	return out
}

// crossing tells whether the open segments ab and cd cross or lie on one another.
func crossing(a, b, c, d r2.Vec) bool {
	s1, s2 := side(a, b, c), side(a, b, d)
	s3, s4 := side(c, d, a), side(c, d, b)
	return s1*s2 < 0 && s3*s4 < 0
}

// side is positive for p to the left of the line from a to b.
func side(a, b, p r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) }
