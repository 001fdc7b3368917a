package solid

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

const degree = math.Pi / 180

func built(t testing.TB, s *Shell, o Options) *Body {
	t.Helper()
	b, errs := Build(s, o)
	for _, err := range errs {
		t.Fatal(err)
	}
	return b
}

// hull is the convex hull of points in general position or not: faces that lie in one plane are one.
// Every plane through three points that has all others on one side is a face.
func hull(points []r3.Vec, wall float64) *Shell {
	s := &Shell{Points: points}
	seen := map[string]bool{}
	n := len(points)
	for i := range n {
		for j := range n {
			for k := range n {
				if i == j || j == k || i == k {
					continue
				}
				normal := r3.Cross(r3.Sub(points[j], points[i]), r3.Sub(points[k], points[i]))
				if r3.Norm(normal) < 1e-9 {
					continue
				}
				normal = r3.Unit(normal)
				var on []int
				below := true
				for m, p := range points {
					switch d := r3.Dot(normal, r3.Sub(p, points[i])); {
					case d > 1e-7:
						below = false
					case d > -1e-7:
						on = append(on, m)
					}
				}
				if !below || seen[fmt.Sprint(on)] {
					continue
				}
				seen[fmt.Sprint(on)] = true
				mid := r3.Vec{}
				for _, m := range on {
					mid = r3.Add(mid, r3.Scale(1/float64(len(on)), points[m]))
				}
				fr := frameOf(normal)
				fr.Origin = mid
				slices.SortFunc(on, func(a, b int) int {
					p, q := fr.flat(points[a]), fr.flat(points[b])
					if math.Atan2(p.Y, p.X) < math.Atan2(q.Y, q.X) {
						return -1
					}
					return 1
				})
				s.Faces = append(s.Faces, Face{Name: fmt.Sprintf("p%d", len(s.Faces)+1), Loop: on, Wall: wall})
			}
		}
	}
	return s
}

// permuted are the points with all even permutations or all permutations of coordinates, and all signs.
func permuted(x, y, z float64, all bool) []r3.Vec {
	var list []r3.Vec
	add := func(p r3.Vec) {
		for _, q := range list {
			if r3.Norm(r3.Sub(p, q)) < 1e-9 {
				return
			}
		}
		list = append(list, p)
	}
	for _, sx := range []float64{1, -1} {
		for _, sy := range []float64{1, -1} {
			for _, sz := range []float64{1, -1} {
				a, b, c := sx*x, sy*y, sz*z
				add(r3.Vec{X: a, Y: b, Z: c})
				add(r3.Vec{X: b, Y: c, Z: a})
				add(r3.Vec{X: c, Y: a, Z: b})
				if all {
					add(r3.Vec{X: b, Y: a, Z: c})
					add(r3.Vec{X: a, Y: c, Z: b})
					add(r3.Vec{X: c, Y: b, Z: a})
				}
			}
		}
	}
	return list
}

// Dihedral angles of the Platonic solids and of Archimedean ones, in degrees: Cromwell, "Polyhedra";
// Coxeter, "Regular Polytopes". Those of the truncated tetrahedron, the truncated cube and the
// rhombicuboctahedron follow from the tetrahedron's and the octahedron's. Corners: Coxeter, 3.7.
func TestDihedralsOfThePlatonicAndArchimedeanSolids(t *testing.T) {
	phi := math.Phi
	tetra := []r3.Vec{{X: 1, Y: 1, Z: 1}, {X: 1, Y: -1, Z: -1}, {X: -1, Y: 1, Z: -1}, {X: -1, Y: -1, Z: 1}}
	var truncatedTetra []r3.Vec
	for _, p := range permuted(1, 1, 3, false) {
		if p.X*p.Y*p.Z > 0 {
			truncatedTetra = append(truncatedTetra, p)
		}
	}
	// A solid's angles by the numbers of corners of the two faces.
	type angles map[[2]int]float64
	cases := []struct {
		name   string
		points []r3.Vec
		faces  int
		want   angles
	}{
		{"tetrahedron", tetra, 4, angles{{3, 3}: 70.5288}},
		{"cube", permuted(1, 1, 1, false), 6, angles{{4, 4}: 90}},
		{"octahedron", permuted(1, 0, 0, false), 8, angles{{3, 3}: 109.4712}},
		{"dodecahedron", append(permuted(1, 1, 1, false), permuted(0, 1/phi, phi, false)...), 12, angles{{5, 5}: 116.5651}},
		{"icosahedron", permuted(0, 1, phi, false), 20, angles{{3, 3}: 138.1897}},
		{"cuboctahedron", permuted(1, 1, 0, false), 14, angles{{3, 4}: 125.2644}},
		{"truncated octahedron", permuted(0, 1, 2, true), 14, angles{{6, 6}: 109.4712, {4, 6}: 125.2644}},
		{"icosidodecahedron", append(permuted(0, 0, 2*phi, false), permuted(1, phi, phi*phi, false)...), 32, angles{{3, 5}: 142.6226}},
		{"truncated tetrahedron", truncatedTetra, 8, angles{{6, 6}: 70.5288, {3, 6}: 109.4712}},
		{"truncated cube", permuted(1, 1+math.Sqrt2, 1+math.Sqrt2, false), 14, angles{{8, 8}: 90, {3, 8}: 125.2644}},
		{"rhombicuboctahedron", permuted(1, 1, 1+math.Sqrt2, false), 26, angles{{4, 4}: 135, {3, 4}: 144.7356}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var points []r3.Vec
			for _, p := range c.points {
				points = append(points, r3.Scale(100, p))
			}
			b := built(t, hull(points, 4), Options{})
			if len(b.Panels) != c.faces {
				t.Fatalf("%d faces, want %d", len(b.Panels), c.faces)
			}
			for _, s := range b.Seams {
				m, n := len(b.Faces[s.A.Face].Loop), len(b.Faces[s.B.Face].Loop)
				want, ok := c.want[[2]int{min(m, n), max(m, n)}]
				if !ok {
					t.Fatalf("a seam of %d and %d corners", m, n)
				}
				if got := s.Dihedral / degree; math.Abs(got-want) > 5e-5 {
					t.Errorf("%d-%d: %.5f°, want %.4f°", m, n, got, want)
				}
				if got := b.Panel(s.A.Face).Sides[s.A.Edge].Bevel / degree; math.Abs(got-(180-want)/2) > 5e-5 {
					t.Errorf("%d-%d: bevel %.5f°, want %.4f°", m, n, got, (180-want)/2)
				}
			}
			if len(b.Rims) != 0 {
				t.Errorf("%d rims", len(b.Rims))
			}
			closesUp(t, b)
		})
	}
}

// closesUp holds a body without butts to what must be true of every one: seams as long on one side as on
// the other, walls that fill what is between the outside and the inside, corners of neighbours at one
// place, back sides in their planes and cuts through the given edges.
func closesUp(t *testing.T, b *Body) {
	t.Helper()
	for _, s := range b.Seams {
		p, q := b.Panel(s.A.Face), b.Panel(s.B.Face)
		one, two := p.Sides[s.A.Edge], q.Sides[s.B.Edge]
		if math.Abs(one.Length-two.Length) > 1e-9 || math.Abs(one.BackLength-two.BackLength) > 1e-9 {
			t.Errorf("%s and %s: %.12g and %.12g, back %.12g and %.12g", b.Label(s.A), b.Label(s.B), one.Length, two.Length, one.BackLength, two.BackLength)
		}
		a1, a2 := p.Ends(s.A.Edge)
		b1, b2 := q.Ends(s.B.Edge)
		for _, d := range []float64{
			r3.Norm(r3.Sub(a1.Show, b2.Show)), r3.Norm(r3.Sub(a2.Show, b1.Show)),
			r3.Norm(r3.Sub(a1.Back, b2.Back)), r3.Norm(r3.Sub(a2.Back, b1.Back)),
		} {
			if d > 1e-6 {
				t.Errorf("%s and %s: corners %.3g mm apart", b.Label(s.A), b.Label(s.B), d)
			}
		}
		if turn := math.Pi - s.Dihedral; math.Abs(one.Bevel+two.Bevel-turn) > 1e-9 {
			t.Errorf("%s and %s: bevels of %v and %v for a turn of %v", b.Label(s.A), b.Label(s.B), one.Bevel, two.Bevel, turn)
		}
	}
	for i := range b.Panels {
		p := &b.Panels[i]
		for _, c := range p.Corners {
			d := r3.Dot(p.Normal, r3.Sub(c.Show, c.Back))
			if math.Abs(d-p.Wall) > 2e-6 {
				t.Errorf("%s is %v mm thick at a corner, not %v", p.Name, d, p.Wall)
			}
		}
	}
	m := b.Measure()
	if diff := m.OuterVolume - m.InnerVolume - m.WallVolume; math.Abs(diff) > 1e-8*m.OuterVolume {
		t.Errorf("walls of %.9g between %.9g and %.9g: %.3g too many", m.WallVolume, m.OuterVolume, m.InnerVolume, -diff)
	}
}

// A corner at which more than three panels meet is rarely regular: small cuts of no width on the show
// face close it. The hull of points on a sphere has corners of up to ten panels.
func TestWallsOfAnyConvexShellCloseUp(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 1))
		var points []r3.Vec
		for range 8 + rng.IntN(14) {
			points = append(points, r3.Scale(200, r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		}
		s := hull(points, 0.02)
		if seed%2 == 1 { // walls of different thickness
			for i := range s.Faces {
				s.Faces[i].Wall *= 1 + 0.01*rng.Float64()
			}
		}
		s.Inside = seed%4 >= 2
		b, errs := Build(s, Options{})
		if len(errs) > 0 {
			t.Errorf("seed %d: %v", seed, errs)
			continue
		}
		closesUp(t, b)
	}
}

// Compound mitres of n-sided frustums: sin tilt = sin α · sin(180°/n); the slope of the panels, α, counted
// from the horizontal. Tables of this form stand in woodworking handbooks; the rows for four sides at 52° and
// 45° are those of the crown-moulding tables of carpentry, 33.9° and 30.0° (widely printed; from memory).
func TestTiltOfRings(t *testing.T) {
	table := map[int][7]float64{
		4:  {20.70, 30.00, 33.86, 37.76, 43.08, 44.14, 45.00},
		5:  {17.09, 24.56, 27.59, 30.60, 34.59, 35.37, 36.00},
		6:  {14.48, 20.70, 23.20, 25.66, 28.88, 29.50, 30.00},
		8:  {11.03, 15.70, 17.55, 19.35, 21.69, 22.14, 22.50},
		12: {7.44, 10.55, 11.77, 12.95, 14.48, 14.77, 15.00},
	}
	for n, row := range table {
		for i, slope := range [7]float64{30, 45, 52, 60, 75, 80, 90} {
			const height = 60
			in := 200.0 - height/math.Tan(slope*degree)
			r := 1 / math.Cos(math.Pi/float64(n))
			s := Ring(n, 200*r, in*r, height)
			for k := range s.Faces {
				s.Faces[k].Wall = 5
			}
			b := built(t, s, Options{})
			closesUp(t, b)
			if got := b.Panels[0].Sides[1].Bevel / degree; math.Abs(got-row[i]) > 0.005 {
				t.Errorf("n = %d at %v°: tilt %.4f°, want %v°", n, slope, got, row[i])
			}
		}
	}
}

// A box with 10 mm walls, corners butted, front and back running through: the sides lose 10 mm at each
// covered end, and the floor at all four. Common practice, no source.
func TestButtedBox(t *testing.T) {
	s := Box(r2.Vec{X: 300, Y: 200}, r2.Vec{X: 300, Y: 200}, 150, r2.Vec{})
	for k := range s.Faces {
		s.Faces[k].Wall = 10
	}
	order := []string{"front", "back", "right", "left", Floor, Lid}
	through := func(a, b int) (int, bool) {
		if slices.Index(order, s.Faces[a].Name) < slices.Index(order, s.Faces[b].Name) {
			return a, true
		}
		return b, true
	}
	sizes := map[string][2]float64{"front": {300, 150}, "back": {300, 150}, "right": {180, 150}, "left": {180, 150}, Floor: {280, 180}, Lid: {280, 180}}
	for _, inside := range []bool{false, true} {
		s.Inside = inside
		b := built(t, s, Options{Through: through})
		for _, p := range b.Panels {
			want := sizes[p.Name]
			if inside { // the given sizes are those of the inside
				want = map[string][2]float64{"front": {320, 170}, "back": {320, 170}, "right": {200, 170}, "left": {200, 170}, Floor: {300, 200}, Lid: {300, 200}}[p.Name]
			}
			for _, o := range []shape.Outline{p.At(0), p.At(10)} {
				if got := o.Bounds().Size(); math.Abs(got.X-want[0]) > 1e-9 || math.Abs(got.Y-want[1]) > 1e-9 {
					t.Errorf("%s (inside: %v): %v, want %v", p.Name, inside, got, want)
				}
			}
		}
		m := b.Measure()
		if math.Abs(m.OuterVolume-m.InnerVolume-m.WallVolume) > 1e-3 {
			t.Errorf("inside %v: walls of %v between %v and %v", inside, m.WallVolume, m.OuterVolume, m.InnerVolume)
		}
	}
}

// walls gives every face of a shell a wall.
func walls(s *Shell, t float64, open ...string) *Shell {
	for i := range s.Faces {
		s.Faces[i].Wall, s.Faces[i].Open = t, slices.Contains(open, s.Faces[i].Name)
	}
	return s
}

// flush cuts all rims level with their openings.
func flush(Edge) (float64, bool) { return 0, true }

func TestAnyBoxCloses(t *testing.T) {
	for seed := range uint64(120) {
		rng := rand.New(rand.NewPCG(seed, 2))
		size := func() r2.Vec { return r2.Vec{X: 80 + 400*rng.Float64(), Y: 80 + 400*rng.Float64()} }
		s := Box(size(), size(), 60+300*rng.Float64(), r2.Vec{X: 60 * rng.NormFloat64(), Y: 60 * rng.NormFloat64()})
		s.Inside = seed%2 == 0
		if seed%3 == 0 {
			walls(s, 8, Lid)
		} else {
			walls(s, 8)
		}
		closesUp(t, built(t, s, Options{Rim: flush}))
	}
}

func TestAnyRingCloses(t *testing.T) {
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 3))
		n := 3 + rng.IntN(14)
		top := 100 + 200*rng.Float64()
		if seed%5 == 0 {
			top = 0
		}
		s := Ring(n, 150+200*rng.Float64(), top, 60+300*rng.Float64())
		s.Inside = seed%2 == 0
		open := [][]string{nil, {Lid, Floor}, {Lid, Floor, "side2"}}[seed%3]
		closesUp(t, built(t, walls(s, 5, open...), Options{Rim: flush}))
	}
}

// Stations turned, shifted and of any size leave corners of six panels each that are ridges in one direction
// and hollows in the other: a saddle closes too.
func TestAnyLoftCloses(t *testing.T) {
	closed, small := 0, 0
	for seed := range uint64(120) {
		rng := rand.New(rand.NewPCG(seed, 4))
		n := 3 + rng.IntN(6)
		var sides []string
		for k := range n {
			sides = append(sides, fmt.Sprintf("side%d", k+1))
		}
		var rings [][]r3.Vec
		for level := range 2 + rng.IntN(3) {
			var ring []r3.Vec
			r, turn := 150+100*rng.Float64(), 0.1*rng.NormFloat64()
			shift := r2.Vec{X: 15 * rng.NormFloat64(), Y: 15 * rng.NormFloat64()}
			for k := range n {
				sin, cos := math.Sincos(2*math.Pi*float64(k)/float64(n) + turn)
				ring = append(ring, r3.Vec{X: shift.X + r*cos, Y: shift.Y + r*sin, Z: 150 * float64(level)})
			}
			rings = append(rings, ring)
		}
		name := func(level, edge int) string { return fmt.Sprintf("l%d_%s", level, sides[edge]) }
		s, twists := Loft(rings, sides, name, func(string) Fold { return Rising + Fold(seed%2) }, Flat)
		if len(twists) > 0 {
			t.Fatal("a loft with folds is told to be twisted")
		}
		s.Inside = seed%4 >= 2
		open := [][]string{nil, {Lid, Floor}}[seed%2]
		b, errs := Build(walls(s, 1.5, open...), Options{Rim: flush})
		if len(errs) > 0 {
			small++
			continue
		}
		closed++
		closesUp(t, b)
	}
	if closed < 100 {
		t.Errorf("%d lofts close and %d do not", closed, small)
	}
}

// Butted panels, in whatever order they run through, fill the wall without a gap and without overlapping.
func TestButtedPanelsFillTheWall(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 7))
		size := func() r2.Vec { return r2.Vec{X: 150 + 200*rng.Float64(), Y: 150 + 200*rng.Float64()} }
		s := walls(Box(size(), size(), 120+200*rng.Float64(), r2.Vec{X: 20 * rng.NormFloat64()}), 8)
		s.Inside = seed%2 == 1
		rank := rng.Perm(len(s.Faces))
		mitred := seed%3 == 0 // but for the floor
		b := built(t, s, Options{Through: func(a, c int) (int, bool) {
			butt := !mitred || s.Faces[a].Name == Floor || s.Faces[c].Name == Floor
			if rank[a] < rank[c] && !mitred || mitred && s.Faces[a].Name == Floor {
				return a, butt
			}
			return c, butt
		}})
		m := b.Measure()
		if diff := m.OuterVolume - m.InnerVolume - m.WallVolume; math.Abs(diff) > 1e-8*m.OuterVolume {
			t.Errorf("seed %d: the panels fill %v of %v", seed, m.WallVolume, m.OuterVolume-m.InnerVolume)
		}
	}
}

// The room inside a section: for a rectangle its shorter side, for a regular polygon across the flats, for a
// triangle twice the inradius 2·area/perimeter (Euclid IV.4).
func TestClearOpening(t *testing.T) {
	box := built(t, walls(Box(r2.Vec{X: 300, Y: 200}, r2.Vec{X: 300, Y: 200}, 100, r2.Vec{}), 10, Lid, Floor), Options{})
	for _, c := range []struct {
		b                               *Body
		diameter, width, depth, in, out float64
	}{
		{box, 180, 280, 180, 920, 1000},
		{built(t, walls(Ring(8, 200/math.Cos(math.Pi/8), 200/math.Cos(math.Pi/8), 90), 15, Lid, Floor), Options{}), 370, 370, 370, 16 * 185 * math.Tan(math.Pi/8), 16 * 200 * math.Tan(math.Pi/8)},
		{built(t, walls(Ring(3, 200, 200, 90), 20, Lid, Floor), Options{}), 2 * 80, 160 * 2 / math.Sqrt(3), 240, 6 * 80 * math.Sqrt(3), 6 * 100 * math.Sqrt(3)},
	} {
		s := c.b.Section(50)
		out, in := s.Girths()
		got := s.Clear()
		if math.Abs(out-c.out) > 1e-6 || math.Abs(in-c.in) > 1e-6 {
			t.Errorf("girths %v and %v, want %v and %v", out, in, c.out, c.in)
		}
		if math.Abs(got.Diameter-c.diameter) > 4e-3 || c.width != 160*2/math.Sqrt(3) && math.Abs(got.Width-c.width) > 0.01 || math.Abs(got.Depth-c.depth) > 0.02 {
			t.Errorf("%+v, want %v, %v × %v", got, c.diameter, c.width, c.depth)
		}
	}
}

func BenchmarkBuildThousandFaces(b *testing.B) { benchmarkBuild(b, 32) }
func BenchmarkBuildTenThousand(b *testing.B)   { benchmarkBuild(b, 100) }

// benchmarkBuild builds a closed loft of n rings of n sides on a ball, all its sides flat.
func benchmarkBuild(b *testing.B, n int) {
	var rings [][]r3.Vec
	var sides []string
	for k := range n {
		sides = append(sides, fmt.Sprintf("side%d", k+1))
	}
	for level := range n + 1 {
		φ := (0.05 + 0.9*float64(level)/float64(n)) * math.Pi
		var ring []r3.Vec
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ring = append(ring, r3.Vec{X: 3000 * math.Sin(φ) * cos, Y: 3000 * math.Sin(φ) * sin, Z: -3000 * math.Cos(φ)})
		}
		rings = append(rings, ring)
	}
	s, _ := Loft(rings, sides, func(l, e int) string { return fmt.Sprintf("l%d_%d", l, e) }, func(string) Fold { return NoFold }, Flat)
	walls(s, 5)
	for b.Loop() {
		if _, errs := Build(s, Options{}); len(errs) > 0 {
			b.Fatal(errs)
		}
	}
}
