package draw

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

func arc(from, to r2.Vec, bulge float64) Stroke {
	return Stroke{Path: shape.Path{Start: from, Segs: []shape.Seg{{Kind: shape.Arc, End: to, Bulge: bulge}}}}
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

func TestExtentOfAnArcHoldsItsFarthestPoints(t *testing.T) {
	// Geometry: a half circle of radius 5 over the top, its mirror below, and a quarter with no farthest point inside.
	for _, c := range []struct {
		name string
		s    Stroke
		want r2.Box
	}{
		{"half circle above", arc(r2.Vec{X: 5}, r2.Vec{X: -5}, 1), r2.Box{Min: r2.Vec{X: -5}, Max: r2.Vec{X: 5, Y: 5}}},
		{"half circle below", arc(r2.Vec{X: 5}, r2.Vec{X: -5}, -1), r2.Box{Min: r2.Vec{X: -5, Y: -5}, Max: r2.Vec{X: 5}}},
		{"quarter circle", arc(r2.Vec{X: 5}, r2.Vec{Y: 5}, math.Tan(math.Pi/8)), r2.Box{Max: r2.Vec{X: 5, Y: 5}}},
	} {
		got := Extent(c.s, 0)
		if !near(got.Min.X, c.want.Min.X) || !near(got.Min.Y, c.want.Min.Y) || !near(got.Max.X, c.want.Max.X) || !near(got.Max.Y, c.want.Max.Y) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestBeziersOfAnArcStayWithinAThousandthOfAMillimetre(t *testing.T) {
	const r = 2000.0 // a ring as large as a costume gets
	for _, sweep := range []float64{0.1, math.Pi / 2, math.Pi, -math.Pi, 6} {
		from := r2.Vec{X: r}
		to := r2.Vec{X: r * math.Cos(sweep), Y: r * math.Sin(sweep)}
		worst := 0.0
		for _, p := range Beziers(from, shape.Seg{Kind: shape.Arc, End: to, Bulge: math.Tan(sweep / 4)}).points(nil, 40) {
			worst = math.Max(worst, math.Abs(math.Hypot(p.X, p.Y)-r))
		}
		if worst > 0.001 {
			t.Errorf("sweep %v: off the circle by %v mm", sweep, worst)
		}
	}
}

func TestLetteringNeverStandsOnItsHead(t *testing.T) {
	for deg := -720.0; deg <= 720; deg += 7.5 {
		a := Upright(deg * math.Pi / 180)
		if math.Cos(a) < -1e-9 {
			t.Errorf("%v° is written at %v°", deg, a*180/math.Pi)
		}
		if d := math.Mod(a-deg*math.Pi/180, math.Pi); math.Abs(math.Sin(d)) > 1e-9 {
			t.Errorf("%v° is not along its line: %v°", deg, a*180/math.Pi)
		}
	}
	_, l := Dimension{A: r2.Vec{X: 100}, B: r2.Vec{}, Off: 10, Text: "100 mm"}.Drawn(4)
	if l.Angle != 0 {
		t.Errorf("a dimension from right to left reads at %v", l.Angle)
	}
}

func TestFitShowsEverythingAndReads(t *testing.T) {
	for _, text := range []string{"5", "a label of some length", "words that are far too long to be drawn beside any panel"} {
		var d Drawing
		d.Add(
			Stroke{Role: Cut, Path: shape.Path{Segs: []shape.Seg{{End: r2.Vec{X: 200, Y: 100}}}}},
			Label{At: r2.Vec{X: 200, Y: 50}, Anchor: Start, Text: text},
			Dimension{B: r2.Vec{X: 200}, Off: -5, Text: "200 mm"})
		Fit(&d, 1)
		if len(text) < 30 && d.Em < 0.98*ReadableEm(d.Box) {
			t.Errorf("%q: lettering of %v in a box of %v", text, d.Em, d.Box)
		}
		for _, it := range d.Items {
			e := Extent(it, d.Em)
			if e.Min.X < d.Box.Min.X || e.Max.X > d.Box.Max.X || e.Min.Y < d.Box.Min.Y || e.Max.Y > d.Box.Max.Y {
				t.Errorf("%q: %T %v lies outside of %v", text, it, e, d.Box)
			}
		}
	}
}

func TestFitOfNothingIsStillABox(t *testing.T) {
	var d Drawing
	d.Add(Label{At: r2.Vec{X: math.NaN()}}, Stroke{})
	Fit(&d, 1)
	if !(d.Box.Max.X > d.Box.Min.X) || !(d.Em > 0) {
		t.Errorf("box %v, em %v", d.Box, d.Em)
	}
}

func TestDimensionsMovePastEachOther(t *testing.T) {
	var d Drawing
	for _, to := range []float64{200, 150, 120} {
		d.Add(Dimension{B: r2.Vec{X: to}, Off: -2, Text: "wide"})
	}
	Fit(&d, 1)
	var boxes [][4]r2.Vec
	for _, it := range d.Items {
		rows := it.(Dimension).rows(d.Em)
		if anyMeets(rows, boxes) {
			t.Errorf("%v runs over another", it)
		}
		boxes = append(boxes, rows[:]...)
	}
}

func TestHatchingFillsTheAreaLessItsHole(t *testing.T) {
	square := func(side float64) shape.Outline {
		return shape.Outline{Start: r2.Vec{X: -side / 2, Y: -side / 2}, Edges: []shape.Edge{{Segs: []shape.Seg{
			{End: r2.Vec{X: side / 2, Y: -side / 2}}, {End: r2.Vec{X: side / 2, Y: side / 2}},
			{End: r2.Vec{X: -side / 2, Y: side / 2}}, {End: r2.Vec{X: -side / 2, Y: -side / 2}}}}}}
	}
	// Cavalieri: the lines' length times their spacing is the area.
	a := Area{Role: Hatch, Outline: square(100), Holes: []shape.Outline{square(40)}, Hatch: 0.7}
	const spacing = 0.5
	sum := 0.0
	for _, l := range a.Hatching(spacing) {
		sum += r2.Norm(r2.Sub(l.B, l.A)) * spacing
	}
	if math.Abs(sum-8400) > 84 {
		t.Errorf("hatched area %v mm², want 8400 within 1 %%", sum)
	}
	if n := len(a.Hatching(1e-9)); n > 3*maxHatch {
		t.Errorf("%d lines", n)
	}
}
