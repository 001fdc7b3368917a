package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
)

// The compound mitres of n-sided frustums, tilt / mitre in degrees, panels leaning by the slope from the
// horizontal: sin tilt = sin α · sin(180°/n), tan mitre = cos α · tan(180°/n). Tables of this form stand in
// woodworking handbooks (compound-angle tables). The rows for four sides at 52° and 45° are those of the
// crown-moulding tables of carpentry, 31.6°/33.9° and 35.3°/30.0° (widely printed; from memory).
func TestRingsFollowTheCompoundAngleTable(t *testing.T) {
	slopes := []string{"30", "45", "52", "60", "75", "80", "90"}
	table := map[string][7][2]float64{
		"4":  {{20.70, 40.89}, {30.00, 35.26}, {33.86, 31.62}, {37.76, 26.57}, {43.08, 14.51}, {44.14, 9.85}, {45.00, 0}},
		"5":  {{17.09, 32.18}, {24.56, 27.19}, {27.59, 24.10}, {30.60, 19.96}, {34.59, 10.65}, {35.37, 7.19}, {36.00, 0}},
		"6":  {{14.48, 26.57}, {20.70, 22.21}, {23.20, 19.57}, {25.66, 16.10}, {28.88, 8.50}, {29.50, 5.73}, {30.00, 0}},
		"8":  {{11.03, 19.73}, {15.70, 16.32}, {17.55, 14.31}, {19.35, 11.70}, {21.69, 6.12}, {22.14, 4.11}, {22.50, 0}},
		"12": {{7.44, 13.06}, {10.55, 10.73}, {11.77, 9.37}, {12.95, 7.63}, {14.48, 3.97}, {14.77, 2.66}, {15.00, 0}},
	}
	for n, row := range table {
		for i, slope := range slopes {
			r, out, found := worked(t, "ring roof\nsides: "+n+"\nflats: 500 mm\nslope: "+slope+" deg\nheight: 60 mm\nthickness: 6 mm")
			for _, f := range found {
				t.Fatalf("%s sides at %s°: %s", n, slope, f.Message)
			}
			p := out.Parts[0]
			if len(out.Parts) != 1 || p.Name != "roof.side" || len(out.Seams) != p.Count {
				t.Fatalf("%d parts, the first %s × %d, and %d seams", len(out.Parts), p.Name, p.Count, len(out.Seams))
			}
			e := edge(t, p, "right")
			near(t, n+" at "+slope+" tilt", e.Bevel*180/math.Pi, row[i][0], 0.005)
			near(t, n+" at "+slope+" tilt by formula", number(t, r, "tilt"), e.Bevel, 1e-9)
			// The mitre is how far the edge leans in the panel from the square to its lower edge.
			at := p.Show.Corners()
			near(t, n+" at "+slope+" mitre", math.Atan2(at[1].X-at[2].X, at[2].Y-at[1].Y)*180/math.Pi, row[i][1], 0.005)
			near(t, n+" at "+slope+" mitre by formula", number(t, r, "mitre")*180/math.Pi, row[i][1], 0.005)
		}
	}
}

// Common practice, no source: a square corner of two panels takes 45° on each; where a panel butts between two
// others of 10 mm it loses 10 mm at each covered end.
func TestBoxesMitredAndButted(t *testing.T) {
	const src = "box crate\nwidth: 300 mm\ndepth: 200 mm\nheight: 150 mm\nthickness: 10 mm"
	sizes := func(out *Output) map[string][4]float64 {
		list := map[string][4]float64{}
		for _, p := range out.Parts {
			s, k := p.Show.Bounds().Size(), p.Back.Bounds().Size()
			list[p.Name] = [4]float64{s.X, s.Y, k.X, k.Y}
		}
		return list
	}
	cases := []struct {
		more string
		want map[string][4]float64
	}{
		{"", map[string][4]float64{"crate.front": {300, 150, 280, 130}, "crate.side": {200, 150, 180, 130}, "crate.floor": {300, 200, 280, 180}, "crate.lid": {300, 200, 280, 180}}},
		{"corners: butt", map[string][4]float64{"crate.front": {300, 150, 300, 150}, "crate.side": {180, 150, 180, 150}, "crate.floor": {280, 180, 280, 180}, "crate.lid": {280, 180, 280, 180}}},
		{"corners: butt\nthrough: floor, left, right\nopen: lid", map[string][4]float64{"crate.front": {280, 140, 280, 140}, "crate.side": {200, 140, 200, 140}, "crate.floor": {300, 200, 300, 200}}},
		{"through: floor\nopen: lid", map[string][4]float64{"crate.front": {300, 140, 280, 140}, "crate.side": {200, 140, 180, 140}, "crate.floor": {300, 200, 300, 200}}},
		{"sizes: inside\nopen: lid, floor", map[string][4]float64{"crate.front": {320, 150, 300, 150}, "crate.side": {220, 150, 200, 150}}},
	}
	for _, c := range cases {
		_, out, found := worked(t, src+"\n"+c.more)
		for _, f := range found {
			t.Fatalf("%s: %s", c.more, f.Message)
		}
		got := sizes(out)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.more, got, c.want)
		}
		for name, want := range c.want {
			for i, v := range want {
				near(t, c.more+" "+name, got[name][i], v, 1e-9)
			}
		}
	}
}

func TestBothEdgesOfASeamBearOneLetter(t *testing.T) {
	for _, src := range []string{
		"box crate\nwidth: 300 mm\ndepth: 200 mm\nheight: 350 mm\ntop_width: 240 mm\nshift: (10 mm, 0 mm)\nthickness: 10 mm",
		"box crate\nwidth: 300 mm\ndepth: 200 mm\nheight: 350 mm\nthickness: 10 mm\ncorners: butt",
		"ring crate\nsides: 8\nflats: 330 mm\nheight: 260 mm\nthickness: 10 mm\nopen: lid, floor, side3",
		"ring crate\nsides: 5\nflats: 600 mm\nheight: 260 mm\nthickness: 10 mm\napart: yes\nopen: none",
	} {
		_, out, found := worked(t, src)
		for _, f := range found {
			t.Fatalf("%s: %s", src, f.Message)
		}
		at := map[string]part.Edge{}
		for _, p := range out.Parts {
			for _, e := range p.Edges {
				at[p.Name+"."+e.Name] = e
			}
		}
		marks := 0
		for _, s := range out.Seams {
			a, c := at[s.A.Part+"."+s.A.Edge], at[s.B.Part+"."+s.B.Edge]
			if a.Letter == "" || a.Letter != c.Letter || a.Letter != s.Letter {
				t.Errorf("%s.%s bears %q, %s.%s %q, the seam %q", s.A.Part, s.A.Edge, a.Letter, s.B.Part, s.B.Edge, c.Letter, s.Letter)
			}
			if s.Butt {
				continue
			}
			if len(a.Matches) != len(c.Matches) {
				t.Errorf("%s.%s has marks at %v, %s.%s at %v", s.A.Part, s.A.Edge, a.Matches, s.B.Part, s.B.Edge, c.Matches)
				continue
			}
			for i, m := range a.Matches { // edges that meet run against each other
				near(t, "mark", c.Matches[len(c.Matches)-1-i], c.Length-m, 1e-6)
				marks++
			}
		}
		if marks == 0 && out.Parts[0].Edges[1].Letter != "" && !out.Seams[0].Butt {
			t.Errorf("%s: no match marks", src)
		}
	}
}

// A ring of a stack: each layer is cut where the bevels stand at its depth, and all layers together weigh
// what the wall's volume says.
func TestLayersOfAShellFollowItsBevels(t *testing.T) {
	const src = "material foam10\nthickness: 10 mm\ndensity: 100 kg/m^3\n\nstack wall\nlayers: foam10, foam10\n\n"
	r, out, found := worked(t, src+"ring room\nsides: 8\nflats: 330 mm\nheight: 200 mm\nslope: 75 deg\nstack: wall")
	for _, f := range found {
		t.Fatal(f.Message)
	}
	if len(out.Parts) != 2 {
		t.Fatalf("%d parts", len(out.Parts))
	}
	outer, inner := out.Parts[0], out.Parts[1]
	for i, e := range outer.Edges {
		near(t, e.Name, inner.Edges[i].Length, e.BackLength, 1e-9)
	}
	near(t, "weight", number(t, r, "weight"), number(t, r, "wall_volume")*100e-6, 1e-6)
}

func TestGirthAndEaseAreInside(t *testing.T) {
	r, _, found := worked(t, "ring cuff\nsides: 6\ngirth: 300 mm\nease: 15 mm\nheight: 100 mm\nthickness: 6 mm")
	for _, f := range found {
		t.Fatal(f.Message)
	}
	near(t, "opening", number(t, r, "opening"), 300/math.Pi+30, 2e-3)
}

func TestLoftsThatAreTwistedNeedAFold(t *testing.T) {
	const src = "loft arm\nthickness: 6 mm\nstation low: rect(width: 160 mm, height: 120 mm), 0 mm\nstation high: rotate(rect(width: 160 mm, height: 120 mm), 12 deg), 200 mm"
	_, _, found := worked(t, src)
	if len(found) != 1 || found[0].Name != NotFlat || !strings.Contains(found[0].Message, "front by") {
		t.Fatalf("%v", found)
	}
	for _, way := range []string{"rising", "falling"} {
		r, out, found := worked(t, src+"\nfold: "+way+"\nflush: bottom, top")
		for _, f := range found {
			t.Fatal(f.Message)
		}
		if len(out.Parts) != 8 {
			t.Errorf("%d parts", len(out.Parts))
		}
		if a := number(t, r, "front_fold") * 180 / math.Pi; math.Abs(a-180) < 1 || math.Abs(a-180) > 40 {
			t.Errorf("folded by %v°", a)
		}
		near(t, "volumes", number(t, r, "outer_volume")-number(t, r, "inner_volume"), number(t, r, "wall_volume"), 1e-2)
	}
}

func TestShellsThatCannotBeMadeAreTold(t *testing.T) {
	const ring = "ring r\nsides: 6\nflats: 200 mm\nheight: 100 mm\n"
	const box = "box r\nwidth: 100 mm\ndepth: 100 mm\nheight: 100 mm\n"
	cases := []struct{ src, name, want string }{
		{ring, NeedsKey, "needs to know what it is cut from"},
		{ring + "thickness: 0 mm", string(eval.WrongValue), "needs a thickness"},
		{ring + "thickness: 120 mm", BevelsCollide, "meet 100 mm deep"},
		{ring + "thickness: 5 mm\nside: 20 mm", KeysClash, "flats"},
		{ring + "thickness: 5 mm\nslant: 20 mm", NeedsKey, "either a height or a slant"},
		{ring + "thickness: 5 mm\nslope: 20 deg", string(eval.WrongValue), "below its top"},
		{ring + "thickness: 5 mm\nease: 20 mm", KeysClash, "ease goes with a girth"},
		{ring + "thickness: 5 mm\nopen: side7", string(eval.UnknownName), "no panel side7"},
		{ring + "thickness: 5 mm\nopen: side1, side2, side3, side4, side5, side6, lid, floor", string(eval.WrongValue), "nothing is left"},
		{ring + "thickness: 5 mm\nrim tops: 5 deg", string(eval.UnknownName), "no edge tops"},
		{ring + "thickness: 5 mm\nrim top: 5 deg\nflush: top", KeysClash, "both say how top is cut"},
		{ring + "thickness: 5 mm\nhole side: circle(diameter: 300 mm)", string(eval.BadShape), "does not lie inside side"},
		{ring + "thickness: 5 mm\nhole door: circle(diameter: 30 mm)", string(eval.UnknownName), "no panel door"},
		{ring + "thickness: 5 mm\nmark side: 5 mm", string(eval.WrongValue), "must be a point"},
		{ring + "thickness: 5 mm\nlevel up: 500 mm", string(eval.WrongValue), "nothing at a height"},
		{"ring r\nsides: 2\nflats: 200 mm\nheight: 100 mm\nthickness: 5 mm", string(eval.WrongValue), "cannot be 2"},
		{"ring r\nsides: 6\nflats: 0 mm\nheight: 100 mm\nthickness: 5 mm", string(eval.WrongValue), "flats of 0 mm"},
		{"ring r\nsides: 6\nheight: 100 mm\nthickness: 5 mm", NeedsKey, "how wide"},
		{box + "thickness: 60 mm", BevelsCollide, "meet 50 mm deep"},
		{box + "thickness: 60 mm\ncorners: butt", BevelsCollide, "nothing is left of"},
		{box + "thickness: 5 mm\nthrough: top", string(eval.UnknownName), "no panel top"},
		{box + "thickness: 5 mm\nshift: (20000 mm, 0 mm)", string(eval.BadShape), "would need a bevel"},
		{"loft r\nthickness: 5 mm\nstation a: rect(width: 90 mm, height: 90 mm), 0 mm", NeedsKey, "has 1"},
		{"loft r\nthickness: 5 mm\nstation a: rect(width: 90 mm, height: 90 mm), 0 mm\nstation b: regular(n: 5, side: 90 mm), 90 mm", string(eval.BadShape), "5 corners"},
		{"loft r\nthickness: 5 mm\nstation a: rect(width: 90 mm, height: 90 mm), 10 mm\nstation b: rect(width: 90 mm, height: 90 mm), 9 mm", string(eval.BadShape), "below"},
		{"loft r\nthickness: 5 mm\nstation a: circle(diameter: 90 mm), 10 mm\nstation b: circle(diameter: 90 mm), 90 mm", string(eval.WrongValue), "not one straight line"},
		{"loft r\nthickness: 5 mm\nstation a: 5 mm, 10 mm\nstation b: 7", string(eval.WrongValue), "no outline"},
		{"seam s\nedges: 5 mm, 6 mm", string(eval.WrongValue), "joins edges"},
	}
	for _, c := range cases {
		rec, out, found := worked(t, c.src)
		ok := slices.ContainsFunc(found, func(f finding.Finding) bool {
			return f.Name == c.name && strings.Contains(f.Message, c.want) && f.Help != "" && !f.At.IsZero()
		})
		if !ok || rec != nil || len(out.Parts) > 0 {
			t.Errorf("%s\nfound %v, want %s: %s", c.src, found, c.name, c.want)
		}
	}
}

// A loft of 1,024 sides with its floor and lid, turned into parts, seams, results and tables.
func BenchmarkLoftOfAThousandPanels(b *testing.B) {
	var src strings.Builder
	src.WriteString("loft ball\nthickness: 3 mm\nopen: none\n")
	for i := range 33 {
		fmt.Fprintf(&src, "station s%d: regular(n: 32, corners: %d mm), %d mm\n", i, 3000-6*(i-16)*(i-16), 100*i)
	}
	for b.Loop() {
		if _, out, found := worked(b, src.String()); len(found) > 0 || len(out.Seams) != 2080 {
			b.Fatalf("%d seams; %v", len(out.Seams), found)
		}
	}
}

// Whatever stands in a block of these kinds, it is worked out or told, never a panic.
func FuzzShells(f *testing.F) {
	for _, body := range []string{
		"sides: 6\nflats: 200 mm\nheight: 100 mm\nthickness: 5 mm\nslope: 70 deg\nflush: top\nhole side: circle(diameter: 9 mm, at: (40 mm, 40 mm))",
		"sides: 5\ngirth: 300 mm\nease: 9 mm\ntop: 0 mm\nheight: 1e3 mm\nthickness: 5 mm\nopen: floor, side2\napart: yes",
		"width: 100 mm\ndepth: 90 mm\nheight: 80 mm\ntop_width: 300 mm\nshift: (9 mm, 8 mm)\nthickness: 5 mm\ncorners: butt\nthrough: lid",
		"thickness: 5 mm\nstation a: rect(width: 90 mm, height: 80 mm), 0 mm\nstation b: rotate(rect(width: 90 mm, height: 80 mm), 9 deg), 90 mm, (4 mm, 5 mm)\nfold: rising\nlevel mid: 40 mm",
		"edges: 5 mm, 6 mm\ndihedral: 90 deg",
	} {
		for k := range 4 {
			f.Add(uint8(k), body)
		}
	}
	f.Fuzz(func(t *testing.T, kind uint8, body string) {
		name := []string{"ring", "box", "loft", "seam"}[kind%4]
		if len(body) > 2000 || strings.Contains("it\n"+body, "\n\n") || strings.Contains(body, "```") {
			return
		}
		rec, out, found := worked(t, name+" it\n"+body)
		if rec == nil && len(found) == 0 {
			t.Fatal("nothing is worked out and nothing is told")
		}
		for _, p := range out.Parts {
			for _, e := range p.Edges {
				if math.IsNaN(e.Length+e.BackLength+e.Bevel+p.Weight) || e.Length <= 0 {
					t.Fatalf("%s: %+v", p.Name, e)
				}
			}
		}
	})
}

// A nearly flat ring whose rims are cut square has no inside where its inner planes come together: nothing is
// told of it rather than something wrong. Leaning steeply, or cut flush, it has one.
func TestAnInsideWithoutFoamIsNotTold(t *testing.T) {
	const ring = "ring deck\nsides: 8\nflats: 420 mm\nslant: 60 mm\nthickness: 10 mm\nslope: "
	for _, c := range []struct {
		src  string
		told bool
	}{{ring + "4 deg", false}, {ring + "80 deg", true}, {ring + "40 deg\nflush: top, bottom", true}} {
		r, out, _ := worked(t, c.src)
		if _, ok := r.Number("opening"); ok != c.told {
			t.Errorf("%s: an opening is told: %v", c.src, ok)
		}
		if _, ok := r.Number("inner_girth"); ok != c.told {
			t.Errorf("%s: a girth inside is told: %v", c.src, ok)
		}
		if girth := number(t, r, "outer_girth"); math.Abs(girth-8*420*math.Tan(math.Pi/8)) > 0.1 {
			t.Errorf("%s: outside it measures %v", c.src, girth)
		}
		if title := out.Tables[0].Title; strings.Contains(title, "not told") == c.told {
			t.Errorf("%s: the table says %q", c.src, title)
		}
	}
}
