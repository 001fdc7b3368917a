package mesh

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Girth is what a tape drawn tight around the model measures at a height: the convex hull of its level
// section (Andrew's monotone chain, 1979). It is 0 where the model has nothing.
func (f *Facets) Girth(z float64) float64 {
	var cut []r2.Vec
	for t := range f.Tri {
		for k := range 3 {
			a, b := f.Points[f.Tri[t][k]], f.Points[f.Tri[t][(k+1)%3]]
			if (a.Z > z) != (b.Z > z) {
				p := r3.Add(a, r3.Scale((z-a.Z)/(b.Z-a.Z), r3.Sub(b, a)))
				cut = append(cut, r2.Vec{X: p.X, Y: p.Y})
			}
		}
	}
	if len(cut) < 2 {
		return 0
	}
	slices.SortFunc(cut, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	sum := 0.0
	for range 2 {
		var chain []r2.Vec
		for _, p := range cut {
			for n := len(chain); n > 1 && r2.Cross(r2.Sub(chain[n-1], chain[n-2]), r2.Sub(p, chain[n-1])) <= 0; n = len(chain) {
				chain = chain[:n-1]
			}
			chain = append(chain, p)
		}
		for i := 1; i < len(chain); i++ {
			sum += r2.Norm(r2.Sub(chain[i], chain[i-1]))
		}
		slices.Reverse(cut)
	}
	return sum
}
