package template

import (
	"fmt"
	"io"
	"math"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// Set is what is printed together. Each piece's Title and Desc stand in the table of parts.
type Set struct {
	Title  string
	Paper  Paper
	Pieces []draw.Drawing
	Bare   bool // sheets only, without the cover
	Plain  bool // sheets are not compressed: larger files in half the time, for who writes many
}

// PDF writes a set at full size: a cover with what to know, the parts and a map of the sheets, then
// the sheets. It returns the characters that the fonts lack, which are drawn as boxes. A set that
// would take thousands of sheets is an error, as is one without pieces.
func PDF(w io.Writer, set Set) (missing []rune, err error) {
	if len(set.Pieces) == 0 {
		return nil, fmt.Errorf("%s has no pieces to print", set.Title)
	}
	sheets, err := arrange(set.Pieces, set.Paper)
	if err != nil {
		return nil, err
	}
	p := &printed{Set: set, ink: newInk(set.Title, set.Plain), sheets: sheets, forms: map[*tiling]fpdf.Template{}}
	if !set.Bare {
		p.cover()
	}
	for i := range sheets {
		p.sheet(i)
	}
	return *p.ink.lacks, p.ink.writeTo(w)
}

// printed is a set while it is being written.
type printed struct {
	Set
	ink    *ink
	sheets []sheet
	forms  map[*tiling]fpdf.Template // large pieces: whatever number of tiles they take, their curves are kept once
}

// form is a large piece, kept when its first tile is drawn.
func (p *printed) form(t *tiling) fpdf.Template {
	if p.forms[t] == nil {
		d := p.Pieces[t.piece]
		p.forms[t] = p.ink.form(d.Box, func(c *ink) { c.drawing(d) })
	}
	return p.forms[t]
}

func (p *printed) sheet(i int) {
	s := p.sheets[i]
	c := p.ink
	c.page(s.paper.Width, s.paper.Height)
	if s.tiled != nil {
		p.tile(c, s)
	}
	for _, l := range s.on {
		c.place(l.shift, l.turn(), 1)
		c.drawing(p.Pieces[l.piece])
		c.restore()
	}
	p.foot(c, i)
	if at, ok := p.roomForSquare(s); ok {
		p.square(c, at, square, "50 mm")
	}
}

// windowOn is the window on the page.
func windowOn(paper Paper) r2.Box {
	w, h := paper.window()
	low := r2.Vec{X: margin, Y: margin + foot}
	return r2.Box{Min: low, Max: r2.Vec{X: low.X + w, Y: low.Y + h}}
}

// tile draws a window of a large piece, where its neighbours begin, and the marks to lay them by.
func (p *printed) tile(c *ink, s sheet) {
	window, part := windowOn(s.paper), s.tiled.tile(s.col, s.row)
	c.clip(window)
	c.show(p.form(s.tiled), r2.Add(p.Pieces[s.tiled.piece].Box.Min, r2.Sub(window.Min, part.Min)))
	c.unclip()
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
func (p *printed) seams(c *ink, s sheet, window r2.Box) {
	c.width(0.18)
	c.dash(6, 2, 1, 2)
	c.grey(0.45)
	mid := r2.Scale(0.5, r2.Add(window.Min, window.Max))
	for _, e := range sides {
		n := s.tiled.at(s.col+e.col, s.row+e.row)
		if n < 0 {
			continue
		}
		x, y := seamAt(window, e)
		words := wording{size: 3, text: fmt.Sprintf("%s  sheet %d · %s", e.arrow, n+1, tileName(s.col+e.col, s.row+e.row))}
		if e.quarter {
			c.line(r2.Vec{X: x, Y: window.Min.Y}, r2.Vec{X: x, Y: window.Max.Y})
			words.at, words.angle = r2.Vec{X: mid.X + float64(e.col)*(mid.X-window.Min.X+2.2) + 0.9, Y: mid.Y}, math.Pi/2
		} else {
			c.line(r2.Vec{X: window.Min.X, Y: y}, r2.Vec{X: window.Max.X, Y: y})
			words.at = r2.Vec{X: mid.X, Y: mid.Y - float64(e.row)*(mid.Y-window.Min.Y+2.2) - 0.9}
		}
		c.stroke()
		c.words(words)
	}
	c.dash()
	c.grey(0)
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
func (p *printed) register(c *ink, s sheet, window r2.Box) {
	c.width(0.18)
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

func registerMark(c *ink, at r2.Vec) {
	const r = 4
	c.line(r2.Vec{X: at.X - r, Y: at.Y - r}, r2.Vec{X: at.X + r, Y: at.Y + r})
	c.line(r2.Vec{X: at.X - r, Y: at.Y + r}, r2.Vec{X: at.X + r, Y: at.Y - r})
	c.stroke()
	c.circle(at, r/2)
}

// foot names the sheet and holds a bar of 50 mm to measure.
func (p *printed) foot(c *ink, i int) {
	s := p.sheets[i]
	c.width(0.18)
	c.dash()
	y := margin + 4.0
	right := s.paper.Width - margin
	a, b := r2.Vec{X: right - square, Y: y}, r2.Vec{X: right, Y: y}
	c.line(a, b)
	for n := 0.0; n <= square; n += 10 {
		h := 1.5
		if n == 0 || n == square {
			h = 3
		}
		c.line(r2.Vec{X: a.X + n, Y: y - 0.5*h}, r2.Vec{X: a.X + n, Y: y + 0.5*h})
	}
	c.stroke()
	c.words(wording{at: r2.Vec{X: right - square/2, Y: y - 4.2}, text: "this bar is 50 mm long", size: 2.6})
	name := fmt.Sprintf("sheet %d of %d", i+1, len(p.sheets))
	what := p.Title
	if s.tiled != nil {
		name += " · " + tileName(s.col, s.row)
		what = p.Pieces[s.tiled.piece].Title
	}
	room := s.paper.Width - 2*margin - square - 4
	c.words(wording{at: r2.Vec{X: margin, Y: margin + 5.5}, text: name, size: 4.5, bold: true, anchor: draw.Start})
	c.words(wording{at: r2.Vec{X: margin, Y: margin + 0.5}, text: shortened(what, 3.2, room), size: 3.2, anchor: draw.Start})
}

// shortened cuts words off to a width in mm.
func shortened(text string, size, width float64) string {
	if measure(text, false)*size <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && measure(string(runes)+"…", false)*size > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// square draws a square with its size in it, its lower left corner at a place.
func (p *printed) square(c *ink, low r2.Vec, side float64, words string) {
	c.width(0.18)
	c.dash()
	c.box(r2.Box{Min: low, Max: r2.Vec{X: low.X + side, Y: low.Y + side}})
	mid := r2.Vec{X: low.X + side/2, Y: low.Y + side/2}
	c.words(wording{at: mid, text: words, size: 5, bold: true})
	c.words(wording{at: r2.Vec{X: mid.X, Y: mid.Y - 5}, text: "measure all four sides", size: 2.8})
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
		if shown.fills(r2.Box{Min: r2.Add(inner.Min, shift), Max: r2.Add(inner.Max, shift)}) {
			return r2.Vec{}, false
		}
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
