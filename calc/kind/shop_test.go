package kind

import (
	"slices"
	"strings"
	"testing"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
)

func TestAMaterialGivesItsKeysAndWhatFollowsFromThem(t *testing.T) {
	r, _, found := worked(t, "material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\nprice: 11.90 EUR\nturns: quarter\nk: 0.4")
	if len(found) > 0 {
		t.Fatal(found)
	}
	// 10 mm of 100 kg/m³ weigh 1 kg/m², that is 0.001 g/mm².
	for name, want := range map[string]float64{"thickness": 10, "sheet_area": 500_000, "density": 1e-4, "price": 11.90, "weight_per_area": 0.001, "k": 0.4} {
		near(t, name, number(t, r, name), want, 1e-9)
	}
	for name, want := range map[string]eval.Text{"use": "sheet", "turns": "quarter"} {
		if f, _ := r.Field(name); f.Value != want {
			t.Errorf("%s is %v", name, f.Value)
		}
	}
	r, _, found = worked(t, "material glue\nuse: glue\ncoverage: 4 m^2/l\ncoats: 2\nopen: 15 min\ncure: 24 h\npack: 1 l\nprice: 18.50 EUR")
	if len(found) > 0 {
		t.Fatal(found)
	}
	if f, _ := r.Field("coverage"); f.Value.Show(unit.Style{}) != "4 m²/l" {
		t.Errorf("coverage is shown as %s", f.Value.Show(unit.Style{}))
	}
	inches := unit.Style{Imperial: true, Step: 1.0 / 16}
	r, _, _ = workedIn(t, inches, "material glue\nuse: glue\ncoverage: 150 ft^2/gal")
	if f, _ := r.Field("coverage"); f.Value.Show(inches) != "150 ft²/gal" {
		t.Errorf("in inches coverage is shown as %s", f.Value.Show(inches))
	}
}

func TestLimitsAndToolsGiveTheirKeys(t *testing.T) {
	r, _, _ := worked(t, "limits limits\nworn_wall: 12 mm\nease: 20 mm\nweight: 6 kg\ndoor: 815 mm\nseam_gap: 0.5 mm")
	for name, want := range map[string]float64{"worn_wall": 12, "ease": 20, "weight": 6000, "door": 815, "seam_gap": 0.5} {
		near(t, name, number(t, r, name), want, 1e-9)
	}
	r, _, _ = worked(t, "tool bandsaw\ntilt: 45 deg\nheight: 150 mm\nkerf: 0.6 mm\nhold: 60 mm")
	if f, _ := r.Field("use"); f.Value != eval.Text("saw") {
		t.Errorf("a tool that says nothing is a %v", f.Value)
	}
}

func TestAListAsksForItsTable(t *testing.T) {
	for keys, want := range map[string]Listing{
		"of: parts": {"parts", true}, "of: materials\nover: build": {"materials", true}, "of: hours\nover: section": {"hours", true}, // without a section, all is the build
	} {
		_, out, found := worked(t, "list list\n"+keys)
		if len(found) > 0 || *out.Listing != want {
			t.Errorf("%q: %v, %v", keys, out.Listing, found)
		}
	}
}

// refusedShop are blocks with a key that does not fit.
var refusedShop = []struct{ block, name, says string }{
	{"material foam\nsheet: (1 m, 1 m)", "needs-key", "needs thickness"},
	{"material foam\nthickness: 0 mm - 1 mm", "wrong-value", "below zero"},
	{"material foam\nthickness: 10 mm\nsheet: (0 mm, 500 mm)", "wrong-value", "two sizes"},
	{"material foam\nthickness: 10 mm\nsheet: 1000 mm", "wrong-value", "a point"},
	{"material foam\nthickness: 10 mm\ndensity: 100 kg", "wrong-value", "a density"},
	{"material foam\nthickness: 10 mm\nprice: 12", "wrong-value", "a price"},
	{"material foam\nthickness: 10 mm\nturns: half", "wrong-value", "turns cannot be half"},
	{"material foam\nthickness: 10 mm\nturns: any, none", "wrong-value", "turns takes one word"},
	{"material foam\nthicknes: 10 mm\nuse: glue", "unknown-key", "no key thicknes"},
	{"material glue\nuse: glue\ncoverage: 4 m^2", "wrong-value", "an area for a volume"},
	{"material glue\nuse: glue\nopen: 15 mm", "wrong-value", "a time"},
	{"material glue\nuse: glue\npack: 0 l", "wrong-value", "zero"},
	{"tool saw\ntilt: 45", "wrong-value", "an angle"},
	{"tool saw\nuse: chisel", "wrong-value", "use cannot be chisel"},
	{"limits limits\nworn_wall: 12", "wrong-value", "a length"},
	{"limits limits\nworn: 12 mm", "unknown-key", "no key worn"},
	{"list list\nover: build", "needs-key", "needs of"},
	{"list list\nof: \"parts\"", "wrong-value", "takes a word"},
	{"dims d\nmm: 5 mm", "reserved-name", "it is a unit"},
	{"dims d\nto: 5 mm", "reserved-name", "cannot be a name"},
	{"dims d\npi: 3", "reserved-name", "a constant"},
	{"dims d\nbevel left: 3 deg", "reserved-name", "one word"},
	{"dims d\na: 5 mm\na: 6 mm", "set-twice", "a is set twice"},
}

func TestBlocksOfTheShopSayWhatIsWrongWithThem(t *testing.T) {
	for _, c := range refusedShop {
		_, _, found := worked(t, c.block)
		if len(found) != 1 || found[0].Name != c.name || !strings.Contains(found[0].Message, c.says) || found[0].Help == "" {
			t.Errorf("%s\nis told %v\nwant %s: …%s…", c.block, found, c.name, c.says)
		}
	}
}

// Help, completion and the reference are made from the same rows.
func TestEveryKindAndKeySpeaksForItself(t *testing.T) {
	var names []string
	for _, k := range All {
		if k.Doc == "" || slices.Contains(names, k.Name) {
			t.Errorf("the kind %s says nothing, or stands twice", k.Name)
		}
		names = append(names, k.Name)
		if (k.Work == nil) != k.Values {
			t.Errorf("%s: only kinds of values have nothing to work out", k.Name)
		}
		for _, key := range k.Keys {
			if key.Doc == "" || key.Help() == "" || !strings.HasPrefix(key.Usage(), key.Name) {
				t.Errorf("%s: the key %s says nothing", k.Name, key.Name)
			}
		}
	}
	if near := Nearest("pannel"); near != "panel" {
		t.Errorf("pannel is near %q", near)
	}
}
