package template

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// base is where a label's base line starts from, and its size in mm: a label stands centred on its
// point in height.
func base(l draw.Label, em float64) (at r2.Vec, size float64) {
	size = em
	if l.Size > 0 {
		size *= l.Size
	}
	sin, cos := math.Sincos(l.Angle)
	return r2.Vec{X: l.At.X + sin*capital*size, Y: l.At.Y - cos*capital*size}, size
}

// cross is a small upright cross.
func cross(at r2.Vec, r float64) [2]draw.Line {
	return [2]draw.Line{
		{A: r2.Vec{X: at.X - r, Y: at.Y}, B: r2.Vec{X: at.X + r, Y: at.Y}},
		{A: r2.Vec{X: at.X, Y: at.Y - r}, B: r2.Vec{X: at.X, Y: at.Y + r}},
	}
}
