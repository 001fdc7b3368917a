package shape

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// randomConvex has its corners on an ellipse, so that it is convex.
func randomConvex(rng *rand.Rand) Outline {
	n := 3 + rng.IntN(7)
	angles := make([]float64, n)
	for i := range angles {
		angles[i] = (float64(i) + 0.8*rng.Float64()) * 2 * math.Pi / float64(n)
	}
	var pts []r2.Vec
	for _, a := range angles {
		pts = append(pts, r2.Vec{X: 120 * math.Cos(a), Y: 80 * math.Sin(a)})
	}
	return must(Polygon(pts))
}

func equal(d float64, n int) []float64 {
	run := make([]float64, n)
	for i := range run {
		run[i] = d
	}
	return run
}

// A convex polygon moved outwards by r with sharp corners has the area A + r·P + r²·Σ tan(εᵢ/2), εᵢ
// being the turn at each corner (Steiner's formula with mitres in place of round corners; from memory).
func TestOffsetAreaFollowsSteinersFormulaWithMitres(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		o := randomConvex(rng)
		list, _ := o.curves()
		perimeter, mitres := 0.0, 0.0
		for i, c := range list {
			next := list[(i+1)%len(list)]
			perimeter += c.length()
			turn := math.Atan2(r2.Cross(c.chord(), next.chord()), r2.Dot(c.chord(), next.chord()))
			mitres += math.Tan(turn / 2)
		}
		for _, r := range []float64{3, 0.5, -2} {
			out, err := o.Offset(r)
			if err != nil {
				continue // inwards a short edge may vanish; outwards it must not
			}
			near(t, "area", out.Area(), o.Area()+r*perimeter+r*r*mitres, 1e-8*o.Area())
		}
		if _, err := o.Offset(3); err != nil {
			t.Errorf("outwards: %v", err)
		}
	}
}

func TestBackOutlineOfBevelledPanels(t *testing.T) {
	slope := math.Sqrt(90*90 + 5*5) // of the trapezoid's sides
	rows := []struct {
		name string
		o    Outline
		run  []float64
		want string
	}{
		{"a rectangle, one run for each edge", must(Rect(100, 50)), []float64{1, 2, 3, 4}, "M4 1 L98 1 L98 47 L4 47 Z"},
		{"a hollow corner makes the back larger", must(Rect(100, 50)), []float64{0, -7, 0, 0}, "M0 0 L107 0 L107 50 L0 50 Z"},
		{"a trapezoid, bevels on its sides", must(Trapezoid(155, 145, 90, 0)), []float64{0, 90 * 7 / slope, 0, 90 * 7 / slope},
			"M7 0 L148 0 L143 90 L12 90 Z"},
		{"a circle stays a circle", must(Circle(100)), []float64{10}, "M40 0 A40 40 0 0 1 -40 0 A40 40 0 0 1 40 0 Z"},
		{"a ring sector keeps its centre", must(Sector(80, 40, math.Pi/2)), []float64{5, 0, 5, 0},
			"M75 0 A75 75 0 0 1 0 75 L0 45 A45 45 0 0 0 45 0 Z"},
		{"a sector whose straight edges move meets its arcs further round", must(Sector(50, 0, math.Pi/2)), []float64{0, 30, 14},
			"M48 14 A50 50 0 0 1 30 40 L30 14 Z"},
		{"a round end between straight edges with one run", stadium(), equal(10, 4), "M50 10 L150 10 A40 40 0 0 1 150 90 L50 90 A40 40 0 0 1 50 10 Z"},
	}
	for _, row := range rows {
		out, err := row.o.OffsetEdges(row.run)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		if out.String() != row.want {
			t.Errorf("%s is %s, want %s", row.name, out, row.want)
		}
		if !slices.Equal(out.EdgeNames(), row.o.EdgeNames()) {
			t.Errorf("%s has edges %v", row.name, out.EdgeNames())
		}
	}
}

func stadium() Outline {
	pen := MoveTo(r2.Vec{X: 50}).LineTo(r2.Vec{X: 150}).ArcTo(r2.Vec{X: 150, Y: 100}, 1).LineTo(r2.Vec{X: 50, Y: 100}).ArcTo(r2.Vec{X: 50}, 1)
	return must(FromPath(mustPath(pen), []string{"foot", "right", "head", "left"}))
}

func TestBevelsThatMeetAreNamedWithTheFraction(t *testing.T) {
	notch := must(Polygon([]r2.Vec{{}, {X: 100}, {X: 100, Y: 50}, {X: 60, Y: 50}, {X: 50, Y: 10}, {X: 40, Y: 50}, {Y: 50}}))
	rows := []struct {
		name string
		o    Outline
		run  []float64
		a, b string
		at   float64
	}{
		{"a low rectangle: half the height from each side", must(Rect(100, 10)), equal(20, 4), "top", "bottom", 0.25},
		{"one side alone reaches the other", must(Rect(100, 10)), []float64{16, 0, 0, 0}, "bottom", "top", 0.625},
		{"the sides of a trapezoid meet at its short edge", must(Trapezoid(100, 20, 100, 0)), []float64{0, 20, 0, 20}, "right", "left",
			10 * 100 / math.Hypot(100, 40) / 20},
		{"a circle closes up", must(Circle(60)), []float64{40}, "rim", "rim", 0.75},
		{"a bevel reaches the corner of a notch", notch, []float64{20, 0, 0, 0, 0, 0, 0}, "e1", "e4", 0.5},
		{"a round end is smaller than the run", stadium(), equal(80, 4), "head", "foot", 0.625},
	}
	for _, row := range rows {
		_, err := row.o.OffsetEdges(row.run)
		var hit *Collision
		if !errors.As(err, &hit) {
			t.Errorf("%s: got %v", row.name, err)
			continue
		}
		got, want := hit.Edges, [2]string{row.a, row.b}
		if slices.Sort(got[:]); got[0] != min(want[0], want[1]) || got[1] != max(want[0], want[1]) {
			t.Errorf("%s: met %v, want %v", row.name, hit.Edges, want)
		}
		near(t, row.name+": fraction", hit.Fraction, row.at, 1e-4)
	}
}

func TestCollisionsAndSmoothJointsAreSentences(t *testing.T) {
	_, err := stadium().OffsetEdges([]float64{3, 3, 3, 2})
	rows := []struct{ got, want string }{
		{(&Collision{Edges: [2]string{"left", "right"}, Fraction: 0.6289}).Error(), "bevels on left and right meet at 62% of the thickness"},
		{(&Collision{Edges: [2]string{"rim", "rim"}, Fraction: 0.5}).Error(), "the bevel on rim closes up at 50% of the thickness"},
		{err.Error(), "the edges left and foot meet without a corner, so they need the same bevel"},
	}
	rows = append(rows, struct{ got, want string }{(&Collision{Edges: [2]string{"left", "right"}, Fraction: 0.051, Apart: true}).Error(),
		"bevels on left and right, neighbours almost in line, no longer meet at 5% of the thickness"})
	_, err = must(Rect(100, 10)).Offset(-7)
	rows = append(rows, struct{ got, want string }{err.Error(), "an offset of -7 mm is too much: the edges bottom and top meet at -5 mm"})
	_, err = must(Rect(100, 10)).OffsetEdges([]float64{math.NaN(), 0, 0, 0})
	rows = append(rows, struct{ got, want string }{err.Error(), "the run of edge bottom is not a number"})
	for _, row := range rows {
		if row.got != row.want {
			t.Errorf("got %q, want %q", row.got, row.want)
		}
	}
}

// leaf has a straight foot and a bow of one cubic.
func leaf() Outline {
	return must(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 120}).CurveTo(r2.Vec{X: 110, Y: 90}, r2.Vec{X: 20, Y: 120}, r2.Vec{})),
		[]string{"foot", "bow"}))
}

func TestCubicEdgesFollowTheirParallelWithinAHundredth(t *testing.T) {
	for _, run := range []float64{4, 12, -4, -15} {
		for _, runs := range [][]float64{{0, run}, {run, run}, {5, run}} {
			out, err := leaf().OffsetEdges(runs)
			if err != nil {
				t.Errorf("run %v: %v", runs, err)
				continue
			}
			bow := out.EdgePath(1)
			old := leaf().EdgePath(1).Flatten(1e-5)
			list := bow.curves()
			for _, c := range list {
				if c.Kind != Cubic {
					continue // the straight end along the tangent
				}
				for k := range 9 {
					p, best := c.at(float64(k)/8), math.Inf(1)
					for i := range old[1:] {
						best = math.Min(best, toChord(old[i], old[i+1], p))
					}
					if math.Abs(best-math.Abs(run)) > 0.01 {
						t.Fatalf("run %v: a point lies %.4f from the old edge", runs, best)
					}
				}
			}
			near(t, "the foot's height", out.Start.Y, runs[0], 1e-9)
			nearPoint(t, "the bow's end", list[len(list)-1].End, out.Start, 1e-9)
		}
	}
}

func TestACubicThatBendsTighterThanItsRunClosesUp(t *testing.T) {
	o := must(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 40}).CurveTo(r2.Vec{X: 35, Y: 120}, r2.Vec{X: 5, Y: 120}, r2.Vec{})), nil))
	tight := math.Inf(1)
	c := o.EdgePath(1).curves()[0]
	for k := range 1001 {
		tight = math.Min(tight, 1/c.bend(float64(k)/1000))
	}
	_, err := o.OffsetEdges([]float64{0, 16})
	var hit *Collision
	if !errors.As(err, &hit) {
		t.Fatalf("got %v", err)
	}
	near(t, "fraction by the tightest bend", hit.Fraction, tight/16, 1e-3)
}

func TestOffsetThereAndBackIsTheSameOutline(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	shapes := []Outline{stadium(), must(Sector(80, 40, 2)), must(Sector(80, 40, 5)), must(Circle(30))}
	for range 50 {
		shapes = append(shapes, randomConvex(rng))
	}
	for _, o := range shapes {
		out, err := o.Offset(2.5)
		if err != nil {
			t.Errorf("%s: %v", o, err)
			continue
		}
		back, err := out.Offset(-2.5)
		if err != nil {
			t.Errorf("%s: %v", o, err)
			continue
		}
		near(t, "area", back.Area(), o.Area(), 1e-8*o.Area())
		for i, c := range back.Corners() {
			nearPoint(t, fmt.Sprint("corner ", i), c, o.Corners()[i], 1e-7)
		}
	}
}

// A chain of cubics and lines around an ellipse whose joints are smooth but for a slip of the hand, as
// in a traced outline: it moves like a smooth one, A ± P·d + π·d² (Steiner's formula; from memory).
func TestJointsThatAreNearlySmoothMoveLikeSmoothOnes(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 30))
	for range 200 {
		n, slip := 4+rng.IntN(5), math.Pow(10, -5+4*rng.Float64())
		at := func(i int) (r2.Vec, r2.Vec) {
			s, c := math.Sincos(float64(i) * 2 * math.Pi / float64(n))
			return r2.Vec{X: 100 * c, Y: 60 * s}, r2.Scale(4.0/3*math.Tan(math.Pi/2/float64(n)), r2.Vec{X: -100 * s, Y: 60 * c})
		}
		first, _ := at(0)
		pen := MoveTo(first)
		for i := range n {
			a, da := at(i)
			b, db := at((i + 1) % n)
			pen.CurveTo(r2.Add(a, turned(da, slip*rng.NormFloat64())), r2.Sub(b, turned(db, slip*rng.NormFloat64())), b)
		}
		o := must(FromPath(mustPath(pen), nil))
		for _, d := range []float64{5, -5, 0.5, -0.5} {
			out, err := o.Offset(d)
			if err != nil {
				t.Fatalf("%s by %g: %v", o, d, err)
			}
			want := o.Area() + d*o.Path().Length() + math.Pi*d*d
			near(t, fmt.Sprintf("area with slips of %.3g", slip), out.Area(), want, 0.01*o.Path().Length()+float64(n)*slip*d*d)
		}
	}
}

func TestRandomOutlinesMoveBothWays(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	for range 150 {
		o := randomFigure(rng).Outline
		for _, d := range []float64{1, -1} {
			out, err := o.Offset(d)
			if err != nil {
				t.Fatalf("%s by %g: %v", o, d, err)
			}
			if (out.Area() > o.Area()) != (d > 0) {
				t.Fatalf("%s by %g has the area %g", o, d, out.Area())
			}
		}
	}
}
