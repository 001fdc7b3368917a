package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// sameOutline holds every number of two outlines against each other.
func sameOutline(t *testing.T, got, want Outline, tol float64) {
	t.Helper()
	a, ea := got.curves()
	b, eb := want.curves()
	if len(a) != len(b) || len(got.Edges) != len(want.Edges) {
		t.Fatalf("%s is not %s", got, want)
	}
	for i := range a {
		if got.Edges[ea[i]].Name != want.Edges[eb[i]].Name || math.Abs(a[i].Bulge-b[i].Bulge) > tol ||
			dist(a[i].from, b[i].from)+dist(a[i].End, b[i].End) > tol ||
			a[i].Kind == Cubic && dist(a[i].C1, b[i].C1)+dist(a[i].C2, b[i].C2) > tol {
			t.Fatalf("segment %d of %s is not that of %s", i, got, want)
		}
	}
}

func TestMotionsKeepAreaLengthsAndNames(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for range 100 {
		o := randomFigure(rng).Outline
		p, dir := r2.Vec{X: rng.NormFloat64() * 50, Y: 7}, r2.Vec{X: rng.NormFloat64(), Y: 1}
		angle := rng.NormFloat64()
		for _, moved := range []Outline{o.Translate(p), o.Rotate(angle, p), o.Mirror(), o.MirrorAcross(p, dir)} {
			near(t, "area", moved.Area(), o.Area(), 1e-8*o.Area())
			was, is := o.EdgeLengths(), moved.EdgeLengths()
			for i, name := range o.EdgeNames() {
				near(t, "length of "+name, is[moved.EdgeIndex(name)], was[i], 1e-7)
			}
			if moved.Edges[0].Name != o.Edges[0].Name {
				t.Fatal("the first edge is not the first")
			}
		}
		near(t, "area at three times the size", o.Scale(3).Area(), 9*o.Area(), 1e-8*o.Area())
		nearPoint(t, "a point on the mirror's line", mirrorMotion(p, dir).Apply(r2.Add(p, r2.Scale(5, dir))), r2.Add(p, r2.Scale(5, dir)), 1e-9)
	}
}

func TestMirroredTwiceIsItself(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 20))
	for range 100 {
		o := randomFigure(rng).Outline
		sameOutline(t, o.Mirror().Mirror(), o, 0)
		p, dir := r2.Vec{X: 3, Y: 4}, r2.Vec{X: 1, Y: rng.NormFloat64()}
		sameOutline(t, o.MirrorAcross(p, dir).MirrorAcross(p, dir), o, 1e-9)
		sameOutline(t, o.Rotate(2, p).Rotate(-2, p), o, 1e-9)
	}
	if c := must(Circle(20)); c.Mirror().Mirror().String() != c.String() {
		t.Error("a circle mirrored twice is another")
	}
}

func TestQuarterTurnsKeepTheirNumbers(t *testing.T) {
	got := must(Rect(30, 20)).Rotate(math.Pi/2, r2.Vec{}).String()
	if want := "M0 0 L0 30 L-20 30 L-20 0 Z"; got != want {
		t.Errorf("a quarter turn gives %s, want %s", got, want)
	}
	got = must(Trapezoid(100, 60, 40, 0)).Mirror().String()
	if want := "M-100 0 L0 0 L-20 40 L-80 40 Z"; got != want {
		t.Errorf("mirrored: %s, want %s", got, want)
	}
}

func TestPathsMoveAndKeepTheirDirection(t *testing.T) {
	p := mustPath(MoveTo(r2.Vec{X: 10}).LineTo(r2.Vec{X: 20}).ArcTo(r2.Vec{X: 20, Y: 10}, 1))
	rows := []struct{ got, want string }{
		{p.Mirror().String(), "M-10 0 L-20 0 A5 5 0 0 0 -20 10"},
		{p.Translate(r2.Vec{X: -10, Y: 1}).String(), "M0 1 L10 1 A5 5 0 0 1 10 11"},
		{p.Rotate(math.Pi, r2.Vec{X: 10}).String(), "M10 0 L0 0 A5 5 0 0 1 0 -10"},
		{p.Scale(0.5).String(), "M5 0 L10 0 A2.5 2.5 0 0 1 10 5"},
		{p.MirrorAcross(r2.Vec{X: 10}, r2.Vec{Y: 1}).String(), "M10 0 L0 0 A5 5 0 0 0 0 10"},
		{p.Reversed().String(), "M20 10 A5 5 0 0 0 20 0 L10 0"},
	}
	for _, row := range rows {
		if row.got != row.want {
			t.Errorf("got %s, want %s", row.got, row.want)
		}
	}
}

func TestLargeArcsAreWrittenInTwo(t *testing.T) {
	got := mustPath(MoveTo(r2.Vec{X: 10}).ArcRadius(r2.Vec{Y: 10}, 10, true, false)).String()
	if want := "M10 0 A10 10 0 1 0 0 10"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	got = mustPath(MoveTo(r2.Vec{X: 10, Y: 0.01}).ArcRadius(r2.Vec{X: 10, Y: -0.01}, 10, true, true)).String()
	if want := "M10 0.01 A10 10 0 0 1 -10 0 A10 10 0 0 1 10 -0.01"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
