package shape

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// String is the outline as SVG path data (SVG 2, 9.3): absolute M, L, A and C commands, closed by Z,
// numbers in mm with at most four decimals. y points up: a writer that turns y by a transform takes
// it as it is, one that turns the numbers must turn the sweep flags of the arcs as well.
func (o Outline) String() string {
	if len(o.Edges) == 0 {
		return ""
	}
	p := o.Path()
	if n := len(p.Segs); n > 1 && p.Segs[n-1].Kind == Line {
		p.Segs = p.Segs[:n-1] // Z draws it
	}
	return p.String() + " Z"
}

// String is the path as SVG path data, as of Outline.String but left open.
func (p Path) String() string {
	var b strings.Builder
	b.WriteString("M" + point(p.Start))
	for _, c := range p.curves() {
		c.write(&b)
	}
	return b.String()
}

func (c curve) write(b *strings.Builder) {
	switch {
	case c.Kind == Cubic:
		b.WriteString(" C" + point(c.C1) + " " + point(c.C2) + " " + point(c.End))
	case c.Kind == Arc && math.Abs(c.sweep()) > 1.5*math.Pi:
		// With its ends close together an arc is written in two, so that rounding cannot spoil it.
		one, two := c.split(0.5)
		one.write(b)
		two.write(b)
	case c.round():
		_, r := c.circle()
		large, sweep := " 0", " 0"
		if math.Abs(c.Bulge) > 1 {
			large = " 1"
		}
		if c.Bulge > 0 {
			sweep = " 1"
		}
		b.WriteString(" A" + number(r) + " " + number(r) + " 0" + large + sweep + " " + point(c.End))
	default:
		b.WriteString(" L" + point(c.End))
	}
}

func point(p r2.Vec) string { return number(p.X) + " " + number(p.Y) }
