package solid

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// halfPlanes asks GEOS for the area of what many half planes a·x + b·y ≤ c leave of a large square.
const halfPlanes = `
import json, math, sys
from shapely.geometry import Polygon
big = 2e3
for case in json.load(sys.stdin):
    left = Polygon([(-big, -big), (big, -big), (big, big), (-big, big)])
    for a, b, c in case:
        n = math.hypot(a, b)
        a, b, c = a / n, b / n, c / n
        x, y = a * c, b * c
        p, q = (x - 9 * big * b, y + 9 * big * a), (x + 9 * big * b, y - 9 * big * a)
        left = left.intersection(Polygon([p, q, (q[0] - 9 * big * a, q[1] - 9 * big * b), (p[0] - 9 * big * a, p[1] - 9 * big * b)]))
    print(left.area)
`

// In a convex shell the back face of a panel is what all other inner planes leave of its own: no corner is
// looked at for that. GEOS works it out; walls are thick and of different thickness, and many corners are
// those of four panels and more.
func TestBackFacesOfConvexShellsAreTheSectionsOfInnerPlanes(t *testing.T) {
	var cases [][][3]float64
	var areas []float64
	var names []string
	shells, chips := 0, 0
	for seed := uint64(0); shells < 25 && seed < 400; seed++ {
		rng := rand.New(rand.NewPCG(seed, 5))
		var points []r3.Vec
		for range 6 + rng.IntN(6) {
			points = append(points, r3.Scale(200, r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		s := hull(points, 3)
		for i := range s.Faces {
			s.Faces[i].Wall += rng.Float64()
		}
		b, errs := Build(s, Options{})
		if len(errs) > 0 {
			continue // a small face vanishes in its wall
		}
		shells++
		closesUp(t, b)
		for i := range b.Panels {
			p := &b.Panels[i]
			var list [][3]float64
			for j := range s.Faces {
				if q := s.plane(j); j != p.Face {
					c := q.d - s.Faces[j].Wall - r3.Dot(q.n, p.In(r2.Vec{}, p.Wall))
					list = append(list, [3]float64{r3.Dot(q.n, p.X), r3.Dot(q.n, p.Y), c})
				}
			}
			cases, areas = append(cases, list), append(areas, p.At(p.Wall).Area())
			names = append(names, fmt.Sprintf("seed %d, %s", seed, p.Name))
			chips += len(p.Corners) - len(p.Sides)
		}
	}
	if shells < 25 || chips < 50 {
		t.Fatalf("%d shells with %d small cuts are too few to judge by", shells, chips)
	}
	for i, want := range geos(t, halfPlanes, cases) {
		if math.Abs(areas[i]-want) > 1e-6*want {
			t.Errorf("%s: the back face has %.6f mm², the inner planes leave %.6f", names[i], areas[i], want)
		}
	}
}

// A corner of three panels lies behind where their three inner planes meet; gonum's linear solver finds that.
func TestBackCornersOfBoxesSolveTheirPlanes(t *testing.T) {
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 6))
		size := func() r2.Vec { return r2.Vec{X: 100 + 300*rng.Float64(), Y: 100 + 300*rng.Float64()} }
		s := Box(size(), size(), 100+200*rng.Float64(), r2.Vec{X: 30 * rng.NormFloat64(), Y: 30 * rng.NormFloat64()})
		for i := range s.Faces {
			s.Faces[i].Wall = 4 + 8*rng.Float64()
		}
		b := built(t, s, Options{})
		for i := range b.Panels {
			p := &b.Panels[i]
			n := len(p.Sides)
			for k := range p.Sides {
				c, _ := p.Ends(k)
				a, d := mat.NewDense(3, 3, nil), mat.NewVecDense(3, nil)
				for row, face := range []int{p.Face, p.Sides[k].Meets.Face, p.Sides[(k+n-1)%n].Meets.Face} {
					q := s.plane(face)
					a.SetRow(row, []float64{q.n.X, q.n.Y, q.n.Z})
					d.SetVec(row, q.d-s.Faces[face].Wall)
				}
				var x mat.VecDense
				if err := x.SolveVec(a, d); err != nil {
					t.Fatal(err)
				}
				if off := r3.Norm(r3.Sub(c.Back, r3.Vec{X: x.AtVec(0), Y: x.AtVec(1), Z: x.AtVec(2)})); off > 1e-9 {
					t.Errorf("seed %d: a back corner of %s lies %.3g mm from where its planes meet", seed, p.Name, off)
				}
			}
		}
	}
}

// Where no small cuts stand at its corners, a panel's back outline is its show outline with each edge moved
// in by t·tan β, which is held against GEOS in calc/shape.
func TestBackOutlinesMoveEachEdgeByItsRun(t *testing.T) {
	shells := []*Shell{
		walls(Ring(7, 200, 130, 150), 9, Lid, Floor),
		walls(Ring(5, 200, 0, 150), 9, Floor),
		walls(Box(r2.Vec{X: 200, Y: 120}, r2.Vec{X: 150, Y: 160}, 140, r2.Vec{X: 20, Y: 10}), 9, Lid),
	}
	for _, s := range shells {
		for _, opt := range []Options{{}, {Rim: flush}, {Rim: func(Edge) (float64, bool) { return 0.2, false }}} {
			b := built(t, s, opt)
			for i := range b.Panels {
				p := &b.Panels[i]
				runs := make([]float64, len(p.Sides))
				for k, side := range p.Sides {
					runs[k] = p.Wall * math.Tan(side.Bevel)
				}
				want, err := p.At(0).OffsetEdges(runs)
				if err != nil {
					t.Fatal(err)
				}
				for k, c := range want.Corners() {
					if off := r2.Norm(r2.Sub(c, p.At(p.Wall).Corners()[k])); off > 1e-9 {
						t.Errorf("%s: back corner %d is %.3g mm off", p.Name, k, off)
					}
				}
			}
		}
	}
}
