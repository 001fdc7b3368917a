package shopping_test

import (
	"math"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
	"bevelbook/journal/shopping"
)

// build is small enough to be worked by hand; the sums stand in the test.
const build = `---
title: By hand
---
` + "```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\nprice: 12 EUR\nspare: 10 %\n```\n" +
	"```material foam4\nthickness: 4 mm\nsheet: (1000 mm, 500 mm)\ndensity: 110 kg/m^3\nprice: 6 EUR\n```\n" +
	"```material glue\nuse: glue\ncoverage: 4 m^2/l\ncoats: 2\npack: 100 ml\nprice: 5 EUR\nspare: 20 %\n```\n" +
	"```material other_glue\nuse: glue\ncoverage: 4 m^2/l\n```\n" +
	"```material hot_glue\nuse: glue\ncoverage: 1 m^2/l\ncovers: cap\n```\n" +
	"```material primer\nuse: primer\ncoverage: 6 m^2/l\ncoats: 3\npack: 0.5 l\nprice: 9 EUR\n```\n" +
	"```material white\nuse: paint\ncoverage: 9 m^2/l\ncoats: 2\npack: 0.1 l\nprice: 4 EUR\ncovers: arm\nshare: 50 %\n```\n" +
	"```stack wall\nlayers: foam10, foam4\n```\n"

const arm = "---\nsection: arm\nsides: [left, right]\n---\n" +
	"```panel plate\noutline: rect(width: 400 mm, height: 250 mm)\nstack: wall\nworn: yes\n```\n" +
	"```panel strap\noutline: rect(width: 200 mm, height: 50 mm)\nmaterial: foam4\ncount: 2\n```\n"

const armDone = "---\nsection: arm\n---\n```tally\ncut plate: 1\ncut strap: 4\nglued plate: 1\n```\n"

const crest = "---\nsection: cap\n---\n" +
	"```panel crest\noutline: rect(width: 500 mm, height: 300 mm)\nstack: wall\n```\n"

func listOf(t *testing.T, laid shopping.Sheets) shopping.List {
	t.Helper()
	s, err := journal.Load(fstest.MapFS{"journal.md": {Data: []byte(build)}, "arm.md": {Data: []byte(arm)}, "arm2.md": {Data: []byte(armDone)}, "cap.md": {Data: []byte(crest)}}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Language() {
		t.Error(f.Message)
	}
	return shopping.Of(s, laid)
}

func TestWhatToBuyIsWhatAHandWouldWorkOut(t *testing.T) {
	l := listOf(t, nil)
	want := []shopping.Line{
		// Two plates of 0.1 m² and a crest of 0.15 m²: 0.35 m²; with a tenth more 0.385 m² of 0.5 m² a sheet. One
		// plate of the two is cut: 0.1 of 0.35.
		{Name: "foam10", Use: "sheet", Faces: 0.35e6, Spare: 0.1, Whole: 1, Used: 0.7, Price: 12, Currency: "EUR", Done: 0.1 / 0.35},
		// The same 0.35 m² and four straps of 0.01 m²: 0.39 m², one sheet, of which one plate and four straps are cut.
		{Name: "foam4", Use: "sheet", Faces: 0.39e6, Whole: 1, Used: 0.78, Price: 6, Currency: "EUR", Done: 0.14 / 0.39},
		// Layers of the plates, both faces: 2 · 2 · 0.1 m² = 0.4 m², two coats at 4 m²/l: 0.2 l and a fifth more.
		// The cap has a glue of its own. Three packs of 100 ml. One plate of two is glued.
		{Name: "glue", Use: "glue", Faces: 0.4e6, Coats: 2, Spare: 0.2, Volume: 0.24e6, Whole: 3, Price: 15, Currency: "EUR", Done: 0.5},
		{Name: "other_glue", Use: "glue", Coats: 1},
		{Name: "hot_glue", Use: "glue", Faces: 0.3e6, Coats: 1, Volume: 0.3e6},
		// Show faces: 0.2 + 0.04 + 0.15 = 0.39 m², three coats at 6 m²/l: 0.195 l.
		{Name: "primer", Use: "primer", Faces: 0.39e6, Coats: 3, Volume: 0.195e6, Whole: 1, Price: 9, Currency: "EUR"},
		// Half of the arm's 0.24 m², two coats at 9 m²/l: 26.67 ml.
		{Name: "white", Use: "paint", Faces: 0.12e6, Coats: 2, Volume: 0.24e6 / 9, Whole: 1, Price: 4, Currency: "EUR"},
	}
	if len(l.Lines) != len(want) {
		t.Fatalf("%d lines, want %d: %+v", len(l.Lines), len(want), l.Lines)
	}
	for i, w := range want {
		g := l.Lines[i]
		g.Block = nil
		for _, v := range [][2]*float64{{&g.Faces, &w.Faces}, {&g.Volume, &w.Volume}, {&g.Used, &w.Used}, {&g.Done, &w.Done}, {&g.Spare, &w.Spare}} {
			if math.Abs(*v[0]-*v[1]) < 1e-9*math.Max(1, *v[1]) {
				*v[0] = *v[1]
			}
		}
		if g != w {
			t.Errorf("%s:\n got %+v\nwant %+v", w.Name, g, w)
		}
	}
	// 12 + 6 + 15 + 9 + 4 EUR; so far 12·0.1/0.35 + 6·0.14/0.39 + 15/2.
	if len(l.Totals) != 1 || l.Totals[0].Price != 46 || math.Abs(l.Totals[0].SoFar-(12*0.1/0.35+6*0.14/0.39+7.5)) > 1e-9 || !l.Tallied {
		t.Errorf("totals %+v, tallied %v", l.Totals, l.Tallied)
	}
}

// An arm: two plates of 0.1 m² with 10 mm of 100 kg/m³ and 4 mm of 110 kg/m³, four straps of 0.01 m² with 4 mm:
// 2·(100 + 44) + 4·4.4 = 305.6 g, the inner layers, 88 g, face the body. The crest: 150 + 66 = 216 g.
func TestSectionsWeighWhatTheirFoamWeighs(t *testing.T) {
	l := listOf(t, nil)
	if len(l.Weights) != 2 || l.Weights[0].Section != "arm" || math.Abs(l.Weights[0].Foam-305.6) > 1e-9 || math.Abs(l.Weights[0].Facing-88) > 1e-9 ||
		math.Abs(l.Weights[1].Foam-216) > 1e-9 || math.Abs(l.Foam-521.6) > 1e-9 {
		t.Errorf("%+v, %v in all", l.Weights, l.Foam)
	}
	// By show area 0.1 + 0.04 of 0.24 m² is cut.
	if math.Abs(l.Weights[0].Done-0.14/0.24) > 1e-9 {
		t.Errorf("%v of the arm is cut", l.Weights[0].Done)
	}
}

func TestLaidSheetsCountTheWasteBetweenTheParts(t *testing.T) {
	l := listOf(t, func(material string) (int, float64, bool) { return 2, 0.35, material == "foam10" })
	if g := l.Lines[0]; g.Whole != 3 || g.Used != 0.35 || !g.Laid || g.Price != 36 { // 2 sheets and a tenth more
		t.Errorf("%+v", g)
	}
	if g := l.Lines[1]; g.Whole != 1 || g.Laid {
		t.Errorf("%+v", g)
	}
}

// Four boards round a square shaft, mitred: each of four seams is 100 mm long and 10 mm / cos 45° wide, glued on
// both faces: 8 · 100 · 14.1421 = 11,313.7 mm², made once for each side of the section.
func TestSeamsAreGluedOnBothFacesOnBothSides(t *testing.T) {
	shaft := "```material foam10\nthickness: 10 mm\n```\n```material glue\nuse: glue\ncoverage: 4 m^2/l\ncoats: 2\n```\n"
	page := "---\nsection: arm\nsides: [left, right]\n---\n```ring shaft\nsides: 4\nside: 200 mm\nheight: 100 mm\nmaterial: foam10\n```\n"
	s, err := journal.Load(fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: Shaft\n---\n" + shaft)}, "arm.md": {Data: []byte(page)}}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Language() {
		t.Error(f.Message)
	}
	for _, l := range shopping.Of(s, nil).Lines {
		want := 2 * 8 * 100 * 10 * math.Sqrt2
		if l.Use == "glue" && (math.Abs(l.Faces-want) > 1e-6 || math.Abs(l.Volume-want*2/4) > 1e-6) {
			t.Errorf("glue for %v mm², %v mm³; want %v mm²", l.Faces, l.Volume, want)
		}
	}
}
