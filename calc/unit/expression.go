package unit

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The bounds of a unit expression, far above what anybody writes.
const (
	maxExpression = 64 // bytes
	maxFactors    = 8
)

// Unknown is the error for a name that is no unit.
type Unknown struct {
	Name    string
	Nearest string // the unit probably meant, or ""
}

// Error names the unit that was probably meant, if there is one.
func (u *Unknown) Error() string {
	text := strconv.Quote(u.Name) + " is no unit known here"
	if u.Nearest != "" {
		text += "; did you mean " + u.Nearest + "?"
	}
	return text
}

// Parse reads a unit or a product of units: "mm", "m²", "mm^2", "kg/m^3", "EUR/m^2", "1/m".
// Factors are joined by "*", "·" or "/", which divides by the next factor alone; powers are whole,
// from -8 to 8. The unit's Name is the same unit written our way ("kg/m³"), and reads back as
// itself. Errors say what is wrong in a plain sentence; an unknown name is an *Unknown.
func Parse(s string) (Unit, error) {
	if u, ok := Lookup(strings.TrimSpace(s)); ok {
		return u, nil
	}
	if len(s) > maxExpression {
		return Unit{}, errors.New("a unit of more than " + strconv.Itoa(maxExpression) + " letters is not read")
	}
	r := reader{rest: s}
	factors, err := r.factors()
	if err != nil {
		return Unit{}, err
	}
	return product(factors)
}

// factor is a named unit and its power.
type factor struct {
	unit  *Unit
	power int
}

// reader reads a unit expression from the left.
type reader struct{ rest string }

func (r *reader) factors() ([]factor, error) {
	var list []factor
	sign := 1
	for n := 1; ; n++ {
		if n > maxFactors {
			return nil, errors.New("a unit of more than " + strconv.Itoa(maxFactors) + " factors is not read")
		}
		f, err := r.factor(n == 1)
		if err != nil {
			return nil, err
		}
		if f.unit != nil {
			f.power *= sign
			list = merge(list, f)
		}
		r.rest = strings.TrimLeft(r.rest, " ")
		if r.rest == "" {
			return list, nil
		}
		c, size := utf8.DecodeRuneInString(r.rest)
		switch c {
		case '/':
			sign = -1
		case '*', '·', '⋅':
			sign = 1
		default:
			return nil, errors.New("in a unit, * or / or a power is expected before " + strconv.Quote(r.rest))
		}
		r.rest = r.rest[size:]
	}
}

// merge adds a factor to the list, into the one of the same unit if there is one.
func merge(list []factor, f factor) []factor {
	for i := range list {
		if list[i].unit == f.unit {
			list[i].power += f.power
			return list
		}
	}
	return append(list, f)
}

// factor reads one name with its power. The first may be the 1 of "1/m": then unit is nil.
func (r *reader) factor(first bool) (factor, error) {
	r.rest = strings.TrimLeft(r.rest, " ")
	if first && strings.HasPrefix(r.rest, "1") {
		r.rest = r.rest[1:]
		return factor{}, nil
	}
	name := r.name()
	if name == "" {
		if r.rest == "" {
			return factor{}, errors.New("a unit is expected here, such as mm or kg/m^3")
		}
		return factor{}, errors.New("a unit is expected before " + strconv.Quote(r.rest) + ", such as mm or kg/m^3")
	}
	u, ok := byName[name]
	if !ok {
		return factor{}, &Unknown{name, Nearest(name)}
	}
	p, err := r.power()
	return factor{u, p}, err
}

// name takes letters, or one of the signs that are a unit by themselves.
func (r *reader) name() string {
	n := 0
	for i, c := range r.rest {
		if unicode.IsLetter(c) || c == '_' {
			n = i + utf8.RuneLen(c)
			continue
		}
		if i == 0 && strings.ContainsRune(`°%"'″′`, c) {
			n = utf8.RuneLen(c)
		}
		break
	}
	name := r.rest[:n]
	r.rest = r.rest[n:]
	return name
}

// power reads ^2, ^-2, ² or ⁻²; nothing is the first power.
func (r *reader) power() (int, error) {
	digits := ""
	if rest, ok := strings.CutPrefix(r.rest, "^"); ok {
		end := strings.IndexFunc(rest, func(c rune) bool { return c != '-' && (c < '0' || c > '9') })
		if end < 0 {
			end = len(rest)
		}
		digits, r.rest = rest[:end], rest[end:]
		if digits == "" {
			return 0, errors.New("a whole power is expected after ^, as in m^2")
		}
	} else if digits = r.superscript(); digits == "" {
		return 1, nil
	}
	p, err := strconv.Atoi(digits)
	if err != nil || p < -MaxPower || p > MaxPower {
		return 0, errors.New("the power " + digits + " of a unit is not a whole number from -8 to 8")
	}
	return p, nil
}

// superscript takes high digits and the high minus and gives them as ordinary ones.
func (r *reader) superscript() string {
	var digits []byte
	for r.rest != "" {
		c, size := utf8.DecodeRuneInString(r.rest)
		d := slices.Index(superscripts, c)
		switch {
		case d >= 0:
			digits = append(digits, byte('0'+d))
		case c == '⁻':
			digits = append(digits, '-')
		default:
			return string(digits)
		}
		r.rest = r.rest[size:]
	}
	return string(digits)
}

// product works out the unit that the factors make, and its name.
func product(list []factor) (Unit, error) {
	list = slices.DeleteFunc(list, func(f factor) bool { return f.power == 0 })
	slices.SortStableFunc(list, func(a, b factor) int { // what divides comes last
		return order(a.power) - order(b.power)
	})
	u := Unit{Factor: 1}
	for _, f := range list {
		if f.power < -MaxPower || f.power > MaxPower {
			return Unit{}, errPower
		}
		if currenciesDiffer(u.Dim, f.unit.Dim) {
			return Unit{}, &Mismatch{"multiplied", u.Dim, f.unit.Dim}
		}
		d, err := combine(u.Dim, f.unit.Dim, f.power)
		if err != nil {
			return Unit{}, err
		}
		u.Dim = d
		u.Name += joined(u.Name, f)
		if f.power > 0 {
			u.Factor *= math.Pow(f.unit.Factor, float64(f.power))
		} else {
			u.Factor /= math.Pow(f.unit.Factor, float64(-f.power))
		}
	}
	if u.Factor == 0 || math.IsInf(u.Factor, 0) {
		return Unit{}, ErrTooLarge
	}
	if u.Name == "" {
		u.Name = "1"
	}
	return u, nil
}

func order(power int) int {
	if power < 0 {
		return 1
	}
	return 0
}

// joined is how a factor continues a unit's name.
func joined(name string, f factor) string {
	switch {
	case f.power < 0 && name == "":
		return "1/" + f.unit.Name + raised(-f.power)
	case f.power < 0:
		return "/" + f.unit.Name + raised(-f.power)
	case name == "":
		return f.unit.Name + raised(f.power)
	}
	return "·" + f.unit.Name + raised(f.power)
}

// mustParse reads a unit of our own tables.
func mustParse(s string) Unit {
	u, err := Parse(s)
	if err != nil {
		panic("unit: " + s + ": " + err.Error())
	}
	return u
}
