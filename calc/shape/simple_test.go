package shape

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestCrossingEdgesAreNamed(t *testing.T) {
	poly := func(pts ...r2.Vec) Outline { return polygon(pts, numbered(len(pts))) }
	rows := []struct {
		name string
		o    Outline
		a, b string
	}{
		{"a bow tie", poly(r2.Vec{}, r2.Vec{X: 10, Y: 10}, r2.Vec{X: 10}, r2.Vec{Y: 10}), "e1", "e3"},
		{"a spike that folds back", poly(r2.Vec{}, r2.Vec{X: 10}, r2.Vec{X: 10, Y: 20}, r2.Vec{X: 10, Y: 10}, r2.Vec{Y: 10}), "e2", "e3"},
		{"a corner that touches another edge", poly(r2.Vec{}, r2.Vec{X: 20}, r2.Vec{X: 20, Y: 10}, r2.Vec{X: 10}, r2.Vec{Y: 10}), "e1", "e3"},
		{"an arc that bulges through an edge", Outline{Edges: []Edge{
			{Name: "foot", Segs: []Seg{{End: r2.Vec{X: 100}}}}, {Name: "side", Segs: []Seg{{End: r2.Vec{X: 100, Y: 10}}}},
			{Name: "bow", Segs: []Seg{{Kind: Arc, End: r2.Vec{Y: 10}, Bulge: -0.5}}}, {Name: "back", Segs: []Seg{{}}}}}, "foot", "bow"},
		{"a curve that loops", Outline{Edges: []Edge{
			{Name: "loop", Segs: []Seg{{Kind: Cubic, C1: r2.Vec{X: 100, Y: 100}, C2: r2.Vec{X: -60, Y: 100}, End: r2.Vec{X: 40}}}},
			{Name: "foot", Segs: []Seg{{}}}}}, "loop", "loop"},
	}
	for _, row := range rows {
		var x *Crossing
		if err := row.o.IsSimple(); !errors.As(err, &x) || x.Edges != [2]string{row.a, row.b} {
			t.Errorf("%s: %v, want %s and %s", row.name, err, row.a, row.b)
		}
	}
}

// Every pair of segments is tried, for small polygons of points on a grid, where touching is common.
func TestTheTreeOfBoxesMissesNoCrossing(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	crossed := 0
	for range 3000 {
		n := 4 + rng.IntN(12)
		var pts []r2.Vec
		for len(pts) < n {
			p := r2.Vec{X: float64(rng.IntN(12)), Y: float64(rng.IntN(12))}
			if len(pts) == 0 || p != pts[len(pts)-1] && p != pts[0] {
				pts = append(pts, p)
			}
		}
		want := false
		for i := range n {
			for j := i + 1; j < n; j++ {
				a, b, c, d := pts[i], pts[(i+1)%n], pts[j], pts[(j+1)%n]
				switch {
				case j == i+1:
					want = want || r2.Cross(r2.Sub(b, a), r2.Sub(d, c)) == 0 && r2.Dot(r2.Sub(b, a), r2.Sub(d, c)) < 0
				case i == 0 && j == n-1:
					want = want || r2.Cross(r2.Sub(d, c), r2.Sub(b, a)) == 0 && r2.Dot(r2.Sub(d, c), r2.Sub(b, a)) < 0
				default:
					want = want || sharePoint(a, b, c, d)
				}
			}
		}
		if got := polygon(pts, numbered(n)).IsSimple() != nil; got != want {
			t.Fatalf("%v: crossing %v, want %v", pts, got, want)
		}
		if want {
			crossed++
		}
	}
	if crossed < 100 || crossed > 2990 {
		t.Fatalf("%d of 3000 cross: the cases are one-sided", crossed)
	}
}

// sharePoint is exact for whole numbers, by the bounds of each axis and the sides of the ends.
func sharePoint(a, b, c, d r2.Vec) bool {
	cross := func(p, q, r r2.Vec) float64 { return r2.Cross(r2.Sub(q, p), r2.Sub(r, p)) }
	if math.Max(a.X, b.X) < math.Min(c.X, d.X) || math.Max(c.X, d.X) < math.Min(a.X, b.X) ||
		math.Max(a.Y, b.Y) < math.Min(c.Y, d.Y) || math.Max(c.Y, d.Y) < math.Min(a.Y, b.Y) {
		return false
	}
	return cross(a, b, c)*cross(a, b, d) <= 0 && cross(c, d, a)*cross(c, d, b) <= 0
}

func TestOutlinesBeyondTheLimitAreRefused(t *testing.T) {
	star := func(n int) Outline {
		pts := make([]r2.Vec, n)
		for i := range pts {
			s, c := math.Sincos(float64(i) * 2 * math.Pi / float64(n))
			pts[i] = r2.Scale(400+float64(i%2), r2.Vec{X: c, Y: s})
		}
		return polygon(pts, numbered(n))
	}
	if err := star(maxSegments).IsSimple(); err != nil {
		t.Errorf("a hundred thousand segments: %v", err)
	}
	if err := star(maxSegments + 1).IsSimple(); err == nil {
		t.Error("one more than the limit passes")
	}
}

func BenchmarkIsSimple(b *testing.B) {
	o := must(Regular(1000, 300))
	for b.Loop() {
		if err := o.IsSimple(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOffsetEdges(b *testing.B) {
	for name, o := range map[string]Outline{"trapezoid": must(Trapezoid(155, 145, 90, 0)), "leaf": leaf()} {
		run := equal(3, len(o.Edges))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := o.OffsetEdges(run); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
