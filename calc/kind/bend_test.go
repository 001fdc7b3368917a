package kind

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/shape"
)

// Sheet-metal layout of elbows: end pieces are half of a middle one; throat and heel are 2·(R ∓ r)·tan φ.
func TestElbowOfTheHandbook(t *testing.T) {
	r, out := oneRolled(t, "elbow arm\ninside: 90 mm\nangle: 90 deg\nradius: 120 mm\npieces: 4\nthickness: 10 mm")
	near(t, "mitre", number(t, r, "mitre")*180/math.Pi, 15, 1e-9)
	near(t, "throat", number(t, r, "throat"), 2*(120-50)*math.Tan(math.Pi/12), 1e-9)
	near(t, "heel", number(t, r, "heel"), 2*(120+50)*math.Tan(math.Pi/12), 1e-9)
	near(t, "flat", number(t, r, "flat"), math.Pi*100, 1e-9)
	if len(out.Parts) != 4 || len(out.Seams) != 3+4 {
		t.Fatalf("%d parts, %d seams", len(out.Parts), len(out.Seams))
	}
	// Seams lie at the throat and at the heel by turns.
	for i, want := range []float64{70, 340, 140, 170} {
		near(t, out.Parts[i].Name, edge(t, out.Parts[i], "start").Length, want*math.Tan(math.Pi/12), 1e-9)
	}
	seamsMeet(t, out, 1e-9)
	lettersInFigures(t, out)
	for _, p := range out.Parts {
		if !p.SelfMirrored {
			t.Errorf("%s needs hands", p.Name)
		}
	}
}

// Any elbow has the area of its axis times the girth of its neutral line (Pappus, piece by piece).
func TestElbowsKeepTheirArea(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 20 {
		d, n, tail := 60+100*rng.Float64(), 2+rng.IntN(6), 80*rng.Float64()
		bend, angle := d*(1+rng.Float64()), 20+100*rng.Float64()
		src := fmt.Sprintf("elbow arm\ninside: %v mm\nangle: %v deg\nradius: %v mm\npieces: %d\ntail: %v mm\nthickness: 4 mm", d, angle, bend, n, tail)
		r, out, found := worked(t, src)
		if len(found) > 0 {
			t.Fatal(src, found)
		}
		axis := 2*tail + 2*float64(n-1)*bend*math.Tan(number(t, r, "mitre"))
		sum := 0.0
		for _, p := range out.Parts {
			sum += p.Area
		}
		near(t, src, sum, axis*math.Pi*(d+4), 1e-9*sum+float64(n)*roll.Tolerance*math.Pi*d)
		seamsMeet(t, out, 1e-9)
	}
}

// Hemisphere in n gores of half-width (π·r/n)·cos φ; with a level opening, the zone between two
// latitudes has the area 2π·r·h (Archimedes).
func TestDomeOfGores(t *testing.T) {
	r, out := oneRolled(t, "dome cap\noutside: 210 mm\ngores: 8\nthickness: 10 mm")
	p := out.Parts[0]
	near(t, "meridian", number(t, r, "meridian"), 50*math.Pi, 1e-9)
	near(t, "foot", edge(t, p, "bottom").Length, 2*math.Pi*100/8, 1e-9)
	near(t, "area", 8*p.Area, 2*math.Pi*100*100, 8*2*roll.Tolerance*160)
	if p.Count != 8 || len(p.Edges) != 3 || !p.SelfMirrored {
		t.Errorf("%d of it, edges %v", p.Count, p.Show.EdgeNames())
	}
	seamsMeet(t, out, 1e-9)
	lettersInFigures(t, out)

	r, out = oneRolled(t, "dome ball\noutside: 210 mm\ngores: 6\nthickness: 10 mm\nfrom: -30 deg\nto: 60 deg\ncount: 2")
	p = out.Parts[0]
	near(t, "rise", number(t, r, "rise"), 100*(math.Sqrt(3)/2+0.5), 1e-9)
	near(t, "zone", 6*p.Area, 2*math.Pi*100*number(t, r, "rise"), 6*2*roll.Tolerance*160)
	near(t, "opening", 6*edge(t, p, "top").Length, math.Pi*100, 1e-9)
	if p.Count != 12 {
		t.Errorf("%d gores for two balls of six", p.Count)
	}
	seamsMeet(t, out, 1e-9)
}

// A dome in zones is n-sided rings of flat panels: its upright seams are those of the compound-angle tables,
// sin β = sin α · sin(180°/n); the level ones take half of what the slopes differ. Corners lie on the sphere, so
// the lowest panels are as wide as a regular n-gon's side, 2·r·sin(180°/n).
func TestDomeInZones(t *testing.T) {
	r, out := oneRolled(t, "dome lamp\noutside: 400 mm\nsides: 8\nzones: 3\nthickness: 10 mm")
	in, step := math.Cos(math.Pi/8), math.Pi/6
	slope := func(zone int) float64 {
		a, c := float64(zone-1)*step, float64(zone)*step
		return math.Atan2(math.Sin(c)-math.Sin(a), in*(math.Cos(a)-math.Cos(c)))
	}
	if len(out.Parts) != 3 || len(out.Seams) != 3*8+2*8 {
		t.Fatalf("%d parts, %d seams", len(out.Parts), len(out.Seams))
	}
	for i, p := range out.Parts {
		if p.Name != fmt.Sprintf("lamp.zone%d", i+1) || p.Count != 8 {
			t.Errorf("%d of %s", p.Count, p.Name)
		}
		near(t, p.Name+": upright", edge(t, p, "left").Bevel, math.Asin(math.Sin(slope(i+1))*math.Sin(math.Pi/8)), 1e-9)
		if i > 0 {
			near(t, p.Name+": level", edge(t, p, "bottom").Bevel, (slope(i)-slope(i+1))/2, 1e-9)
		}
	}
	near(t, "foot", edge(t, out.Parts[0], "bottom").Length, 2*200*math.Sin(math.Pi/8), 1e-9)
	near(t, "rise", number(t, r, "rise"), 200, 1e-9)
	for _, s := range out.Seams {
		near(t, s.A.Part+"."+s.A.Edge, s.A.Length, s.B.Length, 1e-9)
		near(t, "at the back", s.A.BackLength, s.B.BackLength, 1e-9)
		near(t, "bevels", s.A.Bevel+s.B.Bevel, math.Pi-s.Dihedral, 1e-9)
	}
	// Measured inside, the panels touch the sphere from outside: planes 150 mm from the middle at the nearest.
	_, out = oneRolled(t, "dome cap\ngirth: 879.6459430051 mm\nease: 10 mm\nsides: 6\nzones: 2\nfrom: 20 deg\nto: 70 deg\nopen: floor\nthickness: 10 mm")
	least := math.Inf(1)
	for i, f := range out.Shell.Faces {
		if !f.Open {
			least = math.Min(least, r3.Dot(out.Shell.Normal(i), out.Shell.Points[f.Loop[0]]))
		}
	}
	near(t, "room", least, 150, 1e-6)
	if n := len(out.Parts); n != 3 || out.Parts[2].Name != "cap.lid" {
		t.Errorf("%d parts", n)
	}
}

// Triangulation: true length = √(plan² + height²). The rim is as long as the circle; the halves of a
// symmetric one are one part, cut twice.
func TestSquareToRound(t *testing.T) {
	r, out := oneRolled(t, "transition neck\nbase: (200 mm, 200 mm)\ntop: 120 mm\nheight: 150 mm\nsizes: neutral\nthickness: 4 mm")
	near(t, "seam", number(t, r, "seam"), math.Hypot(40, 150), 1e-9)
	near(t, "rim", edge(t, out.Parts[0], "top").Length, 2*math.Pi*60, 0.01)
	near(t, "longest", out.Parts[0].Lines[0].Path.Length(), math.Sqrt(100*100+40*40+150*150), 1e-9)
	near(t, "shortest", out.Parts[0].Lines[2].Path.Length(), math.Hypot(100*math.Sqrt2-60, 150), 1e-9)
	seamsMeet(t, out, 1e-9)
	lettersInFigures(t, out)

	_, halves := oneRolled(t, "transition neck\nbase: (200 mm, 200 mm)\ntop: 120 mm\nheight: 150 mm\nsizes: neutral\nthickness: 4 mm\npieces: 2")
	if p := halves.Parts[0]; len(halves.Parts) != 1 || p.Count != 2 || !p.SelfMirrored {
		t.Errorf("%d parts, %d of the first", len(halves.Parts), p.Count)
	}
	near(t, "area", 2*halves.Parts[0].Area, out.Parts[0].Area, 0.01)

	// Moved to the back, its halves are mirror images; tabs apart.
	_, moved := oneRolled(t, "transition neck\nsides: 6\nflats: 200 mm\ntop: 120 mm\nheight: 150 mm\nshift: (0 mm, 40 mm)\nthickness: 4 mm\npieces: 2")
	if len(moved.Parts) != 2 || !shape.MirrorImages(moved.Parts[0].Figure(), moved.Parts[1].Figure(), part.MirrorTolerance) {
		t.Errorf("%d parts", len(moved.Parts))
	}
	_, leaning := oneRolled(t, "transition neck\nsides: 6\nflats: 200 mm\ntop: 120 mm\nheight: 150 mm\nshift: (0 mm, 40 mm)\nthickness: 4 mm\npieces: 2\ntab: 10 mm")
	if len(leaning.Parts) != 2 {
		t.Fatalf("%d parts", len(leaning.Parts))
	}
	seamsMeet(t, leaning, 1e-9)
}

// Sizes outside, inside and on the neutral line of one and the same transition are one pattern.
func TestTransitionsBySizes(t *testing.T) {
	var areas []float64
	for _, src := range []string{
		"base: (204 mm, 124 mm)\ntop: 84 mm\nsizes: outside", "base: (196 mm, 116 mm)\ntop: 76 mm\nsizes: inside", "base: (200 mm, 120 mm)\ntop: 80 mm\nsizes: neutral",
		"sides: 6\nflats: 204 mm\ntop: 84 mm", "sides: 6\nflats: 196 mm\ntop: 76 mm\nsizes: inside",
		fmt.Sprintf("sides: 6\nside: %v mm\ntop: 80 mm\nsizes: neutral", 200/math.Sqrt(3)), fmt.Sprintf("sides: 6\ncorners: %v mm\ntop: 80 mm\nsizes: neutral", 400/math.Sqrt(3)),
	} {
		r, _ := oneRolled(t, "transition neck\nheight: 150 mm\nthickness: 4 mm\n"+src)
		areas = append(areas, number(t, r, "area"))
	}
	for i, a := range areas {
		near(t, fmt.Sprint("way ", i), a, areas[map[bool]int{true: 2, false: 6}[i < 3]], 1e-6)
	}
}

// What cannot be bent is refused at the key that says so; nothing panics.
func TestWhatCannotBeBentIsRefused(t *testing.T) {
	elbow := "elbow a\ninside: 50 mm\nthickness: 2 mm\n"
	dome := "dome a\ninside: 50 mm\nthickness: 2 mm\n"
	neck := "transition a\nthickness: 2 mm\n"
	for _, c := range []struct{ src, name, at, says string }{
		{elbow + "angle: 0 deg\nradius: 60 mm", "wrong-value", "0 deg", "elbow of 0°"},
		{elbow + "angle: 360 deg\nradius: 60 mm", "wrong-value", "360 deg", "elbow of 360°"},
		{elbow + "angle: -90 deg\nradius: 60 mm", "wrong-value", "-90 deg", "elbow of -90°"},
		{elbow + "angle: 180 deg\nradius: 60 mm\npieces: 2", "wrong-value", "180 deg", "from square"},
		{elbow + "angle: 90 deg\nradius: 26 mm", "bad-shape", "26 mm", "throat"},
		{elbow + "angle: 90 deg\nradius: 0 mm", "wrong-value", "0 mm", "radius of 0 mm"},
		{elbow + "angle: 90 deg\nradius: 60 mm\npieces: 1", "wrong-value", "1", "pieces cannot be 1"},
		{elbow + "angle: 90 deg\nradius: 60 mm\npieces: 9999", "wrong-value", "9999", "pieces cannot be 9999"},
		{elbow + "angle: 90 deg\nradius: 60 mm\ntail: 1e9 m", "wrong-value", "1e9 m", "beyond"},
		{elbow + "angle: 90 deg\nradius: 60 mm\ntab: 500 mm", "wrong-value", "500 mm", "is wider than"},
		{elbow + "radius: 60 mm", NeedsKey, "elbow a", "needs angle"},
		{dome + "gores: 2", "wrong-value", "2", "gores cannot be 2"},
		{dome + "gores: 10000", "wrong-value", "10000", "gores cannot be 10000"},
		{dome + "gores: 8\nsides: 8", KeysClash, "8", "gores or flat sides"},
		{dome + "from: 0 deg", NeedsKey, "dome a", "what it is made of"},
		{dome + "gores: 8\nhole gore: circle(diameter: 5 mm)", KeysClash, "hole", "goes with sides"},
		{dome + "sides: 2", "wrong-value", "2", "sides cannot be 2"},
		{dome + "sides: 8\nzones: 0", "wrong-value", "0", "zones cannot be 0"},
		{dome + "sides: 8\nzones: 10000", "wrong-value", "10000", "zones cannot be 10000"},
		{dome + "sides: 8\nfrom: 40 deg\nto: 30 deg", "wrong-value", "30 deg", "nothing lies between"},
		{"dome a\noutside: 50 mm\nthickness: 30 mm\nsides: 8", BevelsCollide, "30 mm", "do not close"},
		{dome + "gores: 8\nfrom: 40 deg\nto: 40 deg", "wrong-value", "40 deg", "nothing lies between"},
		{dome + "gores: 8\nfrom: 100 deg", "wrong-value", "100 deg", "no latitude of 100°"},
		{dome + "gores: 8\nto: 360 deg", "wrong-value", "360 deg", "no latitude of 360°"},
		{neck + "base: (0 mm, 90 mm)\ntop: 60 mm\nheight: 90 mm", "bad-shape", "(0 mm, 90 mm)", "cannot be made"},
		{neck + "base: (90 mm, 90 mm)\ntop: 60 mm\nheight: 0 mm", "wrong-value", "0 mm", "height of 0 mm"},
		{neck + "base: (90 mm, 90 mm)\ntop: 3 mm\nheight: 90 mm", "wrong-value", "3 mm", "closes a top"},
		{neck + "base: (1e9 m, 90 mm)\ntop: 30 mm\nheight: 90 mm", "wrong-value", "(1e9 m, 90 mm)", "beyond"},
		{neck + "base: (90 mm, 90 mm)\nsides: 6\ntop: 30 mm\nheight: 90 mm", NeedsKey, "6", "needs one base"},
		{neck + "top: 30 mm\nheight: 90 mm", NeedsKey, "transition a", "needs one base"},
		{neck + "sides: 6\ntop: 30 mm\nheight: 90 mm", NeedsKey, "6", "how large"},
		{neck + "sides: 6\nside: 30 mm\nflats: 60 mm\ntop: 30 mm\nheight: 90 mm", KeysClash, "60 mm", "both say how large"},
		{neck + "sides: 5\nside: 30 mm\ntop: 30 mm\nheight: 90 mm\npieces: 2", "wrong-value", "2", "no two halves"},
		{neck + "sides: 1000\nside: 30 mm\ntop: 30 mm\nheight: 90 mm", "wrong-value", "1000", "sides cannot be 1000"},
		{neck + "sides: 6\nside: 0.1 mm\ntop: 30 mm\nheight: 90 mm", "bad-shape", "6", "cannot be made"},
		{neck + "base: (90 mm, 90 mm)\ntop: 60 mm\nheight: 90 mm\nshift: (1e9 m, 0 mm)", "wrong-value", "(1e9 m, 0 mm)", "beyond"},
	} {
		r, _, found := worked(t, c.src)
		if r != nil || len(found) == 0 {
			t.Errorf("%s: is worked out", c.src)
			continue
		}
		f := found[len(found)-1]
		if string(f.Name) != c.name || !strings.Contains(f.Message, c.says) || f.Help == "" {
			t.Errorf("%s:\n%v", c.src, found)
		} else if at := f.At.Text(); at != c.at {
			t.Errorf("%s: the caret stands under %q, not %q", c.src, at, c.at)
		}
	}
}

// Random sizes, sane and not: a block gives parts with outlines that can be cut, or says why not.
func TestRolledKindsNeverPanic(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	size := func() string { return fmt.Sprintf("%.4g mm", math.Pow(10, 7*rng.Float64()-2)) }
	turn := func() string { return fmt.Sprintf("%.4g deg", 500*rng.Float64()-250) }
	keys := map[string]func() string{
		"outside": size, "inside": size, "girth": size, "ease": size, "length": size, "cut top": turn, "cut bottom": turn, "seam": turn,
		"tab": size, "bottom": size, "top": size, "height": size, "angle": turn, "radius": size, "tail": size, "from": turn, "to": turn,
		"side": size, "flats": size,
		"pieces": func() string { return fmt.Sprint(rng.IntN(5)) }, "gores": func() string { return fmt.Sprint(rng.IntN(20)) },
		"sides": func() string { return fmt.Sprint(rng.IntN(12)) }, "zones": func() string { return fmt.Sprint(rng.IntN(5)) },
		"base": func() string { return "(" + size() + ", " + size() + ")" }, "shift": func() string { return "(" + size() + ", " + size() + ")" },
		"sizes": func() string { return []string{"outside", "inside", "neutral"}[rng.IntN(3)] },
		"ends":  func() string { return []string{"square", "level"}[rng.IntN(2)] },
	}
	done := 0
	for _, k := range []*Kind{&tube, &cone, &elbow, &dome, &transition} {
		for range 150 {
			src := k.Name + " a\nthickness: " + size()
			for _, key := range k.Keys {
				name := strings.Replace(key.Usage(), "END", "top", 1)
				value := keys[name]
				if value != nil && (key.Required || rng.IntN(3) == 0) {
					src += "\n" + name + ": " + value()
				}
			}
			r, out, found := worked(t, src)
			if r == nil && len(found) == 0 {
				t.Errorf("%s: nothing and no word", src)
			}
			if r != nil {
				done++
				sound(t, src, r, out.Parts)
			}
		}
	}
	if done < 20 {
		t.Errorf("only %d blocks were worked out", done)
	}
}

func sound(t *testing.T, src string, r *eval.Record, parts []part.Part) {
	t.Helper()
	for _, f := range r.Fields {
		if q, ok := f.Value.(eval.Quantity); ok && (math.IsNaN(q.Value) || math.IsInf(q.Value, 0)) {
			t.Errorf("%s: %s is %v", src, f.Name, q.Value)
		}
	}
	for _, p := range parts {
		if err := p.Show.IsSimple(); err != nil || !(p.Area > 0) {
			t.Errorf("%s: %s of %v: %v", src, p.Name, p.Area, err)
		}
	}
}
