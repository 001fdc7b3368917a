package template

import (
	"math"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
	"bevelbook/render/figure"
)

// layers of an SVG in their order.
var layers = [...]string{"cut", "mark", "drill", "note"}

// svgStyle is black on white, with the widths of the printed templates.
const svgStyle = `svg{background:#fff}g{fill:none;stroke:#000;stroke-width:.25}#cut{stroke-width:.5}` +
	`#note,#drill{stroke-width:.18}.back{stroke-dasharray:3 2}.accent{stroke-width:.35}.fill{fill:#000;stroke:none}` +
	`text{fill:#000;stroke:none;font-family:sans-serif;text-anchor:middle}` +
	`.start{text-anchor:start}.end{text-anchor:end}.bold{font-weight:700}`

// SVG writes pieces as one file at full size: width, height and coordinates in mm, no transforms on
// lines, and a group for each of cut, mark, drill and note. A square of 50 mm, to measure, stands first.
func SVG(title string, pieces []draw.Drawing) []byte {
	s := svg{groups: map[string][]byte{}}
	size := setOut(pieces, func(it draw.Item, em float64) {
		s.em = em
		s.item(it)
	})
	length := 1024
	for _, g := range s.groups {
		length += len(g)
	}
	out := append(make([]byte, 0, length), `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title" width="`...)
	out = append(draw.AppendNumber(out, size.X, 3), `mm" height="`...)
	out = append(draw.AppendNumber(out, size.Y, 3), `mm" viewBox="0 0 `...)
	out = append(draw.AppendNumber(out, size.X, 3), ' ')
	out = append(draw.AppendNumber(out, size.Y, 3), "\">\n<title id=\"title\">"...)
	out = append(figure.AppendText(out, title), "</title>\n<style>"+svgStyle+"</style>\n"...)
	for _, name := range layers {
		out = append(append(append(out, `<g id="`...), name...), "\">\n"...)
		out = append(append(out, s.groups[name]...), "</g>\n"...)
	}
	return append(out, "</svg>\n"...)
}

// svg gathers the groups, in the order of the items.
type svg struct {
	groups map[string][]byte
	em     float64
}

// svgDecimals of a coordinate: a tenth of a micron, so that arcs meet.
const svgDecimals = 4

func (s *svg) item(it draw.Item) {
	switch it := it.(type) {
	case draw.Stroke:
		s.path(it.Role, false, figure.AppendPath(nil, it.Path, svgDecimals))
	case draw.Area:
		if it.Role == draw.Hatch {
			s.lines(it.Role, it.Hatching(0.55*s.em))
			return
		}
		data := figure.AppendOutline(nil, it.Outline, svgDecimals)
		for _, h := range it.Holes {
			data = figure.AppendOutline(data, h, svgDecimals)
		}
		s.path(it.Role, it.Fill, data)
	case draw.Point:
		c := cross(it.At, target)
		s.lines(it.Role, c[:])
	case draw.Label:
		s.label(it)
	case draw.Dimension:
		lines, label := it.Drawn(s.em)
		s.lines(draw.Dim, lines)
		s.label(label)
	case draw.Angle:
		arc, lines, label := it.Drawn(s.em)
		s.path(draw.Dim, false, figure.AppendPath(nil, arc, svgDecimals))
		s.lines(draw.Dim, lines)
		s.label(label)
	}
}

// path adds a path element to its role's group.
func (s *svg) path(role draw.Role, fill bool, data []byte) {
	layer := penOf(role).layer
	g := append(s.groups[layer], "<path"...)
	switch {
	case fill:
		g = append(g, ` class="fill"`...)
	case role == draw.Back || role == draw.Accent:
		g = append(append(append(g, ` class="`...), role...), '"')
	}
	g = append(append(append(g, ` d="`...), data...), "\"/>\n"...)
	s.groups[layer] = g
}

func (s *svg) lines(role draw.Role, lines []draw.Line) {
	var data []byte
	for _, l := range lines {
		data = figure.AppendPath(data, shape.Path{Start: l.A, Segs: []shape.Seg{{End: l.B}}}, svgDecimals)
	}
	if data != nil {
		s.path(role, false, data)
	}
}

var svgAnchors = [...]string{draw.Middle: "", draw.Start: "start", draw.End: "end"}

func (s *svg) label(l draw.Label) {
	if l.Text == "" {
		return
	}
	at, size := base(l, s.em)
	g := append(s.groups["note"], "<text"...)
	class := svgAnchors[l.Anchor]
	if bold(l.Role) {
		class += " bold"
	}
	if class != "" {
		g = append(append(append(g, ` class="`...), class...), '"')
	}
	g = append(draw.AppendNumber(append(g, ` font-size="`...), size, 3), `" x="`...)
	g = append(draw.AppendNumber(g, at.X, 3), `" y="`...)
	g = append(draw.AppendNumber(g, -at.Y, 3), '"')
	if l.Angle != 0 {
		g = draw.AppendNumber(append(g, ` transform="rotate(`...), -l.Angle*180/math.Pi, 3)
		g = draw.AppendNumber(append(g, ' '), at.X, 3)
		g = append(draw.AppendNumber(append(g, ' '), -at.Y, 3), `)"`...)
	}
	g = append(figure.AppendText(append(g, '>'), l.Text), "</text>\n"...)
	s.groups["note"] = g
}
