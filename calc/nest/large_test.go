package nest

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// coast is an outline of n points with bays of every size.
func coast(n int, size float64) []r2.Vec {
	out := make([]r2.Vec, n)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := size / 2 * (0.7 + 0.2*math.Sin(5*a) + 0.06*math.Sin(31*a) + 0.02*math.Sin(211*a))
		s, c := math.Sincos(a)
		out[i] = r2.Vec{X: r * c, Y: r * s}
	}
	return out
}

func TestAnOutlineOfFiveThousandPointsIsLaidOut(t *testing.T) {
	job := Job{Gap: 0.6, Sheets: []Sheet{{Width: 1000, Height: 500}}, Items: []Item{{Name: "coast", Outline: coast(5000, 400), Count: 3}, {Name: "slip", Outline: box(40, 20), Count: 10}}}
	l := must(Run(job, Effort{Steps: 5000}))
	if len(l.Left) > 0 || len(l.Sheets) != 1 {
		t.Errorf("%d sheets, %v left", len(l.Sheets), l.Left)
	}
}

func TestThousandsOfCopiesAreLaidOut(t *testing.T) {
	job := Job{Gap: 0.6, Margin: 2, Sheets: []Sheet{{Width: 1000, Height: 500}}, Items: []Item{{Name: "shingle", Outline: []r2.Vec{{}, {X: 40}, {X: 30, Y: 60}, {X: 10, Y: 60}}, Count: 3000}}}
	l := must(Run(job, Effort{Steps: 5000}))
	area := 0.0
	for _, u := range l.Sheets[:len(l.Sheets)-1] {
		area += u.Share / float64(len(l.Sheets)-1)
	}
	if len(l.Left) > 0 || area < 0.8 {
		t.Errorf("%d left; full sheets are used by %.3f", len(l.Left), area)
	}
}
