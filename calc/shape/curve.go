package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// curve is a segment together with the point it comes from.
type curve struct {
	from r2.Vec
	Seg
}

// left is the vector turned a quarter counter-clockwise: the inside of a counter-clockwise outline.
func left(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

func turned(v r2.Vec, angle float64) r2.Vec {
	s, c := sincos(angle)
	return r2.Vec{X: v.X*c - v.Y*s, Y: v.X*s + v.Y*c}
}

// sincos is exact at quarter turns, so that a rectangle turned by 90° stays on its numbers.
func sincos(angle float64) (s, c float64) {
	s, c = math.Sincos(angle)
	switch {
	case math.Abs(s) < noTurn:
		return 0, math.Copysign(1, c)
	case math.Abs(c) < noTurn:
		return math.Copysign(1, s), 0
	}
	return s, c
}

func lerp(a, b r2.Vec, t float64) r2.Vec { return r2.Add(a, r2.Scale(t, r2.Sub(b, a))) }

func dist(a, b r2.Vec) float64 { return r2.Norm(r2.Sub(a, b)) }

func (c curve) chord() r2.Vec { return r2.Sub(c.End, c.from) }

// sweep is the signed angle of an arc, positive counter-clockwise.
func (c curve) sweep() float64 { return 4 * math.Atan(c.Bulge) }

// circle is the centre and radius of an arc: the centre stands (1−b²)/(4b) chords to the left of
// the chord's middle, the radius is (1+b²)/(4|b|) chords (from b = tan(θ/4)).
func (c curve) circle() (r2.Vec, float64) {
	d, b := c.chord(), c.Bulge
	mid := lerp(c.from, c.End, 0.5)
	return r2.Add(mid, r2.Scale((1-b*b)/(4*b), left(d))), r2.Norm(d) * (1 + b*b) / (4 * math.Abs(b))
}

// round tells whether the segment is an arc that is worked by its circle.
func (c curve) round() bool {
	if c.Kind != Arc || c.Bulge == 0 {
		return false
	}
	return r2.Norm(c.chord())*(1+c.Bulge*c.Bulge) < flatRadius*4*math.Abs(c.Bulge)
}

// at is the point at parameter t, 0 to 1.
func (c curve) at(t float64) r2.Vec {
	switch {
	case t == 0:
		return c.from
	case t == 1:
		return c.End
	case c.Kind == Cubic:
		return cubicAt(c.from, c.C1, c.C2, c.End, t)
	case c.Kind == Arc && c.Bulge != 0:
		// From the start the point is seen along a chord of 2r·sin(tθ/2), turned by tθ/2 from the
		// first tangent; written so it needs no centre and stays exact for the flattest arcs.
		half := c.sweep() / 2
		k := math.Sin(t*half) / math.Sin(half)
		return r2.Add(c.from, r2.Scale(k, turned(c.chord(), t*half-half)))
	}
	return lerp(c.from, c.End, t)
}

// tangent is the unit direction at t.
func (c curve) tangent(t float64) r2.Vec {
	switch {
	case c.Kind == Cubic:
		return c.cubicTangent(t)
	case c.Kind == Arc && c.Bulge != 0:
		half := c.sweep() / 2
		return turned(r2.Unit(c.chord()), 2*t*half-half)
	}
	return r2.Unit(c.chord())
}

// bend is the signed curvature at t, 1/mm, positive to the left.
func (c curve) bend(t float64) float64 {
	switch {
	case c.Kind == Cubic:
		d1, d2 := c.derivatives(t)
		n := r2.Norm(d1)
		if n == 0 {
			return 0
		}
		return r2.Cross(d1, d2) / (n * n * n)
	case c.Kind == Arc && c.Bulge != 0:
		_, r := c.circle()
		return math.Copysign(1/r, c.Bulge)
	}
	return 0
}

// length is exact for lines and arcs (r·θ written without the radius) and by quadrature for cubics.
func (c curve) length() float64 {
	switch {
	case c.Kind == Cubic:
		return c.cubicLength()
	case c.Kind == Arc && c.Bulge != 0:
		b := math.Abs(c.Bulge)
		return r2.Norm(c.chord()) * (1 + b*b) * math.Atan(b) / b
	}
	return r2.Norm(c.chord())
}

// reversed runs the other way.
func (c curve) reversed() curve {
	return curve{from: c.End, Seg: Seg{Kind: c.Kind, End: c.from, Bulge: -c.Bulge, C1: c.C2, C2: c.C1}}
}

// split cuts the curve at t.
func (c curve) split(t float64) (curve, curve) {
	p := c.at(t)
	a, b := c, curve{from: p, Seg: c.Seg}
	a.End = p
	switch c.Kind {
	case Arc:
		q := c.sweep() / 4
		a.Bulge, b.Bulge = math.Tan(t*q), math.Tan((1-t)*q)
	case Cubic:
		q0, q1, q2 := lerp(c.from, c.C1, t), lerp(c.C1, c.C2, t), lerp(c.C2, c.End, t)
		s0, s1 := lerp(q0, q1, t), lerp(q1, q2, t)
		a.C1, a.C2, b.C1, b.C2 = q0, s0, s1, q2
	}
	return a, b
}

// bounds is the least box around the curve.
func (c curve) bounds() r2.Box {
	b := boxOf(c.from, c.End)
	switch {
	case c.Kind == Cubic:
		for _, t := range c.extremes() {
			b = grow(b, c.at(t))
		}
	case c.Kind == Arc && c.Bulge != 0:
		for _, p := range c.arcExtremes() {
			b = grow(b, p)
		}
	}
	return b
}

// arcExtremes are the points of an arc whose tangent is level or upright.
func (c curve) arcExtremes() []r2.Vec {
	var out []r2.Vec
	sweep := c.sweep()
	first := c.tangent(0)
	start := math.Atan2(first.Y, first.X)
	for q := range 4 {
		turn := math.Mod(float64(q)*math.Pi/2-start, 2*math.Pi)
		if sweep > 0 && turn < 0 {
			turn += 2 * math.Pi
		}
		if sweep < 0 && turn > 0 {
			turn -= 2 * math.Pi
		}
		if t := turn / sweep; t > 0 && t < 1 {
			out = append(out, c.at(t))
		}
	}
	return out
}

func boxOf(a, b r2.Vec) r2.Box {
	return r2.Box{
		Min: r2.Vec{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y)},
		Max: r2.Vec{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y)},
	}
}

func grow(b r2.Box, p r2.Vec) r2.Box { return join(b, r2.Box{Min: p, Max: p}) }

func join(a, b r2.Box) r2.Box {
	return r2.Box{
		Min: r2.Vec{X: math.Min(a.Min.X, b.Min.X), Y: math.Min(a.Min.Y, b.Min.Y)},
		Max: r2.Vec{X: math.Max(a.Max.X, b.Max.X), Y: math.Max(a.Max.Y, b.Max.Y)},
	}
}

// apart tells whether two boxes stand further than gap from each other.
func apart(a, b r2.Box, gap float64) bool {
	return a.Max.X+gap < b.Min.X || b.Max.X+gap < a.Min.X || a.Max.Y+gap < b.Min.Y || b.Max.Y+gap < a.Min.Y
}

// curves are the path's segments with their starts.
func (p Path) curves() []curve {
	out := make([]curve, len(p.Segs))
	at := p.Start
	for i, s := range p.Segs {
		out[i] = curve{at, s}
		at = s.End
	}
	return out
}

// curves are the outline's segments with their starts, and the edge that each belongs to.
func (o Outline) curves() (list []curve, edge []int) {
	at := o.Start
	for i, e := range o.Edges {
		for _, s := range e.Segs {
			list, edge = append(list, curve{at, s}), append(edge, i)
			at = s.End
		}
	}
	return list, edge
}
