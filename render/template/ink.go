package template

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// pointsPerMM is the size of a millimetre in user units of 1/72 in (ISO 32000-1, 8.3.2.3).
const pointsPerMM = 72 / 25.4

// ink draws on the pages of a PDF document, or in a form of it that is kept once and shown on any page.
// Everything is in mm, y up, from the lower left corner. The same calls give the same bytes.
type ink struct {
	doc   *fpdf.Fpdf
	high  float64 // of the page or form: the document counts y down from its upper edge
	lacks *[]rune // characters that the fonts lack, each once, as first met
	font  font    // in use, or none: it is named only when it changes
	thin  float64 // by how much lines are drawn wider on a scaled page; 0 for one that is not
}

// font is a face at a size in mm.
type font struct {
	style string
	size  float64
}

// newInk starts a document; a plain one is not compressed.
func newInk(title string, plain bool) *ink {
	doc := fpdf.New("P", "mm", "A4", "")
	doc.SetTitle(written(title), true)
	doc.SetCreator("bevelbook", false)
	// A template keeps its size unless the print dialogue is told otherwise (ISO 32000-1, 12.2). The
	// library has no setting for that, but writes the language into the catalogue as it is given.
	doc.SetLang("en) /ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>> %")
	doc.SetCompression(!plain)
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	for _, f := range faces() {
		doc.AddUTF8FontFromBytes(family, f.style, slices.Clone(f.data)) // cutting a font writes into it
	}
	return &ink{doc: doc, lacks: new([]rune)}
}

// page starts a page of that size in mm.
func (c *ink) page(width, height float64) {
	c.high, c.font = height, font{}
	c.doc.AddPageFormat("P", fpdf.SizeType{Wd: width, Ht: height})
	c.dash()
	c.grey(0)
}

// writeTo ends the document. A point that lies nowhere is an error.
func (c *ink) writeTo(w io.Writer) error {
	if err := c.doc.Output(w); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	return nil
}

// form keeps a drawing; nothing of it shows outside of the box.
func (c *ink) form(box r2.Box, draw func(*ink)) fpdf.Template {
	size := r2.Sub(box.Max, box.Min)
	return c.doc.CreateTemplateCustom(fpdf.PointType{}, fpdf.SizeType{Wd: size.X, Ht: size.Y}, func(t *fpdf.Tpl) {
		in := &ink{doc: &t.Fpdf, high: size.Y, lacks: c.lacks}
		in.place(r2.Scale(-1, box.Min), 0, 1)
		draw(in)
		in.restore()
		c.doc.SetError(t.Error())
	})
}

// show puts a form's lower left corner at a place.
func (c *ink) show(f fpdf.Template, low r2.Vec) {
	_, size := f.Size()
	x, y := c.at(r2.Vec{X: low.X, Y: low.Y + size.Ht})
	c.doc.UseTemplateScaled(f, fpdf.PointType{X: x, Y: y}, size)
}

// at is a point as the document counts it.
func (c *ink) at(p r2.Vec) (x, y float64) {
	if sum := p.X + p.Y; math.IsNaN(sum) || math.IsInf(sum, 0) {
		c.doc.SetErrorf("a point lies at %v, %v", p.X, p.Y)
	}
	return p.X, c.high - p.Y
}

// place moves what follows until restore: scaled, then turned counter-clockwise by radians, then shifted.
func (c *ink) place(shift r2.Vec, angle, scale float64) {
	sin, cos := math.Sincos(angle)
	sin, cos = sin*scale, cos*scale
	c.doc.TransformBegin()
	c.doc.Transform(fpdf.TransformMatrix{A: cos, B: sin, C: -sin, D: cos, E: shift.X * pointsPerMM, F: shift.Y * pointsPerMM})
}

// restore ends what place began, with the pen as it was then.
func (c *ink) restore() {
	c.doc.TransformEnd()
	c.font = font{}
}

// clip keeps everything that follows inside of the box, until unclip.
func (c *ink) clip(b r2.Box) {
	x, y := c.at(r2.Vec{X: b.Min.X, Y: b.Max.Y})
	c.doc.ClipRect(x, y, b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, false)
}

func (c *ink) unclip() {
	c.doc.ClipEnd()
	c.font = font{}
}

// width sets the line width in mm.
func (c *ink) width(mm float64) { c.doc.SetLineWidth(mm) }

// dash sets the lengths of dashes and gaps in mm; none makes lines solid.
func (c *ink) dash(mm ...float64) { c.doc.SetDashPattern(mm, 0) }

// grey sets the colour of lines, fillings and words: 0 is black, 1 white.
func (c *ink) grey(g float64) {
	v := int(math.Round(255 * g))
	c.doc.SetDrawColor(v, v, v)
	c.doc.SetFillColor(v, v, v)
	c.doc.SetTextColor(v, v, v)
}

// line adds a straight line to the path.
func (c *ink) line(a, b r2.Vec) {
	c.doc.MoveTo(c.at(a))
	c.doc.LineTo(c.at(b))
}

// box draws the edges of a box.
func (c *ink) box(b r2.Box) {
	x, y := c.at(r2.Vec{X: b.Min.X, Y: b.Max.Y})
	c.doc.Rect(x, y, b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, "D")
}

// circle draws a circle.
func (c *ink) circle(at r2.Vec, r float64) {
	x, y := c.at(at)
	c.doc.Circle(x, y, r, "D")
}

// path adds an open path.
func (c *ink) path(p shape.Path) {
	c.doc.MoveTo(c.at(p.Start))
	c.segs(p.Start, p.Segs)
}

// outline adds a closed path.
func (c *ink) outline(o shape.Outline) {
	from := o.Start
	c.doc.MoveTo(c.at(from))
	for _, e := range o.Edges {
		from = c.segs(from, e.Segs)
	}
	c.doc.ClosePath()
}

func (c *ink) segs(from r2.Vec, segs []shape.Seg) r2.Vec {
	for _, s := range segs {
		if s.Kind == shape.Line {
			c.doc.LineTo(c.at(s.End))
		} else {
			for _, b := range draw.Beziers(from, s) {
				x1, y1 := c.at(b[1])
				x2, y2 := c.at(b[2])
				x3, y3 := c.at(b[3])
				c.doc.CurveBezierCubicTo(x1, y1, x2, y2, x3, y3)
			}
		}
		from = s.End
	}
	return from
}

// stroke draws the path's line.
func (c *ink) stroke() { c.doc.DrawPath("D") }

// fill fills the path; what lies inside twice stays open.
func (c *ink) fill() { c.doc.DrawPath("F*") }

// wording is one line of lettering: size mm high from line to line, at its anchor on the base line.
type wording struct {
	at     r2.Vec
	text   string
	size   float64
	bold   bool
	angle  float64 // radians, counter-clockwise
	anchor draw.Anchor
}

// words writes a line of lettering.
func (c *ink) words(w wording) {
	if w.text == "" || !(w.size > 0) {
		return
	}
	f := faceOf(w.bold)
	for _, r := range w.text {
		if !f.has(r) && !slices.Contains(*c.lacks, r) {
			*c.lacks = append(*c.lacks, r)
		}
	}
	back := [...]float64{draw.Middle: 0.5, draw.Start: 0, draw.End: 1}[w.anchor] * w.size * measure(w.text, w.bold)
	sin, cos := math.Sincos(w.angle)
	at := r2.Vec{X: w.at.X - cos*back, Y: w.at.Y - sin*back}
	if w.angle != 0 {
		c.place(at, w.angle, 1)
		defer c.restore()
		at = r2.Vec{}
	}
	if use := (font{f.style, w.size}); c.font != use {
		c.doc.SetFont(family, f.style, w.size*pointsPerMM)
		c.font = use
	}
	x, y := c.at(at)
	c.doc.Text(x, y, written(w.text))
}
