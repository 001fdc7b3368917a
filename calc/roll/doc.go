// Package roll unrolls curved sheets: tubes, cones, elbows, gores of a dome, transitions from a
// polygon to a circle. It gives flat outlines to cut, as seen from outside.
//
// Millimetres and radians, right-handed coordinates, z up along the axis. All radii are those of the
// neutral surface, the layer of the sheet that neither stretches nor shrinks when it is bent: Sheet
// says where it lies. A development keeps every length on that surface, so the flat area is the
// surface's area (gores bend two ways and keep only what Gore says).
//
// Outlines run counter-clockwise. Their edge bottom runs from left to right and top back; start is the
// left edge and end the right one: seen from outside, the shape goes round counter-clockwise about its
// axis. Straight edges are lines, circular ones true arcs; sinusoids and the rims of transitions are
// cubics that stray from the true curve by Tolerance at most.
//
// The package imports nothing of ours but shape.
package roll

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Tolerance is how far, in mm, a curve that is no circle may stray from its true line.
const Tolerance = 0.001

// Largest is the greatest size in mm that is developed: far beyond any sheet.
const Largest = 1e5

// same is the length in mm below which two sizes are one and an edge is none.
const same = 1e-9

// Sheet is what is bent.
type Sheet struct {
	Thickness float64 // mm
	K         float64 // where the neutral line lies, from the inside, as a share of the thickness
}

// Inner is how far the neutral line lies from the inside of the bend, k·t.
func (s Sheet) Inner() float64 { return s.K * s.Thickness }

// Outer is how far the neutral line lies from the outside of the bend, (1 − k)·t.
func (s Sheet) Outer() float64 { return (1 - s.K) * s.Thickness }

// sized refuses what is no length from least to Largest.
func sized(what string, v, least float64) error {
	switch {
	case math.IsNaN(v):
		return fmt.Errorf("the %s is not a number", what)
	case v < least || least == 0 && v < 0:
		return fmt.Errorf("the %s is too small", what)
	case v > Largest:
		return fmt.Errorf("the %s is too large", what)
	}
	return nil
}

// curve runs along p(u) from one u to another in n equal steps, each a cubic with the curve's own
// tangents at its ends (Hermite interpolation). at gives the point and its derivative by u.
func curve(from, to float64, n int, at func(u float64) (p, d r2.Vec)) []shape.Seg {
	segs := make([]shape.Seg, 0, n)
	h := (to - from) / float64(n)
	p, d := at(from)
	for i := 1; i <= n; i++ {
		u := from + h*float64(i)
		if i == n {
			u = to
		}
		q, e := at(u)
		segs = append(segs, shape.Seg{Kind: shape.Cubic, End: q,
			C1: r2.Add(p, r2.Scale(h/3, d)), C2: r2.Sub(q, r2.Scale(h/3, e))})
		p, d = q, e
	}
	return segs
}

// steps is how many cubics a sinusoid of the amplitude needs over the angle: a Hermite cubic strays
// by h⁴/384 of the fourth derivative at most (Davis, Interpolation and Approximation; from memory),
// which of a·cos θ is a.
func steps(amplitude, angle float64) int {
	h := math.Pow(384*Tolerance/math.Max(math.Abs(amplitude), Tolerance), 0.25)
	return max(2, int(math.Ceil(math.Abs(angle)/math.Min(h, math.Pi/4))))
}

// closed makes an outline of edges that follow each other, leaving out those without length, and
// refuses one that is not simple.
func closed(start r2.Vec, edges ...shape.Edge) (shape.Outline, error) {
	o := shape.Outline{Start: start}
	at := start
	for _, e := range edges {
		if slices.ContainsFunc(e.Segs, func(s shape.Seg) bool { return r2.Norm(r2.Sub(s.End, at)) > same }) {
			o.Edges = append(o.Edges, e)
			at = e.Segs[len(e.Segs)-1].End
		}
	}
	if o.Area() <= 0 {
		return shape.Outline{}, errors.New("nothing is left of the flat pattern")
	}
	return o, o.IsSimple()
}

// line is a straight edge.
func line(name string, to r2.Vec) shape.Edge {
	return shape.Edge{Name: name, Segs: []shape.Seg{{End: to}}}
}
