package kind

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
)

const sheets = `material foam10
thickness: 10 mm
density: 100 kg/m^3

material foam6
thickness: 6 mm
density: 100 kg/m^3

material foam4
thickness: 4 mm
density: 110 kg/m^3

material foam2
thickness: 2 mm

material glue
use: glue

tool bandsaw
tilt: 45 deg
height: 30 mm

stack outer_wall
layers: foam6, foam10

`

// Common practice, no source: 6 + 6 + 10 + 10 mm glued up make a 32 mm panel; a 6 mm face on 10 mm is
// an outside wall of 16 mm; 2 mm on 4 mm a worn inside wall of 6 mm.
func TestLayersGluedUpMakeTheUsualWalls(t *testing.T) {
	for layers, total := range map[string]float64{
		"foam6, foam6, 2 x foam10":     32,
		"6 mm, 6 mm, 10 mm, 10 mm":     32,
		"foam6, foam10":                16,
		"2 mm, foam4":                  6,
		"foam10":                       10,
		"[foam6, [foam6, 2 x foam10]]": 32,
	} {
		r, _, found := worked(t, sheets+"stack wall\nlayers: "+layers)
		if len(found) > 0 {
			t.Errorf("%s: found %+v", layers, found)
		}
		near(t, layers, number(t, r, "total"), total, 1e-9)
	}
}

// Common practice, no source: a 10 mm spacer makes a wall of 2 on 4 look like one of 6 on 10.
func TestSpacerMakesBothWallsLookAlike(t *testing.T) {
	for _, c := range []struct {
		layers, match, madeOf, thinner string
		spacer                         float64
	}{
		{"2 mm, foam4", "foam6, foam10", "foam10", "wall", 10},
		{"foam6, foam10", "2 mm, foam4", "foam10", "other_wall", 10},
		{"foam2, foam4", "foam6, foam4", "foam4", "wall", 4},
		{"2 mm, foam4", "2 x foam4, foam6", "2 x foam4", "wall", 8}, // not 2 mm + foam6: bare sheets come last
		{"foam4", "3 x foam6", "2 x foam4 + foam6", "wall", 14},
		{"foam6", "foam6, foam4, foam10", "foam4 + foam10", "wall", 14},
		{"4 mm, 3 mm", "20 mm", "4 mm sheet + 3 x 3 mm sheet", "wall", 13},
		{"4 mm, 3 mm", "29 mm", "4 x 4 mm sheet, 6 mm too thin", "wall", 22},
		{"foam10", "foam4, 5 mm, foam4", "foam4, 1 mm too thick", "wall", 3},
		{"foam6, foam10", "2 x foam6, foam4", "", "neither", 0},
	} {
		what := c.layers + " against " + c.match
		r, _, found := worked(t, sheets+"stack other_wall\nlayers: "+c.match+"\n\nstack wall\nlayers: "+c.layers+"\nmatch: other_wall")
		if len(found) > 0 {
			t.Errorf("%s: found %+v", what, found)
			continue
		}
		near(t, what, number(t, r, "spacer"), c.spacer, 1e-9)
		if f, _ := r.Field("thinner"); f.Value != eval.Text(c.thinner) {
			t.Errorf("%s: the thinner is %v, want %s", what, f.Value, c.thinner)
		}
		if f, ok := r.Field("made_of"); ok != (c.madeOf != "") || ok && f.Value != eval.Text(c.madeOf) {
			t.Errorf("%s: the spacer is made of %v, want %s", what, f.Value, c.madeOf)
		}
	}
}

// However the layers lie, the total is their sum, each begins where the one before it ends, and two
// walls have one spacer whichever asks for it.
func TestTotalIsOrderFreeAndDepthsAddUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	names := []string{"foam10", "foam6", "foam4", "foam2", "3 mm", "1.5 mm"}
	sizes := map[string]float64{"foam10": 10, "foam6": 6, "foam4": 4, "foam2": 2, "3 mm": 3, "1.5 mm": 1.5}
	for range 50 {
		var layers []string
		sum := 0.0
		for range 1 + rng.IntN(MaxLayers) {
			n := names[rng.IntN(len(names))]
			layers, sum = append(layers, n), sum+sizes[n]
		}
		first := "layers: " + strings.Join(layers, ", ")
		rng.Shuffle(len(layers), func(i, j int) { layers[i], layers[j] = layers[j], layers[i] })
		turned := "layers: " + strings.Join(layers, ", ")
		a, _, _ := worked(t, sheets+"stack a\n"+first+"\nmatch: outer_wall")
		b, _, _ := worked(t, sheets+"stack b\n"+turned+"\n\nstack outer_wall2\nlayers: 16 mm\nmatch: b")
		near(t, first, number(t, a, "total"), sum, 1e-9)
		near(t, "spacer the other way", number(t, b, "spacer"), number(t, a, "spacer"), 1e-9)
		f, _ := a.Field("layers")
		depth := 0.0
		for _, v := range f.Value.(eval.List) {
			l := v.(*eval.Record)
			near(t, first+": depth", number(t, l, "depth"), depth, 1e-9)
			depth += number(t, l, "thickness")
		}
		near(t, first+": bottom of the last layer", depth, sum, 1e-9)
	}
}

func TestStackTellsLayersForThePanelCutFromIt(t *testing.T) {
	r, out, _ := worked(t, sheets+"stack wall\nlayers: 2 mm, foam4, foam10\nworn: yes")
	f, _ := r.Field("layers")
	var got []string
	for _, v := range f.Value.(eval.List) {
		l := v.(*eval.Record)
		material, _ := l.Field("material")
		density, _ := l.Number("density")
		got = append(got, fmt.Sprintf("%s %q %q %v %v %.6f", l.Kind, l.Name, material.Value, number(t, l, "thickness"), number(t, l, "depth"), density))
	}
	want := []string{
		`layer "" "" 2 0 0.000000`,
		`layer "foam4" "foam4" 4 2 0.000110`,
		`layer "foam10" "foam10" 10 6 0.000100`,
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("layers\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if says := f.Value.Show(unit.Style{}); says != "layer, foam4, foam10" {
		t.Errorf("the layers are shown as %q", says)
	}
	if f, ok := r.Field("worn"); !ok || f.Value != eval.Bool(true) || !f.Quiet {
		t.Errorf("worn is %+v", f)
	}
	if f, ok := r.Field("weight_per_area"); ok {
		t.Errorf("a layer of unknown density cannot be weighed, and yet it weighs %v", f.Value)
	}
	if len(out.Tables) != 1 || len(out.Tables[0].Rows) != 3 || strings.Join(out.Tables[0].Rows[1], " | ") != "2 | foam4 | 4 mm | 2 mm" {
		t.Errorf("table %+v", out.Tables)
	}
}

func TestGrooveIsAsDeepAsTheLayersThatItSplits(t *testing.T) {
	for split, depth := range map[int]float64{0: 0, 1: 6, 2: 12, 3: 22} {
		r, _, _ := worked(t, fmt.Sprintf("%sstack slab\nlayers: foam6, foam6, 2 x foam10\nsplit: %d", sheets, split))
		near(t, fmt.Sprint("groove through ", split), number(t, r, "groove"), depth, 1e-9)
	}
}

// 10 mm of 100 kg/m³ weigh 1 kg/m²; the screw is as long as the wall and what it must grip.
func TestWeightAndScrewFollowFromTheLayers(t *testing.T) {
	r, _, _ := worked(t, sheets+"stack wall\nlayers: foam6, foam4, foam10\ngrip: 12 mm")
	f, _ := r.Field("weight_per_area")
	// 0.6 + 0.44 + 1.0 kg/m²
	near(t, "weight", f.Value.(eval.Quantity).Value, 2040/1e6, 1e-12)
	near(t, "screw", number(t, r, "screw"), 32, 1e-9)
}

func TestStackTallerThanTheSawTakesIsMinded(t *testing.T) {
	_, _, found := worked(t, sheets+"stack slab\nlayers: 3 x foam10\nsaw: bandsaw")
	if len(found) > 0 {
		t.Errorf("30 mm fit, and yet: %+v", found)
	}
	r, _, found := worked(t, sheets+"stack slab\nlayers: 2 mm, 3 x foam10\nsaw: bandsaw")
	if r == nil || len(found) != 1 || found[0].Name != BeyondSaw || found[0].Severity != finding.Mind || found[0].Help == "" ||
		found[0].Message != "the stack is 32 mm through, more than the 30 mm that the bandsaw takes" {
		t.Errorf("found %+v", found)
	}
}

func TestStackSaysWhatIsWrongWithItsKeys(t *testing.T) {
	for _, c := range []struct{ keys, name, says string }{
		{"worn: yes", NeedsKey, "needs layers"},
		{"layers: []", "wrong-value", "has no layers"},
		{"layers: foam10, 30 deg", "wrong-value", "this is an angle"},
		{"layers: foam10, -2 mm", "wrong-value", "below zero"},
		{"layers: foam10, 0 mm", "wrong-value", "cannot be 0 mm thick"},
		{"layers: 2 m", "wrong-value", "cannot be 2000 mm thick"},
		{"layers: foam10, glue", "wrong-value", "cannot be 0 mm thick"},
		{"layers: foam10, outer_wall", "wrong-value", "this is the stack outer_wall"},
		{"layers: 25 x foam10", "too-much", "24 layers at most"},
		{"layers: foam10, foam6\nsplit: 2", "wrong-value", "cuts the wall in two"},
		{"layers: foam10\nmatch: foam6", "wrong-value", "match must be a stack"},
		{"layers: foam10\nmatch: wall", "loop", "needs itself"},
	} {
		r, out, found := worked(t, sheets+"stack wall\n"+c.keys)
		if r != nil || len(out.Drawings) > 0 {
			t.Errorf("%q was worked out", c.keys)
		}
		if len(found) != 1 || found[0].Name != c.name || !strings.Contains(found[0].Message, c.says) || found[0].At.IsZero() {
			t.Errorf("%q: found %+v, want %s: %s", c.keys, found, c.name, c.says)
		}
	}
}

// The section shows as much foam as there is: what is filled is wall and spacer less the groove.
func TestStackFigureIsToScaleAndLegible(t *testing.T) {
	for _, keys := range []string{
		"layers: foam6, foam6, 2 x foam10\nsplit: 1",
		"layers: foam10",
		"layers: 24 x 1 mm\nworn: yes",
		"layers: 2 mm, foam4\nworn: yes\nmatch: outer_wall",
		"layers: 3 x foam10\nmatch: outer_wall",
		"layers: 2 x foam6, foam4\nmatch: outer_wall\nsplit: 2",
	} {
		r, out, _ := worked(t, sheets+"stack wall\n"+keys)
		if len(out.Drawings) != 1 {
			t.Fatalf("%q: %d drawings", keys, len(out.Drawings))
		}
		d := out.Drawings[0]
		if d.Title == "" || d.Desc == "" {
			t.Errorf("%q: no words for who cannot see it", keys)
		}
		low, high := 0.0, 0.0
		for _, it := range d.Items {
			if a, ok := it.(draw.Area); ok && a.Fill {
				box := draw.OfOutline(a.Outline)
				low, high = min(low, box.Min.Y), max(high, box.Max.Y)
			}
		}
		want := number(t, r, "total")
		if strings.Contains(keys, "match") {
			want = max(want, 16)
		}
		near(t, keys+": drawn thickness", high-low, want, 1e-9)
		if width := d.Box.Max.X - d.Box.Min.X; width > 32*d.Em {
			t.Errorf("%q: lettering of %v in a box %v wide is too small to read", keys, d.Em, width)
		}
	}
}
