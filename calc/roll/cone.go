package roll

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Cone is a right cone or a frustum of one; either end may be the wider, and with both alike it is a
// tube. One of the radii may be 0.
type Cone struct {
	Low, High float64 // radii of the neutral surface at the bottom and at the top, mm
	Height    float64 // between the two rims, mm
}

// Slant is the length of the line from rim to rim: s = √(h² + (R − r)²).
func (c Cone) Slant() float64 { return math.Hypot(c.Height, c.Low-c.High) }

// Lean is the angle of the wall from the horizontal, below 90° if the cone narrows upwards.
func (c Cone) Lean() float64 { return math.Atan2(c.Height, c.Low-c.High) }

// Sector is the angle of the flat sector, 2π·(R − r)/s; below 0 if the cone widens upwards, and then
// the bottom is the inner arc.
func (c Cone) Sector() float64 { return 2 * math.Pi * (c.Low - c.High) / c.Slant() }

// Radii are those of the outer and the inner arc; infinite for a tube.
func (c Cone) Radii() (outer, inner float64) {
	lean := c.Slant() / math.Abs(c.Low-c.High)
	return math.Max(c.Low, c.High) * lean, math.Min(c.Low, c.High) * lean
}

// Area of the neutral surface, π·(R + r)·s.
func (c Cone) Area() float64 { return math.Pi * (c.Low + c.High) * c.Slant() }

// Flat is one of n equal pieces of the development, mirrored left to right by the y axis, the bottom
// through the origin (radial-line development of sheet-metal layout). Edges: bottom end top start;
// an end that is a point has no edge.
func (c Cone) Flat(n int) (shape.Outline, error) {
	err := errors.Join(sized("radius at the bottom", c.Low, 0), sized("radius at the top", c.High, 0), sized("height", c.Height, 1e-3))
	if err != nil {
		return shape.Outline{}, err
	}
	if c.Low < same && c.High < same || n < 1 {
		return shape.Outline{}, errors.New("the cone has no width")
	}
	low, high := 2*math.Pi*c.Low/float64(n), 2*math.Pi*c.High/float64(n) // lengths of the rims
	turn := c.Sector() / float64(n)
	s := c.Slant()
	// Both middles lie on the y axis, where nothing grows without bound as the cone becomes a tube.
	foot, head := halfArc(low, turn), r2.Add(halfArc(high, turn), r2.Vec{Y: s})
	bottom := shape.Edge{Name: "bottom", Segs: arc(mirrored(foot), r2.Vec{}, foot, turn)}
	top := shape.Edge{Name: "top", Segs: arc(head, r2.Vec{Y: s}, mirrored(head), -turn)}
	return closed(mirrored(foot), bottom, line("end", head), top, line("start", mirrored(foot)))
}

func mirrored(p r2.Vec) r2.Vec { return r2.Vec{X: -p.X, Y: p.Y} }

// halfArc is where an arc of the length and angle that starts level ends after half of it: with
// u = θ/4, at length·(sin 2u/4u, sin² u/2u).
func halfArc(length, θ float64) r2.Vec {
	sinc := func(u float64) float64 {
		if math.Abs(u) < 1e-4 {
			return 1 - u*u/6
		}
		return math.Sin(u) / u
	}
	return r2.Vec{X: length / 2 * sinc(θ/2), Y: length / 2 * math.Sin(θ/4) * sinc(θ/4)}
}

// arc leads over the middle to the end by the angle, counter-clockwise above 0, in pieces of at most
// half a turn.
func arc(from, middle, to r2.Vec, θ float64) []shape.Seg {
	if math.Abs(θ) <= math.Pi {
		return []shape.Seg{{Kind: shape.Arc, End: to, Bulge: math.Tan(θ / 4)}}
	}
	bulge := math.Tan(θ / 8)
	return []shape.Seg{{Kind: shape.Arc, End: middle, Bulge: bulge}, {Kind: shape.Arc, End: to, Bulge: bulge}}
}
