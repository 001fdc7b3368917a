package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// linesMeet is where the line through a along u meets the line through b along v.
func linesMeet(a, u, b, v r2.Vec) (r2.Vec, bool) {
	cross := r2.Cross(u, v)
	if math.Abs(cross) <= foldedTurn*r2.Norm(u)*r2.Norm(v) {
		return r2.Vec{}, false
	}
	return r2.Add(a, r2.Scale(r2.Cross(r2.Sub(b, a), v)/cross, u)), true
}

// lineCircle are the points at which the line through a along u meets a circle.
func lineCircle(a, u, centre r2.Vec, radius float64) []r2.Vec {
	u = r2.Unit(u)
	foot := r2.Add(a, r2.Scale(r2.Dot(r2.Sub(centre, a), u), u))
	return acrossFoot(foot, u, radius, dist(foot, centre))
}

// circlesMeet are the points that two circles share.
func circlesMeet(c1 r2.Vec, r1 float64, c2 r2.Vec, r2nd float64) []r2.Vec {
	d := dist(c1, c2)
	if d <= samePoint {
		return nil
	}
	u := r2.Unit(r2.Sub(c2, c1))
	off := (d + (r1-r2nd)*(r1+r2nd)/d) / 2 // of the common chord from the first centre
	return acrossFoot(r2.Add(c1, r2.Scale(off, u)), left(u), r1, math.Abs(off))
}

// acrossFoot are the points of a circle on a line whose nearest point to the centre, off away, is foot.
func acrossFoot(foot, along r2.Vec, radius, off float64) []r2.Vec {
	h2 := (radius - off) * (radius + off)
	if off > radius+onEdge {
		return nil
	}
	if h2 <= 0 {
		return []r2.Vec{foot}
	}
	h := r2.Scale(math.Sqrt(h2), along)
	return []r2.Vec{r2.Add(foot, h), r2.Sub(foot, h)}
}

// nearest is the point of the list nearest to p.
func nearest(list []r2.Vec, p r2.Vec) (best r2.Vec, ok bool) {
	for _, q := range list {
		if !ok || dist(q, p) < dist(best, p) {
			best, ok = q, true
		}
	}
	return best, ok
}

// carriersMeet are the points shared by the lines or circles on which two curves lie; neither is a
// cubic. Two curves on one line or one circle share none.
func carriersMeet(a, b curve) []r2.Vec {
	switch {
	case a.round() && b.round():
		ca, ra := a.circle()
		cb, rb := b.circle()
		return circlesMeet(ca, ra, cb, rb)
	case a.round():
		ca, ra := a.circle()
		return lineCircle(b.from, b.chord(), ca, ra)
	case b.round():
		cb, rb := b.circle()
		return lineCircle(a.from, a.chord(), cb, rb)
	}
	p, ok := linesMeet(a.from, a.chord(), b.from, b.chord())
	if !ok {
		return nil
	}
	return []r2.Vec{p}
}
