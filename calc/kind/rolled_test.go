package kind

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/shape"
)

// oneRolled works a block out that must give no finding, and returns all of it.
func oneRolled(t testing.TB, src string) (*eval.Record, *Output) {
	t.Helper()
	r, out, found := worked(t, src)
	for _, f := range found {
		t.Fatalf("%s\n%s: %s", src, f.Name, f.Message)
	}
	return r, out
}

// seamsMeet holds what every seam promises: both edges as long as each other, the same letter on both,
// each naming the other, match marks at equal distances from the corner they share.
func seamsMeet(t testing.TB, out *Output, within float64) {
	t.Helper()
	find := func(s part.Side) (part.Part, part.Edge) {
		for _, p := range out.Parts {
			if p.Name == s.Part {
				return p, edge(t, p, s.Edge)
			}
		}
		t.Fatalf("a seam of no part: %s", s.Part)
		return part.Part{}, part.Edge{}
	}
	letters := map[string]string{}
	for _, s := range out.Seams {
		near(t, s.A.Part+"."+s.A.Edge, s.A.Length, s.B.Length, within)
		near(t, "at the back of "+s.A.Part+"."+s.A.Edge, s.A.BackLength, s.B.BackLength, within)
		_, a := find(s.A)
		_, b := find(s.B)
		if s.Letter == "" || a.Letter != s.Letter || b.Letter != s.Letter || letters[s.Letter] != "" && letters[s.Letter] != s.A.Part+s.A.Edge {
			t.Errorf("seam %q has the letters %q and %q", s.Letter, a.Letter, b.Letter)
		}
		letters[s.Letter] = s.A.Part + s.A.Edge // alike pieces share one
		if !strings.HasSuffix(a.Meets, s.B.Edge) || !strings.HasSuffix(b.Meets, s.A.Edge) || s.At.IsZero() {
			t.Errorf("%s of %s meets %q, %s of %s meets %q", s.A.Edge, s.A.Part, a.Meets, s.B.Edge, s.B.Part, b.Meets)
		}
		if len(a.Matches) != len(b.Matches) {
			t.Fatalf("%d match marks on %s, %d on %s", len(a.Matches), s.A.Edge, len(b.Matches), s.B.Edge)
		}
		for i, m := range a.Matches {
			if b.Name != "tab" {
				near(t, "match mark", b.Matches[len(b.Matches)-1-i], s.B.Length-m, within)
			}
			if m <= 0 || m >= a.Length {
				t.Errorf("a match mark at %v of %v", m, a.Length)
			}
		}
	}
}

// Sheet-metal handbooks, bend allowance with K = 0.5: flat length = π · (inside diameter + 2 · k · t).
// A tube of 100 mm inside from 10 mm sheet takes π · 110 = 345.575 mm; with the neutral line at 0.3 of the
// thickness, π · 106 mm.
func TestFlatLengthOfATube(t *testing.T) {
	for src, want := range map[string]float64{
		"tube arm\ninside: 100 mm\nlength: 200 mm\nthickness: 10 mm":                                                           math.Pi * 110,
		"tube arm\noutside: 120 mm\nlength: 200 mm\nthickness: 10 mm":                                                          math.Pi * 110,
		"material soft\nthickness: 10 mm\nk: 0.3\n\ntube arm\ninside: 100 mm\nlength: 200 mm\nmaterial: soft":                  math.Pi * 106,
		"tube arm\ngirth: 250 mm\nease: 10 mm\nlength: 200 mm\nthickness: 10 mm":                                               250 + math.Pi*(20+10),
		"material soft\nthickness: 10 mm\nk: 0\n\ntube arm\ninside: 100 mm\nlength: 200 mm\nmaterial: soft":                    math.Pi * 100,
		"material soft\nthickness: 10 mm\nk: 1\n\ntube arm\ninside: 100 mm\nlength: 200 mm\nmaterial: soft\npieces: 2":         math.Pi * 120,
		"material soft\nthickness: 10 mm\nbend: 5 mm\n\ntube arm\ninside: 20 mm\nlength: 200 mm\nmaterial: soft":               math.Pi * 30,
		"material soft\nthickness: 10 mm\n\ntube arm\noutside: 120 mm\nlength: 200 mm\nmaterial: soft\ncut top: 45 deg":        math.Pi * 110,
		"material soft\nthickness: 10 mm\n\ntube arm\noutside: 120 mm\nlength: 200 mm\nmaterial: soft\ntab: 15 mm":             math.Pi * 110,
		"material soft\nthickness: 10 mm\n\ntube arm\noutside: 120 mm\nlength: 600 mm\nmaterial: soft\ntab: 15 mm\nhand: pair": math.Pi * 110,
	} {
		r, out := oneRolled(t, src)
		near(t, src+": flat", number(t, r, "flat"), want, 1e-9)
		sum := 0.0
		for _, p := range out.Parts {
			sum += edge(t, p, "bottom").Length * float64(p.Count)
		}
		near(t, src+": bottom", sum, want, 1e-9)
		seamsMeet(t, out, 1e-9)
		if !out.Parts[0].SelfMirrored {
			t.Errorf("%s needs hands", src)
		}
	}
}

// Every seam is told as often as it is glued: alike pieces share its letter.
func TestSeamsAreToldAsOftenAsTheyAreGlued(t *testing.T) {
	for src, want := range map[string]int{
		"tube a\ninside: 100 mm\nlength: 200 mm":                                   1,
		"tube a\ninside: 100 mm\nlength: 200 mm\npieces: 3":                        3,
		"tube a\ninside: 100 mm\nlength: 200 mm\npieces: 3\ncut top: 20 deg":       3,
		"cone a\nbottom: 200 mm\ntop: 100 mm\nheight: 90 mm\npieces: 2":            2,
		"elbow a\ninside: 100 mm\nangle: 90 deg\nradius: 120 mm\npieces: 4":        7,
		"dome a\ninside: 100 mm\ngores: 8":                                         8,
		"transition a\nbase: (90 mm, 90 mm)\ntop: 60 mm\nheight: 90 mm":            1,
		"transition a\nbase: (90 mm, 90 mm)\ntop: 60 mm\nheight: 90 mm\npieces: 2": 2,
	} {
		_, out := oneRolled(t, src+"\nthickness: 4 mm")
		if len(out.Seams) != want {
			t.Errorf("%s: %d seams, not %d", src, len(out.Seams), want)
		}
	}
}

// The radial-line development at kind level: sizes on the neutral line give the handbook's frustum.
func TestConeOfTheHandbook(t *testing.T) {
	r, out := oneRolled(t, "cone roof\nbottom: 120 mm\ntop: 70 mm\nheight: 90 mm\nsizes: neutral\nthickness: 4 mm")
	near(t, "slant", number(t, r, "slant"), 93.4077, 5e-5)
	near(t, "sector", number(t, r, "sector")*180/math.Pi, 96.3518, 5e-5)
	near(t, "outer radius", number(t, r, "outer_radius"), 224.1785, 5e-5)
	near(t, "inner radius", number(t, r, "inner_radius"), 130.7708, 5e-5)
	near(t, "bottom", edge(t, out.Parts[0], "bottom").Length, 2*math.Pi*60, 1e-9)
	near(t, "top", edge(t, out.Parts[0], "top").Length, 2*math.Pi*35, 1e-9)
	near(t, "area", number(t, r, "area"), math.Pi*95*math.Hypot(90, 25), 1e-6)
	seamsMeet(t, out, 1e-9)
}

// Pappus: the volume of a wall is its section times the way of the section's centroid. A wall of
// slant s and thickness t, cut square, whose outer face has the radii R and r: its centroid lies
// t/2 inside, so V = s·t · 2π·((R + r)/2 − t/2·sin λ). The flat sheet holds the same with k = 0.5.
func TestConesKeepTheVolumeOfTheirWall(t *testing.T) {
	for _, sizes := range []string{"outside", "inside", "neutral"} {
		_, out := oneRolled(t, "cone roof\nbottom: 200 mm\ntop: 120 mm\nheight: 90 mm\nthickness: 6 mm\npieces: 3\nsizes: "+sizes)
		s, lean := math.Hypot(90, 40), math.Atan2(90, 40)
		mid := 80.0
		switch sizes {
		case "outside":
			mid -= 3 * math.Sin(lean)
		case "inside":
			mid += 3 * math.Sin(lean)
		}
		p := out.Parts[0]
		near(t, sizes, p.Volume*float64(p.Count), s*6*2*math.Pi*mid, 1e-6)
	}
}

// With level rims the wall is what is between two frustums of the same height, whose radii differ by
// t/sin λ: V = π·h/3·(R² + R·r + r²) for each (mensuration of the frustum). The flat sheet bends, so its
// bevelled rims are somewhat longer or shorter than the round ones: a fiftieth is allowed.
func TestLevelRimsCloseBetweenTwoFrustums(t *testing.T) {
	r, out := oneRolled(t, "cone roof\nbottom: 200 mm\ntop: 120 mm\nheight: 90 mm\nthickness: 6 mm\nends: level")
	p := out.Parts[0]
	lean := math.Atan2(90, 40)
	frustum := func(R, r float64) float64 { return math.Pi * 90 / 3 * (R*R + R*r + r*r) }
	in := 6 / math.Sin(lean)
	near(t, "volume", p.Volume, frustum(100, 60)-frustum(100-in, 60-in), p.Volume/50)
	near(t, "bevel below", edge(t, p, "bottom").Bevel, math.Pi/2-lean, 1e-12)
	near(t, "bevel above", edge(t, p, "top").Bevel, lean-math.Pi/2, 1e-12)
	near(t, "lean", number(t, r, "lean"), lean, 1e-12)
	seamsMeet(t, out, 1e-9)
}

func TestAClosedConeEndsInAPoint(t *testing.T) {
	for _, src := range []string{"cone hat\nbottom: 160 mm\nheight: 200 mm", "cone hat\nbottom: 0 mm\ntop: 160 mm\nheight: 200 mm", "cone hat\nbottom: 160 mm\nheight: 200 mm\nends: level\ntab: 9 mm"} {
		r, out, found := worked(t, src+"\nthickness: 4 mm")
		if len(found) != 1 || found[0].Name != TightBend || r == nil {
			t.Fatalf("%s: %v", src, found)
		}
		p := out.Parts[0]
		if len(p.Edges) != 3 {
			t.Errorf("%s: edges are %v", src, p.Show.EdgeNames())
		}
		near(t, src+": inner radius", number(t, r, "inner_radius"), 0, 1e-9)
		near(t, src+": rim", edge(t, p, p.Show.EdgeNames()[map[bool]int{true: 0, false: 1}[p.Show.EdgeIndex("bottom") == 0]]).Length,
			2*math.Pi*(80-2*math.Sin(math.Atan2(200, 80))), 1e-9)
	}
}

// A tube with one slanting end is cut in pieces that are not alike; together they are the whole.
func TestPiecesOfASlantedTubeMeet(t *testing.T) {
	whole, _ := oneRolled(t, "tube leg\ninside: 200 mm\nlength: 300 mm\nthickness: 5 mm\ncut top: 25 deg")
	parts, out := oneRolled(t, "tube leg\ninside: 200 mm\nlength: 300 mm\nthickness: 5 mm\ncut top: 25 deg\npieces: 3\nseam: 20 deg")
	seamsMeet(t, out, 1e-9)
	sum := 0.0
	for i, p := range out.Parts {
		sum += p.Area
		f, ok := parts.Field(fmt.Sprintf("p%d", i+1))
		if rec, is := f.Value.(*eval.Record); !ok || !is || p.Name != rec.Name {
			t.Errorf("%s has no record", p.Name)
		}
	}
	near(t, "area", sum, number(t, whole, "area"), 1e-3)
	if len(out.Parts) != 3 || len(out.Seams) != 3 {
		t.Errorf("%d parts, %d seams", len(out.Parts), len(out.Seams))
	}
}

// What cannot be rolled is refused at the key that says so; nothing panics.
func TestWhatCannotBeRolledIsRefused(t *testing.T) {
	for _, c := range []struct{ src, name, at, says string }{
		{"tube a\ninside: 0 mm\nlength: 9 mm\nthickness: 1 mm", "wrong-value", "0 mm", "inside of 0 mm"},
		{"tube a\noutside: 20 mm\nlength: 9 mm\nthickness: 10 mm", "wrong-value", "20 mm", "leaves no room"},
		{"tube a\nlength: 9 mm\nthickness: 1 mm", NeedsKey, "tube a", "how wide"},
		{"tube a\ninside: 50 mm\noutside: 60 mm\nlength: 9 mm\nthickness: 1 mm", KeysClash, "50 mm", "inside both say"},
		{"tube a\ninside: 50 mm\nease: 6 mm\nlength: 9 mm\nthickness: 1 mm", KeysClash, "6 mm", "goes with a girth"},
		{"tube a\ninside: 50 mm\nlength: 9 mm", NeedsKey, "tube a", "what it is cut from"},
		{"material soft\nthickness: 2 mm\n\ntube a\ninside: 50 mm\nlength: 9 mm\nmaterial: soft\nthickness: 3 mm", KeysClash, "3 mm", "both say how thick"},
		{"material soft\nthickness: 2 mm\nk: 1.5\n\ntube a\ninside: 50 mm\nlength: 9 mm\nmaterial: soft", "wrong-value", "soft", "between 0 and 1"},
		{"tube a\ninside: 50 mm\nlength: 0 mm\nthickness: 1 mm", "wrong-value", "0 mm", "length of 0 mm"},
		{"tube a\ninside: 50 mm\nlength: 1e9 m\nthickness: 1 mm", "wrong-value", "1e9 m", "beyond"},
		{"tube a\ninside: 1e9 m\nlength: 1 m\nthickness: 1 mm", "wrong-value", "1e9 m", "beyond"},
		{"tube a\ngirth: 1 m\nease: 1e9 m\nlength: 1 m\nthickness: 1 mm", "wrong-value", "1 m", "beyond"},
		{"tube a\ninside: 50 mm\nlength: 9 mm\nthickness: 1 mm\ncut top: 45 deg\ncut bottom: 45 deg", "bad-shape", "9 mm", "cuts of a meet"},
		{"tube a\ninside: 50 mm\nlength: 90 mm\nthickness: 1 mm\ncut top: 90 deg", "wrong-value", "90 deg", "cannot be made"},
		{"tube a\ninside: 50 mm\nlength: 90 mm\nthickness: 1 mm\ncut left: 9 deg", "unknown-name", "left", "no end left"},
		{"tube a\ninside: 50 mm\nlength: 90 mm\nthickness: 1 mm\npieces: 0", "wrong-value", "0", "pieces cannot be 0"},
		{"tube a\ninside: 50 mm\nlength: 90 mm\nthickness: 1 mm\npieces: 10000", "wrong-value", "10000", "pieces cannot be"},
		{"tube a\ninside: 50 mm\nlength: 90 mm\nthickness: 1 mm\ntab: 0 mm", "wrong-value", "0 mm", "needs a width"},
		{"tube a\ninside: 50 mm\nlength: 0 / 0 * 1 mm\nthickness: 1 mm", "no-result", "", ""},
		{"cone a\nbottom: 0 mm\nheight: 9 mm\nthickness: 1 mm", "wrong-value", "0 mm", "no width"},
		{"cone a\nbottom: 90 mm\nheight: 0 mm\nthickness: 1 mm", "wrong-value", "0 mm", "height of 0 mm"},
		{"cone a\nbottom: 90 mm\ntop: 3 mm\nheight: 90 mm\nthickness: 4 mm", "wrong-value", "3 mm", "closes the top"},
		{"cone a\nbottom: 5000 mm\ntop: 50 mm\nheight: 9 mm\nthickness: 1 mm\nends: level", "wrong-value", "9 mm", "cannot be cut"},
		{"cone a\nbottom: 1e8 mm\nheight: 9 mm\nthickness: 1 mm", "wrong-value", "1e8 mm", "beyond"},
	} {
		r, _, found := worked(t, c.src)
		if r != nil && c.name != "no-result" {
			t.Errorf("%s: is worked out", c.src)
		}
		if len(found) == 0 || string(found[0].Name) != c.name || !strings.Contains(found[0].Message, c.says) || found[0].Help == "" {
			t.Errorf("%s:\n%v", c.src, found)
			continue
		}
		if at := found[0].At.Text(); c.at != "" && at != c.at {
			t.Errorf("%s: the caret stands under %q, not %q", c.src, at, c.at)
		}
	}
}

// Top and bottom alike make a tube, with no word about radii that have none.
func TestAStraightConeIsATube(t *testing.T) {
	r, out := oneRolled(t, "cone drum\nbottom: 100 mm\ntop: 100 mm\nheight: 60 mm\nthickness: 4 mm")
	if _, ok := r.Field("outer_radius"); ok {
		t.Error("a tube has an apex")
	}
	near(t, "area", number(t, r, "area"), math.Pi*96*60, 1e-7)
	near(t, "sector", number(t, r, "sector"), 0, 1e-12)
	seamsMeet(t, out, 1e-9)
}

// Figures of what is rolled: the flat pattern and the shape set up, both with the letters of the seams.
func TestRolledFiguresCarryTheSameLetters(t *testing.T) {
	for _, src := range []string{
		"tube leg\ninside: 200 mm\nlength: 300 mm\nthickness: 5 mm\ncut top: 25 deg\npieces: 3",
		"cone roof\nbottom: 200 mm\ntop: 80 mm\nheight: 90 mm\nthickness: 5 mm",
		"tube leg\ninside: 200 mm\nlength: 300 mm\nthickness: 5 mm\ntab: 20 mm",
	} {
		_, out := oneRolled(t, src)
		lettersInFigures(t, out)
	}
}

func lettersInFigures(t testing.TB, out *Output) {
	t.Helper()
	if len(out.Drawings) != 2 {
		t.Fatalf("%d drawings", len(out.Drawings))
	}
	for _, d := range out.Drawings {
		if d.Title == "" || d.Desc == "" || !(d.Em > 0) {
			t.Errorf("%q says nothing", d.Title)
		}
		words := map[string]bool{}
		for _, it := range d.Items {
			switch it := it.(type) {
			case draw.Label:
				words[strings.Fields(it.Text + " ")[0]] = true
			case draw.Dimension:
				words[strings.Fields(it.Text + " ")[0]] = true
			case draw.Area:
				if err := it.Outline.IsSimple(); err != nil {
					t.Errorf("%s: %v", d.Title, err)
				}
			}
		}
		for _, s := range out.Seams {
			if !words[s.Letter] {
				t.Errorf("%s lacks the letter %s among %v", d.Title, s.Letter, words)
			}
		}
	}
}

// A girth without ease is the wearer's own: what is inside of it is kept from what is published, as the
// measurement is. With ease it is a size like any other.
func TestATubeOnTheSkinKeepsItsGirth(t *testing.T) {
	for ease, want := range map[string]eval.Privacy{"0 mm": eval.Kept, "12 mm": eval.Shaped} {
		r, _, found := worked(t, "wearer anselm\nforearm_girth: 280 mm\n\ntube sleeve\ngirth: anselm.forearm_girth\nease: "+ease+"\nlength: 200 mm\nthickness: 4 mm")
		if len(found) > 0 {
			t.Fatal(found)
		}
		for _, name := range []string{"inside", "inner_girth"} {
			if f, _ := r.Field(name); f.Privacy != want {
				t.Errorf("with %s of ease, %s is %v", ease, name, f.Privacy)
			}
		}
		if f, _ := r.Field("flat"); f.Privacy != eval.Shaped {
			t.Errorf("flat is %v", f.Privacy)
		}
	}
}

// A hull is the least convex outline: shape.Contains judges.
func TestHullHoldsItsPoints(t *testing.T) {
	s := coneStanding(roll.Cone{Low: 80, High: 30, Height: 90}, []string{"A"})
	v := lookFrom(0.3)
	pts := append(projected(v, s.rings[0]), projected(v, s.rings[1])...)
	o := hull(append(pts[:0:0], pts...))
	for _, p := range pts {
		if !o.Contains(p) {
			t.Errorf("%v lies outside", p)
		}
	}
	if o.Area() <= 0 || shape.Outline.IsSimple(o) != nil {
		t.Error("the hull is no outline")
	}
}
