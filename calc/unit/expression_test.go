package unit

import (
	"errors"
	"strings"
	"testing"
)

func TestParseReadsProductsOfUnits(t *testing.T) {
	for _, c := range []struct {
		text, name string
		factor     float64
		dim        Dim
	}{
		{"mm", "mm", 1, Length},
		{" cm ", "cm", 10, Length},
		{"°", "deg", mustParse("deg").Factor, Angle},
		{"%", "%", 0.01, None},
		{"mm^2", "mm²", 1, Area},
		{"m²", "m²", 1e6, Area},
		{"m³", "m³", 1e9, Volume},
		{"kg/m^3", "kg/m³", 1e-6, Dim{Mass: 1, Length: -3}},
		{"g/cm^3", "g/cm³", 1e-3, Dim{Mass: 1, Length: -3}},
		{"kg / m ³", "", 0, None}, // a power stands at its unit
		{"kg*m^-3", "kg/m³", 1e-6, Dim{Mass: 1, Length: -3}},
		{"kg·m⁻³", "kg/m³", 1e-6, Dim{Mass: 1, Length: -3}},
		{"m^-3*kg", "kg/m³", 1e-6, Dim{Mass: 1, Length: -3}},
		{"EUR/m^2", "EUR/m²", 1e-6, Dim{Money: 1, Length: -2, Currency: "EUR"}},
		{"EUR / l", "EUR/l", 1e-6, Dim{Money: 1, Length: -3, Currency: "EUR"}},
		{"m^2/l", "m²/l", 1, Dim{Length: -1}},
		{"1/m", "1/m", 1e-3, Dim{Length: -1}},
		{"m*m", "m²", 1e6, Area},
		{"m/m", "1", 1, None},
		{"1", "1", 1, None},
		{"m/h/h", "m/h²", 1000.0 / 3600, Dim{Length: 1, Time: -2}},
		{"kg/m*s", "kg·s/m", 1.0 / 60, Dim{Mass: 1, Time: 1, Length: -1}}, // "/" divides by the next one alone
		{"EUR/USD*USD", "EUR", 1, Money("EUR")},
	} {
		u, err := Parse(c.text)
		if c.name == "" {
			if err == nil {
				t.Errorf("Parse(%q) = %+v, want an error", c.text, u)
			}
			continue
		}
		if err != nil || u.Name != c.name || !near(u.Factor, c.factor, 1e-15) || u.Dim != c.dim {
			t.Errorf("Parse(%q) = %+v, %v, want %s %v %v", c.text, u, err, c.name, c.factor, c.dim)
		}
	}
}

func TestParseSaysWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "a unit is expected here, such as mm or kg/m^3"},
		{"kg/", "a unit is expected here, such as mm or kg/m^3"},
		{"2 kg", `a unit is expected before "2 kg", such as mm or kg/m^3`},
		{"kg/(m^3)", `a unit is expected before "(m^3)", such as mm or kg/m^3`},
		{"m2", `in a unit, * or / or a power is expected before "2"`},
		{"m^2²", `in a unit, * or / or a power is expected before "²"`},
		{"kg m", `in a unit, * or / or a power is expected before "m"`},
		{"m^", "a whole power is expected after ^, as in m^2"},
		{"m^x", "a whole power is expected after ^, as in m^2"},
		{"m^9", "the power 9 of a unit is not a whole number from -8 to 8"},
		{"m^2-3", "the power 2-3 of a unit is not a whole number from -8 to 8"},
		{"m^99999999999999999999", "the power 99999999999999999999 of a unit is not a whole number from -8 to 8"},
		{"m⁸*cm⁸", "the result would have a dimension above the 8th power"},
		{"%^8*%", "the result would have a dimension above the 8th power"},
		{"inch", `"inch" is no unit known here; did you mean in?`},
		{"kgs/m^3", `"kgs" is no unit known here; did you mean kg?`},
		{"parsnip", `"parsnip" is no unit known here`},
		{"EUR/USD", "EUR and USD cannot be multiplied: there is no exchange rate between them"},
		{"m*m*m*m*m*m*m*m*m", "a unit of more than 8 factors is not read"},
		{strings.Repeat("m", 65), "a unit of more than 64 letters is not read"},
		{"m\xff", `in a unit, * or / or a power is expected before "\xff"`},
	} {
		u, err := Parse(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("Parse(%q) = %+v, %v\nwant %s", c.text, u, err, c.want)
		}
	}
	var unknown *Unknown
	if _, err := Parse("kg/feet"); !errors.As(err, &unknown) || unknown.Name != "feet" || unknown.Nearest != "ft" {
		t.Errorf("Parse(kg/feet): %v", err)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"mm", "kg/m^3", "kg·m⁻³", "1/m", "EUR/m²", "%^8", "m^-8/h", "°", "m2", "(m)", "′/″", "s\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		u, err := Parse(s)
		if err != nil {
			if err.Error() == "" {
				t.Errorf("Parse(%q): an error without words", s)
			}
			return
		}
		if !(u.Factor > 0) || u.Factor-u.Factor != 0 {
			t.Errorf("Parse(%q): factor %v", s, u.Factor)
		}
		again, err := Parse(u.Name)
		if err != nil || again.Name != u.Name || again.Factor != u.Factor || again.Dim != u.Dim {
			t.Errorf("Parse(%q) = %+v, but its name reads as %+v, %v", s, u, again, err)
		}
	})
}
