package solid

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// prism is an upright n-sided tapered shell with both ends closed.
func prism(n int, bottom, top, height float64) *Shell {
	s := &Shell{}
	low, high := make([]int, n), make([]int, n)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		low[i], high[i] = i, n+i
		s.Points = append(s.Points, r3.Vec{X: bottom * cos, Y: bottom * sin})
	}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		s.Points = append(s.Points, r3.Vec{X: top * cos, Y: top * sin, Z: height})
	}
	down := make([]int, n)
	for i := range n {
		j := (i + 1) % n
		s.Faces = append(s.Faces, Face{Loop: []int{low[i], low[j], high[j], high[i]}})
		down[n-1-i] = low[i]
	}
	s.Faces = append(s.Faces, Face{Loop: high}, Face{Loop: down})
	return s
}

// block is an upright prism over any ring of corners, counter-clockwise from above.
func block(corners []r2.Vec, from, to float64) *Shell {
	s := &Shell{}
	n := len(corners)
	for _, z := range []float64{from, to} {
		for _, c := range corners {
			s.Points = append(s.Points, r3.Vec{X: c.X, Y: c.Y, Z: z})
		}
	}
	up, down := make([]int, n), make([]int, n)
	for i := range n {
		j := (i + 1) % n
		s.Faces = append(s.Faces, Face{Loop: []int{i, j, n + j, n + i}})
		up[i], down[n-1-i] = n+i, i
	}
	s.Faces = append(s.Faces, Face{Loop: up}, Face{Loop: down})
	return s
}

func box3(x0, y0, z0, x1, y1, z1 float64) *Shell {
	return block([]r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}, z0, z1)
}

// together puts shells into one.
func together(list ...*Shell) *Shell {
	s := &Shell{}
	for _, t := range list {
		n := len(s.Points)
		s.Points = append(s.Points, t.Points...)
		for _, f := range t.Faces {
			loop := make([]int, len(f.Loop))
			for i, k := range f.Loop {
				loop[i] = k + n
			}
			f.Loop = loop
			s.Faces = append(s.Faces, f)
		}
	}
	return s
}

// ball is a closed sphere of triangles and quadrangles.
func ball(rings, sides int, radius float64) *Shell {
	s := &Shell{Points: []r3.Vec{{Z: -radius}}}
	for i := 1; i < rings; i++ {
		sa, ca := math.Sincos(math.Pi * (float64(i)/float64(rings) - 0.5))
		for j := range sides {
			sb, cb := math.Sincos(2 * math.Pi * float64(j) / float64(sides))
			s.Points = append(s.Points, r3.Vec{X: radius * ca * cb, Y: radius * ca * sb, Z: radius * sa})
		}
	}
	s.Points = append(s.Points, r3.Vec{Z: radius})
	at := func(i, j int) int { return 1 + (i-1)*sides + j%sides }
	for j := range sides {
		s.Faces = append(s.Faces, Face{Loop: []int{0, at(1, j+1), at(1, j)}})
		for i := 1; i < rings-1; i++ {
			s.Faces = append(s.Faces, Face{Loop: []int{at(i, j), at(i, j+1), at(i+1, j+1), at(i+1, j)}})
		}
		s.Faces = append(s.Faces, Face{Loop: []int{len(s.Points) - 1, at(rings-1, j), at(rings-1, j+1)}})
	}
	return s
}

// star is a ring of corners at two distances by turns: hollow at every second corner.
func star(n int, far, near float64) []r2.Vec {
	ring := make([]r2.Vec, 2*n)
	for i := range ring {
		r := far
		if i%2 == 1 {
			r = near
		}
		sin, cos := math.Sincos(math.Pi*float64(i)/float64(n) + 0.1)
		ring[i] = r2.Vec{X: r * cos, Y: r * sin}
	}
	return ring
}

// scenes are shells that are hard to draw: hollow ones, ones behind each other, three beams that
// overlap in a ring, two that run through each other, and an open one seen from inside.
func scenes() map[string]*Shell {
	open := prism(8, 90, 60, 80)
	open.Faces = open.Faces[:len(open.Faces)-2]
	gap := prism(7, 90, 90, 60)
	gap.Faces = gap.Faces[1 : len(gap.Faces)-2]
	return map[string]*Shell{
		"box":         box3(-40, -30, 0, 40, 30, 50),
		"frustum":     prism(9, 80, 50, 90),
		"ball":        ball(9, 14, 70),
		"star":        block(star(6, 80, 40), 0, 50),
		"towers":      together(box3(-60, -60, 0, -20, -20, 90), box3(20, 10, 0, 60, 50, 120), box3(-10, -50, 0, 30, -15, 40)),
		"beams":       together(box3(-60, -40, 0, 60, -20, 20), tilted(box3(20, -60, 0, 40, 60, 20), 0, 0.35), tilted(box3(-40, -60, 5, -20, 70, 22), 0.25, -0.3)),
		"through":     together(box3(-60, -12, -10, 60, 12, 10), tilted(box3(-12, -60, -8, 12, 60, 9), 0.4, 0.2)),
		"open ring":   open,
		"ring, a gap": gap,
	}
}

// tilted turns a shell about x, then about y.
func tilted(s *Shell, x, y float64) *Shell {
	turn := func(p r3.Vec) r3.Vec {
		sx, cx := math.Sincos(x)
		sy, cy := math.Sincos(y)
		p = r3.Vec{X: p.X, Y: cx*p.Y - sx*p.Z, Z: sx*p.Y + cx*p.Z}
		return r3.Vec{X: cy*p.X + sy*p.Z, Y: p.Y, Z: cy*p.Z - sy*p.X}
	}
	for i, p := range s.Points {
		s.Points[i] = turn(p)
	}
	return s
}

var views = []View{Look(0.5, 0.45), Look(-0.7, 0.9), Look(2.2, 0.2), Look(0, 0), Look(0.3, -0.6), Look(0, math.Pi/2)}

func areaOf(list [][]r2.Vec) float64 {
	sum := 0.0
	for _, p := range list {
		sum += polygon(p).area()
	}
	return sum
}

// nearest is the judge: the face that a ray through a point of the picture meets first, found by
// crossings in the face's own plane (nothing of the scene is used). It is not sure near a face's side.
func nearest(s *Shell, v View, at r2.Vec) (face int, sure bool) {
	face, sure = -1, true
	high := math.Inf(-1)
	origin := r3.Add(r3.Scale(at.X, v.Right), r3.Scale(at.Y, v.Up))
	for i, f := range s.Faces {
		a, b, c := s.Points[f.Loop[0]], s.Points[f.Loop[1]], s.Points[f.Loop[2]]
		n := r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		across := r3.Dot(n, v.Toward)
		if math.Abs(across) < 1e-3 {
			continue
		}
		t := r3.Dot(n, r3.Sub(a, origin)) / across
		hit := r3.Add(origin, r3.Scale(t, v.Toward))
		u := r3.Unit(r3.Sub(b, a))
		w := r3.Cross(n, u)
		inside := false
		for k := range f.Loop {
			p, q := r3.Sub(s.Points[f.Loop[k]], hit), r3.Sub(s.Points[f.Loop[(k+1)%len(f.Loop)]], hit)
			p2, q2 := r2.Vec{X: r3.Dot(p, u), Y: r3.Dot(p, w)}, r2.Vec{X: r3.Dot(q, u), Y: r3.Dot(q, w)}
			if (p2.Y > 0) != (q2.Y > 0) && p2.X-p2.Y*(q2.X-p2.X)/(q2.Y-p2.Y) > 0 {
				inside = !inside
			}
			if side := r2.Sub(q2, p2); math.Abs(r2.Cross(side, p2)) < 1e-4*r2.Norm(side) {
				sure = false
			}
		}
		if inside && math.Abs(t-high) < 1e-4 {
			sure = false
		}
		if inside && t > high {
			face, high = i, t
		}
	}
	return face, sure
}

func holds(list [][]r2.Vec, at r2.Vec) bool {
	for _, p := range list {
		in := true
		for i, a := range p {
			in = in && r2.Cross(r2.Sub(p[(i+1)%len(p)], a), r2.Sub(at, a)) >= -1e-9
		}
		if in {
			return true
		}
	}
	return false
}

func TestTheFaceThatShowsIsTheOneThatARayMeetsFirst(t *testing.T) {
	for name, s := range scenes() {
		rnd := rand.New(rand.NewPCG(3, 5))
		for _, v := range views {
			sc := s.Seen(v)
			seen := make([][][]r2.Vec, len(s.Faces))
			for i := range s.Faces {
				seen[i] = sc.Face(i)
			}
			box, judged := sc.Box(), 0
			for range 400 {
				at := r2.Vec{X: box.Min.X + rnd.Float64()*(box.Max.X-box.Min.X), Y: box.Min.Y + rnd.Float64()*(box.Max.Y-box.Min.Y)}
				want, sure := nearest(s, v, at)
				if !sure {
					continue
				}
				judged++
				for i := range seen {
					if holds(seen[i], at) != (i == want) {
						t.Fatalf("%s from %v: at %v a ray meets face %d first; face %d shows there: %v", name, v.Toward, at, want, i, !(i == want))
					}
				}
			}
			if judged < 200 {
				t.Errorf("%s from %v: only %d points judged", name, v.Toward, judged)
			}
		}
	}
}

func TestAStretchOfAnEdgeShowsWhereNoFaceStandsBeforeIt(t *testing.T) {
	for name, s := range scenes() {
		for _, v := range views {
			sc := s.Seen(v)
			for i, f := range s.Faces {
				for k, a := range f.Loop {
					p, q := s.Points[a], s.Points[f.Loop[(k+1)%len(f.Loop)]]
					if r2.Norm(r2.Sub(v.Project(p), v.Project(q))) < 1e-3 {
						continue // seen end on
					}
					shown := sc.Segment(p, q)
					for _, share := range []float64{0.0731, 0.29, 0.517, 0.77, 0.933} {
						at := r3.Add(p, r3.Scale(share, r3.Sub(q, p)))
						hidden, sure := coveredAt(s, v, at)
						if !sure {
							continue
						}
						if on := onAny(shown, v.Project(at)); on == hidden {
							t.Fatalf("%s from %v: edge %d of face %d at %v: shows %v, a face stands before it: %v", name, v.Toward, k, i, share, on, hidden)
						}
					}
				}
			}
		}
	}
}

// coveredAt is the judge for a point in space: whether a face crosses the way from it to the viewer.
func coveredAt(s *Shell, v View, at r3.Vec) (hidden, sure bool) {
	sure = true
	for _, f := range s.Faces {
		one := &Shell{Points: s.Points, Faces: []Face{f}}
		p := v.Project(at)
		hit, certain := nearest(one, v, p)
		a, b, c := s.Points[f.Loop[0]], s.Points[f.Loop[1]], s.Points[f.Loop[2]]
		n := r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		ahead := r3.Dot(n, r3.Sub(a, at)) / r3.Dot(n, v.Toward)
		switch {
		case math.Abs(r3.Dot(n, v.Toward)) < 1e-3 || ahead < -1e-3:
		case math.Abs(ahead) < 1e-3: // the face that it lies on
		case !certain:
			sure = false
		case hit == 0:
			hidden = true
		}
	}
	return hidden, sure
}

func onAny(list [][2]r2.Vec, p r2.Vec) bool {
	for _, s := range list {
		along := r2.Sub(s[1], s[0])
		t := r2.Dot(r2.Sub(p, s[0]), along) / r2.Norm2(along)
		if t > 0 && t < 1 && math.Abs(r2.Cross(along, r2.Sub(p, s[0])))/r2.Norm(along) < 1e-6 {
			return true
		}
	}
	return false
}

// A convex body's silhouette is half of what its faces show from both sides: Σ|n·v|·A/2 (Cauchy).
func TestWhatShowsOfAConvexShellIsHalfTheSumOfItsShadows(t *testing.T) {
	for _, name := range []string{"box", "frustum", "ball"} {
		s := scenes()[name]
		for _, v := range views {
			sc := s.Seen(v)
			shown, shadows := 0.0, 0.0
			for i := range s.Faces {
				shown += areaOf(sc.Face(i))
				shadows += math.Abs(r3.Dot(s.areaVector(i), v.Toward))
			}
			if want := shadows / 2; math.Abs(shown-want) > 1e-6*want {
				t.Errorf("%s from %v: %.6f mm² shows, want %.6f", name, v.Toward, shown, want)
			}
		}
	}
}

// union asks GEOS, through Debian's python3-shapely, for the areas of the silhouettes.
const union = `
import json, sys
from shapely.geometry import Polygon
from shapely.ops import unary_union
for faces in json.load(sys.stdin):
    print(unary_union([Polygon(f).buffer(0) for f in faces]).area)
`

func TestWhatShowsFillsTheSilhouetteThatAGeometryLibraryFinds(t *testing.T) {
	var silhouettes [][][][2]float64
	var shown []float64
	var names []string
	for name, s := range scenes() {
		for k, v := range views {
			sc := s.Seen(v)
			var faces [][][2]float64
			sum := 0.0
			for i, f := range s.Faces {
				sum += areaOf(sc.Face(i))
				var ring [][2]float64
				for _, at := range f.Loop {
					p := v.Project(s.Points[at])
					ring = append(ring, [2]float64{p.X, p.Y})
				}
				faces = append(faces, ring)
			}
			silhouettes, shown, names = append(silhouettes, faces), append(shown, sum), append(names, fmt.Sprintf("%s, view %d", name, k))
		}
	}
	for i, want := range geos(t, union, silhouettes) {
		if math.Abs(shown[i]-want) > 1e-5*math.Max(want, 1) { // a flat part seen along its face shows nothing
			t.Errorf("%s: %.6f mm² shows, the silhouette has %.6f", names[i], shown[i], want)
		}
	}
}

// geos runs a script over the value and reads one number a line.
func geos(t *testing.T, script string, input any) []float64 {
	t.Helper()
	if exec.Command("/usr/bin/python3", "-c", "import shapely").Run() != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3-shapely is needed to judge areas")
		}
		t.Skip("python3-shapely is not installed, nobody judges the silhouettes")
	}
	data, err := json.Marshal(input)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "-c", script)
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var list []float64
	for _, l := range bytes.Fields(out) {
		var x float64
		if _, err := fmt.Sscan(string(l), &x); err != nil {
			t.Fatal(err)
		}
		list = append(list, x)
	}
	return list
}

func TestConvexPiecesTakeUpTheWholePolygon(t *testing.T) {
	keyhole := polygon{{X: 0, Y: 0}, {X: 9, Y: 0}, {X: 9, Y: 9}, {X: 0, Y: 9}, {X: 0, Y: 4}, {X: 3, Y: 4}, {X: 3, Y: 6}, {X: 6, Y: 6}, {X: 6, Y: 3}, {X: 3, Y: 3}, {X: 3, Y: 4}, {X: 0, Y: 4}}
	for name, p := range map[string]polygon{
		"star":    star(7, 50, 20),
		"keyhole": keyhole,
		"comb":    {{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 9}, {X: 8, Y: 9}, {X: 8, Y: 2}, {X: 6, Y: 2}, {X: 6, Y: 9}, {X: 4, Y: 9}, {X: 4, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 9}, {X: 0, Y: 9}},
		"flat":    {{X: 0, Y: 0}, {X: 5, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 5, Y: 4}, {X: 0, Y: 10}},
	} {
		sum := 0.0
		for _, q := range p.convexPieces() {
			if !q.convex() {
				t.Errorf("%s: %v is not convex", name, q.polygon)
			}
			sum += q.area()
		}
		if math.Abs(sum-p.area()) > 1e-9*p.area() {
			t.Errorf("%s: the pieces are %v mm², the polygon %v", name, sum, p.area())
		}
	}
}

func TestPointsThatAreNotNumbersAreNotSeen(t *testing.T) {
	s := box3(0, 0, 0, 1, 1, 1)
	s.Points[3].X = math.NaN()
	s.Points[5].Z = math.Inf(1)
	s.Faces = append(s.Faces, Face{}, Face{Loop: []int{1, 1, 1}}, Face{Loop: []int{0, 1}})
	sc := s.Seen(Look(0.5, 0.5))
	for i := range s.Faces {
		for _, p := range sc.Face(i) {
			if a := polygon(p).area(); math.IsNaN(a) || math.IsInf(a, 0) {
				t.Errorf("face %d shows %v", i, p)
			}
		}
	}
	for _, l := range sc.Edges() {
		if n := r2.Norm(r2.Sub(l.A, l.B)); math.IsNaN(n) || math.IsInf(n, 0) {
			t.Errorf("an edge shows from %v to %v", l.A, l.B)
		}
	}
}

func BenchmarkSeenBall(b *testing.B) {
	for _, n := range []int{16, 32, 64} {
		s := ball(n, n, 100)
		b.Run(fmt.Sprint(len(s.Faces)), func(b *testing.B) { seeAll(b, s) })
	}
}

// Ten balls in a row, nine of them behind another.
func BenchmarkSeenRow(b *testing.B) {
	for _, n := range []int{10, 20} {
		var row []*Shell
		for i := range 10 {
			x := ball(n, n, 100)
			for k := range x.Points {
				x.Points[k].Y += 150 * float64(i)
			}
			row = append(row, x)
		}
		s := together(row...)
		b.Run(fmt.Sprint(len(s.Faces)), func(b *testing.B) { seeAll(b, s) })
	}
}

func seeAll(b *testing.B, s *Shell) {
	b.ReportAllocs()
	v := Look(0.2, 0.3)
	for b.Loop() {
		sc := s.Seen(v)
		for i := range s.Faces {
			sc.Face(i)
		}
		sc.Edges()
	}
}
