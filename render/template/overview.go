package template

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// Overview writes each drawing on a page of its own, as large as it goes: a map to lay templates by, not
// a template. Lines keep their width on paper, whatever the scale. It returns the characters that the
// fonts lack.
func Overview(w io.Writer, title string, paper Paper, drawings []draw.Drawing) (missing []rune, err error) {
	if len(drawings) == 0 {
		return nil, fmt.Errorf("%s has no sheets to print", title)
	}
	p := coverPaper(paper)
	c := newInk(title, false)
	for i, d := range drawings {
		c.overview(d, p, fmt.Sprintf("%s · %d of %d", title, i+1, len(drawings)))
	}
	return *c.lacks, c.writeTo(w)
}

// overview is one page: the drawing in the middle of the window, and below it what it is.
func (c *ink) overview(d draw.Drawing, p Paper, foot string) {
	size := r2.Sub(d.Box.Max, d.Box.Min)
	if size.X > size.Y {
		p = p.turned()
	}
	c.page(p.Width, p.Height)
	window := windowOn(p)
	room := r2.Sub(window.Max, window.Min)
	k := math.Min(room.X/size.X, room.Y/size.Y)
	low := r2.Vec{X: window.Min.X + (room.X-k*size.X)/2, Y: window.Max.Y - k*size.Y}
	c.place(r2.Sub(low, r2.Scale(k, d.Box.Min)), 0, k)
	c.thin = 1 / k
	c.drawing(d)
	c.thin = 0
	c.restore()
	c.words(wording{at: r2.Vec{X: margin, Y: margin + 5.5}, text: shortened(d.Title, 4.5, p.Width-2*margin), size: 4.5, bold: true, anchor: draw.Start})
	c.words(wording{at: r2.Vec{X: margin, Y: margin + 0.5}, text: shortened(foot+" · a map, not to cut by: drawn 1 : "+string(draw.AppendNumber(nil, 1/k, 1)), 3.2, p.Width-2*margin), size: 3.2, anchor: draw.Start})
}
