package shape

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// randomFigure has an outline of lines, arcs and a cubic around the origin, and something of all else.
func randomFigure(rng *rand.Rand) Figure {
	for {
		n := 4 + rng.IntN(6)
		spot := func(i int) r2.Vec {
			s, c := math.Sincos((float64(i) + 0.6*rng.Float64()) * 2 * math.Pi / float64(n))
			return r2.Scale(50+50*rng.Float64(), r2.Vec{X: c, Y: s})
		}
		pen := MoveTo(spot(0))
		for i := 1; i < n; i++ {
			p := spot(i)
			switch rng.IntN(3) {
			case 0:
				pen.ArcTo(p, 0.4*rng.Float64()-0.2)
			case 1:
				q := pen.At()
				pen.CurveTo(r2.Add(lerp(q, p, 0.3), r2.Vec{X: 4}), r2.Add(lerp(q, p, 0.7), r2.Vec{Y: 4}), p)
			default:
				pen.LineTo(p)
			}
		}
		o, err := FromPath(mustPath(pen), nil)
		if err != nil {
			continue
		}
		f := Figure{Outline: o, Holes: []Outline{must(Circle(8)).Translate(r2.Vec{X: 9}), must(Rect(5, 3))},
			Lines: []Path{mustPath(MoveTo(r2.Vec{X: -10}).LineTo(r2.Vec{X: -20, Y: 5}).ArcTo(r2.Vec{X: -20, Y: 15}, 0.3))},
			Marks: []r2.Vec{{X: -5, Y: -9}, {X: 3, Y: 11}}}
		for range o.Edges {
			f.Bevels = append(f.Bevels, float64(rng.IntN(3))*0.3)
		}
		return f
	}
}

// moved moves all of a figure.
func (f Figure) moved(m Motion) Figure {
	out := Figure{Outline: m.Outline(f.Outline), Bevels: f.Bevels}
	for _, h := range f.Holes {
		out.Holes = append(out.Holes, m.Outline(h))
	}
	for _, l := range f.Lines {
		out.Lines = append(out.Lines, m.Path(l))
	}
	for _, p := range f.Marks {
		out.Marks = append(out.Marks, m.Apply(p))
	}
	slices.Reverse(out.Holes)
	slices.Reverse(out.Marks)
	out.Lines[0] = out.Lines[0].Reversed()
	return out
}

// split cuts every line and arc in two and begins elsewhere; bevels stay with their pieces.
func (f Figure) split(rng *rand.Rand) Figure {
	out := f
	list, edge := f.Outline.curves()
	var pieces []curve
	var bevels []float64
	for i, c := range list {
		if c.Kind == Cubic {
			pieces, bevels = append(pieces, c), append(bevels, f.bevel(edge[i]))
			continue
		}
		a, b := c.split(0.2 + 0.6*rng.Float64())
		pieces, bevels = append(pieces, a, b), append(bevels, f.bevel(edge[i]), f.bevel(edge[i]))
	}
	k := rng.IntN(len(pieces))
	pieces, bevels = append(pieces[k:], pieces[:k]...), append(bevels[k:], bevels[:k]...)
	out.Outline, out.Bevels = Outline{Start: pieces[0].from}, bevels
	for i, c := range pieces {
		out.Outline.Edges = append(out.Outline.Edges, Edge{Name: numbered(len(pieces))[i], Segs: []Seg{c.Seg}})
	}
	return out
}

func TestAMovedFigureIsCongruentHoweverItIsSplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	for range 100 {
		f := randomFigure(rng)
		m := Motion{Angle: rng.Float64() * 6, Shift: r2.Vec{X: rng.NormFloat64() * 100, Y: rng.NormFloat64() * 100}}
		g := f.moved(m).split(rng)
		for _, ways := range [][2]Figure{{f, g}, {f.split(rng), g}} {
			got, ok := Congruent(ways[0], ways[1], 0.01)
			if !ok {
				t.Fatalf("%s is not found again as %s", f.Outline, g.Outline)
			}
			nearPoint(t, "a mark under the motion", got.Apply(f.Marks[0]), m.Apply(f.Marks[0]), 1e-6)
		}
		if !MirrorImages(f.Mirror(), g, 0.01) {
			t.Fatalf("%s is no mirror image of its mirror image", f.Outline)
		}
		if _, ok := Congruent(f.Mirror(), g, 0.01); ok || SelfMirrored(f, 0.01) {
			t.Fatalf("%s passes for its own mirror image", f.Outline)
		}
		if g.Bevels[0] += 1e-3; !(g.Bevels[0] == 0) {
			if _, ok := Congruent(f, g, 0.01); ok {
				t.Fatal("another bevel is not seen")
			}
		}
	}
}

func TestAPartAndItsReflectionMakeASelfMirroredFigure(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	for range 50 {
		h := 40 + 20*rng.Float64()
		half := []r2.Vec{{X: 50, Y: -h}, {X: 40 + 20*rng.Float64(), Y: 0}, {X: 10 + 20*rng.Float64(), Y: h}}
		pts := slices.Clone(half)
		for _, p := range slices.Backward(half) {
			pts = append(pts, r2.Vec{X: -p.X, Y: p.Y})
		}
		bevel := rng.Float64()
		f := Figure{Outline: must(Polygon(pts)), Bevels: []float64{bevel, 0.2, 0, 0.2, bevel, 0.5}}
		m := Motion{Angle: rng.Float64() * 6, Shift: r2.Vec{X: 30}}
		f.Outline = m.Outline(f.Outline)
		if !SelfMirrored(f, 0.01) {
			t.Fatalf("%s is its own mirror image", f.Outline)
		}
		f.Bevels = []float64{bevel, 0.2, 0, 0.3, bevel, 0.5}
		if SelfMirrored(f, 0.01) {
			t.Fatal("uneven bevels are not seen")
		}
	}
}

func TestSymmetryIsFoundByGeometry(t *testing.T) {
	circle, rect := must(Circle(100)), must(Rect(100, 40))
	turned := circle
	turned.Start = r2.Vec{Y: 50}
	turned.Edges = []Edge{{Name: "a", Segs: []Seg{{Kind: Arc, End: r2.Vec{X: -50}, Bulge: math.Tan(math.Pi / 8)}}},
		{Name: "b", Segs: []Seg{{Kind: Arc, End: r2.Vec{Y: 50}, Bulge: math.Tan(3 * math.Pi / 8)}}}}
	at := func(x, y float64) []r2.Vec { return []r2.Vec{{X: x, Y: y}} }
	hole := func(x, y float64) Outline { return must(Circle(6)).Translate(r2.Vec{X: x, Y: y}) }
	parallelogram := must(Polygon([]r2.Vec{{}, {X: 60}, {X: 80, Y: 30}, {X: 20, Y: 30}}))
	rows := []struct {
		name string
		f    Figure
		want bool
	}{
		{"a circle", Figure{Outline: circle}, true},
		{"a circle split unevenly", Figure{Outline: turned}, true},
		{"a circle split unevenly, with one bevel", Figure{Outline: turned, Bevels: []float64{0.5, 0.5}}, true},
		{"a circle with two bevels is symmetric about the middle of an arc", Figure{Outline: turned, Bevels: []float64{0.5, 0}}, true},
		{"a circle with a mark", Figure{Outline: circle, Marks: at(20, 7)}, true},
		{"a circle with two marks at different distances and no common line", Figure{Outline: circle, Marks: []r2.Vec{{X: 20}, {X: 3, Y: 30}}}, false},
		{"a circle with a hole in the middle and a mark", Figure{Outline: circle, Holes: []Outline{must(Regular(5, 10))}, Marks: at(0, -30)}, true},
		{"a circle with a five-sided hole and a mark beside its axes", Figure{Outline: circle, Holes: []Outline{must(Regular(5, 10))}, Marks: at(3, -30)}, false},
		{"a rectangle", Figure{Outline: rect}, true},
		{"a rectangle with a hole on its axis", Figure{Outline: rect, Holes: []Outline{hole(20, 20)}}, true},
		{"a rectangle with a hole in a corner", Figure{Outline: rect, Holes: []Outline{hole(20, 10)}}, false},
		{"a rectangle with opposite bevels alike", Figure{Outline: rect, Bevels: []float64{0.1, 0.2, 0.1, 0.2}}, true},
		{"a rectangle with three bevels alike", Figure{Outline: rect, Bevels: []float64{0.1, 0.2, 0.3, 0.2}}, true},
		{"a rectangle with two neighbouring bevels", Figure{Outline: rect, Bevels: []float64{0.1, 0.2, 0, 0}}, false},
		{"a square with two neighbouring bevels alike, about its diagonal", Figure{Outline: must(Rect(40, 40)), Bevels: []float64{0.2, 0.2, 0, 0}}, true},
		{"a parallelogram turns onto itself but does not mirror", Figure{Outline: parallelogram}, false},
		{"a slanted line across a rectangle", Figure{Outline: rect, Lines: []Path{mustPath(MoveTo(r2.Vec{X: 10, Y: 10}).LineTo(r2.Vec{X: 90, Y: 30}))}}, false},
		{"a line along the axis of a rectangle", Figure{Outline: rect, Lines: []Path{mustPath(MoveTo(r2.Vec{X: 10, Y: 20}).LineTo(r2.Vec{X: 30, Y: 20}))}}, true},
		{"a trapezoid", Figure{Outline: must(Trapezoid(155, 145, 90, 0))}, true},
		{"a shifted trapezoid", Figure{Outline: must(Trapezoid(155, 145, 90, 3))}, false},
		{"a stadium", Figure{Outline: stadium()}, true},
		{"a ring sector", Figure{Outline: must(Sector(80, 40, 4))}, true},
		{"a polygon of a thousand sides", Figure{Outline: must(Regular(1000, 300))}, true},
		{"a cubic bow that leans", Figure{Outline: leaf()}, false},
	}
	for _, row := range rows {
		if got := SelfMirrored(row.f, 0.01); got != row.want {
			t.Errorf("%s: %v", row.name, got)
		}
		m := Motion{Mirror: true, Angle: 0.7, Shift: r2.Vec{X: 12, Y: -40}}
		if n := len(row.f.Lines) + len(row.f.Marks) + len(row.f.Holes); n == 0 && row.f.Bevels == nil {
			if got := SelfMirrored(Figure{Outline: m.Outline(row.f.Outline)}, 0.01); got != row.want {
				t.Errorf("%s, moved and mirrored: %v", row.name, got)
			}
		}
	}
}

func TestCongruenceIsDecidedAtTheTolerance(t *testing.T) {
	a, b := Figure{Outline: must(Rect(100, 40))}, Figure{Outline: must(Rect(100.2, 40))}
	if _, ok := Congruent(a, b, 0.01); ok {
		t.Error("0.2 mm pass at 0.01 mm")
	}
	if _, ok := Congruent(a, b, 0.2); !ok {
		t.Error("0.2 mm do not pass at 0.2 mm")
	}
	if _, ok := Congruent(a, Figure{Outline: a.Outline, Marks: make([]r2.Vec, 1)}, 1); ok {
		t.Error("a missing mark passes")
	}
	if _, ok := Congruent(Figure{}, Figure{}, 1); ok {
		t.Error("nothing is congruent to nothing")
	}
}

func TestLongOutlinesAreComparedInTime(t *testing.T) {
	pts := make([]r2.Vec, 50_000)
	for i := range pts {
		s, c := math.Sincos(float64(i) * 2 * math.Pi / float64(len(pts)))
		pts[i] = r2.Vec{X: 500 * c, Y: 500 * s}
	}
	o := must(Polygon(pts))
	if !SelfMirrored(Figure{Outline: o}, 0.001) {
		t.Error("a polygon like a circle is its own mirror image")
	}
	if SelfMirrored(Figure{Outline: o, Marks: []r2.Vec{{X: 20}, {X: 3, Y: 30}}}, 0.001) {
		t.Error("marks without a common line are not seen")
	}
}
