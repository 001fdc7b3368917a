package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Length is the length along the path, in mm: exact for lines and arcs, to 1e-9 for cubics.
func (p Path) Length() float64 {
	sum := 0.0
	for _, c := range p.curves() {
		sum += c.length()
	}
	return sum
}

// Bounds is the least box around the path, its curves included.
func (p Path) Bounds() r2.Box {
	b := r2.Box{Min: p.Start, Max: p.Start}
	for _, c := range p.curves() {
		b = join(b, c.bounds())
	}
	return b
}

// Bounds is the least box around the outline, its curves included.
func (o Outline) Bounds() r2.Box { return o.Path().Bounds() }

// Path is the outline's boundary as one path that ends where it started.
func (o Outline) Path() Path {
	p := Path{Start: o.Start}
	for _, e := range o.Edges {
		p.Segs = append(p.Segs, e.Segs...)
	}
	return p
}

// Area is the area inside, in mm², by Green's theorem: exact for lines, arcs and cubics.
// It is negative for an outline that runs clockwise.
func (o Outline) Area() float64 {
	a, _ := o.moments()
	return a
}

// Centroid is the centre of the area: the balance point of the face.
func (o Outline) Centroid() r2.Vec {
	a, m := o.moments()
	if a == 0 {
		return o.Start
	}
	return r2.Add(o.Start, r2.Scale(1/a, m))
}

// moments are the area and its first moments about the outline's start, from which they are
// measured so that an outline far from the origin loses no digits.
func (o Outline) moments() (area float64, first r2.Vec) {
	list, _ := o.curves()
	for _, c := range list {
		a, m := c.moments(o.Start)
		area += a
		first = r2.Add(first, m)
	}
	return area, first
}

// moments are a curve's share in ½∮(x dy − y dx), ½∮x² dy and −½∮y² dx about the origin given.
func (c curve) moments(origin r2.Vec) (float64, r2.Vec) {
	p, q := r2.Sub(c.from, origin), r2.Sub(c.End, origin)
	if c.Kind == Cubic {
		return cubicMoments(p, r2.Sub(c.C1, origin), r2.Sub(c.C2, origin), q)
	}
	area := r2.Cross(p, q) / 2
	first := r2.Scale(area/3, r2.Add(p, q)) // the triangle from the origin
	if c.Kind == Arc && c.Bulge != 0 {
		a, m := c.lens()
		area += a
		first = r2.Add(first, r2.Add(r2.Scale(a, r2.Sub(lerp(c.from, c.End, 0.5), origin)), m))
	}
	return area, first
}

// lens is the circular segment between an arc and its chord: area r²(θ − sin θ)/2, and its first
// moment about the chord's middle, from the centroid at 4r·sin³(θ/2)/(3(θ − sin θ)) off the centre
// (CRC Standard Mathematical Tables, plane figures; from memory).
func (c curve) lens() (area float64, first r2.Vec) {
	theta := math.Abs(c.sweep())
	chord := r2.Norm(c.chord())
	if chord == 0 {
		return 0, r2.Vec{}
	}
	out := r2.Scale(-math.Copysign(1/chord, c.Bulge), left(c.chord())) // from the chord to the arc
	s := math.Sin(theta / 2)
	r := chord / (2 * s)
	area = r * r * thetaLessSin(theta) / 2
	off := r * math.Cos(theta/2) // of the chord's middle from the centre, towards the arc
	moment := 2*r*r*r*s*s*s/3 - area*off
	if theta < shallowArc {
		// The two terms all but cancel: a shallow segment is a parabola's, centroid at 2/5 of its rise.
		moment = area * 0.4 * chord * math.Tan(theta/4) / 2
	}
	sign := math.Copysign(1, c.Bulge)
	return sign * area, r2.Scale(sign*moment, out)
}

// thetaLessSin is θ − sin θ, by its series where the difference would lose digits.
func thetaLessSin(theta float64) float64 {
	if theta > 0.1 {
		return theta - math.Sin(theta)
	}
	t2 := theta * theta
	return theta * t2 / 6 * (1 - t2/20*(1-t2/42*(1-t2/72)))
}

// cubicMoments takes the area in closed form, from the crosses of the control points, and the first
// moments by quadrature that is exact for their degree (8).
func cubicMoments(p0, p1, p2, p3 r2.Vec) (float64, r2.Vec) {
	x := r2.Cross
	area := (6*x(p0, p1) + 3*x(p0, p2) + x(p0, p3) + 3*x(p1, p2) + 3*x(p1, p3) + 6*x(p2, p3)) / 20
	c := curve{p0, Seg{Kind: Cubic, C1: p1, C2: p2, End: p3}}
	mx := quad5(func(t float64) float64 {
		p := c.at(t)
		d, _ := c.derivatives(t)
		return p.X * p.X * d.Y / 2
	}, 0, 1)
	my := quad5(func(t float64) float64 {
		p := c.at(t)
		d, _ := c.derivatives(t)
		return -p.Y * p.Y * d.X / 2
	}, 0, 1)
	// Lines and arcs count the triangle to the origin, so a cubic must count its two straight sides.
	return area, r2.Add(r2.Vec{X: mx, Y: my}, spokes(p3, p0))
}

// spokes is the share of the straight way from a through the origin to b in the first moments.
func spokes(a, b r2.Vec) r2.Vec {
	return r2.Vec{
		X: (-a.X*a.X*a.Y + b.X*b.X*b.Y) / 6,
		Y: (a.Y*a.Y*a.X - b.Y*b.Y*b.X) / 6,
	}
}

// EdgeLengths are the lengths of the edges in mm, in their order.
func (o Outline) EdgeLengths() []float64 {
	out := make([]float64, len(o.Edges))
	list, edge := o.curves()
	for i, c := range list {
		out[edge[i]] += c.length()
	}
	return out
}

// EdgeIndex is the place of the named edge, or -1.
func (o Outline) EdgeIndex(name string) int {
	for i, e := range o.Edges {
		if e.Name == name {
			return i
		}
	}
	return -1
}

// EdgeNames are the names of the edges, in their order.
func (o Outline) EdgeNames() []string {
	out := make([]string, len(o.Edges))
	for i, e := range o.Edges {
		out[i] = e.Name
	}
	return out
}

// EdgePath is edge i as a path of its own.
func (o Outline) EdgePath(i int) Path {
	return Path{Start: o.corner(i), Segs: o.Edges[i].Segs}
}

// corner is the point at which edge i starts: where the edges before it end.
func (o Outline) corner(i int) r2.Vec {
	for i--; i >= 0; i-- {
		if n := len(o.Edges[i].Segs); n > 0 {
			return o.Edges[i].Segs[n-1].End
		}
	}
	return o.Start
}

// Corners are the points at which the edges start.
func (o Outline) Corners() []r2.Vec {
	out := make([]r2.Vec, len(o.Edges))
	at := o.Start
	for i, e := range o.Edges {
		out[i] = at
		if n := len(e.Segs); n > 0 {
			at = e.Segs[n-1].End
		}
	}
	return out
}
