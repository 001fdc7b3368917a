package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// boards are the mitred boards of an upright ring open at both ends.
func boards(n int, radius, wall, height float64) []Slab {
	inner := radius - wall/math.Cos(math.Pi/float64(n))
	at := func(i int, r, z float64) r3.Vec {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		return r3.Vec{X: r * cos, Y: r * sin, Z: z}
	}
	var list []Slab
	for i := range n {
		face := func(r float64) []r3.Vec {
			return []r3.Vec{at(i, r, 0), at(i+1, r, 0), at(i+1, r, height), at(i, r, height)}
		}
		list = append(list, Slab{Show: face(radius), Back: face(inner)})
	}
	return list
}

// volume is what a closed shell holds (divergence theorem).
func volume(s *Shell) float64 {
	sum := 0.0
	for i, f := range s.Faces {
		sum += r3.Dot(s.areaVector(i), s.Points[f.Loop[0]]) / 3
	}
	return sum
}

func TestGluedBoardsAreTheOutsideTheInsideAndTheRims(t *testing.T) {
	const n, radius, wall, height = 7, 90.0, 12.0, 40.0
	list := boards(n, radius, wall, height)
	apartFrom, _ := Slabs(list)
	s, what := Glued(list, 1e-6)
	if len(apartFrom.Faces) != 6*n || len(s.Faces) != 4*n {
		t.Fatalf("%d faces apart and %d glued, want %d and %d", len(apartFrom.Faces), len(s.Faces), 6*n, 4*n)
	}
	for i, w := range what {
		if w.Side >= 0 && math.Abs(r3.Unit(s.areaVector(i)).Z) < 1-1e-9 {
			t.Errorf("the cut %d of board %d is left, and it is no rim", w.Side, w.Slab)
		}
	}
	inner := radius - wall/math.Cos(math.Pi/n)
	// A regular n-gon with corners at r has the area n/2·r²·sin(2π/n).
	want := n / 2.0 * math.Sin(2*math.Pi/n) * (radius*radius - inner*inner) * height
	for _, got := range []float64{volume(apartFrom), volume(s)} {
		if math.Abs(got-want) > 1e-9*want {
			t.Errorf("the boards hold %v mm³, want %v", got, want)
		}
	}
	if !s.closed() {
		t.Error("the glued boards are not closed")
	}
}

func TestGluedAndSeparateBoardsShowTheSame(t *testing.T) {
	list := boards(8, 90, 10, 60)
	one, what := Slabs(list)
	two, _ := Glued(list, 1e-6)
	for _, v := range views {
		a, b, inside := 0.0, 0.0, 0.0
		sc := one.Seen(v)
		for i := range one.Faces {
			area := areaOf(sc.Face(i))
			a += area
			if what[i].Side >= 0 && math.Abs(r3.Unit(one.areaVector(i)).Z) < 0.5 {
				inside += area
			}
		}
		for i := range two.Faces {
			b += areaOf(two.Seen(v).Face(i))
		}
		if math.Abs(a-b) > 1e-5*b || inside > 1e-5*b {
			t.Errorf("from %v: %v mm² show of separate boards, %v of glued ones; %v of glued cuts", v.Toward, a, b, inside)
		}
	}
}

func TestThreeQuarterViewShowsTheFrontFromSomewhatAbove(t *testing.T) {
	for name, s := range scenes() {
		v := s.ThreeQuarter()
		if v.Toward.Y > -0.5 || v.Toward.Z < 0.2 || v.Toward.Z > 0.7 || math.Abs(v.Toward.X) < 0.1 {
			t.Errorf("%s is seen from %v", name, v.Toward)
		}
		for _, u := range []float64{r3.Dot(v.Right, v.Up), r3.Dot(v.Up, v.Toward), r3.Norm(v.Toward) - 1, r3.Norm(v.Up) - 1, r3.Norm(r3.Sub(r3.Cross(v.Right, v.Up), v.Toward))} {
			if math.Abs(u) > 1e-12 {
				t.Errorf("%s: the view is skewed by %v", name, u)
			}
		}
	}
	if p := Look(0, 0).Project(r3.Vec{X: 3, Y: 7, Z: 2}); p != (r2.Vec{X: 3, Y: 2}) {
		t.Errorf("the front shows x and z as %v", p)
	}
}

func TestHolesGoThroughSlabs(t *testing.T) {
	list := boards(8, 90, 10, 60)
	whole, _ := Slabs(list)
	for i, b := range list {
		mid, back := r3.Scale(0.25, r3.Add(r3.Add(b.Show[0], b.Show[1]), r3.Add(b.Show[2], b.Show[3]))), r3.Vec{}
		u, v := r3.Unit(r3.Sub(b.Show[1], b.Show[0])), r3.Unit(r3.Sub(b.Show[3], b.Show[0]))
		back = r3.Scale(-10, r3.Cross(u, v))
		for _, x := range []float64{-15, 0, 15} {
			var h Slab
			for k := range 12 {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / 12)
				p := r3.Add(mid, r3.Add(r3.Scale(x+6*cos, u), r3.Scale(6*sin, v)))
				h.Show, h.Back = append(h.Show, p), append(h.Back, r3.Add(p, back))
			}
			list[i].Holes = append(list[i].Holes, h)
		}
	}
	s, _ := Glued(list, 1e-6)
	if !s.closed() {
		t.Error("the boards with holes are not closed")
	}
	want := volume(whole) - 24*10*12/2.0*36*math.Sin(2*math.Pi/12) // 24 twelve-sided holes, 10 mm deep
	if got := volume(s); math.Abs(got-want) > 1e-9*want {
		t.Errorf("the boards hold %v mm³, want %v", got, want)
	}
	// Through the holes one sees what is behind them, as a ray does.
	rnd := rand.New(rand.NewPCG(1, 2))
	v := Look(0.4, 0.5)
	sc := s.Seen(v)
	box, judged := sc.Box(), 0
	for range 3000 {
		at := r2.Vec{X: box.Min.X + rnd.Float64()*(box.Max.X-box.Min.X), Y: box.Min.Y + rnd.Float64()*(box.Max.Y-box.Min.Y)}
		want, sure := nearest(s, v, at)
		if !sure {
			continue
		}
		judged++
		for i := range s.Faces {
			if box := sc.faces[i].box; sc.Facing(i) != 0 && at.X > box.Min.X && at.X < box.Max.X && at.Y > box.Min.Y && at.Y < box.Max.Y {
				if holds(sc.Face(i), at) != (i == want) {
					t.Fatalf("at %v a ray meets face %d first; face %d shows: %v", at, want, i, i != want)
				}
			}
		}
	}
	if judged < 1500 {
		t.Errorf("only %d points judged", judged)
	}
}

func TestHoleThatSticksOutIsLeftOut(t *testing.T) {
	b := boards(4, 90, 10, 60)[:1]
	shift := func(list []r3.Vec) (out []r3.Vec) {
		for _, p := range list {
			out = append(out, r3.Add(r3.Scale(0.3, p), r3.Vec{Z: 55}))
		}
		return out
	}
	b[0].Holes = []Slab{{Show: shift(b[0].Show), Back: shift(b[0].Back)}}
	s, _ := Slabs(b)
	for i := range s.Faces {
		s.Seen(Look(0.4, 0.5)).Face(i)
	}
}
