package figure

import (
	"math"
	"slices"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// AppendPath writes an open path as SVG path data with y down and that many decimals (0 to 6).
func AppendPath(dst []byte, p shape.Path, decimals int) []byte {
	dst, _ = appendSegs(appendXY(append(dst, 'M'), p.Start, decimals), p.Start, p.Segs, decimals)
	return dst
}

// AppendOutline writes a closed outline as SVG path data with y down and that many decimals (0 to 6).
func AppendOutline(dst []byte, o shape.Outline, decimals int) []byte {
	from := o.Start
	dst = appendXY(append(dst, 'M'), from, decimals)
	for _, e := range o.Edges {
		dst, from = appendSegs(dst, from, e.Segs, decimals)
	}
	return append(dst, 'Z')
}

// appendFace writes a closed outline as AppendOutline does, straight sides as steps from corner to corner:
// a shape of many faces takes half the bytes. The steps are those between rounded corners, so that
// nothing adds up; the last way home is left to the Z.
func appendFace(dst []byte, o shape.Outline, decimals int) []byte {
	if slices.ContainsFunc(o.Edges, func(e shape.Edge) bool {
		return slices.ContainsFunc(e.Segs, func(s shape.Seg) bool { return s.Kind != shape.Line })
	}) {
		return AppendOutline(dst, o, decimals)
	}
	k := math.Pow10(decimals)
	round := func(p r2.Vec) r2.Vec { return r2.Vec{X: math.Round(p.X*k) / k, Y: math.Round(p.Y*k) / k} }
	from := round(o.Start)
	dst = appendXY(append(dst, 'M'), from, decimals)
	for i, e := range o.Edges {
		for j, s := range e.Segs {
			if i == len(o.Edges)-1 && j == len(e.Segs)-1 && s.End == o.Start {
				break
			}
			to := round(s.End)
			dst = appendXY(append(dst, 'l'), r2.Sub(to, from), decimals)
			from = to
		}
	}
	return append(dst, 'Z')
}

// appendSegs writes segments that lead on from a point, and returns where they end.
func appendSegs(dst []byte, from r2.Vec, segs []shape.Seg, decimals int) ([]byte, r2.Vec) {
	for _, s := range segs {
		switch s.Kind {
		case shape.Arc:
			dst = appendArc(dst, from, s, decimals)
		case shape.Cubic:
			dst = appendXY(append(dst, 'C'), s.C1, decimals)
			dst = appendXY(append(dst, ' '), s.C2, decimals)
			dst = appendXY(append(dst, ' '), s.End, decimals)
		default:
			dst = appendXY(append(dst, 'L'), s.End, decimals)
		}
		from = s.End
	}
	return dst, from
}

// appendArc writes an elliptical-arc command (SVG 2, 9.3.8). Counter-clockwise with y up is sweep 0
// with y down; more than half a turn (|bulge| > 1) is the large arc.
func appendArc(dst []byte, from r2.Vec, s shape.Seg, decimals int) []byte {
	_, r, ok := draw.ArcCentre(from, s)
	if !ok {
		return appendXY(append(dst, 'L'), s.End, decimals)
	}
	// The radius needs finer steps than the points: SVG stretches one that is too small.
	fine := min(decimals+2, 6)
	dst = draw.AppendNumber(append(dst, 'A'), r, fine)
	dst = draw.AppendNumber(append(dst, ' '), r, fine)
	large, sweep := byte('0'), byte('1')
	if math.Abs(s.Bulge) > 1 {
		large = '1'
	}
	if s.Bulge > 0 {
		sweep = '0'
	}
	return appendXY(append(dst, ' ', '0', ' ', large, ' ', sweep, ' '), s.End, decimals)
}

// appendXY writes a point with y down.
func appendXY(dst []byte, p r2.Vec, decimals int) []byte {
	dst = append(draw.AppendNumber(dst, p.X, decimals), ' ')
	return draw.AppendNumber(dst, -p.Y, decimals)
}

// AppendText writes words so that they can stand in XML, in an element or an attribute. What XML 1.0
// cannot carry (2.2, "Char") becomes the replacement character.
func AppendText(dst []byte, s string) []byte {
	for i := 0; i < len(s); {
		c := s[i]
		if c >= utf8.RuneSelf {
			r, size := utf8.DecodeRuneInString(s[i:])
			if r == 0xFFFE || r == 0xFFFF {
				r = utf8.RuneError
			}
			dst = utf8.AppendRune(dst, r)
			i += size
			continue
		}
		switch {
		case c == '&':
			dst = append(dst, "&amp;"...)
		case c == '<':
			dst = append(dst, "&lt;"...)
		case c == '>':
			dst = append(dst, "&gt;"...)
		case c == '"':
			dst = append(dst, "&#34;"...)
		case c < ' ' && c != '\t' && c != '\n' && c != '\r':
			dst = append(dst, "\uFFFD"...)
		default:
			dst = append(dst, c)
		}
		i++
	}
	return dst
}
