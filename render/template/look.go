package template

import (
	"bevelbook/calc/draw"
	"bevelbook/render/template/pdf"
)

// pen is how a role is drawn: line width and dashes in mm. Print is black on white.
type pen struct {
	width float64
	dash  []float64
	layer string // group of the SVG
}

// pens by role. Line widths follow the pairs of ISO 128: wide 0.35, narrow 0.18 (from memory).
var pens = map[draw.Role]pen{
	draw.Cut:    {width: 0.35, layer: "cut"},
	draw.Hole:   {width: 0.35, layer: "cut"},
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

// ink writes a drawing's items into a PDF content, in the drawing's own coordinates.
type ink struct {
	c    *pdf.Content
	em   float64
	last draw.Role
	set  bool
}

func (k *ink) use(r draw.Role) {
	if k.set && k.last == r {
		return
	}
	p := penOf(r)
	k.c.Width(p.width)
	k.c.Dash(p.dash...)
	k.last, k.set = r, true
}

func (k *ink) item(it draw.Item) {
	switch it := it.(type) {
	case draw.Stroke:
		k.use(it.Role)
		k.c.Path(it.Path)
		k.c.Stroke()
	case draw.Area:
		k.area(it)
	case draw.Label:
		k.label(it)
	case draw.Point:
		k.use(it.Role)
		for _, l := range cross(it.At, target) {
			k.c.Line(l.A, l.B)
		}
		k.c.Stroke()
	case draw.Dimension:
		lines, label := it.Drawn(k.em)
		k.lines(lines)
		k.label(label)
	case draw.Angle:
		arc, lines, label := it.Drawn(k.em)
		k.use(draw.Dim)
		k.c.Path(arc)
		k.c.Stroke()
		k.lines(lines)
		k.label(label)
	}
}

func (k *ink) area(a draw.Area) {
	if a.Role == draw.Hatch {
		k.lines(a.Hatching(0.55 * k.em))
		return
	}
	k.use(a.Role)
	k.c.Outline(a.Outline)
	for _, h := range a.Holes {
		k.c.Outline(h)
	}
	if a.Fill {
		k.c.Fill()
	} else {
		k.c.Stroke()
	}
}

func (k *ink) lines(lines []draw.Line) {
	if len(lines) == 0 {
		return
	}
	k.use(draw.Dim)
	for _, l := range lines {
		k.c.Line(l.A, l.B)
	}
	k.c.Stroke()
}

func (k *ink) label(l draw.Label) {
	at, size := base(l, k.em)
	k.c.Words(pdf.Words{At: at, Text: l.Text, Size: size, Bold: bold(l.Role), Angle: l.Angle, Anchor: l.Anchor})
}
