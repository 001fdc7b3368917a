package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// body is a solid of flat faces, corners counter-clockwise seen from outside.
type body struct {
	points []r3.Vec
	faces  [][]int
}

// hull is the convex hull of points, found by trying every plane through three of them: slow and plain,
// so that it can judge.
func hull(points []r3.Vec) body {
	const eps = 1e-9
	b := body{points: points}
	seen := map[string]bool{}
	n := len(points)
	for i := range n {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				normal := r3.Cross(r3.Sub(points[j], points[i]), r3.Sub(points[k], points[i]))
				if r3.Norm(normal) < eps {
					continue
				}
				normal = r3.Unit(normal)
				over, under := false, false
				var on []int
				for m, p := range points {
					switch d := r3.Dot(normal, r3.Sub(p, points[i])); {
					case d > eps:
						over = true
					case d < -eps:
						under = true
					default:
						on = append(on, m)
					}
				}
				if over && under || seen[fmt.Sprint(on)] {
					continue
				}
				seen[fmt.Sprint(on)] = true
				if over {
					normal = r3.Scale(-1, normal)
				}
				b.faces = append(b.faces, around(points, on, normal))
			}
		}
	}
	return b
}

// around sorts corners counter-clockwise about their middle.
func around(points []r3.Vec, on []int, normal r3.Vec) []int {
	var mid r3.Vec
	for _, k := range on {
		mid = r3.Add(mid, r3.Scale(1/float64(len(on)), points[k]))
	}
	right, up, _ := frame(normal)
	angle := func(k int) float64 {
		d := r3.Sub(points[k], mid)
		return math.Atan2(r3.Dot(d, up), r3.Dot(d, right))
	}
	slices.SortFunc(on, func(a, b int) int { return int(math.Copysign(1, angle(a)-angle(b))) })
	return on
}

func (b body) obj() []byte {
	var w bytes.Buffer
	for _, p := range b.points {
		fmt.Fprintf(&w, "v %v %v %v\n", p.X, p.Y, p.Z)
	}
	for _, f := range b.faces {
		w.WriteString("f")
		for _, i := range f {
			fmt.Fprintf(&w, " %d", i+1)
		}
		w.WriteString("\n")
	}
	return w.Bytes()
}

// triangles fans every face; the faces of these tests that are hollow come as triangles already.
func (b body) triangles() [][3]r3.Vec {
	var list [][3]r3.Vec
	for _, f := range b.faces {
		for k := 1; k+1 < len(f); k++ {
			list = append(list, [3]r3.Vec{b.points[f[0]], b.points[f[k]], b.points[f[k+1]]})
		}
	}
	return list
}

func binarySTL(list [][3]r3.Vec) []byte {
	var w bytes.Buffer
	w.WriteString("solid this header begins like a text" + strings.Repeat(" ", 44))
	binary.Write(&w, binary.LittleEndian, uint32(len(list)))
	for _, t := range list {
		var row [12]float32
		for k, p := range t {
			row[3+3*k], row[4+3*k], row[5+3*k] = float32(p.X), float32(p.Y), float32(p.Z)
		}
		binary.Write(&w, binary.LittleEndian, row)
		w.Write([]byte{0, 0})
	}
	return w.Bytes()
}

func textSTL(list [][3]r3.Vec) []byte {
	var w bytes.Buffer
	w.WriteString("solid lamp hood\n")
	for _, t := range list {
		w.WriteString(" facet normal 0 0 0\n  outer loop\n")
		for _, p := range t {
			fmt.Fprintf(&w, "   vertex %.17e %.17e %.17e\n", p.X, p.Y, p.Z)
		}
		w.WriteString("  endloop\n endfacet\n")
	}
	w.WriteString("endsolid lamp hood\n")
	return w.Bytes()
}

// shuffled are the triangles in another order, each begun at another corner, some turned over, and
// every corner moved by up to noise.
func shuffled(list [][3]r3.Vec, noise float64, turn bool, r *rand.Rand) [][3]r3.Vec {
	list = slices.Clone(list)
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	for i, t := range list {
		k := r.IntN(3)
		t = [3]r3.Vec{t[k], t[(k+1)%3], t[(k+2)%3]}
		if turn && r.IntN(2) == 0 {
			t[1], t[2] = t[2], t[1]
		}
		for c := range t {
			t[c] = r3.Add(t[c], r3.Scale(noise/math.Sqrt(3), r3.Vec{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1, Z: 2*r.Float64() - 1}))
		}
		list[i] = t
	}
	return list
}

// permuted are all points with the coordinates in the given orders and all signs.
func permuted(orders [][3]int, list ...r3.Vec) []r3.Vec {
	var out []r3.Vec
	for _, p := range list {
		c := [3]float64{p.X, p.Y, p.Z}
		for _, o := range orders {
			for sign := range 8 {
				s := func(i int) float64 { return float64(1 - 2*(sign>>i&1)) }
				q := r3.Vec{X: s(0) * c[o[0]], Y: s(1) * c[o[1]], Z: s(2) * c[o[2]]}
				if !slices.ContainsFunc(out, func(v r3.Vec) bool { return r3.Norm(r3.Sub(v, q)) < 1e-9 }) {
					out = append(out, q)
				}
			}
		}
	}
	return out
}

var (
	cyclic = [][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}}
	anyway = [][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}}
	φ      = (1 + math.Sqrt(5)) / 2
)

// uniform are the Platonic solids and some Archimedean ones: their corners (Coxeter, Regular Polytopes,
// 3.7; Cromwell, Polyhedra, chapter 2) and, by the numbers of corners of the two faces that meet, their
// dihedral angles in degrees (the tables there).
var uniform = []struct {
	name   string
	points []r3.Vec
	faces  int
	angles map[[2]int]float64
}{
	{"tetrahedron", []r3.Vec{{X: 1, Y: 1, Z: 1}, {X: 1, Y: -1, Z: -1}, {X: -1, Y: 1, Z: -1}, {X: -1, Y: -1, Z: 1}}, 4, map[[2]int]float64{{3, 3}: 70.5288}},
	{"cube", permuted(cyclic, r3.Vec{X: 1, Y: 1, Z: 1}), 6, map[[2]int]float64{{4, 4}: 90}},
	{"octahedron", permuted(cyclic, r3.Vec{X: 1}), 8, map[[2]int]float64{{3, 3}: 109.4712}},
	{"dodecahedron", permuted(cyclic, r3.Vec{X: 1, Y: 1, Z: 1}, r3.Vec{Y: 1 / φ, Z: φ}), 12, map[[2]int]float64{{5, 5}: 116.5651}},
	{"icosahedron", permuted(cyclic, r3.Vec{Y: 1, Z: φ}), 20, map[[2]int]float64{{3, 3}: 138.1897}},
	{"cuboctahedron", permuted(anyway, r3.Vec{X: 1, Y: 1}), 14, map[[2]int]float64{{3, 4}: 125.2644}},
	{"truncated octahedron", permuted(anyway, r3.Vec{Y: 1, Z: 2}), 14, map[[2]int]float64{{6, 6}: 109.4712, {4, 6}: 125.2644}},
	{"icosidodecahedron", permuted(cyclic, r3.Vec{Z: φ}, r3.Vec{X: 0.5, Y: φ / 2, Z: φ * φ / 2}), 32, map[[2]int]float64{{3, 5}: 142.6226}},
	// From memory: the same tables.
	{"truncated cube", permuted(anyway, r3.Vec{X: math.Sqrt2 - 1, Y: 1, Z: 1}), 14, map[[2]int]float64{{8, 8}: 90, {3, 8}: 125.2644}},
	{"rhombicuboctahedron", permuted(anyway, r3.Vec{X: 1, Y: 1, Z: 1 + math.Sqrt2}), 26, map[[2]int]float64{{4, 4}: 135, {3, 4}: 144.7356}},
}

func (b body) scaled(by float64) body {
	out := body{faces: b.faces}
	for _, p := range b.points {
		out.points = append(out.points, r3.Scale(by, p))
	}
	return out
}
