package template

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// coverPaper is what the cover is printed on: the set's paper, or the office size of its family
// when that is a large one.
func coverPaper(p Paper) Paper {
	if !p.Roll && p.Width <= 297 {
		return p
	}
	name := "a4"
	if p.Inch {
		name = "letter"
	}
	cover, err := ParsePaper(name)
	if err != nil {
		panic(err) // the names stand in the table
	}
	return cover
}

// flow sets words down a page, and goes on on the next when it is full.
type flow struct {
	p     *printed
	paper Paper
	c     *ink
	y     float64 // base line of what was set last
	right float64 // where lines end
	field r2.Vec  // of a thumbnail in the map
}

func (p *printed) cover() {
	paper := coverPaper(p.Paper)
	f := &flow{p: p, c: p.ink, paper: paper, right: paper.Width - margin}
	f.open()
	f.head()
	f.steps()
	f.legend()
	f.cautions()
	f.parts()
	f.maps()
}

func (f *flow) open() {
	f.c.page(f.paper.Width, f.paper.Height)
	f.y = f.paper.Height - margin
}

// need starts a new page when fewer than that many mm are left.
func (f *flow) need(mm float64) {
	if f.y-mm < margin {
		f.open()
	}
}

// heading sets a heading with a line below.
func (f *flow) heading(text string) {
	f.need(24)
	f.y -= 10
	f.c.words(wording{at: r2.Vec{X: margin, Y: f.y}, text: text, size: 4.6, bold: true, anchor: draw.Start})
	f.c.width(0.25)
	f.c.line(r2.Vec{X: margin, Y: f.y - 1.8}, r2.Vec{X: f.paper.Width - margin, Y: f.y - 1.8})
	f.c.stroke()
	f.y -= 2.2
}

// text sets a paragraph with a hanging mark before it.
func (f *flow) text(mark, text string) {
	const size, indent = 3.5, 6.0
	x := margin
	if mark != "" {
		x += indent
	}
	for i, l := range wrapped(text, size, f.right-x) {
		f.need(6)
		f.y -= size * 1.4
		if i == 0 && mark != "" {
			f.c.words(wording{at: r2.Vec{X: margin, Y: f.y}, text: mark, size: size, bold: true, anchor: draw.Start})
		}
		f.c.words(wording{at: r2.Vec{X: x, Y: f.y}, text: l, size: size, anchor: draw.Start})
	}
	f.y -= 0.8
}

// wrapped breaks words into lines of a width in mm.
func wrapped(text string, size, width float64) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && measure(line+" "+word, false)*size > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// head sets the title beside the square to measure.
func (f *flow) head() {
	low := r2.Vec{X: f.right - square, Y: f.y - square}
	f.p.square(f.c, low, square, "50 mm")
	f.right = low.X - 6
	if f.p.Paper.Inch {
		low.X -= 2*25.4 + 5
		low.Y += square - 2*25.4
		f.p.square(f.c, low, 2*25.4, "2 in")
		f.right = low.X - 6
	}
	size := 8.0
	f.y -= 1
	for _, l := range wrapped(f.p.Title, size*1.05, f.right-margin) {
		f.y -= size * 1.15
		f.c.words(wording{at: r2.Vec{X: margin, Y: f.y}, text: l, size: size, bold: true, anchor: draw.Start})
	}
	f.y -= 3
	f.text("", fmt.Sprintf("Cut templates at full size: %s on %s of %s, after this cover.",
		counted(len(f.p.Pieces), "piece"), counted(len(f.p.sheets), "sheet"), f.p.Paper.title()))
	f.text("", "Print at 100 % (actual size), without “fit to page”. Measure the square before you cut anything.")
	f.right = f.paper.Width - margin
	f.y = math.Min(f.y, f.paper.Height-margin-2*25.4)
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// title is the paper's name for people.
func (p Paper) title() string {
	if p.Roll {
		return "a " + strings.Replace(p.Name, "roll:", "roll of ", 1)
	}
	return strings.ToUpper(p.Name[:1]) + p.Name[1:]
}

// steps says how to join tiles, if there are any.
func (f *flow) steps() {
	tiled := false
	for _, s := range f.p.sheets {
		tiled = tiled || s.tiled != nil
	}
	if !tiled {
		return
	}
	f.heading("Joining sheets")
	f.text("1", "Find the neighbours by the names at the borders and by the map below.")
	f.text("2", "Trim one of two neighbours along its chain line. Lay it on the other: chain line on chain line, crossed circle on crossed circle.")
	f.text("3", "Tape it, then measure the longest dimension across the seams before you cut.")
}

// cautions are what is usual at this work; those who know the place and the tool come first.
var cautions = []string{
	"Local rules, the maker's manual of each tool, the data sheet of each product and people trained on them come before this page.",
	"Knife: a fresh blade, cuts led away from the body and from the hand that holds; cover the blade when you put it down.",
	"Saw and sander: eye and ear protection; no gloves, loose sleeves or hair near what turns; guards on; a piece too short to hold is held by a jig, not by fingers.",
	"Foam dust, contact cement, primer, paint and heated foam: fresh air moving past you or extraction, a mask that suits the hazard, no flame and no spark.",
}

func (f *flow) cautions() {
	f.heading("Before you cut")
	for _, words := range cautions {
		f.text("•", words)
	}
}

// parts is the table of pieces with the sheets that they are on.
func (f *flow) parts() {
	where := make([][]int, len(f.p.Pieces))
	for i, s := range f.p.sheets {
		if s.tiled != nil {
			where[s.tiled.piece] = append(where[s.tiled.piece], i+1)
		}
		for _, l := range s.on {
			where[l.piece] = append(where[l.piece], i+1)
		}
	}
	f.heading("Pieces")
	const size = 3.2
	width := f.right - margin
	columns := [...]float64{margin, margin + 0.40*width, margin + 0.87*width}
	for i, d := range f.p.Pieces {
		f.need(6)
		f.y -= size * 1.5
		for n, text := range [...]string{d.Title, d.Desc, sheetList(where[i])} {
			room := f.right - columns[n]
			if n+1 < len(columns) {
				room = columns[n+1] - columns[n] - 2
			}
			f.c.words(wording{at: r2.Vec{X: columns[n], Y: f.y}, text: shortened(text, size, room), size: size, anchor: draw.Start})
		}
	}
	f.y -= 1
}

// sheetList shortens runs of sheets: "sheet 1–4, 7".
func sheetList(sheets []int) string {
	var out strings.Builder
	for i := 0; i < len(sheets); i++ {
		first := sheets[i]
		for i+1 < len(sheets) && sheets[i+1] == sheets[i]+1 {
			i++
		}
		if out.Len() > 0 {
			out.WriteString(", ")
		}
		fmt.Fprint(&out, first)
		if sheets[i] > first {
			fmt.Fprintf(&out, "–%d", sheets[i])
		}
	}
	return "sheet " + out.String()
}
