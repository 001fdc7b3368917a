package template

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// sign is a row of the legend: what is drawn, in a field of 14 × 5 mm, and what it means.
type sign struct {
	draw func(c *ink, at r2.Vec)
	text string
}

func sample(r draw.Role) func(*ink, r2.Vec) {
	return func(c *ink, at r2.Vec) {
		p := penOf(r)
		c.width(p.width)
		c.dash(p.dash...)
		c.line(at, r2.Vec{X: at.X + 12, Y: at.Y})
		c.stroke()
		c.dash()
	}
}

var signs = []sign{
	{sample(draw.Cut), "cut; also the edge of a hole"},
	{sample(draw.Back), "edge of the other face, below"},
	{sample(draw.Mark), "draw with a pen, do not cut"},
	{func(c *ink, at r2.Vec) {
		c.width(pens[draw.Drill].width)
		for _, l := range cross(r2.Vec{X: at.X + 6, Y: at.Y}, target) {
			c.line(l.A, l.B)
		}
		c.stroke()
	}, "centre to drill or to mark"},
	{func(c *ink, at r2.Vec) {
		c.width(pens[draw.Cut].width)
		c.line(r2.Vec{X: at.X, Y: at.Y + 1.5}, r2.Vec{X: at.X + 12, Y: at.Y + 1.5})
		c.stroke()
		c.width(pens[draw.Mark].width)
		tip := r2.Vec{X: at.X + 6, Y: at.Y - 2}
		c.line(r2.Vec{X: tip.X, Y: at.Y + 1.5}, tip)
		c.line(r2.Vec{X: tip.X - 0.8, Y: tip.Y + 1.4}, tip)
		c.line(r2.Vec{X: tip.X + 0.8, Y: tip.Y + 1.4}, tip)
		c.stroke()
	}, "bevel: points to where the other face ends"},
	{func(c *ink, at r2.Vec) {
		c.width(pens[draw.Accent].width)
		const r = 1.2
		c.line(r2.Vec{X: at.X + 6 - r, Y: at.Y - r}, r2.Vec{X: at.X + 6 + r, Y: at.Y + r})
		c.line(r2.Vec{X: at.X + 6 - r, Y: at.Y + r}, r2.Vec{X: at.X + 6 + r, Y: at.Y - r})
		c.stroke()
	}, "odd edge: its bevel differs from its likes"},
	{func(c *ink, at r2.Vec) {
		c.place(r2.Vec{X: at.X + 6, Y: at.Y}, 0, 0.6)
		c.width(0.3)
		registerMark(c, r2.Vec{})
		c.restore()
	}, "lay on the same mark of the next sheet"},
	{func(c *ink, at r2.Vec) {
		c.words(wording{at: r2.Vec{X: at.X + 6, Y: at.Y - 1.2}, text: "A → side.left", size: 2.2})
	}, "letter of a seam, and the edge to glue to"},
	{func(c *ink, at r2.Vec) {
		c.width(pens[draw.Cut].width)
		c.line(at, r2.Vec{X: at.X + 12, Y: at.Y})
		c.stroke()
		c.width(pens[draw.Mark].width)
		for _, x := range []float64{3, 9} {
			c.line(r2.Vec{X: at.X + x, Y: at.Y - 1.6}, r2.Vec{X: at.X + x, Y: at.Y + 1.6})
		}
		c.stroke()
	}, "match marks: tick meets tick along a seam"},
	{func(c *ink, at r2.Vec) {
		c.width(pens[draw.Mark].width)
		for _, l := range doubleArrow(r2.Vec{X: at.X + 6, Y: at.Y}, 0, 12, 0.9) {
			c.line(l.A, l.B)
		}
		c.stroke()
	}, "grain or texture of the sheet"},
}

// legend sets the signs in two columns.
func (f *flow) legend() {
	f.heading("Lines and signs")
	const row = 6.2
	half := (f.right - margin) / 2
	rows := (len(signs) + 1) / 2
	f.need(row * float64(rows))
	for i, s := range signs {
		at := r2.Vec{X: margin + half*float64(i/rows), Y: f.y - row*(float64(i%rows)+0.75)}
		s.draw(f.c, at)
		f.c.words(wording{at: r2.Vec{X: at.X + 17, Y: at.Y - 1.2}, text: s.text, size: 3.5, anchor: draw.Start})
	}
	f.y -= row * float64(rows)
}

// A thumbnail of the map, mm: its field is as large as the rest of the cover allows, and as the
// first one where all of them do not fit at any size.
const (
	thumbGap  = 4.0
	thumbFoot = 6.0 // below a row
	mapHead   = 15.5
)

var thumbSizes = []r2.Vec{{X: 44, Y: 38}, {X: 44, Y: 32}, {X: 34, Y: 28}, {X: 27, Y: 24}, {X: 22, Y: 21}}

// maps shows where each sheet of a large piece lies and which pieces share a sheet.
func (f *flow) maps() {
	shown := f.mapped()
	f.field = f.thumbSize(len(shown))
	f.need(mapHead + f.field.Y + thumbFoot)
	f.heading("Map of the sheets")
	f.y -= 3
	columns := f.thumbColumns(f.field)
	for n, i := range shown {
		if n%columns == 0 {
			f.need(f.field.Y + thumbFoot)
			f.y -= f.field.Y + thumbFoot
		}
		low := r2.Vec{X: margin + float64(n%columns)*(f.field.X+thumbGap), Y: f.y}
		if s := f.p.sheets[i]; s.tiled != nil {
			f.tiledThumb(s.tiled, low)
		} else {
			f.sharedThumb(i, low)
		}
	}
}

// mapped are the sheets that have a thumbnail: the first of each large piece, and each shared one.
func (f *flow) mapped() []int {
	var shown []int
	last := (*tiling)(nil)
	for i, s := range f.p.sheets {
		if s.tiled == nil || s.tiled != last {
			shown = append(shown, i)
		}
		last = s.tiled
	}
	return shown
}

// thumbSize is the largest field for n thumbnails that leaves the map on the page that has begun.
func (f *flow) thumbSize(n int) r2.Vec {
	for _, field := range thumbSizes {
		columns := f.thumbColumns(field)
		rows := (n + columns - 1) / columns
		if mapHead+float64(rows)*(field.Y+thumbFoot) <= f.y-margin {
			return field
		}
	}
	return thumbSizes[0]
}

func (f *flow) thumbColumns(field r2.Vec) int {
	return int((f.right - margin + thumbGap) / (field.X + thumbGap))
}

// tiledThumb draws a large piece with the tiles over it.
func (f *flow) tiledThumb(t *tiling, low r2.Vec) {
	all := r2.Box{Min: t.tile(0, t.rows-1).Min, Max: t.tile(t.cols-1, 0).Max}
	scale, shift := f.fitted(all, low)
	f.thumb(t.piece, shift, 0, scale)
	f.c.width(0.12)
	size := math.Min(4, 0.35*scale*math.Min(t.step()))
	for row := range t.rows {
		for col := range t.cols {
			n := t.at(col, row)
			if n < 0 {
				continue
			}
			b := t.cell(col, row)
			b = r2.Box{Min: r2.Add(r2.Scale(scale, b.Min), shift), Max: r2.Add(r2.Scale(scale, b.Max), shift)}
			f.c.box(b)
			mid := r2.Scale(0.5, r2.Add(b.Min, b.Max))
			f.c.words(wording{at: r2.Vec{X: mid.X, Y: mid.Y - capital*size}, text: strconv.Itoa(n + 1), size: size, bold: true})
		}
	}
	f.caption(f.p.Pieces[t.piece].Title, low)
}

// sharedThumb draws a sheet with the pieces on it.
func (f *flow) sharedThumb(i int, low r2.Vec) {
	s := f.p.sheets[i]
	page := r2.Box{Max: r2.Vec{X: s.paper.Width, Y: s.paper.Height}}
	scale, shift := f.fitted(page, low)
	f.c.width(0.12)
	f.c.box(r2.Box{Min: shift, Max: r2.Add(shift, r2.Scale(scale, page.Max))})
	for _, l := range s.on {
		f.thumb(l.piece, r2.Add(shift, r2.Scale(scale, l.shift)), l.turn(), scale)
	}
	f.caption(fmt.Sprintf("sheet %d", i+1), low)
}

// thumb draws a piece's outline and holes small.
func (f *flow) thumb(piece int, shift r2.Vec, angle, scale float64) {
	f.c.place(shift, angle, scale)
	f.c.width(0.2 / scale)
	f.c.grey(0.35)
	for _, it := range f.p.Pieces[piece].Items {
		if a, ok := it.(draw.Area); ok && (a.Role == draw.Cut || a.Role == draw.Hole) && !a.Fill {
			f.c.outline(a.Outline)
			f.c.stroke()
		}
	}
	f.c.restore()
	f.c.grey(0)
}

func (f *flow) caption(text string, low r2.Vec) {
	const size = 2.8
	f.c.words(wording{at: r2.Vec{X: low.X, Y: low.Y + 0.8}, text: shortened(text, size, f.field.X), size: size, anchor: draw.Start})
}

// fitted scales a box into a thumbnail above its caption, standing at its lower left.
func (f *flow) fitted(b r2.Box, low r2.Vec) (scale float64, shift r2.Vec) {
	const caption = 5
	size := r2.Sub(b.Max, b.Min)
	scale = math.Min(f.field.X/size.X, (f.field.Y-caption)/size.Y)
	return scale, r2.Sub(r2.Vec{X: low.X, Y: low.Y + caption}, r2.Scale(scale, b.Min))
}
