package unit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// of reads "kg/m^3" and the like; the tests are written in units, not in base units.
func of(v float64, unit string) Quantity { return Of(v, mustParse(unit)) }

func TestDimensionsHaveNamesForPeople(t *testing.T) {
	for _, c := range []struct {
		dim  Dim
		want string
	}{
		{None, "plain number"}, {Length, "length"}, {Area, "area"}, {Volume, "volume"}, {Mass, "mass"},
		{Time, "time"}, {Angle, "angle"}, {Money("EUR"), "money"},
		{Dim{Length: -3, Mass: 1}, "mass / volume"},
		{Dim{Length: 1, Angle: 1}, "length · angle"},
		{Dim{Length: -2, Money: 1, Currency: "EUR"}, "money / area"},
		{Dim{Length: 4}, "length⁴"},
		{Dim{Length: -1}, "1 / length"},
		{Dim{Mass: 1, Length: -1, Time: -2}, "mass / (length · time²)"},
	} {
		if got := c.dim.String(); got != c.want {
			t.Errorf("%#v is %q, want %q", c.dim, got, c.want)
		}
	}
}

func TestUnlikeDimensionsAreNamedInTheError(t *testing.T) {
	length, angle, number := of(1, "m"), of(1, "deg"), Number(1)
	euro, dollar := of(1, "EUR"), of(1, "USD")
	try := func(op func(a, b Quantity) (Quantity, error), a, b Quantity) error {
		_, err := op(a, b)
		return err
	}
	_, compared := Compare(length, angle)
	_, shown := FormatIn(length, mustParse("deg"), 0)
	_, money := Compare(euro, dollar)
	for _, c := range []struct {
		err  error
		want string
	}{
		{try(Add, length, angle), "length and angle cannot be added"},
		{try(Add, length, number), "length and a plain number cannot be added"},
		{try(Sub, angle, length), "angle and length cannot be subtracted"},
		{compared, "length and angle cannot be compared"},
		{shown, "length cannot be shown as angle"},
		{try(Add, euro, dollar), "EUR and USD cannot be added: there is no exchange rate between them"},
		{try(Mul, euro, dollar), "EUR and USD cannot be multiplied: there is no exchange rate between them"},
		{try(Div, euro, dollar), "EUR and USD cannot be divided: there is no exchange rate between them"},
		{money, "EUR and USD cannot be compared: there is no exchange rate between them"},
	} {
		var m *Mismatch
		if !errors.As(c.err, &m) || c.err.Error() != c.want {
			t.Errorf("error %v, want a mismatch %q", c.err, c.want)
		}
	}
}

func TestProductsAndQuotientsHaveTheirOwnDimension(t *testing.T) {
	area, _ := Mul(of(2, "m"), of(50, "cm"))
	if area.Dim != Area || !near(area.Value, 1e6, 1e-15) {
		t.Errorf("2 m · 50 cm = %v", area)
	}
	ratio, _ := Div(of(3, "EUR"), of(2, "EUR"))
	if ratio != Number(1.5) {
		t.Errorf("3 EUR / 2 EUR = %v, want the plain number 1.5", ratio)
	}
	price, _ := Div(of(12, "EUR"), of(1, "m^2"))
	cost, _ := Mul(price, of(0.5, "m^2"))
	if cost.Dim != Money("EUR") || !near(cost.Value, 6, 1e-15) {
		t.Errorf("12 EUR/m² · 0.5 m² = %v", cost)
	}
	side, err := Sqrt(of(9, "cm^2"))
	if err != nil || side.Dim != Length || !near(side.Value, 30, 1e-15) {
		t.Errorf("√(9 cm²) = %v, %v", side, err)
	}
	cube, err := Pow(of(2, "cm"), 3)
	if err != nil || cube != of(8, "ml") {
		t.Errorf("(2 cm)³ = %v, %v, want 8 ml", cube, err)
	}
	one, err := Pow(of(2, "EUR"), 0)
	if err != nil || one != Number(1) {
		t.Errorf("(2 EUR)⁰ = %v, %v, want a plain 1 without a currency", one, err)
	}
}

func TestWhatCannotBeWorkedOutIsAPlainSentence(t *testing.T) {
	huge := Number(1e308)
	wide, _ := Pow(of(1, "m"), 8)
	try := func(_ Quantity, err error) error { return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{try(Add(huge, huge)), "the result is too large to work with"},
		{try(Mul(huge, huge)), "the result is too large to work with"},
		{try(Pow(huge, 2)), "the result is too large to work with"},
		{try(Div(huge, Number(0))), "nothing can be divided by zero"},
		{try(Div(Number(0), Number(0))), "nothing can be divided by zero"},
		{try(Pow(Number(0), -1)), "nothing can be divided by zero"},
		{try(Pow(Number(-8), 1.0/3)), "a negative number can only be raised to a whole power"},
		{try(Pow(Number(2), math.Inf(1))), "the result is too large to work with"},
		{try(Pow(Number(2), math.NaN())), "the result is not a number"},
		{try(Pow(of(2, "mm"), 0.5)), "length can only be raised to a whole power, not 0.5"},
		{try(Pow(of(2, "mm"), math.NaN())), "length can only be raised to a whole power, not NaN"},
		{try(Pow(of(2, "mm"), 9)), "the result would have a dimension above the 8th power"},
		{try(Pow(of(2, "mm"), -1e300)), "the result would have a dimension above the 8th power"},
		{try(Pow(of(2, "mm^2"), 5)), "the result would have a dimension above the 8th power"},
		{try(Mul(wide, of(1, "m"))), "the result would have a dimension above the 8th power"},
		{try(Sqrt(of(1, "l"))), "the square root of volume has no dimension that is known here"},
		{try(Sqrt(Number(-1))), "a negative number has no square root"},
		{try(Sub(Quantity{math.NaN(), Length}, of(1, "mm"))), "the result is not a number"},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("error %v, want %q", c.err, c.want)
		}
	}
}

func TestCompareSeesNoDifferenceOfTheLastBinaryDigit(t *testing.T) {
	for _, c := range []struct {
		a, b Quantity
		want int
	}{
		{of(12, "in"), of(1, "ft"), 0},
		{of(0.3, "mm"), Quantity{0.1 + 0.2, Length}, 0},
		{of(0, "mm"), of(0, "mm"), 0},
		{of(12, "mm"), of(12.000001, "mm"), -1},
		{of(1, "kg"), of(2, "lb"), 1},
		{of(-1, "mm"), of(1, "mm"), -1},
	} {
		if got, err := Compare(c.a, c.b); err != nil || got != c.want {
			t.Errorf("Compare(%v, %v) = %d, %v, want %d", c.a, c.b, got, err, c.want)
		}
		if got, _ := Compare(c.b, c.a); got != -c.want {
			t.Errorf("Compare(%v, %v) = %d, want %d", c.b, c.a, got, -c.want)
		}
	}
	if _, err := Compare(Number(math.NaN()), Number(1)); err != ErrNotANumber {
		t.Errorf("comparing NaN: %v", err)
	}
}

// Laws of arithmetic, on quantities drawn at random: adding commutes, taking away undoes adding,
// dividing undoes multiplying, squaring undoes the root.
func TestArithmeticKeepsItsLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	units := All()
	for range 2000 {
		u, w := units[r.IntN(len(units))], units[r.IntN(21)]
		a, b := Of(r.Float64()*1000+1, u), Of(r.Float64()*1000+1, u)
		c := Of(r.Float64()*1000+1, w)
		ab, err1 := Add(a, b)
		ba, err2 := Add(b, a)
		if err1 != nil || err2 != nil || ab != ba {
			t.Fatalf("%v + %v = %v, the other way %v", a, b, ab, ba)
		}
		if back, err := Sub(ab, b); err != nil || back.Dim != a.Dim || !near(back.Value, a.Value, 1e-9) {
			t.Fatalf("%v + %v - the same = %v, %v", a, b, back, err)
		}
		product, err := Mul(a, c)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Div(product, c); err != nil || back.Dim != a.Dim || !near(back.Value, a.Value, 1e-12) {
			t.Fatalf("%v · %v / the same = %v, %v", a, c, back, err)
		}
		square, err := Pow(a, 2)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Sqrt(square); err != nil || back.Dim != a.Dim || !near(back.Value, a.Value, 1e-12) {
			t.Fatalf("√(%v²) = %v, %v", a, back, err)
		}
	}
}
