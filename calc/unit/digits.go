package unit

import (
	"math"
	"strconv"
	"strings"
)

// exact is 2⁵³: from here on a float64 holds no fractions, so there is nothing to round.
const exact = 1 << 53

// Round gives the multiple of step nearest to v, halves away from zero. A value that misses a half
// by no more than the last binary digits counts as that half: 17.55 goes to 17.6 in steps of 0.1.
// A step that is not above zero leaves v as it is.
func Round(v, step float64) float64 {
	n := v / step
	if !(step > 0) || math.IsInf(step, 0) || !(math.Abs(n) < exact) {
		return v
	}
	return whole(n) * step
}

// whole rounds to whole numbers as Round does.
func whole(n float64) float64 {
	nudge := min(math.Abs(n)*Same, 1e-6)
	return math.Round(n + math.Copysign(nudge, n))
}

// places rounds v to a number of decimals. Dividing by the power of ten keeps 0.1 the 0.1 that
// strconv prints, where a multiple of the step 0.1 may not be.
func places(v float64, decimals int) float64 {
	ten := math.Pow10(decimals)
	if n := v * ten; math.Abs(n) < exact {
		return whole(n) / ten
	}
	return v
}

// trimmed writes v with at most so many decimals and no zeros at the end.
func trimmed(v float64, decimals int) string {
	text := fixed(v, decimals)
	if strings.Contains(text, ".") && !strings.Contains(text, "e") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// fixed writes v with just so many decimals, and never a zero with a minus sign. Values beyond
// 10¹⁵ are written with an exponent.
func fixed(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not a number"
	}
	if math.Abs(v) >= 1e15 {
		return strings.Replace(strconv.FormatFloat(v, 'g', 5, 64), "e+", "e", 1)
	}
	r := places(v, decimals)
	if r == 0 {
		r = 0 // not -0
	}
	return strconv.FormatFloat(r, 'f', decimals, 64)
}

// noise is the size below which a number is shown as 0: what is left of cos 90°, for instance.
const noise = 1e-12

// plainNumber writes v with at most 4 decimals, or 4 digits after the zeros when it is below 1.
func plainNumber(v float64) string {
	size := math.Abs(v)
	switch {
	case size < noise:
		return "0"
	case size >= 1 || math.IsNaN(v):
		return trimmed(v, 4)
	case size < 1e-9:
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	zeros := int(math.Ceil(-math.Log10(size))) - 1
	return trimmed(v, 4+max(zeros, 0))
}

// decimalsOf is how many decimals a multiple of step needs: 0.25 needs 2, 1/3 is cut at 4.
func decimalsOf(step float64) int {
	for n := 0; n <= 9; n++ {
		scaled := step * math.Pow10(n)
		if r := math.Round(scaled); r != 0 && math.Abs(scaled-r) <= Same*scaled {
			return n
		}
	}
	return 4
}

// finestFraction is the largest denominator that is shown as a fraction of an inch.
const finestFraction = 1024

// denominator gives n when step is 1/n of an inch and n a power of two, as on a rule; else 0.
func denominator(step float64) int {
	for n := 1; n <= finestFraction; n *= 2 {
		if step == 1/float64(n) {
			return n
		}
	}
	return 0
}

// fraction writes v as a whole number and a fraction of den parts in lowest terms: "3 3/8",
// "1/4", "-2", "0". A v too large for the parts to be counted is written with decimals.
func fraction(v float64, den int) string {
	parts := whole(math.Abs(v) * float64(den))
	if !(parts < exact) {
		return fixed(v, 0)
	}
	n := int64(parts)
	units, over, under := n/int64(den), n%int64(den), int64(den)
	for over != 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	sign := ""
	if v < 0 && n != 0 {
		sign = "-"
	}
	part := strconv.FormatInt(over, 10) + "/" + strconv.FormatInt(under, 10)
	switch {
	case over == 0:
		return sign + strconv.FormatInt(units, 10)
	case units == 0:
		return sign + part
	}
	return sign + strconv.FormatInt(units, 10) + " " + part
}
