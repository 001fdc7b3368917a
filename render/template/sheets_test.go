package template

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Where a window is filled, no box whose middle lies in it is free: what is seen at once on a sheet
// inside of a large piece is what trying every place for the square would find.
func TestAWindowThatIsFilledHasNoFreePlace(t *testing.T) {
	var ring []r2.Vec
	for k := range 40 { // a star with dents
		r, a := 500.0, 2*math.Pi*float64(k)/40
		if k%2 == 1 {
			r = 320
		}
		ring = append(ring, r2.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)})
	}
	s := shown{rings: [][]r2.Vec{ring}}
	rng := rand.New(rand.NewPCG(1, 2))
	box := func(mid r2.Vec, w, h float64) r2.Box {
		return r2.Box{Min: r2.Vec{X: mid.X - w/2, Y: mid.Y - h/2}, Max: r2.Vec{X: mid.X + w/2, Y: mid.Y + h/2}}
	}
	filled := 0
	for range 5000 {
		at := r2.Vec{X: rng.Float64()*1200 - 600, Y: rng.Float64()*1200 - 600}
		w, h := 60+rng.Float64()*150, 60+rng.Float64()*150
		if !s.fills(box(at, w, h)) {
			continue
		}
		filled++
		in := r2.Vec{X: at.X + (rng.Float64()-0.5)*w, Y: at.Y + (rng.Float64()-0.5)*h}
		if !s.in(box(in, 56, 56)) {
			t.Fatalf("the window %g × %g about %v is filled, and has room about %v", w, h, at, in)
		}
	}
	if filled < 500 || s.fills(box(r2.Vec{}, 2000, 2000)) || s.fills(box(r2.Vec{X: 900}, 60, 60)) {
		t.Errorf("%d windows of 5000 are filled", filled)
	}
}
