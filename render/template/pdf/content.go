package pdf

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// Content is the drawing on a page or in a form, in mm.
type Content struct {
	doc *Document
	ops []byte
}

// Content starts a drawing for this document.
func (d *Document) Content() *Content { return &Content{doc: d} }

// decimals of a coordinate: a tenth of a micron.
const decimals = 4

func (c *Content) num(x float64) { c.ops = append(draw.AppendNumber(c.ops, x, decimals), ' ') }

func (c *Content) xy(p r2.Vec) {
	c.num(p.X)
	c.num(p.Y)
}

func (c *Content) op(s string) { c.ops = append(append(c.ops, s...), '\n') }

// Save keeps line style, clip and place; Restore brings them back.
func (c *Content) Save() { c.op("q") }

// Restore ends what Save began.
func (c *Content) Restore() { c.op("Q") }

// Width sets the line width in mm.
func (c *Content) Width(mm float64) {
	c.num(mm)
	c.op("w")
}

// Dash sets the lengths of dashes and gaps in mm; none makes lines solid.
func (c *Content) Dash(mm ...float64) {
	c.ops = append(c.ops, '[')
	for _, x := range mm {
		c.num(x)
	}
	c.op("]0 d")
}

// Grey sets the colour of lines, fillings and words: 0 is black, 1 white.
func (c *Content) Grey(g float64) {
	c.num(g)
	c.op("G")
	c.num(g)
	c.op("g")
}

// Clip keeps everything that follows inside of the box, until Restore.
func (c *Content) Clip(b r2.Box) {
	c.Rect(b)
	c.op("W n")
}

// Rect adds a box to the path.
func (c *Content) Rect(b r2.Box) {
	c.xy(b.Min)
	c.xy(r2.Sub(b.Max, b.Min))
	c.op("re")
}

// Place moves what follows: scaled, then turned counter-clockwise by quarter turns, then shifted.
func (c *Content) Place(shift r2.Vec, quarters int, scale float64) {
	cos := [4]float64{1, 0, -1, 0}[quarters&3] * scale
	sin := [4]float64{0, 1, 0, -1}[quarters&3] * scale
	for _, x := range [4]float64{cos, sin, -sin, cos} {
		c.ops = append(draw.AppendNumber(c.ops, x, 6), ' ')
	}
	c.xy(shift)
	c.op("cm")
}

// Draw shows a form.
func (c *Content) Draw(f Form) {
	c.ops = strconv.AppendInt(append(c.ops, "/X"...), int64(f), 10)
	c.op(" Do")
}

// Line adds a straight line to the path.
func (c *Content) Line(a, b r2.Vec) {
	c.xy(a)
	c.op("m")
	c.xy(b)
	c.op("l")
}

// Circle adds a circle to the path.
func (c *Content) Circle(at r2.Vec, r float64) {
	end := r2.Vec{X: at.X + r, Y: at.Y}
	c.Path(shape.Path{Start: end, Segs: []shape.Seg{
		{Kind: shape.Arc, End: r2.Vec{X: at.X - r, Y: at.Y}, Bulge: 1},
		{Kind: shape.Arc, End: end, Bulge: 1},
	}})
}

// Path adds an open path.
func (c *Content) Path(p shape.Path) {
	c.xy(p.Start)
	c.op("m")
	c.segs(p.Start, p.Segs)
}

// Outline adds a closed path.
func (c *Content) Outline(o shape.Outline) {
	from := o.Start
	c.xy(from)
	c.op("m")
	for _, e := range o.Edges {
		from = c.segs(from, e.Segs)
	}
	c.op("h")
}

func (c *Content) segs(from r2.Vec, segs []shape.Seg) r2.Vec {
	for _, s := range segs {
		if s.Kind == shape.Line {
			c.xy(s.End)
			c.op("l")
		} else {
			for _, b := range draw.Beziers(from, s) {
				c.xy(b[1])
				c.xy(b[2])
				c.xy(b[3])
				c.op("c")
			}
		}
		from = s.End
	}
	return from
}

// Stroke draws the path's line.
func (c *Content) Stroke() { c.op("S") }

// Fill fills the path; what lies inside twice stays open.
func (c *Content) Fill() { c.op("f*") }

// Words are one line of lettering: Size mm high from line to line, At its anchor on the base line.
type Words struct {
	At     r2.Vec
	Text   string
	Size   float64
	Bold   bool
	Angle  float64 // radians, counter-clockwise
	Anchor draw.Anchor
}

// Words writes a line of lettering and returns its width in mm.
func (c *Content) Words(w Words) float64 {
	if w.Text == "" || !(w.Size > 0) {
		return 0
	}
	face := faceOf(w.Bold)
	width := w.Size * face.measure(w.Text)
	back := [...]float64{draw.Middle: width / 2, draw.Start: 0, draw.End: width}[w.Anchor]
	sin, cos := math.Sincos(w.Angle)
	at := r2.Vec{X: w.At.X - cos*back, Y: w.At.Y - sin*back}
	c.ops = append(c.ops, "BT "...)
	for _, x := range [4]float64{cos, sin, -sin, cos} {
		c.num(x)
	}
	c.xy(at)
	c.op("Tm")
	font, open := -1, false
	for _, r := range w.Text {
		n, code := c.doc.code(face, r)
		if n != font {
			if open {
				c.op(">Tj")
			}
			c.ops = strconv.AppendInt(append(c.ops, "/F"...), int64(n), 10)
			c.ops = append(c.ops, ' ')
			c.num(w.Size)
			c.ops = append(c.ops, "Tf <"...)
			font, open = n, true
		}
		c.ops = appendHex(c.ops, code)
	}
	c.op(">Tj ET")
	return width
}

// Measure is the width of words in multiples of their size.
func Measure(text string, bold bool) float64 { return faceOf(bold).measure(text) }
