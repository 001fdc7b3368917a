package roll

import (
	"math"
	"math/rand/v2"
	"testing"

	"bevelbook/calc/shape"
)

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.12g, not %.12g", what, got, want)
	}
}

// edge is the length of a named edge.
func edge(t testing.TB, o shape.Outline, name string) float64 {
	t.Helper()
	i := o.EdgeIndex(name)
	if i < 0 {
		t.Fatalf("no edge %s among %v", name, o.EdgeNames())
	}
	return o.EdgeLengths()[i]
}

func must(t testing.TB) func(shape.Outline, error) shape.Outline {
	return func(o shape.Outline, err error) shape.Outline {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
}

// Parallel-line development of sheet-metal handbooks: the cut of a two-piece 90° elbow (45° from
// square) unrolls to y = r·cos θ over x = r·θ. Every point of the flat cut is held against it.
func TestACutUnrollsToACosine(t *testing.T) {
	for _, r := range []float64{0.5, 50, 5000} {
		o := must(t)(Tube{Radius: r, Length: 3 * r, Top: math.Pi / 4}.Flat(0, 2*math.Pi))
		top := o.EdgePath(o.EdgeIndex("top"))
		for _, p := range top.Flatten(0.01) {
			near(t, "height", p.Y, 3*r-r*math.Cos(p.X/r), Tolerance+1e-9*r)
		}
		near(t, "bottom", edge(t, o, "bottom"), 2*math.Pi*r, 1e-9*r)
	}
}

// The area of a tube cut at any angles is circumference times axis (theorem of Pappus), for the
// cosines of both cuts cancel over a whole turn. The same in any number of pieces.
func TestTubesKeepTheirArea(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		c := Tube{Radius: 1 + 500*rng.Float64(), Bottom: 2.6*rng.Float64() - 1.3, Top: 2.6*rng.Float64() - 1.3}
		c.Length = 1 + c.Radius*(math.Abs(math.Tan(c.Bottom))+math.Abs(math.Tan(c.Top)))
		from, n := 7*rng.Float64(), 1+rng.IntN(6)
		area, rim := 0.0, 0.0
		var before float64
		for i := range n {
			step := 2 * math.Pi / float64(n)
			o := must(t)(c.Flat(from+step*float64(i), from+step*float64(i+1)))
			area += o.Area()
			rim += edge(t, o, "top")
			if i > 0 {
				near(t, "seam", edge(t, o, "start"), before, 1e-9*c.Length)
			}
			before = edge(t, o, "end")
		}
		want := 2 * math.Pi * c.Radius * c.Length
		near(t, "area", area, want, 1e-9*want+2*Tolerance*rim)
		near(t, "rim", rim, ellipse(c.Radius, c.Radius/math.Cos(c.Top)), 2*Tolerance+1e-9*rim)
	}
}

// ellipse is the perimeter of an ellipse by its integral, as the trapezoid rule gives it: for a periodic
// function it is exact to the last digits. A plane cuts a round tube in an ellipse.
func ellipse(a, b float64) float64 {
	const n = 20000
	sum := 0.0
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		sum += math.Hypot(a*s, b*c)
	}
	return sum * 2 * math.Pi / n
}

func TestImpossibleTubesAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []Tube{
		{}, {Radius: 10}, {Length: 10}, {Radius: nan, Length: 10}, {Radius: 10, Length: nan}, {Radius: inf, Length: 10},
		{Radius: 10, Length: -1}, {Radius: 10, Length: 10, Top: math.Pi / 4, Bottom: math.Pi / 4}, {Radius: 10, Length: 10, Top: nan},
		{Radius: 10, Length: 10, Top: math.Pi / 2}, {Radius: 10, Length: 10, Bottom: -2}, {Radius: 1e-300, Length: 1},
	} {
		if o, err := c.Flat(0, 2*math.Pi); err == nil {
			t.Errorf("%+v unrolls to %v", c, o)
		}
	}
	good := Tube{Radius: 10, Length: 10}
	for _, turn := range []float64{0, -1, 7, nan, inf} {
		if _, err := good.Flat(0, turn); err == nil {
			t.Errorf("a turn of %v is developed", turn)
		}
	}
}

// A tab adds its strip less the two corners, and leaves the line where it was.
func TestATabIsAStripWithoutCorners(t *testing.T) {
	o := must(t)(Tube{Radius: 50, Length: 200}.Flat(0, 2*math.Pi))
	wide, fold, err := Tab(o, "end", 12)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", wide.Area()-o.Area(), 200*12-12*12, 1e-9)
	near(t, "line", fold.Length(), 200, 1e-9)
	near(t, "width", wide.Bounds().Size().X, 2*math.Pi*50+12, 1e-9)
	for _, width := range []float64{0, -3, math.NaN(), math.Inf(1)} {
		if _, _, err := Tab(o, "end", width); err == nil {
			t.Errorf("a tab of %v is made", width)
		}
	}
	if _, _, err := Tab(o, "rim", 5); err == nil {
		t.Error("an edge that is none gets a tab")
	}
}
