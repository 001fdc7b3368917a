package shape

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A stadium drawn in many short pieces: two long sides and two half circles in steps of 6°.
func pill(t *testing.T, corners bool) Outline {
	t.Helper()
	pen := MoveTo(r2.Vec{X: 0, Y: -20})
	for i := 1; i <= 8; i++ {
		pen.LineTo(r2.Vec{X: 10 * float64(i), Y: -20})
	}
	for i := 1; i <= 30; i++ {
		s, c := math.Sincos(float64(i)*math.Pi/30 - math.Pi/2)
		pen.LineTo(r2.Vec{X: 80 + 20*c, Y: 20 * s})
	}
	if corners {
		pen.LineTo(r2.Vec{X: 0, Y: 20})
	} else {
		for i := 0; i <= 29; i++ {
			s, c := math.Sincos(float64(i)*math.Pi/30 + math.Pi/2)
			pen.LineTo(r2.Vec{X: 20 * c, Y: 20 * s})
		}
	}
	p, err := pen.Path()
	if err != nil {
		t.Fatal(err)
	}
	o, err := FromPath(p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestShortPiecesBecomeTheEdgesThatAMakerSees(t *testing.T) {
	const corner = 20 * math.Pi / 180
	for _, c := range []struct {
		name  string
		o     Outline
		edges []string
	}{
		{"a stadium has no corner", pill(t, false), []string{"rim"}},
		{"cut off, it has two", pill(t, true), []string{"e1", "e2"}},
	} {
		j := c.o.Joined(corner)
		if got := j.EdgeNames(); len(got) != len(c.edges) || got[0] != c.edges[0] {
			t.Errorf("%s: edges %v", c.name, got)
		}
		if d := math.Abs(j.Area() - c.o.Area()); d > 1e-9 {
			t.Errorf("%s: the area changes by %g", c.name, d)
		}
		if err := j.IsSimple(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if again := j.Joined(corner); again.String() != j.String() {
			t.Errorf("%s: joined twice it changes", c.name)
		}
	}
	box, err := Rect(30, 20)
	if err != nil {
		t.Fatal(err)
	}
	if got := box.Joined(corner); len(got.Edges) != 4 || got.Start != box.Start {
		t.Errorf("a rectangle becomes %v", got)
	}
}
