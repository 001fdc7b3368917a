package template

import "bevelbook/calc/draw"

// pen is how a role is drawn: line width and dashes in mm. Print is black on white.
type pen struct {
	width float64
	dash  []float64
	layer string // group of the SVG
}

// pens by role. What is cut is twice as wide as what is only drawn, so that nobody follows the wrong
// line: the pair 0.5 and 0.25 of ISO 128 (from memory).
var pens = map[draw.Role]pen{
	draw.Cut:    {width: 0.5, layer: "cut"},
	draw.Hole:   {width: 0.5, layer: "cut"},
	draw.Back:   {width: 0.25, dash: []float64{3, 2}, layer: "mark"},
	draw.Mark:   {width: 0.25, layer: "mark"},
	draw.Accent: {width: 0.35, layer: "mark"},
	draw.Drill:  {width: 0.18, layer: "drill"},
}

// noted is the pen of everything else: words, leaders, dimensions.
var noted = pen{width: 0.18, layer: "note"}

func penOf(r draw.Role) pen {
	if p, ok := pens[r]; ok {
		return p
	}
	return noted
}

// bold tells whether words of a role are heavy.
func bold(r draw.Role) bool { return r == draw.Name || r == draw.Accent }

// capital is half of a capital's height in Em: words stand centred on their point.
const capital = 0.36

// target is the sign of a drill centre or a point, mm.
const target = 1.5

// drawing draws all items of a drawing, in its own coordinates.
func (c *ink) drawing(d draw.Drawing) {
	for _, it := range d.Items {
		c.item(it, d.Em)
	}
}

// use takes the pen of a role.
func (c *ink) use(r draw.Role) {
	p := penOf(r)
	if c.thin > 0 { // the page is scaled: lines are to come out as wide as elsewhere
		p.width *= c.thin
		dash := make([]float64, len(p.dash))
		for i, d := range p.dash {
			dash[i] = d * c.thin
		}
		p.dash = dash
	}
	c.width(p.width)
	c.dash(p.dash...)
}

func (c *ink) item(it draw.Item, em float64) {
	switch it := it.(type) {
	case draw.Stroke:
		c.use(it.Role)
		c.path(it.Path)
		c.stroke()
	case draw.Area:
		c.area(it, em)
	case draw.Label:
		c.label(it, em)
	case draw.Point:
		lines := cross(it.At, target)
		c.lines(it.Role, lines[:])
	case draw.Dimension:
		lines, label := it.Drawn(em)
		c.lines(draw.Dim, lines)
		c.label(label, em)
	case draw.Angle:
		arc, lines, label := it.Drawn(em)
		c.use(draw.Dim)
		c.path(arc)
		c.stroke()
		c.lines(draw.Dim, lines)
		c.label(label, em)
	}
}

func (c *ink) area(a draw.Area, em float64) {
	if a.Role == draw.Hatch {
		c.lines(draw.Dim, a.Hatching(0.55*em))
		return
	}
	c.use(a.Role)
	c.outline(a.Outline)
	for _, h := range a.Holes {
		c.outline(h)
	}
	if a.Fill {
		c.fill()
	} else {
		c.stroke()
	}
}

func (c *ink) lines(r draw.Role, lines []draw.Line) {
	if len(lines) == 0 {
		return
	}
	c.use(r)
	for _, l := range lines {
		c.line(l.A, l.B)
	}
	c.stroke()
}

func (c *ink) label(l draw.Label, em float64) {
	at, size := base(l, em)
	c.words(wording{at: at, text: l.Text, size: size, bold: bold(l.Role), angle: l.Angle, anchor: l.Anchor})
}
