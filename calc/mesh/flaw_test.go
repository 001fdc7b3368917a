package mesh

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// box is a box as six faces of four corners.
func box(x0, y0, z0, x1, y1, z1 float64) body {
	p := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	return body{
		[]r3.Vec{p(x0, y0, z0), p(x1, y0, z0), p(x1, y1, z0), p(x0, y1, z0), p(x0, y0, z1), p(x1, y0, z1), p(x1, y1, z1), p(x0, y1, z1)},
		[][]int{{3, 2, 1, 0}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}},
	}
}

func (b body) with(o body) body {
	out := body{append([]r3.Vec{}, b.points...), append([][]int{}, b.faces...)}
	for _, f := range o.faces {
		var g []int
		for _, i := range f {
			g = append(g, i+len(b.points))
		}
		out.faces = append(out.faces, g)
	}
	out.points = append(out.points, o.points...)
	return out
}

func flawsOf(t *testing.T, data []byte) (*Model, []Flaw) {
	t.Helper()
	f, err := Read("a.obj", data)
	if err != nil {
		t.Fatal(err)
	}
	return f.Build(Options{Weld: 0.01, Flat: 0.1, Most: 100})
}

// TestFlawsAreFoundWhereTheyAre: each with its kind and the lines of the faces in it.
func TestFlawsAreFoundWhereTheyAre(t *testing.T) {
	fin := box(0, 0, 0, 10, 10, 10)
	fin.points = append(fin.points, r3.Vec{X: -5, Y: -5, Z: 5})
	fin.faces = append(fin.faces, []int{0, 4, 8})
	// A band of five triangles with one half turn (Möbius).
	strip := "v 0 0 0\nv 10 0 0\nv 5 9 0\nv 15 9 3\nv 8 4 9\nf 1 2 3\nf 2 3 4\nf 3 4 5\nf 4 5 1\nf 5 1 2\n"
	for _, c := range []struct {
		name  string
		data  string
		kind  FlawKind
		place string
	}{
		{"a fin", string(fin.obj()), SharedEdge, "line 15"},
		{"one side only", strip, OneSided, "line"},
		{"a bar through a box", string(box(0, 0, 0, 10, 10, 10).with(box(-5, 3, 3, 15, 6, 6)).obj()), Touching, "line"},
		{"a box on a box", string(box(0, 0, 0, 10, 10, 10).with(box(3, 3, 10, 6, 6, 15)).obj()), Touching, "line"},
		{"a box in the corner of another", string(box(0, 0, 0, 10, 10, 10).with(box(5, 5, 5, 15, 15, 15)).obj()), Touching, "line"},
		{"a tip in a face", string(box(0, 0, 0, 10, 10, 10).with(body{[]r3.Vec{{X: 5, Y: 5, Z: 10}, {X: 4, Y: 4, Z: 20}, {X: 6, Y: 4, Z: 20}, {X: 5, Y: 7, Z: 20}}, [][]int{{0, 2, 1}, {0, 3, 2}, {0, 1, 3}, {1, 2, 3}}}).obj()), Touching, "line"},
	} {
		_, flaws := flawsOf(t, []byte(c.data))
		if len(flaws) == 0 || flaws[0].Kind != c.kind || !strings.Contains(flaws[0].Place, c.place) {
			t.Errorf("%s: %+v", c.name, flaws)
		}
	}
}

// TestWholeModelsHaveNoFlaw: boxes apart, one in another, one beside another at a hair's breadth.
func TestWholeModelsHaveNoFlaw(t *testing.T) {
	for name, b := range map[string]body{
		"apart":  box(0, 0, 0, 10, 10, 10).with(box(20, 0, 0, 30, 10, 10)),
		"within": box(0, 0, 0, 10, 10, 10).with(box(2, 2, 2, 8, 8, 8)),
		"beside": box(0, 0, 0, 10, 10, 10).with(box(10.5, 0, 0, 20, 10, 10)),
	} {
		m, flaws := flawsOf(t, b.obj())
		if len(flaws) > 0 || len(m.Panels) != 12 || m.Pieces != 2 {
			t.Errorf("%s: %+v", name, flaws)
		}
	}
}

// TestACornerOnAnEdgeThatLacksItIsAGap: a roof on a box has corners in the middle of two eaves that the
// walls do not have. Where its faces on both sides of such a corner are one panel, nothing is left of it;
// else the model is open there and has no other flaw.
func TestACornerOnAnEdgeThatLacksItIsAGap(t *testing.T) {
	b := box(0, 0, 0, 10, 20, 30)
	b.points = append(b.points, r3.Vec{X: 5, Z: 30}, r3.Vec{X: 5, Y: 20, Z: 30}, r3.Vec{X: 5, Y: 10, Z: 35}, r3.Vec{X: 7, Y: 10, Z: 39})
	const front, back, tip, other = 8, 9, 10, 11
	walls := append([][]int{b.faces[0]}, b.faces[2:]...)
	b.faces = append(append([][]int{}, walls...), []int{4, front, tip}, []int{front, 5, tip}, []int{5, 6, tip}, []int{6, back, tip}, []int{back, 7, tip}, []int{7, 4, tip})
	m, flaws := flawsOf(t, b.obj())
	if len(flaws) > 0 || len(m.Rims) != 0 || len(m.Panels) != 9 {
		t.Errorf("one tip: %+v, rims %v, %d panels", flaws, m.Rims, len(m.Panels))
	}
	b.faces = append(append([][]int{}, walls...), []int{4, front, tip}, []int{front, 5, other}, []int{front, other, tip}, []int{5, 6, other},
		[]int{6, back, other}, []int{back, tip, other}, []int{back, 7, tip}, []int{7, 4, tip})
	m, flaws = flawsOf(t, b.obj())
	if len(flaws) > 0 || len(m.Rims) != 2 || len(m.Rims[0]) != 3 {
		t.Errorf("two tips: %+v, rims %v", flaws, m.Rims)
	}
}

// TestTooManyPanelsAreRefusedAtOnce names their number.
func TestTooManyPanelsAreRefusedAtOnce(t *testing.T) {
	f, err := Read("a.stl", textSTL(sphere(5)))
	if err != nil {
		t.Fatal(err)
	}
	n := len(f.Tri)
	_, flaws := f.Build(Options{Weld: 1e-6, Flat: 1e-6, Most: 100})
	if len(flaws) != 1 || flaws[0].Kind != TooFine || flaws[0].Count != n {
		t.Errorf("%+v of %d triangles", flaws, n)
	}
}

// TestRimsOfOpenModels: a box without its lid has one, of four corners; triangles of a wall looked at
// from outside are turned outwards though it is open.
func TestRimsOfOpenModels(t *testing.T) {
	b := box(0, 0, 0, 10, 20, 30)
	b.faces = append(b.faces[:1:1], b.faces[2:]...)
	for i, f := range b.faces {
		b.faces[i] = []int{f[3], f[2], f[1], f[0]}
	}
	m, flaws := flawsOf(t, b.obj())
	if len(flaws) > 0 || len(m.Panels) != 5 || len(m.Rims) != 1 || len(m.Rims[0]) != 4 {
		t.Fatalf("%+v, rims %v", flaws, m.Rims)
	}
	for i, p := range m.Planes() {
		if p.Over(r3.Vec{X: 5, Y: 10, Z: 15}) > 0 {
			t.Errorf("panel %d looks inwards", i)
		}
	}
}

// framed is a box with a square hole through it from lid to floor: two of its faces have a window.
func framed() body {
	outer, inner := box(0, 0, 0, 30, 30, 5), box(10, 10, 0, 20, 20, 5)
	b := outer.with(inner)
	b.faces = nil
	for k := range 4 {
		j := (k + 1) % 4
		b.faces = append(b.faces, []int{k, j, 4 + j, 4 + k}, []int{8 + j, 8 + k, 12 + k, 12 + j},
			[]int{4 + k, 4 + j, 12 + j, 12 + k}, []int{j, k, 8 + k, 8 + j})
	}
	return b
}

// TestFacesWithWindowsAreCutInTwo: the two pieces share two seams, lie in one plane and keep the area.
func TestFacesWithWindowsAreCutInTwo(t *testing.T) {
	m, flaws := flawsOf(t, framed().obj())
	if len(flaws) > 0 || len(m.Rims) > 0 {
		t.Fatalf("%+v, rims %v", flaws, m.Rims)
	}
	flat, parts := 0, 0
	m.dihedrals(func(a, b Panel, angle float64) {
		if math.Abs(angle-180) < 1e-9 {
			flat++
		}
	})
	for _, p := range m.Panels {
		if p.Part > 0 {
			parts++
		}
	}
	area, merged := m.panelArea()
	want := 2*(900-100) + 4*30*5. + 4*10*5
	if len(m.Panels) != 12 || parts != 4 || flat != 4 || math.Abs(area-want) > 1e-9 || math.Abs(m.Area-want) > 1e-9 {
		t.Errorf("%d panels, %d pieces, %d flat seams, area %g of %g (%g)", len(m.Panels), parts, flat, area, want, merged)
	}
	if v := m.body().volume(); math.Abs(v-800*5) > 1e-9 {
		t.Errorf("volume %g", v)
	}
}

// TestCornersFollowMovedPlanes: of three planes always; of four or five in solids around a sphere too,
// whose planes moved by t are those of the solid grown by t over its inradius; of four otherwise not.
func TestCornersFollowMovedPlanes(t *testing.T) {
	for _, u := range uniform[:5] {
		b := hull(u.points).scaled(50)
		m := read(t, "a.obj", b.obj(), fine)
		in := m.Planes()[0].At
		points, missed := m.Offset(6, 1e-9)
		if len(missed) > 0 {
			t.Errorf("%s: %d corners missed by up to %g", u.name, len(missed), missed[0].Off)
		}
		for i, p := range points {
			if want := r3.Scale(1+6/in, m.Points[i]); r3.Norm(r3.Sub(p, want)) > 1e-9 {
				t.Errorf("%s: corner %v moved to %v, want %v", u.name, m.Points[i], p, want)
			}
		}
	}
	// A roof whose four slopes differ: the ridge point cannot follow all of them.
	roof := body{[]r3.Vec{{}, {X: 40}, {X: 40, Y: 30}, {Y: 30}, {X: 10, Y: 20, Z: 25}}, [][]int{{3, 2, 1, 0}, {0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}}}
	m := read(t, "a.obj", roof.obj(), fine)
	points, missed := m.Offset(5, 1e-6)
	if len(missed) != 1 || len(missed[0].Panels) != 4 || !(missed[0].Off > 0.05 && missed[0].Off < 5) {
		t.Fatalf("missed: %+v", missed)
	}
	// The residual of least squares stands at right angles to the planes' normals: Aᵀr = 0.
	sum := r3.Vec{}
	for i, p := range m.Points {
		if p != missed[0].At {
			continue
		}
		for _, k := range missed[0].Panels {
			q := m.Planes()[k]
			q.At += 5
			sum = r3.Add(sum, r3.Scale(q.Over(points[i]), q.Normal))
		}
	}
	if r3.Norm(sum) > 1e-9 {
		t.Errorf("the place is not the one of least squares: %v", sum)
	}
}
