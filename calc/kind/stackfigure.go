package kind

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// A figure is 28 Em wide, in which its lettering reads at 340 px: this is what is left of it for
// walls and the names of layers, in Em, when margins and lines that lead to the names have theirs.
const roomForWalls = 24.0

// stackFigure draws the wall in section: outside up, every other layer hatched the other way, the
// groove as it is cut.
func (b *Bench) stackFigure(s wall) {
	em := s.total / 10
	const dimension = 3 // Em beside the wall for its height
	v := wallView{b, s, 0, math.Max(6, roomForWalls-dimension-b.widestName(s)) * em, em}
	d := draw.Drawing{Title: "Section through the stack " + b.Name, Desc: b.layersInWords(s)}
	v.body(&d)
	v.names(&d, 1)
	d.Add(draw.Dimension{A: r2.Vec{Y: -s.total}, B: r2.Vec{}, Off: 1.8 * em, Text: b.mm(s.total)})
	row := 0.9 * em
	if s.groove > 0 {
		d.Add(draw.Label{Role: draw.Accent, At: r2.Vec{X: v.width / 2, Y: row}, Text: "groove " + b.mm(s.groove)})
		row += 1.4 * em
	}
	d.Add(draw.Label{Role: draw.Note, At: r2.Vec{Y: row}, Text: "outside", Anchor: draw.Start})
	v.inner(&d, -s.total)
	framed(&d, em)
	b.Draw(d)
}

// matchFigure draws both walls side by side, outsides level, with the spacer behind the thinner one.
func (b *Bench) matchFigure(s, other wall, spacer float64) {
	high := math.Max(s.total, other.total)
	em := high / 10
	const gap = 1.8 // Em between the walls
	width := math.Max(3.5, (roomForWalls-gap-b.widestName(s)-b.widestName(other))/2)
	views := []wallView{{b, s, 0, width * em, em}, {b, other, (width + gap) * em, width * em, em}}
	d := draw.Drawing{
		Title: fmt.Sprintf("Sections through the stacks %s and %s", s.name, other.name),
		Desc:  b.layersInWords(s) + " " + b.layersInWords(other),
	}
	low := -high
	if spacer > 0 {
		low -= 1.5 * em
		d.Desc += fmt.Sprintf(" A spacer of %s behind the thinner wall makes their edges alike.", b.mm(spacer))
	}
	for i, v := range views {
		side := float64(2*i - 1)
		v.body(&d)
		v.names(&d, side)
		v.heading(&d, side)
		if v.total < high-alike {
			v.spacer(&d, high, side, "spacer "+b.mm(spacer))
		}
		v.inner(&d, low)
	}
	d.Add(draw.Label{Role: draw.Note, At: r2.Vec{X: (width + gap/2) * em, Y: 3.9 * em}, Text: "outside"})
	framed(&d, em)
	b.Draw(d)
}

// widestName is the width of the longest name of a layer, in Em.
func (b *Bench) widestName(s wall) float64 {
	widest := 0.0
	for _, r := range s.runs() {
		widest = math.Max(widest, draw.TextWidth(b.plyLabel(r.first, r.n)))
	}
	return widest
}

// framed fits the box to the drawing and keeps the lettering as small as it was laid out for.
func framed(d *draw.Drawing, em float64) {
	draw.Fit(d, 0.8)
	d.Em = math.Min(d.Em, em)
}

func (b *Bench) layersInWords(s wall) string {
	var names []string
	for _, p := range s.plies {
		text := b.mm(p.thickness)
		if p.named {
			text += " " + p.name
		}
		names = append(names, text)
	}
	text := fmt.Sprintf("%s, from the outside in: %s; %s in all.", s.name, strings.Join(names, ", "), b.mm(s.total))
	if s.groove > 0 {
		text += fmt.Sprintf(" A groove is %s deep.", b.mm(s.groove))
	}
	if s.worn {
		text += " The inside faces the body."
	}
	return text
}

// plyLabel is "foam6, 6 mm", or "foam10, 2 × 10 mm" for like layers on each other.
func (b *Bench) plyLabel(p ply, n int) string {
	text := b.mm(p.thickness)
	if n > 1 {
		text = fmt.Sprintf("%d × %s", n, text)
	}
	if p.named {
		text = p.name + ", " + text
	}
	return text
}

// wallView is a wall drawn from x to the right, its outside at y = 0.
type wallView struct {
	*Bench
	wall
	x, width, em float64
}

// body draws the layers and the groove in them.
func (v wallView) body(d *draw.Drawing) {
	slot := 0.9 * v.em
	middle := v.x + 0.5*v.width
	for i, p := range v.plies {
		role, hatch := draw.Body, math.Pi/4
		if i%2 == 1 {
			role, hatch = draw.Body2, -math.Pi/4
		}
		spans := [][2]float64{{v.x, v.x + v.width}}
		if p.depth < v.groove-alike {
			spans = [][2]float64{{v.x, middle - slot/2}, {middle + slot/2, v.x + v.width}}
		}
		for _, s := range spans {
			o := slab(s[0], s[1], -p.depth, -p.depth-p.thickness)
			d.Add(draw.Area{Role: role, Outline: o, Fill: true}, draw.Area{Role: draw.Hatch, Outline: o, Hatch: hatch})
		}
	}
	if v.groove > 0 {
		path := shape.Path{Start: r2.Vec{X: middle - slot/2}}
		for _, p := range []r2.Vec{{X: middle - slot/2, Y: -v.groove}, {X: middle + slot/2, Y: -v.groove}, {X: middle + slot/2}} {
			path.Segs = append(path.Segs, shape.Seg{End: p})
		}
		d.Add(draw.Stroke{Role: draw.Accent, Path: path})
	}
}

func slab(x0, x1, y0, y1 float64) shape.Outline {
	corners := []r2.Vec{{X: x0, Y: y1}, {X: x1, Y: y1}, {X: x1, Y: y0}, {X: x0, Y: y0}}
	o := shape.Outline{Start: corners[0]}
	for i, name := range []string{"bottom", "right", "top", "left"} {
		o.Edges = append(o.Edges, shape.Edge{Name: name, Segs: []shape.Seg{{End: corners[(i+1)%4]}}})
	}
	return o
}

// plyRun is a run of like layers, lettered once.
type plyRun struct {
	first ply
	n     int
}

func (w wall) runs() []plyRun {
	var list []plyRun
	for _, p := range w.plies {
		if k := len(list) - 1; k >= 0 && list[k].first.name == p.name && math.Abs(list[k].first.thickness-p.thickness) < alike {
			list[k].n++
			continue
		}
		list = append(list, plyRun{p, 1})
	}
	return list
}

// names letters the layers beside the wall, to the right (side 1) or left (−1), each at its height or
// 1.4 Em below the one before it, with a line that leads to it; the column is centred on the wall.
func (v wallView) names(d *draw.Drawing, side float64) {
	x, anchor := v.x, draw.End
	if side > 0 {
		x, anchor = v.x+v.width, draw.Start
	}
	runs := v.runs()
	layer, label := make([]float64, len(runs)), make([]float64, len(runs))
	slip := 0.0
	for i, r := range runs {
		layer[i] = -r.first.depth - float64(r.n)*r.first.thickness/2
		label[i] = layer[i]
		if i > 0 {
			label[i] = math.Min(label[i], label[i-1]-1.4*v.em)
		}
		slip = math.Max(slip, layer[i]-label[i])
	}
	at := func(out, y float64) r2.Vec { return r2.Vec{X: x + side*out*v.em, Y: y} }
	for i, r := range runs {
		y := label[i] + slip/2
		lead := segment(at(-0.6, layer[i]), at(0.3, layer[i]))
		lead.Segs = append(lead.Segs, shape.Seg{End: at(0.9, y)})
		d.Add(
			draw.Stroke{Role: draw.Dim, Path: lead},
			draw.Label{Role: draw.Note, At: at(1.2, y), Text: v.plyLabel(r.first, r.n), Anchor: anchor},
		)
	}
}

// heading writes the wall's name and total above it, so that those of two walls lean away from each other.
func (v wallView) heading(d *draw.Drawing, side float64) {
	x, anchor := v.x, draw.Start
	if side < 0 {
		x, anchor = v.x+v.width, draw.End
	}
	d.Add(draw.Label{Role: draw.Name, At: r2.Vec{X: x, Y: 2.3 * v.em}, Text: v.name, Anchor: anchor},
		draw.Label{Role: draw.Note, At: r2.Vec{X: x, Y: 0.9 * v.em}, Text: v.mm(v.total) + " in all", Anchor: anchor})
}

// inner says below y what the inside faces: the body of who wears it, drawn as a soft line, or not.
func (v wallView) inner(d *draw.Drawing, y float64) {
	middle := v.x + v.width/2
	if !v.worn {
		d.Add(draw.Label{Role: draw.Note, At: r2.Vec{X: middle, Y: y - 0.9*v.em}, Text: "inside"})
		return
	}
	skin := shape.Path{Start: r2.Vec{X: v.x, Y: y - 1.2*v.em}, Segs: []shape.Seg{
		{Kind: shape.Arc, End: r2.Vec{X: v.x + v.width, Y: y - 1.2*v.em}, Bulge: -0.12}}}
	d.Add(draw.Stroke{Role: draw.Wearer, Path: skin},
		draw.Label{Role: draw.Wearer, At: r2.Vec{X: middle, Y: y - 1.7*v.em}, Text: "body"})
}

// spacer draws the strip that makes the wall as thick as another, along the rim, and dashes the hollow
// beside it.
func (v wallView) spacer(d *draw.Drawing, high, side float64, text string) {
	rim, inner := v.x+v.width, v.x+0.45*v.width
	if side > 0 {
		rim, inner = v.x, v.x+0.55*v.width
	}
	strip := slab(math.Min(rim, inner), math.Max(rim, inner), -v.total, -high)
	d.Add(
		draw.Area{Role: draw.Body, Outline: strip, Fill: true},
		draw.Area{Role: draw.Hatch, Outline: strip, Hatch: 0},
		draw.Area{Role: draw.Accent, Outline: strip},
		draw.Area{Role: draw.Back, Outline: slab(v.x, v.x+v.width, -v.total, -high)},
		draw.Label{Role: draw.Accent, At: r2.Vec{X: v.x + v.width/2, Y: -high - 0.9*v.em}, Text: text},
	)
}
