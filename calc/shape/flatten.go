package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Flatten is the outline as a polygon whose sides stray from it by tol mm at most; the first point
// is not repeated. A tol that is no positive number counts as 0.01. Where the polygon would have
// more than a million points, tol is made coarser until it has not.
func (o Outline) Flatten(tol float64) []r2.Vec {
	pts := o.Path().Flatten(tol)
	if n := len(pts); n > 1 && dist(pts[0], pts[n-1]) <= samePoint {
		pts = pts[:n-1]
	}
	return pts
}

// Flatten is the path as a run of points whose chords stray from it by tol mm at most, both ends
// included, under the terms of Outline.Flatten.
func (p Path) Flatten(tol float64) []r2.Vec {
	pts, _ := flatten(p.Start, p.curves(), tol)
	return pts
}

// flatten gives the points, and for each point but the first the curve that leads to it.
func flatten(start r2.Vec, list []curve, tol float64) (pts []r2.Vec, owner []int) {
	if !(tol > 0) || math.IsInf(tol, 0) {
		tol = defaultChord
	}
	for len(list) < maxPoints && finite(tol) && pieces(list, tol) > maxPoints {
		tol *= 4 // a chord error beyond all numbers leaves one chord for each segment
	}
	pts = append(make([]r2.Vec, 0, len(list)+1), start)
	owner = make([]int, 0, len(list))
	for i, c := range list {
		n := c.pieces(tol)
		for k := 1; k < n; k++ {
			pts, owner = append(pts, c.at(float64(k)/float64(n))), append(owner, i)
		}
		pts, owner = append(pts, c.End), append(owner, i)
	}
	return pts, owner
}

func pieces(list []curve, tol float64) float64 {
	sum := 0.0
	for _, c := range list {
		sum += float64(c.pieces(tol))
	}
	return sum
}

// pieces is the number of equal steps in parameter whose chords stray by tol at most.
func (c curve) pieces(tol float64) int {
	n := 1.0
	switch {
	case c.Kind == Cubic:
		// A chord strays by h²/8 of the second derivative, which is greatest at an end.
		_, a := c.derivatives(0)
		_, b := c.derivatives(1)
		n = math.Sqrt(math.Max(r2.Norm(a), r2.Norm(b)) / (8 * tol))
	case c.Kind == Arc && c.Bulge != 0:
		// A chord over the angle φ strays by r(1 − cos(φ/2)).
		_, r := c.circle()
		if tol >= r {
			n = math.Abs(c.sweep()) / (math.Pi / 2)
		} else {
			n = math.Abs(c.sweep()) / (4 * math.Asin(math.Sqrt(tol/(2*r))))
		}
	}
	switch {
	case !finite(n):
		return 1 // no number, no curve
	case n > 2*maxPoints:
		return 2 * maxPoints
	}
	return max(1, int(math.Ceil(n-leastShare)))
}
