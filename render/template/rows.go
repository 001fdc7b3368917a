package template

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// square is the side of the square to measure, mm.
const square = 50.0

// widest row of pieces in a file without sheets, mm: about the width of a large sheet of foam.
const widest = 1200.0

// setOut sets a square to measure and then the pieces side by side in rows, in their order, and
// gives each moved item to put with its piece's lettering. Rows follow each other downwards from
// y = 0 into negative y. The size is that of everything.
func setOut(pieces []draw.Drawing, put func(it draw.Item, em float64)) (size r2.Vec) {
	const air = 5.0
	x, top, height := air, -air, 0.0
	next := func(w, h float64) r2.Vec {
		if x > air && x+w > widest {
			x, top, height = air, top-height-air, 0
		}
		at := r2.Vec{X: x, Y: top - h}
		x += w + air
		height = math.Max(height, h)
		size.X, size.Y = math.Max(size.X, x), math.Max(size.Y, air-top+height)
		return at
	}
	low := next(square, square)
	for _, it := range gaugeSquare(low) {
		put(it, 3)
	}
	for _, d := range pieces {
		extent := r2.Sub(d.Box.Max, d.Box.Min)
		by := r2.Sub(next(extent.X, extent.Y), d.Box.Min)
		for _, it := range d.Items {
			put(shifted(it, by), d.Em)
		}
	}
	return size
}

func gaugeSquare(low r2.Vec) []draw.Item {
	return []draw.Item{
		draw.Area{Role: draw.Note, Outline: rectangle(r2.Box{Min: low, Max: r2.Vec{X: low.X + square, Y: low.Y + square}})},
		draw.Label{Role: draw.Note, At: r2.Vec{X: low.X + square/2, Y: low.Y + square/2}, Text: "50 mm: measure me"},
	}
}

// rectangle is a box as an outline.
func rectangle(b r2.Box) shape.Outline {
	return shape.Outline{Start: b.Min, Edges: []shape.Edge{{Segs: []shape.Seg{
		{End: r2.Vec{X: b.Max.X, Y: b.Min.Y}}, {End: b.Max}, {End: r2.Vec{X: b.Min.X, Y: b.Max.Y}}, {End: b.Min}}}}}
}
