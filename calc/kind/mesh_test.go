package kind

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/mesh"
	"bevelbook/calc/solid"
	"bevelbook/calc/unit"
)

// meshed works out a mesh block over a model.
func meshed(t testing.TB, name string, data []byte, keys ...string) (*eval.Record, *Output, []finding.Finding) {
	t.Helper()
	files := func(path string) ([]byte, error) {
		if path != name {
			return nil, eval.ErrNoFile
		}
		return data, nil
	}
	return workedFrom(t, files, unit.Style{}, "mesh hood\nmodel: \""+name+"\"\n"+strings.Join(keys, "\n"))
}

// solidOf is an OBJ of points and faces, counted from 0.
func solidOf(points []r3.Vec, faces [][]int) []byte {
	var w bytes.Buffer
	for _, p := range points {
		fmt.Fprintf(&w, "v %v %v %v\n", p.X, p.Y, p.Z)
	}
	for _, f := range faces {
		w.WriteString("f")
		for _, i := range f {
			fmt.Fprintf(&w, " %d", i+1)
		}
		w.WriteString("\n")
	}
	return w.Bytes()
}

// frustum is an n-sided frustum, its corners at random a little in and out if r is given, its flat
// faces kept flat by the shape: lower and upper outline are alike.
func frustum(n int, bottom, top, height float64, r *rand.Rand) ([]r3.Vec, [][]int) {
	var points []r3.Vec
	radius := make([]float64, n)
	for i := range radius {
		if radius[i] = 1; r != nil {
			radius[i] = 0.6 + 0.8*r.Float64()
		}
	}
	for _, level := range []struct{ size, z float64 }{{bottom, 0}, {top, height}} {
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			points = append(points, r3.Vec{X: level.size * radius[i] * c, Y: level.size * radius[i] * s, Z: level.z})
		}
	}
	var floor, lid []int
	var faces [][]int
	for i := range n {
		j := (i + 1) % n
		floor, lid = append([]int{i}, floor...), append(lid, n+i)
		faces = append(faces, []int{i, j, n + j, n + i})
	}
	return points, append(faces, floor, lid)
}

// TestMeshBevelsAreHalfOfWhatTheDihedralLacks: the octahedron's dihedral angle is 109.4712°, the cube's
// 90° (Coxeter, Regular Polytopes, table I; Cromwell, Polyhedra); a mitre takes half of what is missing to 180° on each side.
func TestMeshBevelsAreHalfOfWhatTheDihedralLacks(t *testing.T) {
	octahedron := solidOf([]r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}},
		[][]int{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}})
	points, faces := frustum(4, math.Sqrt2, math.Sqrt2, 2, nil)
	for name, c := range map[string]struct {
		data  []byte
		angle float64
		seams int
	}{
		"octahedron": {octahedron, 109.4712206, 12},
		"cube":       {solidOf(points, faces), 90, 12},
	} {
		for _, grow := range []string{"inwards", "outwards"} {
			r, out, found := meshed(t, "a.obj", c.data, "height: 200 mm", "thickness: 6 mm", "grow: "+grow)
			if len(found) > 0 || len(out.Seams) != c.seams {
				t.Fatalf("%s: %v, %d seams", name, found, len(out.Seams))
			}
			for _, s := range out.Seams {
				near(t, name+" dihedral", s.Dihedral*180/math.Pi, c.angle, 1e-6)
				near(t, name+" bevel", s.A.Bevel*180/math.Pi, (180-c.angle)/2, 1e-6)
				near(t, name+" length", s.A.Length, s.B.Length, 1e-9)
				near(t, name+" length at the back", s.A.BackLength, s.B.BackLength, 1e-9)
			}
			near(t, name+" "+grow+" wall", number(t, r, "wall_volume"), number(t, r, "outer_volume")-number(t, r, "inner_volume"), 1e-6)
			which := map[string]string{"inwards": "outer_volume", "outwards": "inner_volume"}[grow]
			near(t, name+" "+grow+" model", number(t, r, "model_volume"), number(t, r, which), 1e-6)
		}
	}
}

// randomModel is a frustum over an irregular, maybe hollow outline, triangulated, its triangles in any
// order: every corner has three panels.
func randomModel(t testing.TB, r *rand.Rand) []byte {
	points, faces := frustum(4+r.IntN(6), 120, 50+60*r.Float64(), 60+80*r.Float64(), r)
	f, err := mesh.Read("a.obj", solidOf(points, faces))
	if err != nil {
		t.Fatal(err)
	}
	var list [][]int
	for _, c := range f.Tri {
		list = append(list, []int{int(c[0]), int(c[1]), int(c[2])})
	}
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return solidOf(f.Points, list)
}

// TestSeamsOfRandomModelsAreEvenAndTheWallFills: both faces of each seam are as long on either side, and
// the wall has the volume of the outer less the inner solid.
func TestSeamsOfRandomModelsAreEvenAndTheWallFills(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for round := range 60 {
		grow := []string{"inwards", "outwards"}[round%2]
		r, out, found := meshed(t, "a.obj", randomModel(t, rnd), "thickness: 4 mm", "grow: "+grow)
		if len(found) > 0 {
			t.Fatalf("round %d: %v", round, found)
		}
		for _, s := range out.Seams {
			near(t, "length", s.A.Length, s.B.Length, 1e-9)
			near(t, "length at the back", s.A.BackLength, s.B.BackLength, 1e-9)
		}
		outer := number(t, r, "outer_volume")
		near(t, "wall", number(t, r, "wall_volume"), outer-number(t, r, "inner_volume"), 1e-9*outer)
		model := number(t, r, map[string]string{"inwards": "outer_volume", "outwards": "inner_volume"}[grow])
		near(t, "volume by triangles and by panels", number(t, r, "model_volume"), model, 1e-9*outer)
	}
}

// TestCornersOfFourPanelsAreToldAndCloseToo: an octahedron with its corners moved has corners whose
// four planes, moved by the wall, share no point. That is told, and the seams are even all the same.
func TestCornersOfFourPanelsAreToldAndCloseToo(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 10))
	for round := range 10 {
		points := []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}
		for i := range points {
			points[i] = r3.Add(points[i], r3.Scale(0.15, r3.Vec{X: rnd.Float64() - 0.5, Y: rnd.Float64() - 0.5, Z: rnd.Float64() - 0.5}))
		}
		data := solidOf(points, [][]int{{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}})
		r, out, found := meshed(t, "a.obj", data, "height: 200 mm", "thickness: 8 mm", "grow: "+[]string{"inwards", "outwards"}[round%2])
		if len(found) != 1 || found[0].Name != ModelMoved || !strings.Contains(found[0].Message, "share no point") {
			t.Fatalf("round %d: %v", round, found)
		}
		for _, s := range out.Seams {
			near(t, "length", s.A.Length, s.B.Length, 1e-9)
			near(t, "length at the back", s.A.BackLength, s.B.BackLength, 1e-9)
		}
		outer := number(t, r, "outer_volume")
		near(t, "wall", number(t, r, "wall_volume"), outer-number(t, r, "inner_volume"), 1e-9*outer)
	}
}

// BenchmarkMesh makes parts of a model of a thousand faces: a ball of bands.
func BenchmarkMesh(b *testing.B) {
	const n, bands = 32, 31
	var points []r3.Vec
	var faces [][]int
	for k := range bands + 1 {
		z := -0.95 + 1.9*float64(k)/bands
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / n)
			points = append(points, r3.Vec{X: math.Sqrt(1-z*z) * c, Y: math.Sqrt(1-z*z) * s, Z: z})
			if j := (i + 1) % n; k > 0 {
				faces = append(faces, []int{(k-1)*n + i, (k-1)*n + j, k*n + j, k*n + i})
			}
		}
	}
	data := solidOf(points, faces)
	for b.Loop() {
		_, out, found := meshed(b, "a.obj", data, "height: 2 m", "thickness: 5 mm", "rims: 2", "flat: 0.01 mm")
		if len(found) > 0 || len(out.Seams) < n*bands {
			b.Fatalf("%d seams, %v", len(out.Seams), found)
		}
	}
}

// placed is a panel folded into space: where the origin and the axes of its flat outline have come to.
type placed struct{ o, x, y, n r3.Vec }

func (p placed) at(q r2.Vec) r3.Vec {
	return r3.Add(p.o, r3.Add(r3.Scale(q.X, p.x), r3.Scale(q.Y, p.y)))
}

// TestFlatPanelsOfRandomModelsFoldBackUpClosed folds the flat outlines up again along their seams, from
// panel to panel by lengths and dihedral angles alone, and expects all edges to meet.
func TestFlatPanelsOfRandomModelsFoldBackUpClosed(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for round := range 40 {
		f, err := mesh.Read("a.obj", randomModel(t, rnd))
		if err != nil {
			t.Fatal(err)
		}
		m, flaws := f.Build(mesh.Options{Weld: 0.01, Flat: 0.1})
		if len(flaws) > 0 {
			t.Fatal(flaws)
		}
		s, _ := meshShell(m)
		for i := range s.Faces {
			s.Faces[i].Wall = 4
		}
		body, errs := solid.Build(s, solid.Options{})
		if errs != nil {
			t.Fatal(errs)
		}
		flat := make([][]r2.Vec, len(body.Panels))
		for i := range body.Panels {
			flat[i] = body.Panels[i].At(0).Corners()
		}
		where := make([]*placed, len(flat))
		where[0] = &placed{x: r3.Vec{X: 1}, y: r3.Vec{Y: 1}, n: r3.Vec{Z: 1}}
		ends := func(e solid.Edge) (a, b r3.Vec) {
			list := flat[e.Face]
			return where[e.Face].at(list[e.Edge]), where[e.Face].at(list[(e.Edge+1)%len(list)])
		}
		for again := true; again; {
			again = false
			for _, seam := range body.Seams {
				from, to := seam.A, seam.B
				if where[from.Face] == nil {
					from, to = to, from
				}
				if where[from.Face] == nil || where[to.Face] != nil {
					continue
				}
				a, b := ends(from)
				along := r3.Unit(r3.Sub(b, a))
				n := r3.Rotate(where[from.Face].n, math.Pi-seam.Dihedral, along)
				// The neighbour runs along the seam from b to a.
				list := flat[to.Face]
				p, q := list[to.Edge], list[(to.Edge+1)%len(list)]
				u := r2.Unit(r2.Sub(q, p))
				e, side := r3.Scale(-1, along), r3.Cross(n, r3.Scale(-1, along))
				x := r3.Sub(r3.Scale(u.X, e), r3.Scale(u.Y, side))
				y := r3.Add(r3.Scale(u.Y, e), r3.Scale(u.X, side))
				where[to.Face] = &placed{o: r3.Sub(b, r3.Add(r3.Scale(p.X, x), r3.Scale(p.Y, y))), x: x, y: y, n: n}
				again = true
			}
		}
		for _, seam := range body.Seams {
			a, b := ends(seam.A)
			c, d := ends(seam.B)
			if gap := math.Max(r3.Norm(r3.Sub(a, d)), r3.Norm(r3.Sub(b, c))); !(gap < 1e-6) {
				t.Fatalf("round %d: a seam gapes by %g mm", round, gap)
			}
		}
	}
}

// TestMeshIsScaledByWhateverIsGiven: factor, unit, a size along an axis, or a girth to go around.
func TestMeshIsScaledByWhateverIsGiven(t *testing.T) {
	points, faces := frustum(8, 1, 1, 2, nil)
	data := solidOf(points, faces)
	octagon := 16 * math.Sin(math.Pi/8) // girth of one of circumradius 1
	for _, c := range []struct {
		keys []string
		want float64
	}{
		{[]string{"scale: 50"}, 50},
		{[]string{"unit: 1 in"}, 25.4},
		{[]string{"unit: 1 in", "scale: 2"}, 50.8},
		{[]string{"height: 240 mm"}, 120},
		{[]string{"width: 240 mm"}, 120},
		{[]string{"girth: 300 mm", "grow: outwards"}, 300 / octagon},
		{[]string{"girth: 300 mm", "ease: 10 mm", "around: 30 %", "grow: outwards"}, (300 + 20*math.Pi) / octagon},
		{[]string{"girth: 300 mm", "ease: 10 mm"}, (300 + 28*math.Pi) / octagon},
	} {
		r, _, found := meshed(t, "a.obj", data, append(c.keys, "thickness: 4 mm")...)
		if len(found) > 0 {
			t.Errorf("%v: %v", c.keys, found)
			continue
		}
		near(t, strings.Join(c.keys, ", "), number(t, r, "scale"), c.want, 1e-9*c.want)
	}
	turned := make([]r3.Vec, len(points))
	for i, p := range points {
		turned[i] = r3.Vec{X: p.X, Y: p.Z, Z: -p.Y}
	}
	r, _, _ := meshed(t, "a.obj", solidOf(turned, faces), "scale: 50", "up: y", "thickness: 4 mm")
	near(t, "height of a model made with y up", number(t, r, "height"), 100, 1e-9)
}

// TestMeshFindingsSayWhatToMend: what is wrong with a model, as its maker reads it.
func TestMeshFindingsSayWhatToMend(t *testing.T) {
	points, faces := frustum(4, 100, 100, 80, nil)
	whole := string(solidOf(points, faces))
	lidless := string(solidOf(points, faces[:5]))
	bent := strings.Replace(whole, "v 100 0 0\n", "v 100 0 -30\n", 1)
	for _, c := range []struct {
		name, data string
		keys       []string
		finding    string
		words      string
	}{
		{"a.obj", whole, nil, "", ""},
		{"b.obj", whole, nil, NoModel, "there is no file a.obj"},
		{"a.obj", whole + "f 1 2 9\n", nil, NoModel, "line 15: there is no corner"},
		{"a.obj", whole, []string{"scale: 0.001"}, NoModel, "mm large"},
		{"a.obj", whole, []string{"scale: 1", "height: 10 mm"}, KeysClash, "scale and height"},
		{"a.obj", whole + "v 0 0 200\nf 1 2 9\n", nil, ModelFaces, "more than two faces meet in an edge"},
		{"a.obj", lidless, nil, ModelOpen, "open along one rim"},
		{"a.obj", lidless, []string{"rims: 1"}, "", ""},
		{"a.obj", whole, []string{"rims: 1"}, ModelOpen, "is closed"},
		{"a.obj", bent, nil, ModelBent, "not in one plane, the first in line"},
		{"a.obj", whole, []string{"thickness: 60 mm"}, BevelsCollide, "do not close"},
		{"a.obj", whole, []string{"open: p7"}, string(eval.UnknownName), "has no panel p7"},
	} {
		keys := c.keys
		if !strings.Contains(strings.Join(keys, " "), "thickness") {
			keys = append(keys, "thickness: 5 mm")
		}
		files := func(path string) ([]byte, error) {
			if path != c.name {
				return nil, eval.ErrNoFile
			}
			return []byte(c.data), nil
		}
		_, _, found := workedFrom(t, files, unit.Style{}, "mesh hood\nmodel: \"a.obj\"\n"+strings.Join(keys, "\n"))
		if c.finding == "" {
			if len(found) > 0 {
				t.Errorf("%v: %v", c.keys, found)
			}
			continue
		}
		if len(found) == 0 || found[0].Name != c.finding || !strings.Contains(found[0].Message, c.words) || found[0].Help == "" {
			t.Errorf("%v: want %s: %s, found %v", c.keys, c.finding, c.words, found)
		}
	}
}

// TestMeshPanelsAreNamedByGroup: one of a group bears its name, several are numbered, words that mean
// something else are changed, and those of no group are numbered.
func TestMeshPanelsAreNamedByGroup(t *testing.T) {
	panels := []mesh.Panel{{Group: "roof"}, {Group: "Side wall"}, {Group: "roof"}, {Group: ""}, {Group: "mm"}, {Group: "weight"}, {Group: "3rd"}, {Group: ""}, {Group: "roof2"}}
	var got []string
	for _, n := range meshNames(panels) {
		got = append(got, n.own)
	}
	if want := "roof1 side_wall roof3 p1 mm_panel weight_panel p3rd p2 roof2"; strings.Join(got, " ") != want {
		t.Errorf("%v", got)
	}
}
