package solid

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
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
		a1, a2 := p.cutCorners(s.A.Edge)
		b1, b2 := q.cutCorners(s.B.Edge)
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

// cutCorners are the two corners of a side.
func (p *Panel) cutCorners(side int) (Corner, Corner) {
	i := slices.IndexFunc(p.Corners, func(c Corner) bool { return c.Side == side })
	return p.Corners[i], p.Corners[(i+1)%len(p.Corners)]
}

// A corner at which more than three panels meet is rarely regular: small cuts of no width on the show
// face close it. The hull of points on a sphere has corners of up to ten panels.
func TestWallsOfAnyConvexShellCloseUp(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 1))
		var points []r3.Vec
		for range 8 + rng.IntN(20) {
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
