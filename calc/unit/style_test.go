package unit

import (
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestMetricFormat(t *testing.T) {
	for _, c := range []struct {
		v          float64
		unit, want string
	}{
		{240, "mm", "240 mm"}, {12.5, "mm", "12.5 mm"}, {12.54, "mm", "12.5 mm"}, {12.55, "mm", "12.6 mm"},
		{0.254, "mm", "0.25 mm"}, {0.999, "mm", "1 mm"}, {1.8, "m", "1800 mm"}, {123.4, "m", "123400 mm"},
		{-3.25, "mm", "-3.3 mm"}, {-0.001, "mm", "0 mm"}, {math.Copysign(0, -1), "mm", "0 mm"}, {0, "mm", "0 mm"},
		{139.5, "cm^2", "139.5 cm²"}, {25, "mm^2", "0.25 cm²"}, {9999.9, "cm^2", "9999.9 cm²"},
		{9999.96, "cm^2", "1 m²"}, {10000, "cm^2", "1 m²"}, {1.256, "m^2", "1.26 m²"},
		{12.34, "ml", "12.3 cm³"}, {999.99, "ml", "1 l"}, {2.345, "l", "2.35 l"},
		{12.34, "g", "12.3 g"}, {999.9, "g", "999.9 g"}, {999.95, "g", "1 kg"}, {1234.5, "g", "1.23 kg"}, {6, "kg", "6 kg"}, {-2.5, "kg", "-2.5 kg"},
		{45, "min", "45 min"}, {135, "min", "2 h 15 min"}, {2.5, "min", "2.5 min"}, {30, "s", "30 s"}, {59.99, "s", "1 min"},
		{59.97, "min", "1 h"}, {24, "h", "24 h"}, {-135, "min", "-2 h 15 min"}, {0, "min", "0 min"}, {119.6, "min", "2 h"},
		{35, "deg", "35°"}, {22.5, "deg", "22.5°"}, {17.55, "deg", "17.6°"}, {17.54, "deg", "17.5°"}, {-0.01, "deg", "0°"}, {math.Pi, "rad", "180°"},
		{12.5, "EUR", "12.50 EUR"}, {-0.001, "EUR", "0.00 EUR"}, {1250, "JPY", "1250 JPY"}, {1.005, "EUR", "1.01 EUR"},
		{3, "1", "3"}, {1.0 / 3, "1", "0.3333"}, {15, "%", "0.15"}, {1234.56789, "1", "1234.5679"}, {0.00012345678, "1", "0.0001235"}, {-2.5, "1", "-2.5"},
		{math.Cos(math.Pi / 2), "1", "0"}, {1e20, "1", "1e20"}, {1e20, "mm", "1e20 mm"}, {1e-10, "1", "1e-10"},
		{100, "kg/m^3", "100 kg/m³"}, {0.045, "g/cm^3", "45 kg/m³"}, {300, "g/m^2", "300 g/m²"},
		{23.8, "EUR/m^2", "23.80 EUR/m²"}, {11.9, "USD/l", "11.90 USD/l"}, {9, "EUR/kg", "9.00 EUR/kg"}, {20, "EUR/h", "20.00 EUR/h"},
		{0.012, "EUR/m", "0.012 EUR/m"}, {5, "mm/min", "5 mm/min"}, {2, "1/mm", "2 1/mm"}, {90, "mm*deg", "90 mm·deg"},
		{4, "EUR*EUR", "4 EUR²"},
	} {
		if got := (Style{}).Format(of(c.v, c.unit)); got != c.want {
			t.Errorf("%v %s is shown as %q, want %q", c.v, c.unit, got, c.want)
		}
	}
}

func TestImperialFormat(t *testing.T) {
	style := Style{Imperial: true, Step: 1.0 / 16}
	for _, c := range []struct {
		v          float64
		unit, want string
	}{
		{3.375, "in", "3 3/8 in"}, {0.25, "in", "1/4 in"}, {240, "mm", "9 7/16 in"}, {3, "in", "3 in"}, {0, "in", "0 in"},
		{15 + 31.0/32, "in", "16 in"}, {15 + 29.0/32, "in", "15 15/16 in"}, {-3.375, "in", "-3 3/8 in"}, {-0.5, "in", "-1/2 in"},
		{-15 - 31.0/32, "in", "-16 in"}, {6, "ft", "72 in"},
		{0.6, "mm", "0.024 in"}, {1e-9, "mm", "0 in"}, {-1e-9, "mm", "0 in"}, // a kerf is not nothing
		{21, "in^2", "21 in²"}, {144, "in^2", "1 ft²"}, {1000 * 500, "mm^2", "5.38 ft²"}, {12.25, "in^3", "12.3 in³"},
		{3.5, "oz", "3.5 oz"}, {16, "oz", "1 lb"}, {6, "kg", "13.23 lb"},
		{100, "kg/m^3", "6.2428 lb/ft³"}, // 100 / 16.01846337, NIST SP 811, appendix B
		{9, "oz/ft^2", "9 oz/ft²"}, {2, "USD/ft^2", "2.00 USD/ft²"}, {31.5, "USD/gal", "31.50 USD/gal"},
		{22.5, "deg", "22.5°"}, {135, "min", "2 h 15 min"}, {12.5, "USD", "12.50 USD"}, {2, "in/min", "2 in/min"},
	} {
		if got := style.Format(of(c.v, c.unit)); got != c.want {
			t.Errorf("%v %s is shown as %q, want %q", c.v, c.unit, got, c.want)
		}
	}
	if got := (Style{Imperial: true}).Format(of(240, "mm")); got != "9.449 in" {
		t.Errorf("240 mm without a step is %q, want 9.449 in", got)
	}
	if got := (Style{Step: 0.5}).Format(of(12.3, "mm")); got != "12.5 mm" {
		t.Errorf("12.3 mm in halves is %q, want 12.5 mm", got)
	}
}

func TestFormatIn(t *testing.T) {
	for _, c := range []struct {
		v          float64
		from, unit string
		step       float64
		want       string
	}{
		{240, "mm", "in", 1.0 / 16, "9 7/16 in"}, {240, "mm", "in", 0, "9.4488 in"}, {240, "mm", "in", 1, "9 in"},
		{240, "mm", "in", 0.1, "9.4 in"}, {240, "mm", "in", 0.25, "9 1/2 in"}, {0.6, "mm", "in", 1.0 / 16, "0 in"},
		{1, "in", "in", 1.0 / 1024, "1 in"}, {-0.01, "in", "in", 1.0 / 16, "0 in"}, {1e300, "in", "in", 1.0 / 16, "1e300 in"},
		{240, "mm", "cm", 0, "24 cm"}, {240, "mm", "m", 0, "0.24 m"}, {1, "mm", "yd", 0, "0.001094 yd"},
		{12.3, "mm", "mm", 0.5, "12.5 mm"}, {12.3, "mm", "mm", 0.25, "12.25 mm"}, {12.3, "mm", "mm", 5, "10 mm"},
		{17.55, "deg", "deg", 0, "17.55°"}, {17.55, "deg", "deg", 0.1, "17.6°"}, {180, "deg", "rad", 0, "3.1416 rad"},
		{0.15, "1", "%", 0, "15 %"}, {15, "%", "1", 0, "0.15"}, {135, "min", "h", 0, "2.25 h"}, {36, "h", "day", 0.5, "1.5 day"},
		{12.5, "EUR", "EUR", 0, "12.50 EUR"}, {12.52, "EUR", "EUR", 0.05, "12.50 EUR"}, {12.5, "EUR", "EUR", 1, "13.00 EUR"},
		{100, "kg/m^3", "g/cm^3", 0, "0.1 g/cm³"}, {8, "m^2/l", "m^2/l", 0, "8 m²/l"},
		{1, "m", "ft", 1.0 / 16, "3.25 ft"}, {1, "m", "mm", 1.0 / 3, "1000 mm"}, {1, "mm", "mm", 1e-300, "1 mm"},
	} {
		got, err := FormatIn(of(c.v, c.from), mustParse(c.unit), c.step)
		if err != nil || got != c.want {
			t.Errorf("%v %s as %s to %v = %q, %v, want %q", c.v, c.from, c.unit, c.step, got, err, c.want)
		}
	}
}

func TestFormatInRefusesWhatCannotBeShown(t *testing.T) {
	mm := mustParse("mm")
	for _, step := range []float64{-1, math.NaN(), math.Inf(1)} {
		if text, err := FormatIn(of(1, "mm"), mm, step); err == nil {
			t.Errorf("step %v gave %q", step, text)
		}
	}
	if text, err := FormatIn(of(1, "mm"), Unit{Dim: Length}, 0); err == nil {
		t.Errorf("a unit without a size gave %q", text)
	}
	if text, err := FormatIn(Quantity{math.Inf(1), Length}, mm, 0); err == nil {
		t.Errorf("infinity gave %q", text)
	}
	var m *Mismatch
	if _, err := FormatIn(of(1, "EUR/m^2"), mustParse("USD/m^2"), 0); !errors.As(err, &m) ||
		err.Error() != "EUR cannot be shown as USD: there is no exchange rate between them" {
		t.Errorf("EUR/m² as USD/m²: %v", err)
	}
}

func TestParseStyle(t *testing.T) {
	for text, want := range map[string]Style{
		"mm": {}, "in": {Imperial: true}, "in 1/16": {true, 1.0 / 16}, " in  1/64 ": {true, 1.0 / 64}, "in 1/2": {true, 0.5},
	} {
		if got, err := ParseStyle(text); err != nil || got != want {
			t.Errorf("ParseStyle(%q) = %+v, %v, want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "cm", "inch", "in 1/10", "in 1/0", "in 1/128", "in 1/-2", "in 3/8", "in 0.1", "mm 1/2", "in 1/16 x", "IN"} {
		got, err := ParseStyle(text)
		if err == nil || !strings.Contains(err.Error(), `"in 1/16"`) {
			t.Errorf("ParseStyle(%q) = %+v, %v, want an error that says what is expected", text, got, err)
		}
	}
}

func TestRoundGoesToTheNearestMultiple(t *testing.T) {
	for _, c := range []struct{ v, step, want float64 }{
		{7, 5, 5}, {7.5, 5, 10}, {-7.5, 5, -10}, {0.1 + 0.2, 0.3, 0.3}, {3, 0, 3}, {3, -1, 3},
		{1e300, 1e-300, 1e300}, {5, math.Inf(1), 5}, {5, math.NaN(), 5},
	} {
		if got := Round(c.v, c.step); got != c.want {
			t.Errorf("Round(%v, %v) = %v, want %v", c.v, c.step, got, c.want)
		}
	}
	if !math.IsInf(Round(math.Inf(1), 1), 1) || !math.IsNaN(Round(math.NaN(), 1)) {
		t.Error("Round changed an infinity or NaN")
	}
}

// read takes apart what a style shows: a sign, a whole number and a fraction, or a decimal
// number, then the unit.
func read(t *testing.T, text string) Quantity {
	t.Helper()
	text = strings.Replace(text, "°", " °", 1)
	words := strings.Fields(text)
	u := Unit{Factor: 1}
	if last := words[len(words)-1]; strings.ContainsFunc(last, func(c rune) bool { return c > '9' }) {
		u, words = mustParse(last), words[:len(words)-1]
	}
	sum, sign := 0.0, 1.0
	if strings.HasPrefix(words[0], "-") {
		sign, words[0] = -1, words[0][1:]
	}
	for _, w := range words {
		over, under, isFraction := strings.Cut(w, "/")
		v, err := strconv.ParseFloat(over, 64)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if isFraction {
			d, _ := strconv.ParseFloat(under, 64)
			v /= d
		}
		sum += v
	}
	return Of(sign*sum, u)
}

// What is shown, read again, is the value to within half of what the style shows, and shown again
// it is the same text.
func TestWhatIsShownReadsBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	sixteenths := Style{Imperial: true, Step: 1.0 / 16}
	for _, c := range []struct {
		style  Style
		unit   string
		within float64 // half the last step, in base units
	}{
		{Style{}, "mm", 0.05}, {Style{}, "cm^2", 5}, {Style{}, "g", 0.05}, {Style{}, "deg", 0.05 * math.Pi / 180},
		{Style{}, "EUR", 0.005}, {Style{}, "1", 0.00005}, {Style{}, "kg/m^3", 0.00005e-6}, {Style{Step: 0.5}, "mm", 0.25},
		{sixteenths, "mm", 25.4 / 32}, {sixteenths, "in^2", 0.05 * 25.4 * 25.4}, {Style{Imperial: true}, "in", 0.0005 * 25.4},
	} {
		for range 300 {
			q := of((r.Float64()-0.5)*200, c.unit)
			text := c.style.Format(q)
			back := read(t, text)
			if back.Dim != q.Dim || math.Abs(back.Value-q.Value) > c.within*1.0001 {
				t.Fatalf("%v is shown as %q, which reads as %v", q, text, back)
			}
			if again := c.style.Format(back); again != text {
				t.Fatalf("%v is shown as %q, and that again as %q", q, text, again)
			}
		}
	}
}

func FuzzFormat(f *testing.F) {
	f.Add(240.0, int8(1), int8(0), int8(0), int8(0), int8(0), 0.0625, true)
	f.Add(-1e308, int8(-3), int8(1), int8(8), int8(-8), int8(1), 1e-300, false)
	f.Add(math.NaN(), int8(0), int8(0), int8(1), int8(0), int8(0), 0.0, false)
	f.Fuzz(func(t *testing.T, v float64, length, mass, time, angle, money int8, step float64, inches bool) {
		bound := func(n int8) int8 { return n % (MaxPower + 1) }
		d := Dim{Length: bound(length), Mass: bound(mass), Time: bound(time), Angle: bound(angle), Money: bound(money)}
		if d.Money != 0 {
			d.Currency = "EUR"
		}
		text := Style{inches, step}.Format(Quantity{v, d})
		if text == "" || len(text) > 120 || strings.HasPrefix(text, "-0 ") || text == "-0" {
			t.Errorf("%v of %v is shown as %q", v, d, text)
		}
	})
}

func BenchmarkFormat(b *testing.B) {
	style, q := Style{Imperial: true, Step: 1.0 / 16}, of(240, "mm")
	b.ReportAllocs()
	for b.Loop() {
		style.Format(q)
	}
}
