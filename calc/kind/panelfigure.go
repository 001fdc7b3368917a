package kind

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

// panelFigure draws the flat pattern: both faces, holes, lines and marks, each edge's name and
// bevel inside it and its length outside.
func (b *Bench) panelFigure(p part.Part) {
	d := draw.Drawing{
		Title: "Flat pattern of " + b.Name,
		Desc:  b.panelDesc(p),
	}
	b.flatPattern(&d, p, lettering(p.Show.Bounds()))
	draw.Fit(&d, 1)
	b.Draw(d)
}

// lettering is the height of words on a figure of this box with dimensions round it.
func lettering(box r2.Box) float64 {
	air := 0.16 * math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	return draw.ReadableEm(r2.Box{Min: r2.Sub(box.Min, r2.Vec{X: air, Y: air}), Max: r2.Add(box.Max, r2.Vec{X: air, Y: air})})
}

// flatPattern adds one part, lettered em mm high.
func (b *Bench) flatPattern(d *draw.Drawing, p part.Part, em float64) {
	d.Add(draw.Area{Role: draw.Body, Outline: p.Show, Fill: true})
	d.Add(draw.Area{Role: draw.Cut, Outline: p.Show})
	if bevelled(p) {
		d.Add(draw.Area{Role: draw.Back, Outline: p.Back})
	}
	for _, h := range p.Holes {
		d.Add(draw.Area{Role: draw.Hole, Outline: h.Shape})
	}
	for _, l := range p.Lines {
		d.Add(draw.Stroke{Role: draw.Mark, Path: l.Path})
	}
	for _, m := range p.Marks {
		d.Add(draw.Point{Role: draw.Mark, At: m.At})
	}
	b.edgeLabels(d, p, em)
}

// bevelled tells whether any edge of a part is cut at an angle.
func bevelled(p part.Part) bool {
	return slices.ContainsFunc(p.Edges, func(e part.Edge) bool { return e.Bevel != 0 })
}

// most edges that a figure letters one by one; more would be a thicket.
const mostLettered = 12

// edgeLabels writes along each edge its name and bevel inside, its length outside. A name that finds
// no room inside stands beside the length.
func (b *Bench) edgeLabels(d *draw.Drawing, p part.Part, em float64) {
	free := room{em: em, show: p.Show, taken: obstacles(p, em)}
	for i, e := range p.Edges {
		path := p.Show.EdgePath(i)
		at, dir, bent := midway(path)
		length := eval.Num(e.Length, unit.Length).Show(b.Style)
		in := r2.Vec{X: -dir.Y, Y: dir.X}
		if len(p.Edges) > mostLettered || e.Length < 1.2*em {
			if e.Letter != "" {
				d.Add(draw.Label{Role: draw.Note, At: r2.Sub(at, r2.Scale(0.8*em, in)), Text: e.Letter})
			}
			continue
		}
		name := draw.Label{Role: draw.Note, At: r2.Add(at, r2.Scale(1.1*em+math.Max(0, e.Run), in)), Text: e.Name, Angle: draw.Upright(math.Atan2(dir.Y, dir.X))}
		if e.Letter != "" {
			name.Text = e.Letter + " " + name.Text
		}
		short := name
		if e.Letter != "" {
			short.Text = e.Letter // matters more than the name
		}
		if e.Bevel != 0 {
			short.Text = b.deg(e.Bevel)
			name.Text += " " + short.Text
		}
		if slices.Contains(p.Odd, e.Name) {
			name.Role, name.Text = draw.Accent, name.Text+" ×"
			short.Role, short.Text = draw.Accent, short.Text+" ×"
		}
		l, beside := free.letter(name, short, dir, e.Length, bent, length)
		if l.Text != "" {
			d.Add(l)
		}
		length = beside
		if bent {
			d.Add(draw.Label{Role: draw.Dim, At: r2.Sub(at, r2.Scale(1.2*em, in)), Text: length, Angle: name.Angle})
			continue
		}
		if i > 0 && regular(p) {
			continue // one dimension speaks for all
		}
		from, to := path.Start, path.Segs[len(path.Segs)-1].End
		d.Add(draw.Dimension{A: from, B: to, Off: -1.6 * em, Text: length})
	}
}

// room is where words can stand on a part.
type room struct {
	em    float64
	show  shape.Outline
	holes []part.Feature
	taken [][4]r2.Vec // marks, holes and lines
	names [][4]r2.Vec // words that stand
}

// letter finds a place for an edge's name inside the part, or beside the length, or for its short
// form inside. It returns what stands inside, with no text if nothing does, and what stands outside.
func (f *room) letter(name, short draw.Label, dir r2.Vec, length float64, bent bool, measured string) (inside draw.Label, outside string) {
	beside := name.Text + ": " + measured
	fits := func(text string) bool { return draw.TextWidth(text)*f.em < length }
	if bent || fits(name.Text) {
		if l, ok := f.along(name, dir, length, bent); ok {
			return l, measured
		}
		if fits(beside) {
			return draw.Label{}, beside
		}
	}
	if fits(short.Text) {
		if l, ok := f.along(short, dir, length, bent); ok {
			return l, measured
		}
	}
	if (bent || fits(name.Text)) && f.anyhow(name, r2.Vec{X: -dir.Y, Y: dir.X}) {
		return name, measured
	}
	return draw.Label{}, measured
}

// along finds a place for the name of an edge that runs in direction dir: at its middle, or to
// either side of what is drawn there.
func (f *room) along(name draw.Label, dir r2.Vec, length float64, bent bool) (draw.Label, bool) {
	middle := name.At
	half := draw.TextWidth(name.Text) * f.em / 2
	in := r2.Vec{X: -dir.Y, Y: dir.X}
	for _, share := range []float64{0, -0.15, 0.15, -0.28, 0.28} {
		if share != 0 && (bent || math.Abs(share)*length+half > length/2) {
			continue
		}
		name.At = r2.Add(middle, r2.Scale(share*length, dir))
		if box := name.Corners(f.em); meets(f.taken, box) || !bent && !f.inside(name.At, r2.Scale(half, dir)) {
			continue
		}
		if f.anyhow(name, in) {
			return name, true
		}
	}
	return name, false
}

// inside tells whether words from at − half to at + half stand on the part.
func (f *room) inside(at, half r2.Vec) bool {
	return f.show.Contains(r2.Add(at, half)) && f.show.Contains(r2.Sub(at, half))
}

// anyhow keeps a place if no other name stands there and the part goes on behind it, so that a
// reader sees which edge is meant.
func (f *room) anyhow(name draw.Label, in r2.Vec) bool {
	box := name.Corners(f.em)
	if meets(f.names, box) || !f.show.Contains(name.At) || !f.show.Contains(r2.Add(name.At, r2.Scale(1.5*f.em, in))) {
		return false
	}
	f.names = append(f.names, box)
	return true
}

func meets(taken [][4]r2.Vec, box [4]r2.Vec) bool {
	return slices.ContainsFunc(taken, func(other [4]r2.Vec) bool { return draw.Overlap(box, other) })
}

// obstacles are the marks, holes and lines of a part as boxes that no word should cover.
func obstacles(p part.Part, em float64) [][4]r2.Vec {
	var boxes [][4]r2.Vec
	strokes := func(pts []r2.Vec) {
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1], pts[i]
			n := r2.Norm(r2.Sub(b, a))
			if n == 0 {
				continue
			}
			side := r2.Scale(0.1*em/n, r2.Vec{X: a.Y - b.Y, Y: b.X - a.X})
			boxes = append(boxes, [4]r2.Vec{r2.Sub(a, side), r2.Sub(b, side), r2.Add(b, side), r2.Add(a, side)})
		}
	}
	for _, m := range p.Marks {
		r := 0.4 * em
		boxes = append(boxes, [4]r2.Vec{{X: m.At.X - r, Y: m.At.Y - r}, {X: m.At.X + r, Y: m.At.Y - r}, {X: m.At.X + r, Y: m.At.Y + r}, {X: m.At.X - r, Y: m.At.Y + r}})
	}
	for _, l := range p.Lines {
		strokes(l.Path.Flatten(em / 4))
	}
	for _, h := range p.Holes {
		for i := range h.Shape.Edges {
			strokes(h.Shape.EdgePath(i).Flatten(em / 4))
		}
	}
	return boxes
}

// regular tells whether many edges are all alike, so that one of them can speak for all.
func regular(p part.Part) bool {
	const many = 5
	return len(p.Edges) >= many && !slices.ContainsFunc(p.Edges, func(e part.Edge) bool {
		return math.Abs(e.Length-p.Edges[0].Length) > 1e-6 || e.Bevel != p.Edges[0].Bevel
	})
}

// midway is the point half-way along a path, the direction there, and whether the path is curved.
func midway(p shape.Path) (at, dir r2.Vec, bent bool) {
	pts := p.Flatten(0.1)
	half := 0.0
	for i := 1; i < len(pts); i++ {
		half += r2.Norm(r2.Sub(pts[i], pts[i-1])) / 2
	}
	for i := 1; i < len(pts); i++ {
		step := r2.Sub(pts[i], pts[i-1])
		n := r2.Norm(step)
		if half <= n && n > 0 {
			u := r2.Scale(1/n, step)
			return r2.Add(pts[i-1], r2.Scale(half, u)), u, len(pts) > 2
		}
		half -= n
	}
	return p.Start, r2.Vec{X: 1}, true
}

// panelDesc tells in words what the figure shows.
func (b *Bench) panelDesc(p part.Part) string {
	box := p.Show.Bounds()
	text := fmt.Sprintf("%d edges in a box of %s by %s, %s thick.", len(p.Edges), b.mm(box.Max.X-box.Min.X), b.mm(box.Max.Y-box.Min.Y), b.mm(p.Thickness))
	if bevelled(p) {
		text += " The dashed outline is the back face."
	}
	if n := len(p.Holes); n > 0 {
		text += fmt.Sprintf(" Holes: %d.", n)
	}
	return text
}
