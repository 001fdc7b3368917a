package unit

import (
	"math"
	"slices"

	"bevelbook/calc/spell"
)

// Unit is one unit of measure.
type Unit struct {
	Name    string   // as written and shown: "mm", "kg/m³"
	Aliases []string // other ways to write it
	Factor  float64  // base units (mm, g, min, rad, the currency) in one of it
	Dim     Dim
	Doc     string // what it is, for the reference
}

// pound is the avoirdupois pound in grams.
const pound = 453.59237

// inch is the international inch in millimetres.
const inch = 25.4

// table is every unit that has a name. Factors are the exact ones of NIST SP 811 (2008),
// appendix B; the US gallon is 231 cubic inches. Every name here is reserved in the language, so
// the list is kept to what a maker writes.
var table = []Unit{
	{"mm", nil, 1, Length, "millimetre"},
	{"cm", nil, 10, Length, "centimetre"},
	{"m", nil, 1000, Length, "metre"},
	{"in", []string{`"`, "″"}, inch, Length, "inch, 25.4 mm"},
	{"ft", []string{"'", "′"}, 12 * inch, Length, "foot, 12 in"},
	{"yd", nil, 36 * inch, Length, "yard, 3 ft"},
	{"deg", []string{"°"}, math.Pi / 180, Angle, "degree"},
	{"rad", nil, 1, Angle, "radian"},
	{"g", nil, 1, Mass, "gram"},
	{"kg", nil, 1000, Mass, "kilogram"},
	{"lb", nil, pound, Mass, "pound (avoirdupois), 453.59237 g"},
	{"oz", nil, pound / 16, Mass, "ounce (avoirdupois), 1/16 lb"},
	{"ml", []string{"mL"}, 1000, Volume, "millilitre, 1 cm³"},
	{"l", []string{"L"}, 1e6, Volume, "litre, 1000 cm³"},
	{"gal", nil, 231 * inch * inch * inch, Volume, "US gallon, 231 in³"},
	{"floz", nil, 231 * inch * inch * inch / 128, Volume, "US fluid ounce, 1/128 gal"},
	{"s", nil, 1.0 / 60, Time, "second"},
	{"min", nil, 1, Time, "minute"},
	{"h", nil, 60, Time, "hour"},
	{"day", nil, 1440, Time, "day of 24 hours"},
	{"%", nil, 0.01, None, "hundredth"},
	currency("EUR", "euro"),
	currency("USD", "US dollar"),
	currency("GBP", "pound sterling"),
	currency("CHF", "Swiss franc"),
	currency("SEK", "Swedish krona"),
	currency("NOK", "Norwegian krone"),
	currency("DKK", "Danish krone"),
	currency("PLN", "Polish zloty"),
	currency("CZK", "Czech koruna"),
	currency("HUF", "Hungarian forint"),
	currency("CAD", "Canadian dollar"),
	currency("AUD", "Australian dollar"),
	currency("NZD", "New Zealand dollar"),
	currency("JPY", "Japanese yen"),
	currency("CNY", "Chinese yuan"),
	currency("INR", "Indian rupee"),
	currency("BRL", "Brazilian real"),
	currency("MXN", "Mexican peso"),
	currency("ZAR", "South African rand"),
	currency("KRW", "South Korean won"),
}

// currency is the unit of an ISO 4217 code.
func currency(code, doc string) Unit { return Unit{Name: code, Factor: 1, Dim: Money(code), Doc: doc} }

// withoutCents are the currencies of the table that ISO 4217 gives no minor unit; the others have
// two decimals.
var withoutCents = map[string]bool{"JPY": true, "KRW": true}

// spelled are words and other abbreviations that people write for a unit. They are not units, so
// that they stay free as names (a wearer has a foot); they only help to name the right one.
var spelled = map[string]string{
	"millimetre": "mm", "millimeter": "mm", "millimetres": "mm", "millimeters": "mm",
	"centimetre": "cm", "centimeter": "cm", "centimetres": "cm", "centimeters": "cm",
	"metre": "m", "meter": "m", "metres": "m", "meters": "m",
	"inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "yard": "yd", "yards": "yd",
	"degree": "deg", "degrees": "deg", "radian": "rad", "radians": "rad",
	"gram": "g", "grams": "g", "gr": "g", "kilo": "kg", "kilogram": "kg", "kilograms": "kg", "kgs": "kg",
	"pound": "lb", "pounds": "lb", "lbs": "lb", "ounce": "oz", "ounces": "oz",
	"millilitre": "ml", "milliliter": "ml", "litre": "l", "liter": "l", "litres": "l", "liters": "l",
	"gallon": "gal", "gallons": "gal", "fl": "floz",
	"second": "s", "seconds": "s", "sec": "s", "minute": "min", "minutes": "min", "mins": "min",
	"hour": "h", "hours": "h", "hr": "h", "hrs": "h", "days": "day",
	"percent": "%", "pct": "%", "€": "EUR", "euro": "EUR", "euros": "EUR",
	"£": "GBP", "$": "USD", "dollar": "USD", "dollars": "USD",
}

// byName finds units by name and alias.
var byName = func() map[string]*Unit {
	m := make(map[string]*Unit, 2*len(table))
	for i := range table {
		u := &table[i]
		m[u.Name] = u
		for _, a := range u.Aliases {
			m[a] = u
		}
	}
	return m
}()

// Lookup finds a unit by its name or an alias. Case counts: "m" is a unit, "M" is none.
func Lookup(name string) (Unit, bool) {
	if u, ok := byName[name]; ok {
		return *u, true
	}
	return Unit{}, false
}

// All lists the units in the order of the reference: lengths, angles, masses, volumes, times,
// per cent, currencies.
func All() []Unit {
	all := slices.Clone(table)
	for i := range all {
		all[i].Aliases = slices.Clone(all[i].Aliases)
	}
	return all
}

// Nearest gives the name of the unit that a mistyped or spelled-out name most likely means, "" if
// none is near.
func Nearest(name string) string {
	near := spell.Nearest(name, candidates)
	if to, ok := spelled[near]; ok {
		return to
	}
	if u, ok := byName[near]; ok {
		return u.Name
	}
	return ""
}

// candidates are all the words that Nearest compares with.
var candidates = func() []string {
	var all []string
	for name := range byName {
		all = append(all, name)
	}
	for word := range spelled {
		all = append(all, word)
	}
	slices.Sort(all)
	return all
}()
