package template

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// matchTick is how far a match mark reaches to either side of the edge, mm: inside it is drawn on the
// part, outside it shows where the line runs when the template has been cut along the edge.
const matchTick = 3.5

// matches draws the match marks of each edge as ticks across it. They stand on the show edge, and on
// the back edge straight below, at right angles to the edge: two edges of a seam are moved inwards at
// right angles to the line that they share, so their ticks meet on either face.
func (s *sheetPiece) matches(flip bool) {
	show := s.near
	if s.lean < 0 {
		show = s.far
	}
	for i, e := range s.part.Edges {
		if len(e.Matches) == 0 || i >= len(show.Edges) {
			continue
		}
		points := edgeSteps(show, i)
		for _, distance := range e.Matches {
			at, in, ok := alongSteps(points, distance, flip)
			if !ok {
				continue
			}
			if s.lean < 0 {
				at = r2.Add(at, r2.Scale(e.Run, in))
			}
			if onSteps(at, s.run(i)) { // the back edge of a bevelled corner is shorter
				s.tick(e, at, in)
			}
		}
	}
}

// tick draws one mark, shorter on a short edge, and keeps words off it.
func (s *sheetPiece) tick(e part.Edge, at, in r2.Vec) {
	arm := r2.Scale(math.Min(matchTick, e.Length/8), in)
	a, b := r2.Sub(at, arm), r2.Add(at, arm)
	s.d.Add(draw.Stroke{Role: draw.Mark, Path: shape.Path{Start: a, Segs: []shape.Seg{{End: b}}}})
	s.lines = append(s.lines, []r2.Vec{a, b})
}

// alongSteps is the point at a distance from the start of a run of straight steps, and the way to the
// inside there; not ok beyond its ends.
func alongSteps(points []r2.Vec, distance float64, flip bool) (at, in r2.Vec, ok bool) {
	if !(distance > 0) {
		return at, in, false
	}
	for i := 1; i < len(points); i++ {
		step := r2.Sub(points[i], points[i-1])
		n := r2.Norm(step)
		if n == 0 || distance >= n {
			distance -= n
			continue
		}
		dir := r2.Scale(1/n, step)
		in = r2.Vec{X: -dir.Y, Y: dir.X}
		if flip { // a mirrored outline runs clockwise
			in = r2.Scale(-1, in)
		}
		return r2.Add(points[i-1], r2.Scale(distance, dir)), in, true
	}
	return at, in, false
}

// onSteps tells whether a point lies on a run of straight steps, within what a blade can follow.
func onSteps(p r2.Vec, points []r2.Vec) bool {
	for i := 1; i < len(points); i++ {
		a, step := points[i-1], r2.Sub(points[i], points[i-1])
		n := r2.Norm2(step)
		if n == 0 {
			continue
		}
		t := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), step)/n))
		if r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, step)))) < part.MirrorTolerance {
			return true
		}
	}
	return false
}
