package solid

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestBadShellsAreToldNotBuilt(t *testing.T) {
	nan := math.NaN()
	cube := func() *Shell {
		return walls(Box(r2.Vec{X: 100, Y: 100}, r2.Vec{X: 100, Y: 100}, 100, r2.Vec{}), 10)
	}
	cases := []struct {
		name  string
		spoil func(*Shell)
		want  string
	}{
		{"nothing", func(s *Shell) { s.Faces = nil }, "the shell has no faces"},
		{"no number", func(s *Shell) { s.Points[5].X = nan }, "front has a corner whose place is no number"},
		{"infinity", func(s *Shell) { s.Points[5].X = math.Inf(1) }, "front has a corner whose place is no number"},
		{"far away", func(s *Shell) { s.Points[5].X = 1e9 }, "front has a corner whose place is no number"},
		{"no such corner", func(s *Shell) { s.Faces[0].Loop[2] = 99 }, "front has a corner that does not exist"},
		{"two corners", func(s *Shell) { s.Faces[0].Loop = s.Faces[0].Loop[:2] }, "front has 2 corners"},
		{"a corner twice", func(s *Shell) { s.Faces[0].Loop = []int{0, 1, 0, 4} }, "front comes twice to one corner"},
		{"corners at one place", func(s *Shell) { s.Points[1] = s.Points[0] }, "front has two corners at one place at (-50, -50, 0) mm"},
		{"no area", func(s *Shell) { s.Faces[0].Loop = []int{0, 1, 2}; s.Points[2] = r3.Vec{X: 90, Y: -50} }, "front has no area"},
		{"not flat", func(s *Shell) { s.Points[6].Z = 130 }, "lid is not flat: a corner lies 7"},
		{"crossing itself", func(s *Shell) { s.Points[5].X = 20; s.Faces[0].Loop = []int{0, 1, 4, 5} }, "front crosses itself"},
		{"no thickness", func(s *Shell) { s.Faces[0].Wall = nan }, "front has a wall of NaN mm"},
		{"turned over", func(s *Shell) { slices.Reverse(s.Faces[0].Loop) }, "run through their common edge"},
		{"a third face", func(s *Shell) { s.Faces = append(s.Faces, Face{Name: "fin", Loop: []int{0, 1, 6}}) }, "with more than one other face"},
		{"inside out", func(s *Shell) {
			for i := range s.Faces {
				slices.Reverse(s.Faces[i].Loop)
			}
		}, "inside out"},
		{"walls too thick", func(s *Shell) { walls(s, 60) }, "of front meet 50 mm deep"},
		{"one wall too thick", func(s *Shell) { s.Faces[1].Wall = 95 }, "of front meet 9.52 mm deep"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := cube()
			c.spoil(s)
			b, errs := Build(s, Options{})
			var all []string
			for _, err := range errs {
				all = append(all, err.Error())
			}
			if b != nil || !strings.Contains(strings.Join(all, "\n"), c.want) {
				t.Errorf("found %q, want %q", all, c.want)
			}
		})
	}
}
