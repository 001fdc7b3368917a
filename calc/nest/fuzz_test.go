package nest

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// FuzzCheck holds Check against points: where one of a fine net lies inside both parts, by the angle that each
// winds about it, Check must refuse them.
func FuzzCheck(f *testing.F) {
	for n := range 20 {
		f.Add(uint64(n), 90-float64(n), 60.0, float64(n)/3)
	}
	f.Fuzz(func(t *testing.T, random uint64, x, y, angle float64) {
		if !(math.Abs(x) <= 300 && math.Abs(y) <= 300 && math.Abs(angle) <= 7) {
			return // not on the sheet
		}
		rng := rand.New(rand.NewPCG(random, 1))
		job := Job{Sheets: []Sheet{{Width: 2000, Height: 2000}}, Items: []Item{{Outline: star(rng, 200), Count: 1}, {Outline: star(rng, 120), Count: 1}}}
		l := Layout{Sheets: []Used{{}}, Placed: []Placement{{Move: motion(0, 1000, 1000)}, {Item: 1, Move: motion(angle, 1000+x, 1000+y)}}}
		a, b := newRegion(job, l.Placed[0]), newRegion(job, l.Placed[1])
		both := false
		for i := range 120 {
			for k := range 120 {
				p := r2.Vec{X: 900 + 200*float64(i)/119, Y: 900 + 200*float64(k)/119}
				both = both || wound(a.rings[0], p) > 1e-3 && wound(b.rings[0], p) > 1e-3
			}
		}
		if err := Check(job, l); both && err == nil {
			t.Error("a point lies in both parts and Check lets them pass")
		}
	})
}

// wound is the distance of p from the ring if the ring winds about it, else 0.
func wound(ring []r2.Vec, p r2.Vec) float64 {
	sum, least := 0.0, math.Inf(1)
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		u, v := r2.Sub(a, p), r2.Sub(b, p)
		sum += math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
		t := math.Max(0, math.Min(1, -r2.Dot(u, r2.Sub(b, a))/r2.Norm2(r2.Sub(b, a))))
		least = math.Min(least, r2.Norm(r2.Add(u, r2.Scale(t, r2.Sub(b, a)))))
	}
	if math.Abs(sum) < math.Pi {
		return 0
	}
	return least
}
