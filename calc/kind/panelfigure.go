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
	box := p.Show.Bounds()
	room := 0.16 * math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	em := draw.ReadableEm(r2.Box{Min: r2.Sub(box.Min, r2.Vec{X: room, Y: room}), Max: r2.Add(box.Max, r2.Vec{X: room, Y: room})})
	b.edgeLabels(&d, p, em)
	draw.Fit(&d, 1)
	b.Draw(d)
}

// bevelled tells whether any edge of a part is cut at an angle.
func bevelled(p part.Part) bool {
	return slices.ContainsFunc(p.Edges, func(e part.Edge) bool { return e.Bevel != 0 })
}

// most edges that a figure letters one by one; more would be a thicket.
const mostLettered = 12

// edgeLabels writes along each edge its name and bevel inside, its length outside.
func (b *Bench) edgeLabels(d *draw.Drawing, p part.Part, em float64) {
	var placed [][4]r2.Vec
	for i, e := range p.Edges {
		path := p.Show.EdgePath(i)
		at, dir, bent := midway(path)
		length := eval.Num(e.Length, unit.Length).Show(b.Style)
		if len(p.Edges) > mostLettered || e.Length < 1.2*em {
			continue
		}
		in := r2.Vec{X: -dir.Y, Y: dir.X}
		inset := 1.1*em + math.Max(0, e.Run)
		text := e.Name
		if e.Bevel != 0 {
			text += " " + b.deg(e.Bevel)
		}
		role := draw.Note
		if slices.Contains(p.Odd, e.Name) {
			role, text = draw.Accent, text+" ×"
		}
		if draw.TextWidth(text)*em < e.Length || bent {
			l := draw.Label{Role: role, At: r2.Add(at, r2.Scale(inset, in)), Text: text, Angle: draw.Upright(math.Atan2(dir.Y, dir.X))}
			if box := l.Corners(em); !slices.ContainsFunc(placed, func(other [4]r2.Vec) bool { return draw.Overlap(box, other) }) {
				placed = append(placed, box)
				d.Add(l)
			}
		}
		if bent {
			d.Add(draw.Label{Role: draw.Dim, At: r2.Sub(at, r2.Scale(1.2*em, in)), Text: length, Angle: draw.Upright(math.Atan2(dir.Y, dir.X))})
			continue
		}
		if i > 0 && regular(p) {
			continue // one dimension speaks for all
		}
		from, to := path.Start, path.Segs[len(path.Segs)-1].End
		d.Add(draw.Dimension{A: from, B: to, Off: -1.6 * em, Text: length})
	}
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
