package template

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/render/template/pdf"
)

// Set is what is printed together. Each piece's Title and Desc stand in the table of parts.
type Set struct {
	Title  string
	Paper  Paper
	Pieces []draw.Drawing
	Bare   bool // sheets only, without the cover
}

// PDF writes a set at full size: a cover with what to know, the parts and a map of the sheets, then
// the sheets. It returns the characters that the fonts lack, which are drawn as boxes. A set that
// would take thousands of sheets is an error, as is one without pieces.
func PDF(w io.Writer, set Set) (missing []rune, err error) {
	return NewPrint(set.Title, set.Pieces).PDF(w, set.Paper, set.Bare)
}

// Print is a set of pieces made ready once for any number of papers.
type Print struct{ base printed }

// NewPrint readies pieces.
func NewPrint(title string, pieces []draw.Drawing) *Print {
	p := &Print{printed{Set: Set{Title: title, Pieces: pieces}, doc: pdf.New(title)}}
	p.base.forms()
	return p
}

// PDF writes the pieces as PDF does, on one kind of paper.
func (pr *Print) PDF(w io.Writer, paper Paper, bare bool) (missing []rune, err error) {
	set := pr.base.Set
	set.Paper, set.Bare = paper, bare
	if len(set.Pieces) == 0 {
		return nil, fmt.Errorf("%s has no pieces to print", set.Title)
	}
	sheets, err := arrange(set.Pieces, set.Paper)
	if err != nil {
		return nil, err
	}
	p := &printed{Set: set, doc: pr.base.doc.Clone(), sheets: sheets, cuts: pr.base.cuts, rest: pr.base.rest}
	if !set.Bare {
		p.cover()
	}
	for i := range sheets {
		p.sheet(i)
	}
	_, err = p.doc.WriteTo(w)
	return p.doc.Missing(), err
}

// printed is a set while it is being written.
type printed struct {
	Set
	doc    *pdf.Document
	sheets []sheet
	cuts   []pdf.Form // by piece: its outline and holes, in the pen of whoever draws them
	rest   []pdf.Form // by piece: everything else
}

// forms keeps each piece once in the document: whatever number of tiles it takes, its curves are whole.
func (p *printed) forms() {
	for _, d := range p.Pieces {
		cuts, rest := p.doc.Content(), p.doc.Content()
		k := &ink{c: rest, em: d.Em}
		for _, it := range d.Items {
			if a, ok := it.(draw.Area); ok && (a.Role == draw.Cut || a.Role == draw.Hole) && !a.Fill {
				cuts.Outline(a.Outline)
				cuts.Stroke()
				continue
			}
			k.item(it)
		}
		p.cuts = append(p.cuts, p.doc.Form(d.Box, cuts))
		p.rest = append(p.rest, p.doc.Form(d.Box, rest))
	}
}

// piece draws a piece as it is placed.
func (p *printed) piece(c *pdf.Content, piece int, shift r2.Vec, quarters int) {
	c.Save()
	c.Place(shift, quarters, 1)
	c.Width(pens[draw.Cut].width)
	c.Draw(p.cuts[piece])
	c.Draw(p.rest[piece])
	c.Restore()
}

func (p *printed) sheet(i int) {
	s := p.sheets[i]
	c := p.doc.Content()
	if s.tiled != nil {
		p.tile(c, s)
	} else {
		for _, l := range s.on {
			p.piece(c, l.piece, l.shift, l.quarters)
		}
	}
	p.foot(c, i)
	if at, ok := p.roomForSquare(s); ok {
		p.square(c, at, square, "50 mm")
	}
	p.doc.Page(s.paper.Width, s.paper.Height, c)
}

// windowOn is the window on the page.
func windowOn(paper Paper) r2.Box {
	w, h := paper.window()
	low := r2.Vec{X: margin, Y: margin + foot}
	return r2.Box{Min: low, Max: r2.Vec{X: low.X + w, Y: low.Y + h}}
}

// tile draws a window of a large piece, where its neighbours begin, and the marks to lay them by.
func (p *printed) tile(c *pdf.Content, s sheet) {
	window, part := windowOn(s.paper), s.tiled.tile(s.col, s.row)
	shift := r2.Sub(window.Min, part.Min)
	c.Save()
	c.Clip(window)
	p.piece(c, s.tiled.piece, shift, 0)
	c.Restore()
	p.seams(c, s, window)
	p.register(c, s, window)
}

// side is one side of a tile: where the neighbour lies, and how its name is written there. An arrow
// that is written upwards turns with its words: ↑ then points to the left.
type side struct {
	col, row int
	arrow    string
	quarter  bool // written upwards
}

var sides = [...]side{{-1, 0, "↑", true}, {1, 0, "↓", true}, {0, -1, "↑", false}, {0, 1, "↓", false}}

// seams draws the line in the middle of each overlap, where this sheet and its neighbour are to lie
// line on line, and names the neighbour outside of the window.
func (p *printed) seams(c *pdf.Content, s sheet, window r2.Box) {
	c.Width(0.18)
	c.Dash(6, 2, 1, 2)
	c.Grey(0.45)
	mid := r2.Scale(0.5, r2.Add(window.Min, window.Max))
	for _, e := range sides {
		n := s.tiled.at(s.col+e.col, s.row+e.row)
		if n < 0 {
			continue
		}
		x, y := seamAt(window, e)
		words := pdf.Words{Size: 3, Text: fmt.Sprintf("%s  sheet %d · %s", e.arrow, n+1, tileName(s.col+e.col, s.row+e.row))}
		if e.quarter {
			c.Line(r2.Vec{X: x, Y: window.Min.Y}, r2.Vec{X: x, Y: window.Max.Y})
			words.At, words.Angle = r2.Vec{X: mid.X + float64(e.col)*(mid.X-window.Min.X+2.2) + 0.9, Y: mid.Y}, math.Pi/2
		} else {
			c.Line(r2.Vec{X: window.Min.X, Y: y}, r2.Vec{X: window.Max.X, Y: y})
			words.At = r2.Vec{X: mid.X, Y: mid.Y - float64(e.row)*(mid.Y-window.Min.Y+2.2) - 0.9}
		}
		c.Stroke()
		c.Words(words)
	}
	c.Dash()
	c.Grey(0)
}

// seamAt is where the seam at a side lies: x for the sides left and right, y for above and below.
func seamAt(window r2.Box, e side) (x, y float64) {
	x, y = window.Max.X-overlap/2, window.Max.Y-overlap/2
	if e.col < 0 {
		x = window.Min.X + overlap/2
	}
	if e.row > 0 {
		y = window.Min.Y + overlap/2
	}
	return x, y
}

// register draws the marks that come to lie on each other: a diagonal cross in a circle in each of
// the window's corners that a neighbour shares.
func (p *printed) register(c *pdf.Content, s sheet, window r2.Box) {
	c.Width(0.18)
	for _, h := range sides[:2] {
		for _, v := range sides[2:] {
			if s.tiled.at(s.col+h.col, s.row) < 0 && s.tiled.at(s.col, s.row+v.row) < 0 {
				continue
			}
			x, _ := seamAt(window, h)
			_, y := seamAt(window, v)
			registerMark(c, r2.Vec{X: x, Y: y})
		}
	}
}

func registerMark(c *pdf.Content, at r2.Vec) {
	const r = 4
	c.Line(r2.Vec{X: at.X - r, Y: at.Y - r}, r2.Vec{X: at.X + r, Y: at.Y + r})
	c.Line(r2.Vec{X: at.X - r, Y: at.Y + r}, r2.Vec{X: at.X + r, Y: at.Y - r})
	c.Circle(at, r/2)
	c.Stroke()
}

// foot names the sheet and holds a bar of 50 mm to measure.
func (p *printed) foot(c *pdf.Content, i int) {
	s := p.sheets[i]
	c.Width(0.18)
	c.Dash()
	y := margin + 4.0
	right := s.paper.Width - margin
	a, b := r2.Vec{X: right - square, Y: y}, r2.Vec{X: right, Y: y}
	c.Line(a, b)
	for n := 0.0; n <= square; n += 10 {
		h := 1.5
		if n == 0 || n == square {
			h = 3
		}
		c.Line(r2.Vec{X: a.X + n, Y: y - 0.5*h}, r2.Vec{X: a.X + n, Y: y + 0.5*h})
	}
	c.Stroke()
	c.Words(pdf.Words{At: r2.Vec{X: right - square/2, Y: y - 4.2}, Text: "this bar is 50 mm long", Size: 2.6})
	name := fmt.Sprintf("sheet %d of %d", i+1, len(p.sheets))
	what := p.Title
	if s.tiled != nil {
		name += " · " + tileName(s.col, s.row)
		what = p.Pieces[s.tiled.piece].Title
	}
	room := s.paper.Width - 2*margin - square - 4
	c.Words(pdf.Words{At: r2.Vec{X: margin, Y: margin + 5.5}, Text: name, Size: 4.5, Bold: true, Anchor: draw.Start})
	c.Words(pdf.Words{At: r2.Vec{X: margin, Y: margin + 0.5}, Text: shortened(what, 3.2, room), Size: 3.2, Anchor: draw.Start})
}

// shortened cuts words off to a width in mm.
func shortened(text string, size, width float64) string {
	if pdf.Measure(text, false)*size <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && pdf.Measure(string(runes)+"…", false)*size > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// square draws a square with its size in it, its lower left corner at a place.
func (p *printed) square(c *pdf.Content, low r2.Vec, side float64, words string) {
	c.Width(0.18)
	c.Dash()
	c.Rect(r2.Box{Min: low, Max: r2.Vec{X: low.X + side, Y: low.Y + side}})
	c.Stroke()
	mid := r2.Vec{X: low.X + side/2, Y: low.Y + side/2}
	c.Words(pdf.Words{At: mid, Text: words, Size: 5, Bold: true})
	c.Words(pdf.Words{At: r2.Vec{X: mid.X, Y: mid.Y - 5}, Text: "measure all four sides", Size: 2.8})
}

// roomForSquare looks for a free place for the 50 mm square on a sheet, from the lower right corner
// of the window on; outside of the pieces, so that it cannot be taken for a cut.
func (p *printed) roomForSquare(s sheet) (low r2.Vec, ok bool) {
	const air, step = 3.0, 10.0
	window := windowOn(s.paper)
	inner := window
	var free func(r2.Box) bool
	if s.tiled != nil {
		inner = r2.Box{Min: r2.Vec{X: window.Min.X + overlap, Y: window.Min.Y + overlap}, Max: r2.Vec{X: window.Max.X - overlap, Y: window.Max.Y - overlap}}
		shift := r2.Sub(s.tiled.tile(s.col, s.row).Min, window.Min)
		shown := s.tiled.shown
		free = func(b r2.Box) bool { return !shown.in(r2.Box{Min: r2.Add(b.Min, shift), Max: r2.Add(b.Max, shift)}) }
	} else {
		free = func(b r2.Box) bool {
			for _, l := range s.on {
				if b.Min.X < l.box.Max.X && b.Max.X > l.box.Min.X && b.Min.Y < l.box.Max.Y && b.Max.Y > l.box.Min.Y {
					return false
				}
			}
			return true
		}
	}
	for y := inner.Min.Y; y+square <= inner.Max.Y; y += step {
		for x := inner.Max.X - square; x >= inner.Min.X; x -= step {
			b := r2.Box{Min: r2.Vec{X: x - air, Y: y - air}, Max: r2.Vec{X: x + square + air, Y: y + square + air}}
			if free(b) {
				return r2.Vec{X: x, Y: y}, true
			}
		}
	}
	return r2.Vec{}, false
}
