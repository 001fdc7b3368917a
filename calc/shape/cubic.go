package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

func cubicAt(p0, p1, p2, p3 r2.Vec, t float64) r2.Vec {
	u := 1 - t
	a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return r2.Vec{
		X: a*p0.X + b*p1.X + c*p2.X + d*p3.X,
		Y: a*p0.Y + b*p1.Y + c*p2.Y + d*p3.Y,
	}
}

// derivatives are the first and second of a cubic at t.
func (c curve) derivatives(t float64) (d1, d2 r2.Vec) {
	a, b, e := r2.Sub(c.C1, c.from), r2.Sub(c.C2, c.C1), r2.Sub(c.End, c.C2)
	u := 1 - t
	d1 = r2.Vec{
		X: 3 * (u*u*a.X + 2*u*t*b.X + t*t*e.X),
		Y: 3 * (u*u*a.Y + 2*u*t*b.Y + t*t*e.Y),
	}
	d2 = r2.Vec{
		X: 6 * (u*(b.X-a.X) + t*(e.X-b.X)),
		Y: 6 * (u*(b.Y-a.Y) + t*(e.Y-b.Y)),
	}
	return d1, d2
}

// cubicTangent is the direction at t; where a control point lies on its end, the derivative is
// nought there and the direction is that of the next control point.
func (c curve) cubicTangent(t float64) r2.Vec {
	d, _ := c.derivatives(t)
	if r2.Norm(d) > samePoint {
		return r2.Unit(d)
	}
	var try []r2.Vec
	switch {
	case t < nudge:
		try = []r2.Vec{r2.Sub(c.C2, c.from), c.chord()}
	case t > 1-nudge:
		try = []r2.Vec{r2.Sub(c.End, c.C1), c.chord()}
	default:
		after, _ := c.derivatives(t + nudge)
		try = []r2.Vec{after, c.chord()}
	}
	for _, v := range try {
		if r2.Norm(v) > samePoint {
			return r2.Unit(v)
		}
	}
	return r2.Vec{X: 1}
}

// extremes are the parameters at which a cubic's tangent is level or upright.
func (c curve) extremes() []float64 {
	out := roots(c.from.X, c.C1.X, c.C2.X, c.End.X)
	return append(out, roots(c.from.Y, c.C1.Y, c.C2.Y, c.End.Y)...)
}

// roots are those of a cubic Bézier's derivative in one coordinate, within 0 to 1.
func roots(p0, p1, p2, p3 float64) []float64 {
	a, b, c := p3-3*p2+3*p1-p0, 2*(p2-2*p1+p0), p1-p0
	var out []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			out = append(out, t)
		}
	}
	disc := b*b - 4*a*c
	if disc < 0 {
		return nil
	}
	// The larger root first and the other from the product, so that neither loses its digits.
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	if a != 0 {
		keep(q / a)
	}
	if q != 0 {
		keep(c / q)
	}
	return out
}

// gauss5 are the nodes and weights of five-point Gauss–Legendre quadrature on −1…1, exact to
// degree 9 (Abramowitz and Stegun, table 25.4).
var gauss5 = [5][2]float64{
	{0, 0.5688888888888889},
	{-0.5384693101056831, 0.4786286704993665}, {0.5384693101056831, 0.4786286704993665},
	{-0.9061798459386640, 0.2369268850561891}, {0.9061798459386640, 0.2369268850561891},
}

// quad5 integrates f from a to b.
func quad5(f func(float64) float64, a, b float64) float64 {
	mid, half := (a+b)/2, (b-a)/2
	sum := 0.0
	for _, g := range gauss5 {
		sum += g[1] * f(mid+half*g[0])
	}
	return sum * half
}

func (c curve) speed(t float64) float64 {
	d, _ := c.derivatives(t)
	return r2.Norm(d)
}

func (c curve) cubicLength() float64 { return c.lengthBetween(0, 1) }

// lengthBetween is the length of a cubic from parameter a to b, to lengthError of its hull.
func (c curve) lengthBetween(a, b float64) float64 {
	hull := dist(c.from, c.C1) + dist(c.C1, c.C2) + dist(c.C2, c.End)
	const depth = 24 // a cusp is closed in on by halves; 2^-24 of its length is below the tolerance
	return adaptive(c.speed, a, b, quad5(c.speed, a, b), hull*lengthError, depth)
}

func adaptive(f func(float64) float64, a, b, whole, tol float64, depth int) float64 {
	mid := (a + b) / 2
	l, r := quad5(f, a, mid), quad5(f, mid, b)
	if depth == 0 || math.Abs(l+r-whole) <= tol {
		return l + r
	}
	return adaptive(f, a, mid, l, tol/2, depth-1) + adaptive(f, mid, b, r, tol/2, depth-1)
}
