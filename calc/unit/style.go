package unit

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// Style is how a journal shows its quantities. The zero Style is metric with decimals.
type Style struct {
	Imperial bool
	// Step is the step of shown lengths: a fraction of an inch (1.0/16) or millimetres; 0 shows
	// decimals.
	Step float64
}

// ParseStyle reads the `units` of a journal: "mm", "in", or "in 1/16" with a power of two up to 64.
func ParseStyle(s string) (Style, error) {
	switch words := strings.Fields(s); {
	case len(words) == 1 && words[0] == "mm":
		return Style{}, nil
	case len(words) == 1 && words[0] == "in":
		return Style{Imperial: true}, nil
	case len(words) == 2 && words[0] == "in" && strings.HasPrefix(words[1], "1/"):
		n, err := strconv.Atoi(words[1][len("1/"):])
		if err == nil && n >= 2 && n <= 64 && n&(n-1) == 0 {
			return Style{Imperial: true, Step: 1 / float64(n)}, nil
		}
	}
	return Style{}, errors.New(`units are "mm", "in", or "in 1/16" (or another step of a rule, from 1/2 to 1/64)`)
}

// rung is one unit of the ladder in which a dimension is shown.
type rung struct {
	unit   Unit
	places int     // decimals at most; one more below 1
	until  float64 // from this many of the unit on the next rung is used; 0 on the last
}

func up(unit string, places int, until float64) rung { return rung{mustParse(unit), places, until} }

// metric and imperial are the units in which dimensions are shown.
var (
	metric = map[Dim][]rung{
		Length:                {up("mm", 1, 0)},
		Area:                  {up("cm²", 1, 10000), up("m²", 2, 0)},
		Volume:                {up("cm³", 1, 1000), up("l", 2, 0)},
		Mass:                  {up("g", 1, 1000), up("kg", 2, 0)},
		{Mass: 1, Length: -3}: {up("kg/m³", 4, 0)},
		{Mass: 1, Length: -2}: {up("g/m²", 4, 0)},
	}
	imperial = map[Dim][]rung{
		Length:                {up("in", 3, 0)},
		Area:                  {up("in²", 1, 144), up("ft²", 2, 0)},
		Volume:                {up("in³", 1, 0)},
		Mass:                  {up("oz", 1, 16), up("lb", 2, 0)},
		{Mass: 1, Length: -3}: {up("lb/ft³", 4, 0)},
		{Mass: 1, Length: -2}: {up("oz/ft²", 4, 0)},
	}
)

// per are the units in which a price is counted, by what it is the price of.
var per = map[Dim]struct{ metric, imperial Unit }{
	Length: {mustParse("m"), mustParse("ft")},
	Area:   {mustParse("m²"), mustParse("ft²")},
	Volume: {mustParse("l"), mustParse("gal")},
	Mass:   {mustParse("kg"), mustParse("lb")},
	Time:   {mustParse("h"), mustParse("h")},
}

// degree is the unit in which angles are shown.
var degree = mustParse("deg")

// Format shows a quantity with its unit as a maker reads it: "240 mm", "3 3/8 in", "1.25 m²",
// "2 h 15 min", "22.5°", "12.50 EUR", "100 kg/m³". It is for reading, so it rounds: no more
// decimals are shown than a maker can measure.
func (s Style) Format(q Quantity) string {
	switch {
	case q.Dim.IsNone():
		return plainNumber(q.Value)
	case q.Dim == Length && s.Step > 0:
		return s.stepped(q.Value)
	case q.Dim == Angle:
		return withUnit(trimmed(q.Value/degree.Factor, 1), degree.Name)
	case q.Dim == Time:
		return formatTime(q.Value)
	case q.Dim.IsMoney():
		return withUnit(formatMoney(q.Value, q.Dim.Currency, 0), q.Dim.Currency)
	}
	ladder := metric
	if s.Imperial {
		ladder = imperial
	}
	if rungs, ok := ladder[q.Dim]; ok {
		return climb(rungs, q.Value)
	}
	if text, ok := s.price(q); ok {
		return text
	}
	u := s.compound(q.Dim)
	return withUnit(plainNumber(q.Value/u.Factor), u.Name)
}

// stepped shows a length in the style's step. What is there but rounds to nothing, as a saw kerf
// in sixteenths does, is shown with decimals instead: "0 in" would be wrong.
func (s Style) stepped(mm float64) string {
	u := byName["mm"]
	if s.Imperial {
		u = byName["in"]
	}
	v := mm / u.Factor
	if whole(v/s.Step) == 0 {
		return withUnit(trimmed(v, 3), u.Name)
	}
	return withUnit(inSteps(v, *u, s.Step), u.Name)
}

// climb shows v, in base units, in the first rung that it does not outgrow once rounded.
func climb(rungs []rung, v float64) string {
	r := rungs[0]
	for _, next := range rungs[1:] {
		if math.Abs(places(r.count(v))) < r.until {
			break
		}
		r = next
	}
	return withUnit(trimmed(r.count(v)), r.unit.Name)
}

// count gives v, in base units, in the rung's unit, and the decimals to show.
func (r rung) count(v float64) (n float64, decimals int) {
	n = v / r.unit.Factor
	if math.Abs(n) < 1 {
		return n, r.places + 1
	}
	return n, r.places
}

// formatTime shows minutes as hours and minutes, a short time with decimals or in seconds.
func formatTime(minutes float64) string {
	size := math.Abs(minutes)
	if s := places(minutes*60, 1); s != 0 && math.Abs(s) < 60 {
		return withUnit(trimmed(s, 1), "s")
	}
	if places(size, 1) < 60 || size >= 1e12 {
		return withUnit(trimmed(minutes, 1), "min")
	}
	all := int64(whole(size))
	text := strconv.FormatInt(all/60, 10) + " h"
	if all%60 != 0 {
		text += " " + strconv.FormatInt(all%60, 10) + " min"
	}
	if minutes < 0 {
		text = "-" + text
	}
	return text
}

// formatMoney writes a sum with the decimals of its currency, more if the step asks for them.
func formatMoney(v float64, code string, step float64) string {
	decimals := 2
	if withoutCents[code] {
		decimals = 0
	}
	if step > 0 {
		v, decimals = Round(v, step), max(decimals, decimalsOf(step))
	}
	return fixed(v, decimals)
}

// price shows money per length, area, volume, mass or time.
func (s Style) price(q Quantity) (string, bool) {
	of, err := combine(None, Dim{Length: q.Dim.Length, Mass: q.Dim.Mass, Time: q.Dim.Time, Angle: q.Dim.Angle}, -1)
	p, ok := per[of]
	if err != nil || !ok || q.Dim.Money != 1 {
		return "", false
	}
	u := p.metric
	if s.Imperial {
		u = p.imperial
	}
	v := q.Value * u.Factor
	number := formatMoney(v, q.Dim.Currency, 0)
	if math.Abs(v) < 0.1 { // cents would hide it
		number = plainNumber(v)
	}
	return withUnit(number, q.Dim.Currency+"/"+u.Name), true
}

// compound is the unit of a dimension that has no customary one: the product of those of its base
// dimensions.
func (s Style) compound(d Dim) Unit {
	names := [5]string{"mm", "g", "min", "deg", d.Currency}
	if s.Imperial {
		names[0], names[1] = "in", "oz"
	}
	var list []factor
	for i, p := range d.powers() {
		u, ok := byName[names[i]]
		if p.power == 0 {
			continue
		}
		if !ok { // a currency that the table does not list
			money := currency(d.Currency, "")
			u = &money
		}
		list = append(list, factor{u, p.power})
	}
	u, err := product(list)
	if err != nil {
		return Unit{Name: d.String(), Factor: 1, Dim: d}
	}
	return u
}

// FormatIn shows q in the unit u, in multiples of step (in units of u). Step 0 shows decimals, at
// most 4; inches in steps of 1/2, 1/4, 1/8… are shown as fractions. The error is a *Mismatch when
// u has another dimension than q, and a plain one when the step or the unit is not usable.
func FormatIn(q Quantity, u Unit, step float64) (string, error) {
	if q.Dim != u.Dim {
		return "", &Mismatch{"shown", q.Dim, u.Dim}
	}
	if !(step >= 0) || math.IsInf(step, 0) {
		return "", errors.New("the step in which a value is shown must be above zero")
	}
	if !(u.Factor > 0) || math.IsInf(u.Factor, 0) {
		return "", errors.New("the unit " + u.Name + " has no size")
	}
	v := q.Value / u.Factor
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return "", ErrTooLarge
	}
	return withUnit(inSteps(v, u, step), u.Name), nil
}

// inSteps writes the number of FormatIn.
func inSteps(v float64, u Unit, step float64) string {
	switch den := denominator(step); {
	case u.Dim.IsMoney():
		return formatMoney(v, u.Dim.Currency, step)
	case step == 0:
		return plainNumber(v)
	case u.Name == "in" && den != 0:
		return fraction(v, den)
	}
	return trimmed(Round(v, step), decimalsOf(step))
}

// withUnit puts a number and a unit together: a space between, none before the degree sign.
func withUnit(number, name string) string {
	switch name {
	case "deg":
		return number + "°"
	case "1":
		return number
	}
	return number + " " + name
}
