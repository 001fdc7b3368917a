package draw

import (
	"math"
	"strconv"
)

// AppendNumber writes a number as SVG, PDF and DXF all read it: at most that many decimals (0 to 6),
// no zeros at its end, no exponent. A number that is not finite, or beyond 1e12, is written as 0:
// a drawing must stay a drawing.
func AppendNumber(dst []byte, x float64, decimals int) []byte {
	scaled := math.Round(x * [...]float64{1, 10, 100, 1000, 1e4, 1e5, 1e6}[decimals])
	if math.IsNaN(scaled) || math.Abs(x) > 1e12 {
		return append(dst, '0')
	}
	n := int64(scaled)
	if n < 0 {
		dst = append(dst, '-')
		n = -n
	}
	for decimals > 0 && n%10 == 0 {
		n /= 10
		decimals--
	}
	unit := [...]int64{1, 10, 100, 1000, 1e4, 1e5, 1e6}[decimals]
	dst = strconv.AppendInt(dst, n/unit, 10)
	if decimals == 0 {
		return dst
	}
	dst = append(dst, '.')
	for rest, step := n%unit, unit/10; step > 0; step /= 10 {
		dst = append(dst, byte('0'+rest/step%10))
	}
	return dst
}
