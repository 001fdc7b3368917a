package roll

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Gore is one of N equal pieces of a sphere between two latitudes, counted from the equator, 90° the
// pole. A sphere cannot be unrolled: along its middle a gore keeps the length of the meridian, and
// square to that every width of the sphere; its edges come out longer than the meridian they form, by
// about (π/N)²·sin²φ/2, and the sheet takes that up.
type Gore struct {
	Radius   float64 // of the neutral surface, mm
	N        int
	From, To float64 // latitudes, radians
}

// HalfWidth at the latitude φ is (π·r/N)·cos φ.
func (g Gore) HalfWidth(φ float64) float64 {
	const pole = 1e-12
	if math.Abs(φ) > math.Pi/2-pole {
		return 0
	}
	return math.Pi * g.Radius / float64(g.N) * math.Cos(φ)
}

// Meridian is the length along the middle, r·(φ₂ − φ₁).
func (g Gore) Meridian() float64 { return g.Radius * (g.To - g.From) }

// Flat is the flat gore, mirrored left to right by the y axis. Edges: bottom right top left; an end at
// a pole is a point and has no edge.
func (g Gore) Flat() (shape.Outline, error) {
	if err := sized("radius", g.Radius, 1e-3); err != nil {
		return shape.Outline{}, err
	}
	const pole = math.Pi/2 + 1e-12
	switch {
	case g.N < 3:
		return shape.Outline{}, fmt.Errorf("a dome has three gores or more, not %d", g.N)
	case !(g.From >= -pole) || !(g.To <= pole) || !(g.To-g.From > 1e-6):
		return shape.Outline{}, errors.New("a gore goes from one latitude to a higher one, between −90° and 90°")
	}
	at := func(side float64) func(φ float64) (p, d r2.Vec) {
		return func(φ float64) (p, d r2.Vec) {
			return r2.Vec{X: side * g.HalfWidth(φ), Y: g.Radius * (φ - g.From)},
				r2.Vec{X: -side * math.Pi * g.Radius / float64(g.N) * math.Sin(φ), Y: g.Radius}
		}
	}
	n := steps(g.HalfWidth(0), g.To-g.From)
	foot, head := r2.Vec{X: -g.HalfWidth(g.From)}, r2.Vec{X: -g.HalfWidth(g.To), Y: g.Meridian()}
	return closed(foot,
		line("bottom", r2.Vec{X: -foot.X}),
		shape.Edge{Name: "right", Segs: curve(g.From, g.To, n, at(1))},
		line("top", head),
		shape.Edge{Name: "left", Segs: curve(g.To, g.From, n, at(-1))})
}
