package figure

import (
	"math"
	"strconv"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// segs writes segments that lead on from a point and returns where they end.
func (w *writer) segs(from r2.Vec, segs []shape.Seg) r2.Vec {
	for _, s := range segs {
		switch s.Kind {
		case shape.Arc:
			w.arc(from, s)
		case shape.Cubic:
			w.out = append(w.out, 'C')
			w.xy(s.C1)
			w.out = append(w.out, ' ')
			w.xy(s.C2)
			w.out = append(w.out, ' ')
			w.xy(s.End)
		default:
			w.to(s.End)
		}
		from = s.End
	}
	return from
}

// arc writes an elliptical-arc command (SVG 2, 9.3.8). Counter-clockwise with y up is sweep 0
// with y down; more than half a turn (|bulge| > 1) is the large arc.
func (w *writer) arc(from r2.Vec, s shape.Seg) {
	_, r, ok := draw.ArcCentre(from, s)
	if !ok {
		w.to(s.End)
		return
	}
	w.out = append(w.out, 'A')
	w.num(r)
	w.out = append(w.out, ' ')
	w.num(r)
	large, sweep := byte('0'), byte('1')
	if math.Abs(s.Bulge) > 1 {
		large = '1'
	}
	if s.Bulge > 0 {
		sweep = '0'
	}
	w.out = append(w.out, ' ', '0', ' ', large, ' ', sweep, ' ')
	w.xy(s.End)
}

func (w *writer) move(p r2.Vec) {
	w.out = append(w.out, 'M')
	w.xy(p)
}

func (w *writer) to(p r2.Vec) {
	w.out = append(w.out, 'L')
	w.xy(p)
}

// xy writes a point with y down.
func (w *writer) xy(p r2.Vec) {
	w.num(p.X)
	w.out = append(w.out, ' ')
	w.num(-p.Y)
}

func (w *writer) str(s string) { w.out = append(w.out, s...) }

func (w *writer) num(x float64) { w.fixed(x, w.unit) }

// fixed writes a number with at most that many decimals and no zeros at its end.
// A number that is not finite is written as 0: a figure must stay a figure.
func (w *writer) fixed(x float64, decimals int) {
	pow := [...]float64{1, 10, 100, 1000, 1e4, 1e5}[decimals]
	scaled := math.Round(x * pow)
	if math.IsNaN(scaled) || math.Abs(scaled) > 1e15 {
		w.out = append(w.out, '0')
		return
	}
	n := int64(scaled)
	if n < 0 {
		w.out = append(w.out, '-')
		n = -n
	}
	for decimals > 0 && n%10 == 0 {
		n /= 10
		decimals--
	}
	unit := int64([...]float64{1, 10, 100, 1000, 1e4, 1e5}[decimals])
	w.out = strconv.AppendInt(w.out, n/unit, 10)
	if decimals == 0 {
		return
	}
	w.out = append(w.out, '.')
	for rest, step := n%unit, unit/10; step > 0; step /= 10 {
		w.out = append(w.out, byte('0'+rest/step%10))
	}
}

// text writes words so that they can stand in XML, in an element or an attribute. What XML 1.0
// cannot carry (2.2, "Char") becomes the replacement character.
func (w *writer) text(s string) {
	for i := 0; i < len(s); {
		c := s[i]
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(s[i:])
			if r == 0xFFFE || r == 0xFFFF {
				r = utf8.RuneError
			}
			w.out = utf8.AppendRune(w.out, r)
			i += size
			continue
		}
		switch {
		case c == '&':
			w.str("&amp;")
		case c == '<':
			w.str("&lt;")
		case c == '>':
			w.str("&gt;")
		case c == '"':
			w.str("&#34;")
		case c < ' ' && c != '\t' && c != '\n' && c != '\r':
			w.str("\uFFFD")
		default:
			w.out = append(w.out, c)
		}
		i++
	}
}
