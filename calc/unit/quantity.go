package unit

import (
	"errors"
	"math"
	"strconv"
)

// Quantity is a value with its dimension. Value is in base units: mm, g, min, rad, the currency
// itself, and products of them.
type Quantity struct {
	Value float64
	Dim   Dim
}

// Number is a plain number.
func Number(v float64) Quantity { return Quantity{Value: v} }

// Of is v of the unit u: Of(2, inch) is 50.8 mm.
func Of(v float64, u Unit) Quantity { return Quantity{Value: v * u.Factor, Dim: u.Dim} }

// The errors of arithmetic that do not depend on dimensions.
var (
	ErrDivideByZero = errors.New("nothing can be divided by zero")
	ErrTooLarge     = errors.New("the result is too large to work with")
	ErrNotANumber   = errors.New("the result is not a number")
	ErrNegativeRoot = errors.New("a negative number has no square root")
)

// Mismatch is the error for two dimensions that do not go together.
type Mismatch struct {
	Op   string // what cannot be done: "added", "subtracted", "compared", "multiplied", "divided", "shown"
	A, B Dim
}

// Error names both dimensions, or both currencies when it is these that differ.
func (m *Mismatch) Error() string {
	a, b, why := named(m.A), named(m.B), ""
	if currenciesDiffer(m.A, m.B) {
		a, b, why = m.A.Currency, m.B.Currency, ": there is no exchange rate between them"
	}
	if m.Op == "shown" {
		return a + " cannot be shown as " + b + why
	}
	return a + " and " + b + " cannot be " + m.Op + why
}

func named(d Dim) string {
	if d.IsNone() {
		return "a plain number"
	}
	return d.String()
}

func currenciesDiffer(a, b Dim) bool {
	return a.Currency != "" && b.Currency != "" && a.Currency != b.Currency
}

// Add gives a + b. The dimensions must be the same, else the error is a *Mismatch.
func Add(a, b Quantity) (Quantity, error) {
	if a.Dim != b.Dim {
		return Quantity{}, &Mismatch{"added", a.Dim, b.Dim}
	}
	return finite(a.Value+b.Value, a.Dim)
}

// Sub gives a - b. The dimensions must be the same, else the error is a *Mismatch.
func Sub(a, b Quantity) (Quantity, error) {
	if a.Dim != b.Dim {
		return Quantity{}, &Mismatch{"subtracted", a.Dim, b.Dim}
	}
	return finite(a.Value-b.Value, a.Dim)
}

// Mul gives a · b. Two currencies are a *Mismatch.
func Mul(a, b Quantity) (Quantity, error) {
	if currenciesDiffer(a.Dim, b.Dim) {
		return Quantity{}, &Mismatch{"multiplied", a.Dim, b.Dim}
	}
	d, err := combine(a.Dim, b.Dim, 1)
	if err != nil {
		return Quantity{}, err
	}
	return finite(a.Value*b.Value, d)
}

// Div gives a / b. Two currencies are a *Mismatch; b must not be zero.
func Div(a, b Quantity) (Quantity, error) {
	if currenciesDiffer(a.Dim, b.Dim) {
		return Quantity{}, &Mismatch{"divided", a.Dim, b.Dim}
	}
	if b.Value == 0 {
		return Quantity{}, ErrDivideByZero
	}
	d, err := combine(a.Dim, b.Dim, -1)
	if err != nil {
		return Quantity{}, err
	}
	return finite(a.Value/b.Value, d)
}

// Pow gives aⁿ. Unless a is a plain number, n must be whole.
func Pow(a Quantity, n float64) (Quantity, error) {
	if a.Value == 0 && n < 0 {
		return Quantity{}, ErrDivideByZero
	}
	whole := n == math.Trunc(n) && !math.IsInf(n, 0)
	if a.Dim.IsNone() {
		if a.Value < 0 && !whole {
			return Quantity{}, errors.New("a negative number can only be raised to a whole power")
		}
		return finite(math.Pow(a.Value, n), None)
	}
	if !whole {
		return Quantity{}, errors.New(a.Dim.String() + " can only be raised to a whole power, not " +
			strconv.FormatFloat(n, 'g', 6, 64))
	}
	if math.Abs(n) > MaxPower {
		return Quantity{}, errPower
	}
	d, err := combine(None, a.Dim, int(n))
	if err != nil {
		return Quantity{}, err
	}
	return finite(math.Pow(a.Value, n), d)
}

// Sqrt gives the square root. The powers of a's dimension must be even, as those of an area are.
func Sqrt(a Quantity) (Quantity, error) {
	d := a.Dim
	for _, p := range d.powers() {
		if p.power%2 != 0 {
			return Quantity{}, errors.New("the square root of " + d.String() + " has no dimension that is known here")
		}
	}
	if a.Value < 0 {
		return Quantity{}, ErrNegativeRoot
	}
	half := Dim{Length: d.Length / 2, Mass: d.Mass / 2, Time: d.Time / 2, Angle: d.Angle / 2,
		Money: d.Money / 2, Currency: d.Currency}
	return finite(math.Sqrt(a.Value), half)
}

// Same is how near, as a share of the larger value, two values are taken for equal: 12 in and 1 ft
// differ by a rounding in the last binary digit, and a maker can see no such difference.
const Same = 1e-12

// Compare gives -1 when a < b, 0 when they are the same within Same, 1 when a > b.
// The dimensions must be the same, else the error is a *Mismatch.
func Compare(a, b Quantity) (int, error) {
	if a.Dim != b.Dim {
		return 0, &Mismatch{"compared", a.Dim, b.Dim}
	}
	if math.IsNaN(a.Value) || math.IsNaN(b.Value) {
		return 0, ErrNotANumber
	}
	switch {
	case a.Value == b.Value, math.Abs(a.Value-b.Value) <= Same*max(math.Abs(a.Value), math.Abs(b.Value)):
		return 0, nil
	case a.Value < b.Value:
		return -1, nil
	}
	return 1, nil
}

// finite refuses results that no later step can use.
func finite(v float64, d Dim) (Quantity, error) {
	if math.IsNaN(v) {
		return Quantity{}, ErrNotANumber
	}
	if math.IsInf(v, 0) {
		return Quantity{}, ErrTooLarge
	}
	return Quantity{v, d}, nil
}
