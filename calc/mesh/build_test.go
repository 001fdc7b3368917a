package mesh

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

var fine = Options{Weld: 0.01, Flat: 0.1}

// built builds a model that has no flaw.
func built(t *testing.T, f *Facets, err error, o Options) *Model {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	m, flaws := f.Build(o)
	if len(flaws) > 0 {
		t.Fatalf("flaws: %+v", flaws)
	}
	return m
}

func read(t *testing.T, name string, data []byte, o Options) *Model {
	t.Helper()
	f, err := Read(name, data)
	return built(t, f, err, o)
}

// dihedrals calls do for every edge that two panels share with their inner angle in degrees.
func (m *Model) dihedrals(do func(a, b Panel, angle float64)) {
	planes := m.Planes()
	at := map[[2]int]int{}
	for i, p := range m.Panels {
		for k, a := range p.Loop {
			at[[2]int{a, p.Loop[(k+1)%len(p.Loop)]}] = i
		}
	}
	for i, p := range m.Panels {
		for k, a := range p.Loop {
			b := p.Loop[(k+1)%len(p.Loop)]
			j, ok := at[[2]int{b, a}]
			if !ok || i > j {
				continue
			}
			n, o := planes[i].Normal, planes[j].Normal
			along := r3.Unit(r3.Sub(m.Points[b], m.Points[a]))
			turn := math.Atan2(r3.Dot(r3.Cross(n, o), along), r3.Dot(n, o))
			do(p, m.Panels[j], 180-turn*180/math.Pi)
		}
	}
}

// TestDihedralAnglesOfUniformSolids holds models read from OBJ and from both kinds of STL, the latter
// in any order and some triangles turned over, to the tables in Coxeter, Regular Polytopes (table I)
// and Cromwell, Polyhedra.
func TestDihedralAnglesOfUniformSolids(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, u := range uniform {
		b := hull(u.points).scaled(50)
		files := map[string][]byte{
			"whole.obj": b.obj(),
			"text.stl":  textSTL(shuffled(b.triangles(), 0, true, r)),
			"bin.STL":   binarySTL(shuffled(b.triangles(), 0, true, r)),
		}
		for name, data := range files {
			m := read(t, name, data, fine)
			if len(m.Panels) != u.faces || len(m.Points) != len(u.points) || len(m.Rims) != 0 || m.Pieces != 1 {
				t.Errorf("%s from %s: %d panels, %d corners, %d rims; want %d, %d, 0", u.name, name, len(m.Panels), len(m.Points), len(m.Rims), u.faces, len(u.points))
				continue
			}
			seen := map[[2]int]bool{}
			m.dihedrals(func(a, b Panel, angle float64) {
				pair := [2]int{min(len(a.Loop), len(b.Loop)), max(len(a.Loop), len(b.Loop))}
				seen[pair] = true
				want, ok := u.angles[pair]
				if !ok || math.Abs(angle-want) > 1e-4 {
					t.Errorf("%s from %s: faces of %v corners meet at %.4f°, want %.4f°", u.name, name, pair, angle, want)
				}
			})
			if len(seen) != len(u.angles) {
				t.Errorf("%s from %s: seams of %v", u.name, name, seen)
			}
		}
	}
}

// divided cuts each triangle of a body into n·n.
func divided(list [][3]r3.Vec, n int) [][3]r3.Vec {
	var out [][3]r3.Vec
	for _, t := range list {
		at := func(i, j int) r3.Vec {
			u, v := float64(i)/float64(n), float64(j)/float64(n)
			return r3.Add(r3.Scale(1-u-v, t[0]), r3.Add(r3.Scale(u, t[1]), r3.Scale(v, t[2])))
		}
		for i := range n {
			for j := range n - i {
				out = append(out, [3]r3.Vec{at(i, j), at(i+1, j), at(i, j+1)})
				if i+j+1 < n {
					out = append(out, [3]r3.Vec{at(i+1, j), at(i+1, j+1), at(i, j+1)})
				}
			}
		}
	}
	return out
}

// randomHull is the hull of points on an ellipsoid, with corners of many planes, none of its faces
// so slim or so near to another's plane that a tolerance would have a say.
func randomHull(r *rand.Rand, n int) body {
	for {
		var points []r3.Vec
		for range n {
			p := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
			points = append(points, r3.Vec{X: 80 * p.X, Y: 60 * p.Y, Z: 110 * p.Z})
		}
		if b := hull(points); b.plump(3) {
			return b
		}
	}
}

// plump tells whether every triangle is at least so high, and every other corner so far below it.
func (b body) plump(least float64) bool {
	for _, f := range b.faces {
		p, q, o := b.points[f[0]], b.points[f[1]], b.points[f[2]]
		n := r3.Cross(r3.Sub(q, p), r3.Sub(o, p))
		longest := max(r3.Norm(r3.Sub(q, p)), r3.Norm(r3.Sub(o, q)), r3.Norm(r3.Sub(p, o)))
		if r3.Norm(n) < least*longest {
			return false
		}
		for i, v := range b.points {
			if i != f[0] && i != f[1] && i != f[2] && r3.Dot(r3.Unit(n), r3.Sub(v, p)) > -least/4 {
				return false
			}
		}
	}
	return true
}

// star is a lofted star: two outlines with hollow corners, the upper smaller, so all sides are flat.
func star(r *rand.Rand) body {
	n := 4 + r.IntN(5)
	var b body
	shrink := 0.5 + 0.4*r.Float64()
	for _, level := range []float64{1, shrink} {
		for i := range 2 * n {
			radius := []float64{90, 45}[i%2] * level
			s, c := math.Sincos(math.Pi * float64(i) / float64(n))
			b.points = append(b.points, r3.Vec{X: radius * c, Y: radius * s, Z: 70 * (1 - level)})
		}
	}
	var floor, lid []int
	for i := range 2 * n {
		j := (i + 1) % (2 * n)
		floor, lid = append([]int{i}, floor...), append(lid, 2*n+i)
		b.faces = append(b.faces, []int{i, j, 2*n + j, 2*n + i})
	}
	b.faces = append(b.faces, floor, lid)
	return b
}

func (b body) volume() float64 {
	sum := 0.0
	for _, f := range b.faces {
		p := make([]r3.Vec, len(f))
		for k, i := range f {
			p[k] = b.points[i]
		}
		sum += r3.Dot(p[0], areaOf(p)) / 3
	}
	return sum
}

func (m *Model) body() body {
	b := body{points: m.Points}
	for _, p := range m.Panels {
		b.faces = append(b.faces, p.Loop)
	}
	return b
}

func (m *Model) panelArea() (of, merged float64) {
	for _, p := range m.Panels {
		corners := make([]r3.Vec, len(p.Loop))
		for k, i := range p.Loop {
			corners[k] = m.Points[i]
		}
		of += r3.Norm(areaOf(corners))
		merged += p.Area
	}
	return of, merged
}

// TestMergedPanelsKeepVolumeAndArea cuts random solids, hollow ones too, into many triangles, shakes
// and shuffles them, and expects the panels of the solid back.
func TestMergedPanelsKeepVolumeAndArea(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for round := range 40 {
		b := star(r)
		if round%2 == 0 {
			b = randomHull(r, 4+r.IntN(12))
		}
		f, err := Read("whole.obj", b.obj())
		if err != nil {
			t.Fatal(err)
		}
		var list [][3]r3.Vec
		for k := range f.Tri {
			x, y, z := f.corners(k)
			list = append(list, [3]r3.Vec{x, y, z})
		}
		const noise = 1e-3
		for _, shaken := range []float64{0, noise} {
			m := read(t, "cut.stl", textSTL(shuffled(divided(list, 1+r.IntN(4)), shaken, true, r)), fine)
			where := fmt.Sprintf("round %d, %d faces, noise %g", round, len(b.faces), shaken)
			if len(m.Panels) != len(b.faces) || len(m.Points) != len(b.points) {
				t.Errorf("%s: %d panels, %d corners of %d", where, len(m.Panels), len(m.Points), len(b.points))
				continue
			}
			if got, want := m.body().volume(), b.volume(); math.Abs(got-want) > want*(1e-7+shaken/10) {
				t.Errorf("%s: volume %g, want %g", where, got, want)
			}
			if got := m.body().volume(); math.Abs(m.Volume-got) > got*(1e-7+shaken/10) {
				t.Errorf("%s: volume of the triangles %g, of the panels %g", where, m.Volume, got)
			}
			area, merged := m.panelArea()
			if math.Abs(area-merged) > area*(1e-7+shaken/10) || math.Abs(merged-m.Area) > 1e-9*merged {
				t.Errorf("%s: area of the panels %g, of what they were merged from %g, of all %g", where, area, merged, m.Area)
			}
			for i, p := range m.Planes() {
				for _, k := range m.Panels[i].Loop {
					if math.Abs(p.Over(m.Points[k])) > 1e-7 {
						t.Errorf("%s: a corner lies %g mm off its panel", where, p.Over(m.Points[k]))
					}
				}
			}
		}
	}
}
