package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestContainsAgreesWithTheDefinitionOfEachFigure(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	circle, ring, bow := must(Circle(100)), must(Sector(80, 30, 5)), leaf()
	chain := bow.EdgePath(1).Flatten(1e-6)
	for range 5000 {
		p := r2.Vec{X: rng.Float64()*240 - 100, Y: rng.Float64()*240 - 120}
		if rng.IntN(4) == 0 {
			p.Y = 0 // on the level of the corners, along chords
		}
		r, a := r2.Norm(p), math.Mod(math.Atan2(p.Y, p.X)+2*math.Pi, 2*math.Pi)
		if got, want := circle.Contains(p), r <= 50; got != want {
			t.Fatalf("circle contains %v: %v", p, got)
		}
		if got, want := ring.Contains(p), r >= 30 && r <= 80 && a <= 5; got != want {
			t.Fatalf("sector contains %v: %v", p, got)
		}
		inside := p.Y == 0 && p.X >= 0 && p.X <= 120
		for i := range chain[1:] { // ray casting, even and odd
			q, s := chain[i], chain[i+1]
			if (q.Y > p.Y) != (s.Y > p.Y) && p.X < q.X+(p.Y-q.Y)*(s.X-q.X)/(s.Y-q.Y) {
				inside = !inside
			}
		}
		if p.Y == 0 {
			inside = p.X >= 0 && p.X <= 120
		}
		if got := bow.Contains(p); got != inside {
			t.Fatalf("leaf contains %v: %v", p, got)
		}
	}
	if !circle.Contains(r2.Vec{}) || !circle.Contains(r2.Vec{X: 50}) || !bow.Contains(r2.Vec{X: 60}) {
		t.Error("a centre or a boundary point is left out")
	}
}

func TestHolesLieInsideOrDoNot(t *testing.T) {
	plate, hole := must(Rect(100, 60)), must(Circle(20))
	u := must(Polygon([]r2.Vec{{}, {X: 100}, {X: 100, Y: 60}, {X: 70, Y: 60}, {X: 70, Y: 20}, {X: 30, Y: 20}, {X: 30, Y: 60}, {Y: 60}}))
	rows := []struct {
		name         string
		plate, inner Outline
		want         bool
	}{
		{"in the middle", plate, hole.Translate(r2.Vec{X: 50, Y: 30}), true},
		{"touching the edge from inside", plate, hole.Translate(r2.Vec{X: 10, Y: 30}), true},
		{"across the edge", plate, hole.Translate(r2.Vec{X: 5, Y: 30}), false},
		{"outside", plate, hole.Translate(r2.Vec{X: 150, Y: 30}), false},
		{"larger than the plate", plate, must(Circle(300)), false},
		{"in the gap of a U", u, hole.Translate(r2.Vec{X: 50, Y: 45}), false},
		{"a bar across the gap of a U, its corners inside", u, must(Rect(90, 10)).Translate(r2.Vec{X: 5, Y: 40}), false},
		{"itself", u, u, true},
	}
	for _, row := range rows {
		if got := row.plate.ContainsOutline(row.inner); got != row.want {
			t.Errorf("%s: %v", row.name, got)
		}
	}
}
