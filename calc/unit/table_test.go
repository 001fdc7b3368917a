package unit

import (
	"math"
	"testing"
)

func near(a, b, share float64) bool { return math.Abs(a-b) <= share*math.Abs(b) }

// Source: NIST SP 811 (2008), appendix B.8; all exact but lb/ft³, oz/yd² and lb/in³, which are
// given rounded there.
func TestFactorsAreThoseOfNIST(t *testing.T) {
	for _, c := range []struct {
		unit, in string
		want     float64
		within   float64
	}{
		{"in", "mm", 25.4, 0},
		{"ft", "mm", 304.8, 1e-15},
		{"yd", "mm", 914.4, 1e-15},
		{"lb", "kg", 0.45359237, 1e-15},
		{"oz", "g", 28.349523125, 1e-15},
		{"gal", "l", 3.785411784, 1e-15},
		{"floz", "ml", 29.5735295625, 1e-15},
		{"lb/ft^3", "kg/m^3", 16.01846337, 1e-9},
		{"oz/yd^2", "kg/m^2", 0.03390575, 1e-6},
		{"lb/in^3", "kg/m^3", 27679.90, 1e-6},
		{"ft^2", "m^2", 0.09290304, 1e-15},
		{"in^3", "ml", 16.387064, 1e-15},
		{"deg", "rad", 0.01745329252, 1e-9},
		{"day", "s", 86400, 1e-15},
		{"h", "min", 60, 0},
		{"l", "cm^3", 1000, 1e-15},
	} {
		u, in := mustParse(c.unit), mustParse(c.in)
		if u.Dim != in.Dim {
			t.Errorf("%s is %v, %s is %v", c.unit, u.Dim, c.in, in.Dim)
		}
		if got := u.Factor / in.Factor; !near(got, c.want, c.within) {
			t.Errorf("1 %s = %.12g %s, want %.12g", c.unit, got, c.in, c.want)
		}
	}
}

func TestEveryNameAndAliasFindsItsOwnUnit(t *testing.T) {
	seen := map[string]string{}
	for _, u := range All() {
		if u.Doc == "" || !(u.Factor > 0) {
			t.Errorf("%s: no doc, or factor %v", u.Name, u.Factor)
		}
		for _, name := range append([]string{u.Name}, u.Aliases...) {
			if other, ok := seen[name]; ok {
				t.Errorf("%q means both %s and %s", name, other, u.Name)
			}
			seen[name] = u.Name
			if got, ok := Lookup(name); !ok || got.Name != u.Name {
				t.Errorf("Lookup(%q) = %q, %v", name, got.Name, ok)
			}
			if got, err := Parse(name); err != nil || got.Name != u.Name {
				t.Errorf("Parse(%q) = %q, %v", name, got.Name, err)
			}
		}
	}
	for word, name := range spelled {
		if _, ok := Lookup(name); !ok {
			t.Errorf("%q points at %q, which is no unit", word, name)
		}
		if _, ok := Lookup(word); ok {
			t.Errorf("%q is a unit and cannot stay free as a name", word)
		}
	}
	for code := range withoutCents {
		if u, ok := Lookup(code); !ok || !u.Dim.IsMoney() {
			t.Errorf("%s is no currency of the table", code)
		}
	}
}

func TestLookupMindsCase(t *testing.T) {
	for _, name := range []string{"MM", "M", "eur", "x", "", "mm ", "foot", "inch"} {
		if u, ok := Lookup(name); ok {
			t.Errorf("Lookup(%q) found %s", name, u.Name)
		}
	}
}

func TestAllCannotBeUsedToChangeTheTable(t *testing.T) {
	for _, u := range All() {
		for i := range u.Aliases {
			u.Aliases[i] = "gone"
		}
	}
	if _, ok := Lookup("°"); !ok {
		t.Error("° is gone")
	}
	if u, _ := Lookup("deg"); u.Aliases[0] != "°" {
		t.Errorf("the alias of deg is now %q", u.Aliases[0])
	}
}

func TestNearestNamesTheUnitMeant(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"mm", "mm"}, {"MM", "mm"}, {"Kg", "kg"}, {"eur", "EUR"}, {"inches", "in"}, {"inchs", "in"},
		{"degree", "deg"}, {"degs", "deg"}, {"litre", "l"}, {"lbs", "lb"}, {"hours", "h"},
		{"€", "EUR"}, {"percent", "%"}, {"parsnip", ""}, {"q", ""}, {"", ""},
	} {
		if got := Nearest(c.name); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q", c.name, got, c.want)
		}
	}
}

func BenchmarkLookup(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Lookup("floz")
	}
}
