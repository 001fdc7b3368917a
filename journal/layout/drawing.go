package layout

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/unit"
)

// Drawing is a sheet with its parts in mm, the sheet's lower left corner at the origin. Each part bears
// the number of its row in the list of the result, from 1, and its name where that fits. A shaded one is
// for a page: parts are filled; otherwise it is to be cut by: outlines, holes, lines and points.
func (r *Result) Drawing(s Sheet, style unit.Style, shaded bool) draw.Drawing {
	mm := func(v float64) string { return eval.Num(v, unit.Length).Show(style) }
	d := draw.Drawing{
		Title: fmt.Sprintf("%s, %s: %s × %s", r.Material, s.Name, mm(s.Width), mm(s.Height)),
		Desc:  fmt.Sprintf("%s of %s with %d pieces on it; %d %% of it is parts.", s.Name, r.Material, len(s.Pieces), percent(s.Share)),
	}
	pad := 0.02 * s.Width
	d.Box = r2.Box{Min: r2.Vec{X: -pad, Y: -pad}, Max: r2.Vec{X: s.Width + pad, Y: s.Height + pad}}
	d.Em = draw.ReadableEm(d.Box)
	if !shaded {
		d.Em = math.Min(d.Em, 12)
	}
	rim, err := shape.Rect(s.Width, s.Height)
	if err != nil {
		return d // a sheet without a size has no plan
	}
	role := draw.Note
	if shaded {
		role = draw.Dim
	}
	d.Add(draw.Area{Role: role, Outline: rim})
	numbers := r.numbers()
	for _, p := range s.Pieces {
		r.piece(&d, p, numbers, shaded)
	}
	return d
}

func percent(share float64) int { return int(math.Round(100 * share)) }

// numbers are the numbers of the rows in the list.
func (r *Result) numbers() map[string]int {
	m := map[string]int{}
	for i, row := range r.Rows {
		m[name(row)] = i + 1
	}
	return m
}

// piece draws one part where it lies.
func (r *Result) piece(d *draw.Drawing, p Piece, numbers map[string]int, shaded bool) {
	pt := p.Row.Part
	show := p.Shape(pt.Show)
	var holes []shape.Outline
	for _, h := range pt.Holes {
		holes = append(holes, p.Shape(h.Shape))
	}
	if shaded {
		d.Add(draw.Area{Role: draw.Body, Outline: show, Holes: holes, Fill: true})
	}
	d.Add(draw.Area{Role: draw.Cut, Outline: show})
	if bevelled(pt.Edges) {
		d.Add(draw.Area{Role: draw.Back, Outline: p.Shape(pt.Back)})
	}
	for _, h := range holes {
		d.Add(draw.Area{Role: draw.Hole, Outline: h})
	}
	for _, l := range pt.Lines {
		d.Add(draw.Stroke{Role: draw.Mark, Path: p.Path(l.Path)})
	}
	if !shaded {
		for _, m := range pt.Marks {
			d.Add(draw.Point{Role: draw.Mark, At: p.Path(shape.Path{Start: m.At}).Start})
		}
	}
	label(d, show, holes, fmt.Sprint(numbers[name(p.Row)]), pt.Name, p.Row.Hand)
}

func bevelled(edges []part.Edge) bool {
	for _, e := range edges {
		if math.Abs(e.Run) > 0.01 {
			return true
		}
	}
	return false
}

// label writes a part's number near its middle, and its name and hand below where they fit.
func label(d *draw.Drawing, show shape.Outline, holes []shape.Outline, number, name, hand string) {
	at, room := inside(show, holes)
	size := math.Min(1, room/d.Em)
	if size < 0.35 {
		return // too narrow to bear a number: the list tells of it
	}
	words := name
	if hand != "" {
		words += ", " + hand
	}
	small := 0.75 * size
	if draw.TextWidth(words)*small*d.Em > 1.7*room || room < 1.6*d.Em {
		d.Add(draw.Label{Role: draw.Name, At: at, Text: number, Size: size})
		return
	}
	d.Add(draw.Label{Role: draw.Name, At: r2.Vec{X: at.X, Y: at.Y + 0.6*size*d.Em}, Text: number, Size: size},
		draw.Label{Role: draw.Note, At: r2.Vec{X: at.X, Y: at.Y - 0.6*size*d.Em}, Text: words, Size: small})
}

// inside is a point well inside of an outline and outside of its holes, and how far it is from them, on a
// grid of 24 by 24 places.
func inside(o shape.Outline, holes []shape.Outline) (at r2.Vec, room float64) {
	const n = 24
	box, rings := o.Bounds(), [][]r2.Vec{o.Flatten(0.5)}
	for _, h := range holes {
		rings = append(rings, h.Flatten(0.5))
	}
	size := box.Size()
	within := func(p r2.Vec) bool {
		return o.Contains(p) && !slices.ContainsFunc(holes, func(h shape.Outline) bool { return h.Contains(p) })
	}
	for i := range n {
		for j := range n {
			p := r2.Vec{X: box.Min.X + size.X*(float64(i)+0.5)/n, Y: box.Min.Y + size.Y*(float64(j)+0.5)/n}
			far := math.Inf(1)
			for _, ring := range rings {
				far = math.Min(far, fromRim(p, ring))
			}
			if far > room && within(p) {
				at, room = p, far
			}
		}
	}
	return at, room
}

// fromRim is the distance of a point from a ring.
func fromRim(p r2.Vec, ring []r2.Vec) float64 {
	best := math.Inf(1)
	for i, a := range ring {
		step := r2.Sub(ring[(i+1)%len(ring)], a)
		k := 0.0
		if n := r2.Norm2(step); n > 0 {
			k = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), step)/n))
		}
		best = math.Min(best, r2.Norm2(r2.Sub(p, r2.Add(a, r2.Scale(k, step)))))
	}
	return math.Sqrt(best)
}
