package roll

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Sheet-metal layout of elbows: n pieces have n − 1 mitres, and an end piece is half of a middle one.
// A 90° elbow of four pieces is cut at 15°; throat and heel of a middle piece are 2·(R ∓ r)·tan 15°.
func TestElbowOfFourPieces(t *testing.T) {
	e := Elbow{Radius: 50, Bend: 120, Angle: math.Pi / 2, Pieces: 4}
	near(t, "mitre", e.Mitre()*180/math.Pi, 15, 1e-12)
	middle, _ := e.Piece(1)
	near(t, "throat", middle.Rise(0), 2*70*math.Tan(math.Pi/12), 1e-12)
	near(t, "heel", middle.Rise(math.Pi), 2*170*math.Tan(math.Pi/12), 1e-12)
	end, _ := e.Piece(0)
	last, _ := e.Piece(3)
	for _, θ := range []float64{0, 1, 2, 3} {
		near(t, "end piece", end.Rise(θ), middle.Rise(θ)/2, 1e-12)
		near(t, "other end piece", last.Rise(θ), middle.Rise(θ)/2, 1e-12)
	}
	_, one := e.Piece(1)
	_, two := e.Piece(2)
	if one == two || math.Cos(one) != -math.Cos(two) {
		t.Errorf("seams lie at %v and %v", one, two)
	}
}

// Worked example of Pattern Development, sheet metal (BCcampus, chapter 19): an elbow of 6 in diameter, 6 in
// throat radius, four pieces, 90°. Six halves of 15°; measured there to the nearest 1/16 in, a half is 2 7/16 in
// high on the axis, the whole blank 6 × 2 7/16 = 14 5/8 in, the stretch-out 6·π.
func TestElbowOfSixInches(t *testing.T) {
	const inch, sixteenth = 25.4, 25.4 / 16
	e := Elbow{Radius: 3 * inch, Bend: (6 + 3) * inch, Angle: math.Pi / 2, Pieces: 4}
	near(t, "mitre", e.Mitre()*180/math.Pi, 15, 1e-12)
	end, _ := e.Piece(0)
	near(t, "half", end.Length, (2+7.0/16)*inch, sixteenth/2)
	blank := 0.0
	for i := range e.Pieces {
		piece, seam := e.Piece(i)
		blank += piece.Length
		flat := must(t)(piece.Flat(seam, seam+2*math.Pi))
		near(t, "stretch-out", flat.Bounds().Size().X, 6*math.Pi*inch, 1e-9)
	}
	near(t, "blank", blank, (14+5.0/8)*inch, 6*sixteenth/2)
}

// A two-piece 90° elbow is a mitre of 45°: the cut is y = r·cos θ over x = r·θ (parallel-line
// development), counted from the throat.
func TestTwoPieceElbowIsACosine(t *testing.T) {
	e := Elbow{Radius: 40, Bend: 60, Angle: math.Pi / 2, Pieces: 2, Tail: 25}
	piece, seam := e.Piece(0)
	near(t, "axis", piece.Length, 60+25, 1e-12)
	o := must(t)(piece.Flat(seam, seam+2*math.Pi))
	for _, p := range o.EdgePath(o.EdgeIndex("top")).Flatten(0.01) {
		near(t, "cut", p.Y, 85-40*math.Cos(p.X/40), 2*Tolerance)
	}
}

// Properties of any elbow: cuts that meet are equally long; the pieces have the area of straight tubes on
// their axis; laid on each other, as they come off one sheet, every second cut is the next one's line.
func TestElbowsClose(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 100 {
		e := Elbow{Radius: 5 + 200*rng.Float64(), Angle: 0.1 + 2.5*rng.Float64(), Pieces: 2 + rng.IntN(7), Tail: 50 * rng.Float64()}
		e.Bend = e.Radius * (1.01 + 3*rng.Float64())
		if e.Mitre() > 1.4 {
			continue
		}
		var before shape.Outline
		area, axis := 0.0, 0.0
		for i := range e.Pieces {
			piece, seam := e.Piece(i)
			o := must(t)(piece.Flat(seam, seam+2*math.Pi))
			area += o.Area()
			axis += piece.Length
			if i > 0 {
				near(t, "cut", edge(t, o, "bottom"), edge(t, before, "top"), 1e-9*e.Radius)
				if !sameCurve(before.EdgePath(before.EdgeIndex("top")).Reversed(), o.EdgePath(0), e.Radius) {
					t.Errorf("the cuts of pieces %d and %d of %+v do not nest", i, i+1, e)
				}
			}
			if !shape.SelfMirrored(shape.Figure{Outline: o}, 1e-6) {
				t.Errorf("piece %d of %+v is not its own mirror image", i+1, e)
			}
			before = o
		}
		want := 2*e.Tail + 2*float64(e.Pieces-1)*e.Bend*math.Tan(e.Mitre())
		near(t, "axis", axis, want, 1e-9*want)
		near(t, "area", area, 2*math.Pi*e.Radius*axis, 1e-9*area+Tolerance*2*math.Pi*e.Radius*float64(e.Pieces))
	}
}

// sameCurve tells whether two cuts are one curve, moved up or down.
func sameCurve(a, b shape.Path, size float64) bool {
	if len(a.Segs) != len(b.Segs) {
		return false
	}
	shift := r2.Sub(b.Start, a.Start)
	for i := range a.Segs {
		if r2.Norm(r2.Sub(r2.Add(a.Segs[i].End, shift), b.Segs[i].End)) > 1e-9*size {
			return false
		}
	}
	return true
}

// Hemisphere in n gores: half-width at latitude φ is (π·r/n)·cos φ, along arc length r·φ. n gores have
// the area of the zone between their latitudes, 2π·r·h (Archimedes), h = r·(sin φ₂ − sin φ₁).
func TestGores(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for i := range 200 {
		g := Gore{Radius: math.Pow(10, 3.5*rng.Float64()), N: 3 + rng.IntN(30), From: -math.Pi/2 + math.Pi*rng.Float64()}
		g.To = g.From + 0.01 + (math.Pi/2-g.From-0.01)*rng.Float64()
		switch i % 3 {
		case 0:
			g.From, g.To = 0, math.Pi/2
		case 1:
			g.From, g.To = -math.Pi/2, math.Pi/2
		}
		if g.To > math.Pi/2 {
			continue
		}
		o := must(t)(g.Flat())
		for _, p := range o.EdgePath(o.EdgeIndex("right")).Flatten(0.01) {
			near(t, "half-width", p.X, math.Pi*g.Radius/float64(g.N)*math.Cos(g.From+p.Y/g.Radius), 2*Tolerance)
		}
		zone := 2 * math.Pi * g.Radius * g.Radius * (math.Sin(g.To) - math.Sin(g.From))
		near(t, "area", float64(g.N)*o.Area(), zone, 1e-9*zone+2*float64(g.N)*Tolerance*g.Meridian())
		near(t, "seam", edge(t, o, "left"), edge(t, o, "right"), 1e-9*g.Radius)
		if !shape.SelfMirrored(shape.Figure{Outline: o}, 1e-6) {
			t.Errorf("%+v is not its own mirror image", g)
		}
	}
	hemisphere := must(t)(Gore{100, 8, 0, math.Pi / 2}.Flat())
	near(t, "foot", edge(t, hemisphere, "bottom"), 2*math.Pi*100/8, 1e-9)
	near(t, "height", hemisphere.Bounds().Size().Y, 50*math.Pi, 1e-9)
	if hemisphere.EdgeIndex("top") >= 0 {
		t.Error("a gore has an edge at the pole")
	}
	// What Gore says of its edges: for eight gores they are (π/8)²/4 = 3.9 % longer than the meridian.
	near(t, "stretch", edge(t, hemisphere, "right")/(50*math.Pi), 1+math.Pow(math.Pi/8, 2)/4, 2e-3)
}

func TestImpossibleGoresAreRefused(t *testing.T) {
	nan := math.NaN()
	for _, g := range []Gore{
		{}, {100, 2, 0, 1}, {100, 8, 1, 1}, {100, 8, 1, 0}, {100, 8, -2, 0}, {100, 8, 0, 2}, {nan, 8, 0, 1}, {100, 8, nan, 1}, {100, 8, 0, nan},
		{-5, 8, 0, 1}, {math.Inf(1), 8, 0, 1},
	} {
		if _, err := g.Flat(); err == nil {
			t.Errorf("%+v is developed", g)
		}
	}
}
