package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Bezier is a cubic Bézier curve from its first to its fourth point.
type Bezier [4]r2.Vec

// Curve is a run of Béziers, each starting where the one before ends.
type Curve []Bezier

// Beziers writes a segment as cubic Béziers. An arc is cut into pieces of at most 30°, whose
// greatest distance from the circle is 3.7e-7 of the radius: below 0.001 mm up to a radius of 2.7 m.
// (A quarter turn is out by 2.7e-4 and the error falls with the sixth power of the angle.)
func Beziers(from r2.Vec, s shape.Seg) Curve {
	switch s.Kind {
	case shape.Cubic:
		return Curve{{from, s.C1, s.C2, s.End}}
	case shape.Arc:
		if c, r, ok := ArcCentre(from, s); ok {
			return arcBeziers(from, s, c, r)
		}
	}
	third := r2.Scale(1.0/3, r2.Sub(s.End, from))
	return Curve{{from, r2.Add(from, third), r2.Sub(s.End, third), s.End}}
}

// arcBeziers uses the handle length 4/3·tan(θ/4)·r, which meets the circle at both ends and in
// the middle of each piece.
func arcBeziers(from r2.Vec, s shape.Seg, c r2.Vec, r float64) Curve {
	sweep := 4 * math.Atan(s.Bulge)
	n := int(math.Ceil(math.Abs(sweep) / (math.Pi / 6)))
	n = max(n, 1)
	step := sweep / float64(n)
	handle := 4.0 / 3 * math.Tan(step/4) * r
	start := math.Atan2(from.Y-c.Y, from.X-c.X)
	curve := make(Curve, n)
	p := from
	for i := range n {
		a0, a1 := start+step*float64(i), start+step*float64(i+1)
		s0, c0 := math.Sincos(a0)
		s1, c1 := math.Sincos(a1)
		q := r2.Vec{X: c.X + r*c1, Y: c.Y + r*s1}
		if i == n-1 {
			q = s.End
		}
		curve[i] = Bezier{p, {X: p.X - handle*s0, Y: p.Y + handle*c0}, {X: q.X + handle*s1, Y: q.Y - handle*c1}, q}
		p = q
	}
	return curve
}

// points appends n points along each Bézier, its end the last.
func (c Curve) points(list []r2.Vec, n int) []r2.Vec {
	for _, b := range c {
		for i := 1; i <= n; i++ {
			list = append(list, b.At(float64(i)/float64(n)))
		}
	}
	return list
}

// At is the curve's point at t from 0 to 1.
func (b Bezier) At(t float64) r2.Vec {
	u := 1 - t
	w := [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}
	var p r2.Vec
	for i, q := range b {
		p = r2.Add(p, r2.Scale(w[i], q))
	}
	return p
}
