package shape

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

func nearPoint(t *testing.T, what string, got, want r2.Vec, tol float64) {
	t.Helper()
	if !(dist(got, want) <= tol) {
		t.Errorf("%s = %v, want %v ± %g", what, got, want, tol)
	}
}

// must is for outlines that the tests build from good numbers.
func must(o Outline, err error) Outline {
	if err != nil {
		panic(err)
	}
	return o
}

func mustPath(n *Pen) Path {
	p, err := n.Path()
	if err != nil {
		panic(err)
	}
	return p
}

// Formulas of plane figures as in Machinery's Handbook, "Areas and Dimensions of Plane Figures", and
// CRC Standard Mathematical Tables, "Mensuration formulas" (from memory).
func TestPlaneFiguresHaveTheAreaAndBalancePointOfTheHandbook(t *testing.T) {
	const sweep = 2.0
	rows := []struct {
		name     string
		o        Outline
		area     float64
		centroid r2.Vec
	}{
		{"rectangle", must(Rect(30, 20)), 600, r2.Vec{X: 15, Y: 10}},
		{"trapezoid (a+b)h/2, centroid h(a+2b)/3(a+b)", must(Trapezoid(155, 145, 90, 0)), (155 + 145) / 2.0 * 90,
			r2.Vec{X: 77.5, Y: 90 * (155 + 2*145) / 3.0 / (155 + 145)}},
		{"hexagon 3√3/2·s²", must(Regular(6, CircumradiusFromSide(6, 40))), 1.5 * math.Sqrt(3) * 1600, r2.Vec{}},
		{"pentagon 1.720477·s²", must(Regular(5, CircumradiusFromSide(5, 1))), 1.7204774005889671, r2.Vec{}},
		{"octagon 0.828427·F²", must(Regular(8, FromAcrossFlats(8, 100))), 8284.2712474619, r2.Vec{}},
		{"circle π·d²/4", must(Circle(50)), math.Pi * 625, r2.Vec{}},
		{"sector r²θ/2, centroid 2r·sin(θ/2)/(3·θ/2)", must(Sector(80, 0, sweep)), 80 * 80 * sweep / 2,
			r2.Scale(2*80*math.Sin(sweep/2)/(3*sweep/2), r2.Vec{X: math.Cos(sweep / 2), Y: math.Sin(sweep / 2)})},
		{"ring sector (R²−r²)θ/2", must(Sector(80, 30, 5)), (80*80 - 30*30) * 5 / 2.0,
			r2.Scale(2*(80*80*80-30*30*30)*math.Sin(2.5)/(3*2.5*(80*80-30*30)), r2.Vec{X: math.Cos(2.5), Y: math.Sin(2.5)})},
		{"half disc, centroid 4r/3π", must(FromPath(mustPath(MoveTo(r2.Vec{X: -10}).LineTo(r2.Vec{X: 10}).ArcTo(r2.Vec{X: -10}, 1)), nil)),
			math.Pi * 50, r2.Vec{Y: 40 / (3 * math.Pi)}},
		{"parabolic segment 2/3·chord·rise, centroid 2/5 of the rise", must(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 90}).
			CurveTo(r2.Vec{X: 60, Y: 40}, r2.Vec{X: 30, Y: 40}, r2.Vec{})), nil)), 2.0 / 3 * 90 * 30, r2.Vec{X: 45, Y: 12}},
	}
	for _, row := range rows {
		near(t, row.name+": area", row.o.Area(), row.area, 1e-9*row.area)
		nearPoint(t, row.name+": centroid", row.o.Centroid(), row.centroid, 1e-9*100)
	}
}

func TestShallowArcsBalanceLikeTheFormulaForDeepOnes(t *testing.T) {
	for _, sweep := range []float64{shallowArc * 1.0001, shallowArc * 0.9999} {
		o := must(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 100}).ArcTo(r2.Vec{}, math.Tan(sweep/4))), nil))
		// Circular segment, CRC tables (from memory): area r²(θ−sin θ)/2; its rise r(1−cos(θ/2)).
		rise := 100 * math.Tan(sweep/4) / 2
		near(t, "centroid over rise", o.Centroid().Y/rise, 0.4, 1e-5)
		near(t, "area over that of the parabola", o.Area()/(200*rise/3), 1, 1e-5)
	}
}

func TestLengthsOfCurves(t *testing.T) {
	arc := mustPath(MoveTo(r2.Vec{X: 5}).ArcThrough(r2.Vec{Y: -5}, r2.Vec{Y: 5}))
	near(t, "three quarters of a circle", arc.Length(), 1.5*math.Pi*5, 1e-12)
	// A parabola's arc, half chord b and rise a: ½√(b²+16a²) + b²/(8a)·ln((4a+√(b²+16a²))/b) with b
	// the whole chord (CRC Standard Mathematical Tables; from memory).
	a, b := 30.0, 90.0
	s := math.Sqrt(b*b + 16*a*a)
	parabola := mustPath(MoveTo(r2.Vec{}).CurveTo(r2.Vec{X: 30, Y: 40}, r2.Vec{X: 60, Y: 40}, r2.Vec{X: 90}))
	near(t, "parabola", parabola.Length(), s/2+b*b/(8*a)*math.Log((4*a+s)/b), 1e-7)
	cusp := mustPath(MoveTo(r2.Vec{}).CurveTo(r2.Vec{X: 90, Y: 60}, r2.Vec{X: 0, Y: 60}, r2.Vec{X: 90}))
	sum := 0.0
	pts := cusp.Flatten(1e-7)
	for i := range pts[1:] {
		sum += dist(pts[i], pts[i+1])
	}
	near(t, "a curve with a near cusp against its chords", cusp.Length(), sum, 1e-6)
}

func TestBoundsHoldTheWholeCurveAndNoMore(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		p := randomPath(rng, 4)
		box, pts := p.Bounds(), p.Flatten(1e-3)
		got := boxOf(pts[0], pts[0])
		for _, q := range pts {
			got = grow(got, q)
		}
		nearPoint(t, "least corner", got.Min, box.Min, 2e-3)
		nearPoint(t, "greatest corner", got.Max, box.Max, 2e-3)
	}
}

// randomPath has lines, arcs and cubics within a hundred millimetres.
func randomPath(rng *rand.Rand, n int) Path {
	spot := func() r2.Vec { return r2.Vec{X: rng.Float64()*200 - 100, Y: rng.Float64()*200 - 100} }
	pen := MoveTo(spot())
	for range n {
		switch rng.IntN(3) {
		case 0:
			pen.LineTo(spot())
		case 1:
			pen.ArcTo(spot(), rng.NormFloat64())
		default:
			pen.CurveTo(spot(), spot(), spot())
		}
	}
	return mustPath(pen)
}

func TestFlattenedCurvesStayWithinTheTolerance(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 100 {
		p := randomPath(rng, 1)
		c := p.curves()[0]
		const tol = 0.05
		pts := p.Flatten(tol)
		for k := range 200 {
			q := c.at(float64(k) / 199)
			best := math.Inf(1)
			for i := range pts[1:] {
				best = math.Min(best, toChord(pts[i], pts[i+1], q))
			}
			if best > tol*1.0001 {
				t.Fatalf("%s strays %g from its chords", p, best)
			}
		}
	}
}

// toChord is the distance of p from the segment ab, worked here apart from the package's own.
func toChord(a, b, p r2.Vec) float64 {
	d := r2.Sub(b, a)
	t := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/math.Max(r2.Norm2(d), 1e-300)))
	return dist(p, r2.Add(a, r2.Scale(t, d)))
}

func TestFlattenIsBounded(t *testing.T) {
	for _, tol := range []float64{0, -1, math.NaN(), math.Inf(1), 1e-300} {
		if n := len(must(Circle(1e6)).Flatten(tol)); n < 3 || n > maxPoints {
			t.Errorf("Flatten(%g) of a huge circle has %d points", tol, n)
		}
	}
}

func TestAnEdgeStartsWhereTheOneBeforeItEnds(t *testing.T) {
	o := must(Regular(5, FromAcrossCorners(5, 100)))
	o.Edges = slices.Insert(o.Edges, 2, Edge{Name: "nothing"})
	for i, c := range o.Corners() {
		if got := o.EdgePath(i); got.Start != c || !slices.Equal(got.Segs, o.Edges[i].Segs) {
			t.Errorf("edge %d starts at %v, its corner is %v", i, got.Start, c)
		}
	}
}
