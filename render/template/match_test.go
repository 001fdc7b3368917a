package template

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
)

// ticksOn finds the match marks that cross an edge of a drawn outline, as distances from the corner at
// which the edge starts; the outline's edges keep their names when they are mirrored.
func ticksOn(d draw.Drawing, edge string) (list []float64) {
	cut := d.Items[0].(draw.Area).Outline
	path := cut.EdgePath(cut.EdgeIndex(edge))
	from, to := path.Start, path.Segs[len(path.Segs)-1].End
	along := r2.Unit(r2.Sub(to, from))
	for _, it := range d.Items {
		s, ok := it.(draw.Stroke)
		if !ok || s.Role != draw.Mark || len(s.Path.Segs) != 1 {
			continue
		}
		a, b := r2.Sub(s.Path.Start, from), r2.Sub(s.Path.Segs[0].End, from)
		across := r2.Cross(along, a) * r2.Cross(along, b)
		if mid := r2.Scale(0.5, r2.Add(a, b)); across < 0 && math.Abs(r2.Cross(along, mid)) < 1e-6 && r2.Norm(mid) < r2.Norm(r2.Sub(to, from)) {
			list = append(list, r2.Dot(along, mid))
		}
	}
	slices.Sort(list)
	return list
}

// joinedPair are two boards that meet at 60°, mitred, lid.bottom to wall.top; the boards lean away from
// each other at the other edges, so that no two back edges are alike.
func joinedPair() (lid, wall part.Part) {
	board := func(name string, w, h float64, bevels ...float64) part.Part {
		show := rect(w, h)
		p := part.Part{Name: name, Thickness: 10, Show: show, Edges: edgesOf(show, 10, bevels...), Hand: part.Pair}
		runs := make([]float64, len(p.Edges))
		for i, e := range p.Edges {
			runs[i] = e.Run
		}
		back, err := show.OffsetEdges(runs)
		if err != nil {
			panic(err)
		}
		p.Back = back
		return p
	}
	lid, wall = board("lid", 420, 150, 30, 12, 0, -20), board("wall", 420, 300, 5, 25, 30, 40)
	for _, d := range []float64{105, 210, 301} {
		lid.Edges[0].Matches = append(lid.Edges[0].Matches, d)
		wall.Edges[2].Matches = append([]float64{420 - d}, wall.Edges[2].Matches...)
	}
	return lid, wall
}

func TestMatchMarksStandAtEqualDistancesOnBothEdgesOfASeam(t *testing.T) {
	for _, trace := range []string{"show", "back"} {
		for _, hand := range []string{"left", "right"} {
			lid, wall := joinedPair()
			lid.Trace, wall.Trace = trace, trace
			a, b := ticksOn(Piece(lid, hand, Meta{}), "bottom"), ticksOn(Piece(wall, hand, Meta{}), "top")
			if len(a) != 3 || len(b) != 3 {
				t.Fatalf("%s, %s face up: marks at %v and %v", hand, trace, a, b)
			}
			// On the back face both edges are shortened at both ends, by what the bevels there take.
			// Measured from the show face's corner the distances are equal again.
			startA, endB := 0.0, 0.0
			if trace == "back" {
				startA = lid.Back.EdgePath(0).Start.X
				endB = wall.Back.EdgePath(2).Start.X
			}
			for i := range a {
				fromA := a[i] + startA
				fromB := endB - b[len(b)-1-i]
				if trace == "show" {
					fromB = 420 - b[len(b)-1-i]
				}
				if math.Abs(fromA-fromB) > 1e-9 {
					t.Errorf("%s, %s face up: mark %d stands at %v and %v from the common end", hand, trace, i, fromA, fromB)
				}
			}
		}
	}
}

func TestMatchMarkBeyondTheEndOfTheBackEdgeIsLeftOut(t *testing.T) {
	lid, _ := joinedPair()
	lid.Trace = "back"
	lid.Edges[0].Matches = []float64{-3, 0, 210, 419, 420, 1e9, math.NaN()} // 12° at the right end takes 2 mm
	if got := ticksOn(Piece(lid, "left", Meta{}), "bottom"); len(got) != 1 {
		t.Errorf("marks at %v", got)
	}
}

func TestMatchMarksAreDrawnOnTheLayerOfMarks(t *testing.T) {
	lid, _ := joinedPair()
	bare := lid
	bare.Edges = slices.Clone(lid.Edges)
	bare.Edges[0].Matches = nil
	with, without := Piece(lid, "left", Meta{}), Piece(bare, "left", Meta{})
	svg := func(d draw.Drawing) int {
		_, mark, _ := strings.Cut(string(SVG("lid", []draw.Drawing{d})), `<g id="mark">`)
		mark, _, _ = strings.Cut(mark, "</g>")
		return strings.Count(mark, "<path")
	}
	dxf := func(d draw.Drawing) int { return strings.Count(string(DXF([]draw.Drawing{d})), "\n8\nMARK\n") }
	if n := svg(with) - svg(without); n != 3 {
		t.Errorf("SVG: %d paths more in the group of marks, want 3", n)
	}
	if n := dxf(with) - dxf(without); n != 3 {
		t.Errorf("DXF: %d entities more on the layer MARK, want 3", n)
	}
}
