// Package figure writes a drawing as SVG for a web page.
//
// A role becomes a CSS class (f-cut, f-back, f-dim, …); colours come from the custom properties in
// Style, so that one figure serves light and dark. The drawing's y up becomes SVG's y down. Line
// widths are in pixels of the screen whatever the scale; lettering scales with the drawing.
// The package knows drawings only: no parts, no pages.
package figure

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// Options say how a figure stands in its page.
type Options struct {
	ID         string // prefix of the ids in the figure: unique in the page; "" gives "fig"
	Standalone bool   // a file of its own: with name space and style
	// Bare leaves out words, dimensions and the reader's description: a thumbnail beside a text
	// that already names it.
	Bare bool
}

// SVG writes one figure. Its box is the drawing's Box, or what draw.Fit finds if that is empty.
func SVG(d draw.Drawing, opt Options) []byte {
	if opt.Bare {
		d = bare(d)
	}
	if !(d.Box.Max.X > d.Box.Min.X) || !(d.Box.Max.Y > d.Box.Min.Y) {
		draw.Fit(&d, 1)
	}
	if !(d.Em > 0) {
		d.Em = draw.ReadableEm(d.Box)
	}
	if opt.ID == "" {
		opt.ID = "fig"
	}
	w := &writer{out: make([]byte, 0, 1024+160*len(d.Items)), em: d.Em, unit: resolution(d.Box)}
	w.open(d, opt)
	for _, it := range d.Items {
		w.item(it)
	}
	w.endPath()
	return append(w.out, "</svg>\n"...)
}

// bare keeps what has a shape, framed closely.
func bare(d draw.Drawing) draw.Drawing {
	kept := draw.Drawing{Title: d.Title}
	for _, it := range d.Items {
		switch it.(type) {
		case draw.Stroke, draw.Area, draw.Point:
			kept.Add(it)
		}
	}
	draw.Fit(&kept, 1)
	return kept
}

// writer appends the figure. Strokes of one role that follow each other share one path element.
type writer struct {
	out  []byte
	em   float64
	unit int // decimals of a coordinate
	role draw.Role
}

// resolution is the number of decimals that shows a twenty-thousandth of the box.
func resolution(b r2.Box) int {
	size := math.Max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y)
	return int(math.Max(0, math.Min(5, math.Ceil(math.Log10(20000/size)))))
}

func (w *writer) open(d draw.Drawing, opt Options) {
	w.str(`<svg class="figure`)
	if opt.Standalone {
		w.str(`" xmlns="http://www.w3.org/2000/svg`)
	}
	if opt.Bare && !opt.Standalone {
		w.str(`" aria-hidden="true`)
	} else {
		w.str(`" role="img" aria-labelledby="`)
		w.text(opt.ID)
		w.str(`-t`)
		if d.Desc != "" {
			w.str(" ")
			w.text(opt.ID)
			w.str(`-d`)
		}
	}
	w.str(`" viewBox="`)
	w.num(d.Box.Min.X)
	w.out = append(w.out, ' ')
	w.num(-d.Box.Max.Y)
	w.out = append(w.out, ' ')
	w.num(d.Box.Max.X - d.Box.Min.X)
	w.out = append(w.out, ' ')
	w.num(d.Box.Max.Y - d.Box.Min.Y)
	w.str(`">`)
	if !opt.Bare || opt.Standalone {
		w.named("title", opt.ID, "-t", d.Title)
		if d.Desc != "" {
			w.named("desc", opt.ID, "-d", d.Desc)
		}
	}
	if opt.Standalone {
		w.str("<style>")
		w.str(Style)
		w.str("</style>")
	}
}

func (w *writer) named(element, id, suffix, words string) {
	w.str("<")
	w.str(element)
	w.str(` id="`)
	w.text(id)
	w.str(suffix)
	w.str(`">`)
	w.text(words)
	w.str("</")
	w.str(element)
	w.str(">")
}

func (w *writer) item(it draw.Item) {
	switch it := it.(type) {
	case draw.Stroke:
		w.begin(it.Role)
		w.out = AppendPath(w.out, it.Path, w.unit)
	case draw.Area:
		w.area(it)
	case draw.Point:
		w.point(it)
	case draw.Label:
		w.label(it)
	case draw.Dimension:
		lines, label := it.Drawn(w.em)
		w.lines(draw.Dim, lines)
		w.label(label)
	case draw.Angle:
		arc, lines, label := it.Drawn(w.em)
		w.begin(draw.Dim)
		w.out = AppendPath(w.out, arc, w.unit)
		w.lines(draw.Dim, lines)
		w.label(label)
	}
}

// area fills its outline, holes left open, or strokes it, or hatches it. Faces of one shade share a path.
func (w *writer) area(a draw.Area) {
	if a.Role == draw.Hatch {
		w.lines(draw.Hatch, a.Hatching(0.55*w.em))
		return
	}
	if a.Fill && a.Role.IsShade() && len(a.Holes) == 0 {
		w.begin(a.Role) // its fill comes with the role; pieces of a surface do not overlap
		w.out = appendFace(w.out, a.Outline, w.unit)
		return
	}
	w.endPath()
	w.str(`<path class="f-`)
	w.text(string(a.Role))
	if a.Fill {
		w.str(` f-fill" fill-rule="evenodd`)
	}
	w.str(`" d="`)
	w.out = AppendOutline(w.out, a.Outline, w.unit)
	for _, h := range a.Holes {
		w.out = AppendOutline(w.out, h, w.unit)
	}
	w.str(`"/>`)
}

// point draws a small cross.
func (w *writer) point(p draw.Point) {
	r := 0.4 * w.em
	w.lines(p.Role, []draw.Line{
		{A: r2.Vec{X: p.At.X - r, Y: p.At.Y}, B: r2.Vec{X: p.At.X + r, Y: p.At.Y}},
		{A: r2.Vec{X: p.At.X, Y: p.At.Y - r}, B: r2.Vec{X: p.At.X, Y: p.At.Y + r}},
	})
}

var anchors = [...]string{draw.Middle: "", draw.Start: " f-start", draw.End: " f-end"}

func (w *writer) label(l draw.Label) {
	if l.Text == "" {
		return
	}
	w.endPath()
	size := w.em
	if l.Size > 0 {
		size *= l.Size
	}
	// Lettering stands centred on its point in height: half a capital's height below it.
	sin, cos := math.Sincos(l.Angle)
	x, y := l.At.X+sin*0.35*size, l.At.Y-cos*0.35*size
	w.str(`<text class="f-`)
	w.text(string(l.Role))
	if l.Anchor >= 0 && int(l.Anchor) < len(anchors) {
		w.str(anchors[l.Anchor])
	}
	w.str(`" font-size="`)
	w.num(size)
	if l.Angle == 0 {
		w.str(`" x="`)
		w.num(x)
		w.str(`" y="`)
		w.num(-y)
	} else {
		w.str(`" transform="translate(`)
		w.xy(r2.Vec{X: x, Y: y})
		w.str(`)rotate(`)
		w.out = draw.AppendNumber(w.out, -l.Angle*180/math.Pi, 2)
		w.str(`)`)
	}
	w.str(`">`)
	w.text(l.Text)
	w.str(`</text>`)
}

func (w *writer) lines(role draw.Role, lines []draw.Line) {
	if len(lines) == 0 {
		return
	}
	w.begin(role)
	for _, l := range lines {
		w.out = appendXY(append(w.out, 'M'), l.A, w.unit)
		w.out = appendXY(append(w.out, 'L'), l.B, w.unit)
	}
}

// begin opens a path of a role, or goes on with the one that is open.
func (w *writer) begin(role draw.Role) {
	if w.role == role {
		return
	}
	w.endPath()
	w.role = role
	w.str(`<path class="f-`)
	w.text(string(role))
	w.str(`" d="`)
}

func (w *writer) endPath() {
	if w.role != "" {
		w.str(`"/>`)
		w.role = ""
	}
}

func (w *writer) str(s string)  { w.out = append(w.out, s...) }
func (w *writer) text(s string) { w.out = AppendText(w.out, s) }
func (w *writer) num(x float64) { w.out = draw.AppendNumber(w.out, x, w.unit) }
func (w *writer) xy(p r2.Vec)   { w.out = appendXY(w.out, p, w.unit) }
