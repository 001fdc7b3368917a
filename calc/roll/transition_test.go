package roll

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

func rectangle(w, h float64) []r2.Vec {
	return []r2.Vec{{X: -w / 2, Y: -h / 2}, {X: w / 2, Y: -h / 2}, {X: w / 2, Y: h / 2}, {X: -w / 2, Y: h / 2}}
}

var fourSides = []string{"front", "right", "back", "left"}

// Triangulation of sheet-metal layout: the true length of a line is √(plan² + height²) (Pattern Development,
// sheet metal, BCcampus, chapter 24: plan length against vertical height); the corner at the seam of the
// half pattern is square (chapter 26, step 13: "point D should be 90°"). Square of 200 mm
// to a circle of 120 mm, 150 mm high: from a corner to the circle's quarter points the plan is
// √(100² + 40²), to the point on the diagonal √2·100 − 60.
func TestTrueLengthsOfASquareToRound(t *testing.T) {
	tr := Transition{Base: rectangle(200, 200), Radius: 60, Height: 150}
	p, err := tr.Flat(0, 4, 4, fourSides)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Bends) != 4*5 {
		t.Fatalf("%d bend lines", len(p.Bends))
	}
	outer, diagonal := math.Sqrt(100*100+40*40+150*150), math.Hypot(100*math.Sqrt2-60, 150)
	for i, b := range p.Bends {
		switch i % 5 {
		case 0, 4:
			near(t, "at a quarter point", b.Line.Length(), outer, 1e-9)
		case 2:
			near(t, "on the diagonal", b.Line.Length(), diagonal, 1e-9)
		}
	}
	corners := p.Corners()
	near(t, "corner at the seam", r2.Dot(r2.Sub(corners[1], corners[0]), r2.Sub(corners[len(corners)-1], corners[0])), 0, 1e-6)
	near(t, "rim", edge(t, p.Outline, "top"), 2*math.Pi*60, 0.01)
	near(t, "start", edge(t, p.Outline, "start"), math.Hypot(40, 150), 1e-9)
	for name, want := range map[string]float64{"front_b": 100, "right": 200, "back": 200, "left": 200, "front_a": 100, "end": math.Hypot(40, 150)} {
		near(t, name, edge(t, p.Outline, name), want, 1e-9)
	}
}

// skin is the area of a transition's surface, by thin triangles in space: independent of the development.
func skin(tr Transition) float64 {
	sum := 0.0
	triangle := func(a, b, c r3.Vec) { sum += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2 }
	const steps = 4000
	for i := range tr.Base {
		triangle(tr.corner(i), tr.corner(i+1), tr.At(tr.Touch(i)))
		a, b := tr.Touch(i), tr.Touch(i+1)
		for k := range steps {
			u, v := a+(b-a)*float64(k)/steps, a+(b-a)*float64(k+1)/steps
			triangle(tr.corner(i+1), tr.At(u), tr.At(v))
		}
	}
	return sum
}

// Any transition keeps its area and its edges, in one piece or in halves; a symmetric one has halves that
// are each other's mirror images.
func TestTransitionsKeepAreaAndEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for i := range 60 {
		tr := Transition{Base: rectangle(20+300*rng.Float64(), 20+300*rng.Float64()), Radius: 5 + 200*rng.Float64(), Height: 60 + 300*rng.Float64()}
		names := fourSides
		if i%3 == 0 {
			n := 3 + rng.IntN(9)
			o, err := shape.Regular(n, 20+200*rng.Float64())
			if err != nil {
				t.Fatal(err)
			}
			tr.Base, names = o.Corners(), o.EdgeNames()
		}
		if i%2 == 0 {
			tr.Centre = r2.Vec{X: 60 * rng.Float64(), Y: 60 * rng.Float64()}
		}
		n := len(tr.Base)
		whole, err := tr.Flat(0, n, 4, names)
		if err != nil {
			continue // a low one may run over itself when it is flat; halves do not
		}
		area := skin(tr)
		near(t, "area", whole.Area(), area, 1e-5*area)
		near(t, "rim", edge(t, whole.Outline, "top"), 2*math.Pi*tr.Radius, 0.02)
		near(t, "seam", edge(t, whole.Outline, "start"), edge(t, whole.Outline, "end"), 1e-9)
		for k, b := range whole.Bends {
			u := tr.Touch(b.Corner-1+n) + (tr.Touch(b.Corner+n)-tr.Touch(b.Corner-1+n))*float64(k%5)/4
			near(t, "bend", b.Line.Length(), dist(tr.corner(b.Corner), tr.At(u)), 1e-9)
		}
		if n%2 == 1 {
			continue
		}
		one, err1 := tr.Flat(0, n/2, 4, names)
		two, err2 := tr.Flat(n/2, n, 4, names)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		near(t, "halves", one.Area()+two.Area(), area, 1e-5*area)
		near(t, "half seam", edge(t, one.Outline, "end"), edge(t, two.Outline, "start"), 1e-9)
		if tr.Centre == (r2.Vec{}) {
			a, b := shape.Figure{Outline: one.Outline}, shape.Figure{Outline: two.Outline}
			if _, same := shape.Congruent(a, b, 0.01); !same || !shape.MirrorImages(a, b, 0.01) {
				t.Errorf("the halves of %+v are not alike", tr)
			}
		}
	}
}

// A square pyramid cut off by a circle that shrinks to a point is the pyramid: its flat triangles have
// the slant height of its sides.
func TestATransitionToAPointIsAPyramid(t *testing.T) {
	tr := Transition{Base: rectangle(200, 200), Radius: 0.001, Height: 150}
	p, err := tr.Flat(0, 4, 1, fourSides)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", p.Area(), 4*200*math.Hypot(100, 150)/2, 1)
}

func TestImpossibleTransitionsAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Transition{Base: rectangle(200, 100), Radius: 60, Height: 150}
	for name, change := range map[string]func(*Transition){
		"no base":      func(t *Transition) { t.Base = nil },
		"a line":       func(t *Transition) { t.Base = rectangle(200, 0) },
		"clockwise":    func(t *Transition) { t.Base = []r2.Vec{{}, {Y: 1}, {X: 1}} },
		"no number":    func(t *Transition) { t.Base[1].X = nan },
		"endless":      func(t *Transition) { t.Base[1].X = inf },
		"no circle":    func(t *Transition) { t.Radius = 0 },
		"no radius":    func(t *Transition) { t.Radius = nan },
		"flat":         func(t *Transition) { t.Height = 0 },
		"upside down":  func(t *Transition) { t.Height = -5 },
		"high":         func(t *Transition) { t.Height = inf },
		"far":          func(t *Transition) { t.Centre.X = 1e300 },
		"shifted away": func(t *Transition) { t.Centre.Y = nan },
	} {
		tr := good
		tr.Base = append([]r2.Vec(nil), good.Base...)
		change(&tr)
		if _, err := tr.Flat(0, 4, 4, fourSides); err == nil {
			t.Errorf("%s: is developed", name)
		}
	}
	for _, c := range [][3]int{{0, 0, 4}, {0, 5, 4}, {-1, 2, 4}, {0, 4, 0}} {
		if _, err := good.Flat(c[0], c[1], c[2], fourSides); err == nil {
			t.Errorf("sides %v are developed", c)
		}
	}
	if _, err := good.Flat(0, 4, 4, nil); err == nil {
		t.Error("sides without names are developed")
	}
}
