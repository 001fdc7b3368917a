package template

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// grainLengths are the lengths of the arrow that are tried, mm.
var grainLengths = []float64{60, 40, 25, 15}

// grain draws, where the sheet has one, an arrow with two heads along its grain: on a free place of
// the piece, else above it.
func (s *sheetPiece) grain(v view) {
	if !s.part.Grained {
		return
	}
	angle := s.part.Grain
	if v.flip {
		angle = math.Pi - angle
	}
	angle = draw.Upright(angle)
	const size = 0.65
	h := size * s.em
	sin, cos := math.Sincos(angle)
	dir, up := r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	for _, long := range grainLengths {
		for _, at := range spots(s.ring) {
			if corners := around(at, dir, up, long, 2.6*h); s.clear(corners) {
				s.setGrain(at, dir, up, angle, long, h)
				s.taken = append(s.taken, corners)
				return
			}
		}
	}
	box := extent(s.d)
	long := grainLengths[len(grainLengths)-1]
	high := (long*math.Abs(sin) + 2.6*h*math.Abs(cos)) / 2
	s.setGrain(r2.Vec{X: (box.Min.X + box.Max.X) / 2, Y: box.Max.Y + high}, dir, up, angle, long, h)
}

// setGrain draws the arrow through the lower half of its box and its word above.
func (s *sheetPiece) setGrain(at, dir, up r2.Vec, angle, long, h float64) {
	foot := r2.Add(at, r2.Scale(-0.6*h, up))
	for _, l := range doubleArrow(foot, angle, long, 0.4*h) {
		s.d.Add(draw.Stroke{Role: draw.Mark, Path: shape.Path{Start: l.A, Segs: []shape.Seg{{End: l.B}}}})
	}
	s.d.Add(draw.Label{Role: draw.Note, Text: "grain", Size: h / s.em, Angle: angle, At: r2.Add(at, r2.Scale(0.5*h, up))})
}

// doubleArrow is a line with a head at both ends, centred on a point.
func doubleArrow(mid r2.Vec, angle, long, head float64) []draw.Line {
	sin, cos := math.Sincos(angle)
	dir, up := r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	var lines []draw.Line
	for _, way := range []float64{-1, 1} {
		tip := r2.Add(mid, r2.Scale(way*long/2, dir))
		for _, side := range []float64{-1, 1} {
			barb := r2.Add(tip, r2.Add(r2.Scale(-1.6*way*head, dir), r2.Scale(side*head, up)))
			lines = append(lines, draw.Line{A: tip, B: barb})
		}
	}
	return append(lines, draw.Line{A: r2.Sub(mid, r2.Scale(long/2, dir)), B: r2.Add(mid, r2.Scale(long/2, dir))})
}
