package kind

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// most flat parts that one figure shows; more are alike or too small to read.
const mostFlats = 8

// flatFigure draws the flat patterns of a block, one above the other, with their dimensions and the
// letters of their seams.
func (b *Bench) flatFigure(parts []part.Part) {
	d := draw.Drawing{Title: "Flat pattern of " + b.Name, Desc: b.flatDesc(parts)}
	placed, all := stacked(parts[:min(len(parts), mostFlats)], 0)
	if len(placed) > 1 {
		const room = 4.5 // Em between two, for their dimensions
		placed, all = stacked(placed, room*lettering(all))
		placed, all = stacked(placed, room*lettering(all))
	}
	em := lettering(all)
	for _, p := range placed {
		b.flatPattern(&d, p, em)
		if len(parts) > 1 {
			// Off the middle, where the names of its edges stand.
			at := p.Show.Centroid()
			at.X -= 0.22 * p.Show.Bounds().Size().X
			d.Add(draw.Label{Role: draw.Name, At: at, Text: panelOf(p)})
		}
	}
	draw.Fit(&d, 1)
	b.Draw(d)
}

// stacked lays parts above each other, centred, a gap apart, and tells the box round all.
func stacked(parts []part.Part, gap float64) ([]part.Part, r2.Box) {
	var placed []part.Part
	var all r2.Box
	y := 0.0
	for i, p := range parts {
		box := p.Show.Bounds()
		move := shape.Motion{Shift: r2.Vec{X: -(box.Min.X + box.Max.X) / 2, Y: y - box.Min.Y}}
		p.Show, p.Back = move.Outline(p.Show), move.Outline(p.Back)
		lines := make([]part.Feature, len(p.Lines))
		for j, l := range p.Lines {
			lines[j] = part.Feature{Name: l.Name, Path: move.Path(l.Path)}
		}
		p.Lines = lines
		placed = append(placed, p)
		box = p.Show.Bounds()
		y = box.Max.Y + gap
		if i == 0 {
			all = box
		}
		all = r2.Box{Min: r2.Vec{X: min(all.Min.X, box.Min.X), Y: min(all.Min.Y, box.Min.Y)},
			Max: r2.Vec{X: max(all.Max.X, box.Max.X), Y: max(all.Max.Y, box.Max.Y)}}
	}
	return placed, all
}

func (b *Bench) flatDesc(parts []part.Part) string {
	box := parts[0].Show.Bounds().Size()
	text := fmt.Sprintf("A flat piece of %s by %s, %s thick; edges that meet carry the same letter.", b.mm(box.X), b.mm(box.Y), b.mm(parts[0].Thickness))
	if n := len(parts); n > 1 {
		text = fmt.Sprintf("%d flat pieces, the first %s by %s, %s thick; edges that meet carry the same letter.", n, b.mm(box.X), b.mm(box.Y), b.mm(parts[0].Thickness))
	}
	if len(parts) > mostFlats {
		text += fmt.Sprintf(" The first %d are shown.", mostFlats)
	}
	return text
}
