package template

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

func at(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }

func polygon(names string, points ...r2.Vec) shape.Outline {
	o := shape.Outline{Start: points[0]}
	for i, name := range strings.Fields(names) {
		o.Edges = append(o.Edges, shape.Edge{Name: name, Segs: []shape.Seg{{End: points[(i+1)%len(points)]}}})
	}
	return o
}

func rect(w, h float64) shape.Outline {
	return polygon("bottom right top left", at(0, 0), at(w, 0), at(w, h), at(0, h))
}

func circle(x, y, r float64) shape.Outline { return disc(at(x, y), r) }

// edgesOf gives edges their lengths and bevels in degrees for a sheet of that thickness.
func edgesOf(o shape.Outline, thickness float64, bevels ...float64) []part.Edge {
	edges := make([]part.Edge, len(o.Edges))
	from := o.Start
	for i, e := range o.Edges {
		end := e.Segs[len(e.Segs)-1].End
		edges[i] = part.Edge{Name: e.Name, Length: r2.Norm(r2.Sub(end, from))}
		if i < len(bevels) {
			b := bevels[i] * math.Pi / 180
			edges[i].Bevel, edges[i].Run = b, thickness*math.Tan(b)
		}
		from = end
	}
	return edges
}

// cheek is a side of the lantern room: tapered, bevelled on three edges, not its own mirror image.
func cheek() part.Part {
	show := polygon("long right short left", at(0, 0), at(155, 0), at(135, 90), at(20, 90))
	p := part.Part{Section: "lantern room", Name: "cheek", Material: "foam10", Thickness: 10, Count: 2,
		Hand: part.Pair, Show: show, Edges: edgesOf(show, 10, 0, 22.5, -17, 22.5),
		Back: polygon("long right short left", at(4.24, 0), at(150.76, 0), at(130.08, 93.06), at(24.92, 93.06)),
		Odd:  []string{"short"},
	}
	p.Edges[1].Meets, p.Edges[1].Letter = "brow.left", "A"
	p.Edges[3].Meets, p.Edges[3].Letter = "jaw.right", "B"
	p.Edges[1].Matches, p.Edges[3].Matches = []float64{30, 60}, []float64{46.1}
	p.Holes = []part.Feature{{Name: "pivot", Shape: circle(35, 45, 2.5)}, {Name: "window", Shape: polygon("a b c", at(100, 55), at(120, 55), at(110, 75))}}
	p.Lines = []part.Feature{{Name: "vent", Path: shape.Path{Start: at(50, 22), Segs: []shape.Seg{{End: at(100, 22)}}}}}
	p.Marks = []part.Feature{{Name: "eye", At: at(75, 70)}}
	return p
}

// roof is a sector of a cone that takes many sheets.
func roof() part.Part {
	const big, small, half = 520.0, 120.0, 70 * math.Pi / 180
	p := func(r, a float64) r2.Vec { return at(r*math.Sin(a), r*math.Cos(a)) }
	b := math.Tan(2 * half / 4)
	show := shape.Outline{Start: p(big, half), Edges: []shape.Edge{
		{Name: "eave", Segs: []shape.Seg{{Kind: shape.Arc, End: p(big, -half), Bulge: b}}},
		{Name: "hem left", Segs: []shape.Seg{{End: p(small, -half)}}},
		{Name: "top", Segs: []shape.Seg{{Kind: shape.Arc, End: p(small, half), Bulge: -b}}},
		{Name: "hem right", Segs: []shape.Seg{{End: p(big, half)}}},
	}}
	return part.Part{Section: "lantern room", Name: "roof", Material: "foam6", Thickness: 6, Count: 1,
		Show: show, Back: show, Edges: edgesOf(show, 6)}
}

// sliver is too slim for its words, and tab too small in both directions.
func sliver() part.Part {
	show := rect(12, 140)
	return part.Part{Section: "gallery", Name: "baluster", Material: "foam5", Thickness: 5, Count: 16, Show: show, Back: show, Edges: edgesOf(show, 5)}
}

func tab() part.Part {
	show := rect(14, 11)
	p := part.Part{Section: "gallery", Name: "rivet tab", Layer: "core", Material: "foam5", Thickness: 5, Count: 8, Show: show, Back: show, Edges: edgesOf(show, 5, 0, 30), Odd: []string{"right"}}
	p.Back = polygon("bottom right top left", at(0, 0), at(11.1, 0), at(11.1, 11), at(0, 11))
	return p
}
