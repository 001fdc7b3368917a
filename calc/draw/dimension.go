package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Line is a straight stroke from A to B.
type Line struct{ A, B r2.Vec }

// Proportions of a dimension in Em, common drafting practice.
const (
	gap   = 0.35 // between the object and its extension line
	over  = 0.45 // extension and dimension lines run on past each other
	slash = 0.38 // half an architectural tick, along each of both directions
)

// Drawn turns a dimension into its lines (extension lines, dimension line, slashes) and its text,
// for lettering em mm high. The line is broken for the text; text that does not fit between the
// ticks stands outside, level. Text is never upside down.
func (d Dimension) Drawn(em float64) ([]Line, Label) {
	span := r2.Sub(d.B, d.A)
	length := math.Hypot(span.X, span.Y)
	if length == 0 || em <= 0 {
		return nil, Label{Role: Dim, At: d.A, Text: d.Text}
	}
	dir := r2.Scale(1/length, span)
	out := r2.Vec{X: -dir.Y, Y: dir.X}
	off := d.Off
	if off < 0 {
		out, off = r2.Scale(-1, out), -off
	}
	a, b := along(d.A, out, off), along(d.B, out, off)
	lines := make([]Line, 0, 6)
	if off > gap*em {
		lines = append(lines,
			Line{along(d.A, out, gap*em), along(a, out, over*em)},
			Line{along(d.B, out, gap*em), along(b, out, over*em)})
	}
	lead, tail := along(a, dir, -over*em), along(b, dir, over*em)
	label := Label{Role: Dim, At: r2.Scale(0.5, r2.Add(a, b)), Text: d.Text}
	half := (TextWidth(d.Text)/2 + 0.3) * em
	if d.Text != "" && 2*half < length-em {
		label.Angle = Upright(math.Atan2(dir.Y, dir.X))
		lines = append(lines, Line{lead, along(label.At, dir, -half)}, Line{along(label.At, dir, half), tail})
	} else {
		lines = append(lines, Line{lead, tail})
		label.At = along(label.At, out, 0.35*em)
		label = label.beside(out, em)
	}
	tick := r2.Scale(slash*em, r2.Add(dir, r2.Vec{X: -dir.Y, Y: dir.X}))
	return append(lines,
		Line{r2.Sub(a, tick), r2.Add(a, tick)},
		Line{r2.Sub(b, tick), r2.Add(b, tick)}), label
}

// Drawn turns a measured angle into its arc, the short lines at its ends, and its text.
func (g Angle) Drawn(em float64) (shape.Path, []Line, Label) {
	sweep := g.To - g.From
	for sweep < 0 {
		sweep += 2 * math.Pi
	}
	sweep = math.Min(sweep, 2*math.Pi)
	at := func(angle, radius float64) r2.Vec {
		return r2.Vec{X: g.At.X + radius*math.Cos(angle), Y: g.At.Y + radius*math.Sin(angle)}
	}
	// Two arcs, since the bulge of a full turn is infinite.
	mid, bulge := g.From+sweep/2, math.Tan(sweep/8)
	arc := shape.Path{Start: at(g.From, g.Radius), Segs: []shape.Seg{
		{Kind: shape.Arc, End: at(mid, g.Radius), Bulge: bulge},
		{Kind: shape.Arc, End: at(g.From+sweep, g.Radius), Bulge: bulge},
	}}
	end := over * em
	ends := []Line{
		{at(g.From, g.Radius-end), at(g.From, g.Radius+end)},
		{at(g.From+sweep, g.Radius-end), at(g.From+sweep, g.Radius+end)},
	}
	label := Label{Role: Dim, At: at(mid, g.Radius+0.3*em), Text: g.Text}
	return arc, ends, label.beside(r2.Vec{X: math.Cos(mid), Y: math.Sin(mid)}, em)
}

// beside stands a level label off its point, in direction out, so that it keeps clear of what is there.
func (l Label) beside(out r2.Vec, em float64) Label {
	l.At = r2.Vec{
		X: l.At.X + out.X*em*TextWidth(l.Text)/2,
		Y: l.At.Y + out.Y*em*0.6,
	}
	return l
}

// along is the point that lies by mm from p in direction dir.
func along(p, dir r2.Vec, by float64) r2.Vec {
	return r2.Vec{X: p.X + dir.X*by, Y: p.Y + dir.Y*by}
}

// Upright turns an angle by half a turn where lettering along it would stand on its head.
// The result lies in (-90°, 90°], so that upright lines read from below to above.
func Upright(angle float64) float64 {
	a := math.Mod(angle, math.Pi)
	const slack = 1e-9
	if a > math.Pi/2+slack {
		a -= math.Pi
	} else if a <= -math.Pi/2+slack {
		a += math.Pi
	}
	return a
}
