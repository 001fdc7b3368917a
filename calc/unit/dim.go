package unit

import (
	"errors"
	"strings"
)

// MaxPower is the highest power of a base dimension, either sign, that a quantity may have.
const MaxPower = 8

// Dim is a dimension: the power of each base dimension, from -MaxPower to MaxPower.
// Dims are compared with ==. Currency is the ISO 4217 code when Money is not 0, else "".
type Dim struct {
	Length, Mass, Time, Angle, Money int8
	Currency                         string
}

// The dimensions that have a name of their own. Money has one for each currency.
var (
	None   = Dim{}
	Length = Dim{Length: 1}
	Area   = Dim{Length: 2}
	Volume = Dim{Length: 3}
	Mass   = Dim{Mass: 1}
	Time   = Dim{Time: 1}
	Angle  = Dim{Angle: 1}
)

// Money is the dimension of a sum in a currency, given by its ISO 4217 code.
func Money(code string) Dim { return Dim{Money: 1, Currency: code} }

// IsNone tells whether d is that of a plain number.
func (d Dim) IsNone() bool { return d == None }

// IsMoney tells whether d is that of a sum of money, not of a price per something.
func (d Dim) IsMoney() bool { return d.Money == 1 && d == Money(d.Currency) }

// String names the dimension for people: "length", "volume", "plain number", "mass / volume".
func (d Dim) String() string {
	if d.IsNone() {
		return "plain number"
	}
	var over, under []string
	for _, p := range d.powers() {
		switch {
		case p.power > 0:
			over = append(over, powerName(p.name, p.power))
		case p.power < 0:
			under = append(under, powerName(p.name, -p.power))
		}
	}
	text := strings.Join(over, " · ")
	if text == "" {
		text = "1"
	}
	switch len(under) {
	case 0:
		return text
	case 1:
		return text + " / " + under[0]
	}
	return text + " / (" + strings.Join(under, " · ") + ")"
}

// power is one base dimension, by name, and its exponent.
type power struct {
	name  string
	power int
}

// powers lists all base dimensions of d in the order in which they are shown.
func (d Dim) powers() [5]power {
	return [5]power{
		{"length", int(d.Length)}, {"mass", int(d.Mass)}, {"time", int(d.Time)},
		{"angle", int(d.Angle)}, {"money", int(d.Money)},
	}
}

// powerName names a base dimension raised to n > 0.
func powerName(name string, n int) string {
	if name == "length" && n == 2 {
		return "area"
	}
	if name == "length" && n == 3 {
		return "volume"
	}
	return name + raised(n)
}

// errPower says that a result leaves the range of dimensions that are kept.
var errPower = errors.New("the result would have a dimension above the 8th power")

// combine gives the dimension of a·bⁿ, n from -MaxPower to MaxPower. The currencies of a and b
// must not differ.
func combine(a, b Dim, n int) (Dim, error) {
	var sum [5]int8
	pa, pb := a.powers(), b.powers()
	for i := range sum {
		p := pa[i].power + n*pb[i].power
		if p < -MaxPower || p > MaxPower {
			return None, errPower
		}
		sum[i] = int8(p)
	}
	d := Dim{Length: sum[0], Mass: sum[1], Time: sum[2], Angle: sum[3], Money: sum[4]}
	if d.Money != 0 {
		d.Currency = a.Currency
		if d.Currency == "" {
			d.Currency = b.Currency
		}
	}
	return d, nil
}

// superscripts are the digits 0 to 9 set high.
var superscripts = []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")

// raised writes a power from 1 to 9 as a superscript, the first power as nothing.
func raised(n int) string {
	if n == 1 {
		return ""
	}
	return string(superscripts[n])
}
