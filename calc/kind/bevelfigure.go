package kind

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// bevelFigure draws the section through the corner. The first panel lies level with its show face
// up and its corner in the origin, as it would lie on the saw; the second leads away from it.
func (b *Bench) bevelFigure(cut bevelCut) {
	t := cut.thickness
	if t == 0 {
		t = 10 // any: a figure of angles only
	}
	s := bevelSection{b, cut, t, r2.Vec{X: -t * math.Tan(cut.tilt), Y: -t}}
	d := settled(t/5, s.draw)
	d.Title = "Bevel section of " + b.Name
	d.Desc = fmt.Sprintf("Two panels in section meet at an inside angle of %s. Each is cut %s from square, so that the %s.",
		b.deg(cut.dihedral()), b.deg(cut.tilt), map[string]string{
			"show": "show face is the longer one", "back": "back face is the longer one", "both alike": "faces are alike"}[longFace(cut.tilt)])
	if cut.thickness > 0 {
		d.Desc += fmt.Sprintf(" At %s thickness the cut runs in by %s and is %s wide.", b.mm(t), b.mm(math.Abs(cut.inset)), b.mm(cut.width))
	}
	b.Draw(d)
}

// settled draws with lettering em mm high, again and again until the lettering fits the box it makes.
func settled(em float64, drawn func(em float64) draw.Drawing) draw.Drawing {
	var d draw.Drawing
	for range 6 {
		d = drawn(em)
		draw.Fit(&d, 1.2)
		if math.Abs(d.Em-em) < 0.01*em {
			break
		}
		em = d.Em
	}
	return d
}

// bevelSection is the corner laid out: the corner of the show faces in the origin, that of the back
// faces at back.
type bevelSection struct {
	*Bench
	bevelCut
	t    float64
	back r2.Vec
}

func (s bevelSection) draw(em float64) draw.Drawing {
	var d draw.Drawing
	length := math.Max(-s.back.X, 0) + math.Max(2.4*s.t, 11*em)
	first := broken([]r2.Vec{{}, {X: -length}, {X: -length, Y: -s.t}, s.back})
	// The second panel is the first in the mirror of the cut.
	second := first.MirrorAcross(r2.Vec{}, s.back)
	d.Add(
		draw.Area{Role: draw.Body2, Outline: second, Fill: true},
		draw.Area{Role: draw.Hatch, Outline: second, Hatch: -math.Pi/4 + 2*s.tilt},
		draw.Area{Role: draw.Body, Outline: first, Fill: true},
	)
	words := s.cutWords(em)
	hatch := draw.Area{Role: draw.Hatch, Outline: first, Hatch: math.Pi / 4}
	for _, w := range words {
		if c := w.Corners(em); first.Contains(c[0]) && first.Contains(c[2]) {
			hatch.Holes = append(hatch.Holes, boxOf(w, em))
		}
	}
	d.Add(hatch)
	s.cutLines(&d, em)
	for _, w := range words {
		d.Add(w)
	}
	d.Add(draw.Label{Role: draw.Note, At: r2.Vec{X: -length, Y: 0.9 * em}, Text: "show face, outside", Anchor: draw.Start})
	if s.thickness > 0 {
		d.Add(draw.Dimension{A: r2.Vec{X: -length, Y: -s.t}, B: r2.Vec{X: -length}, Off: 2 * em, Text: s.mm(s.t)})
	}
	s.dihedralArc(&d, em)
	return d
}

// square is the line square to the faces that the tilt is counted from. It stands where both faces
// have foam: from the corner of the back faces up, or in a hollow corner from that of the show faces
// down. It leads from apex, where the angle opens, to foot.
func (s bevelSection) square() (apex, foot r2.Vec) {
	if s.tilt < 0 {
		return r2.Vec{}, r2.Vec{Y: -s.t}
	}
	return s.back, r2.Vec{X: s.back.X}
}

// cutWords letters tilt and width of the cut: in the foam beside the square line if there is room,
// else the width stands outside, beyond the second panel.
func (s bevelSection) cutWords(em float64) []draw.Label {
	_, foot := s.square()
	at := r2.Vec{X: foot.X - 0.7*em, Y: -s.t / 2}
	tilt := draw.Label{Role: draw.Accent, At: at, Text: "tilt " + s.deg(s.tilt), Anchor: draw.End}
	if s.thickness == 0 {
		return []draw.Label{tilt}
	}
	width := draw.Label{Role: draw.Accent, At: at, Text: "cut " + s.mm(s.width), Anchor: draw.End}
	if s.t > 3.4*em {
		tilt.At.Y += 0.75 * em
		width.At.Y -= 0.75 * em
		return []draw.Label{tilt, width}
	}
	width.Anchor = draw.Start
	width.At = s.beyond(em)
	return []draw.Label{tilt, width}
}

// beyond is a free place outside the second panel, near the cut: below the show face of a sharp
// corner, to the right of the back face of a hollow one.
func (s bevelSection) beyond(em float64) r2.Vec {
	sin, cos := math.Sincos(s.dihedral())
	if s.tilt < 0 {
		return r2.Vec{X: s.back.X + (s.t+1.2*em)/sin*cos + 1.5*em, Y: 1.2 * em}
	}
	middle := s.back.X / 2
	return r2.Vec{X: middle + em, Y: middle*sin/cos - 1.4*em}
}

// cutLines draws the cut, the square line with the tilt's arc, and the run, which is read where it lies
// in the open: above the show face, or below the back face of a hollow corner.
func (s bevelSection) cutLines(d *draw.Drawing, em float64) {
	apex, foot := s.square()
	d.Add(draw.Stroke{Role: draw.Centre, Path: segment(apex, foot)})
	if s.thickness > 0 && s.t <= 3.4*em {
		at := s.beyond(em)
		d.Add(draw.Stroke{Role: draw.Dim, Path: segment(r2.Scale(0.5, s.back), r2.Vec{X: at.X - 0.3*em, Y: at.Y})})
	}
	d.Add(draw.Stroke{Role: draw.Accent, Path: segment(r2.Vec{}, s.back)})
	if s.tilt != 0 {
		from := r2.Add(apex, r2.Scale(0.7, r2.Sub(foot, apex)))
		// From square to the cut the arc turns clockwise for a tilt above zero.
		to := r2.Add(apex, r2.Rotate(r2.Sub(from, apex), -s.tilt, r2.Vec{}))
		arc := shape.Path{Start: from, Segs: []shape.Seg{{Kind: shape.Arc, End: to, Bulge: -math.Tan(s.tilt / 4)}}}
		d.Add(draw.Stroke{Role: draw.Accent, Path: arc})
	}
	switch {
	case s.inset > 0:
		d.Add(draw.Dimension{A: foot, B: r2.Vec{}, Off: 1.8 * em, Text: "run " + s.mm(s.inset)})
	case s.inset < 0:
		d.Add(draw.Dimension{A: foot, B: s.back, Off: -1.8 * em, Text: "run " + s.mm(-s.inset)})
	}
}

// dihedralArc marks the inside angle at the corner of the back faces: in a sharp corner far enough out
// for its number, in a hollow one close in and lettered to the right, clear of the run.
func (s bevelSection) dihedralArc(d *draw.Drawing, em float64) {
	δ := s.dihedral()
	arc := draw.Angle{At: s.back, Radius: math.Max(2.5*em, 0.6*s.t), From: math.Pi, To: math.Pi + δ, Text: s.deg(δ) + " inside"}
	if s.tilt < 0 {
		arc.Radius, arc.Text = 1.2*em, ""
		d.Add(draw.Label{Role: draw.Dim, At: r2.Add(s.back, r2.Vec{X: 1.7 * em, Y: -0.6 * em}), Text: s.deg(δ) + " inside", Anchor: draw.Start})
	} else {
		arc.Radius = math.Max(arc.Radius, math.Min(5*em, 0.9*em/math.Tan(δ/2)))
	}
	d.Add(arc)
}

func segment(a, b r2.Vec) shape.Path {
	return shape.Path{Start: a, Segs: []shape.Seg{{End: b}}}
}

// broken is a panel whose far end, from its second to its third corner, is a break line.
func broken(p []r2.Vec) shape.Outline {
	across := r2.Sub(p[2], p[1])
	bow := r2.Scale(0.18, r2.Vec{X: -across.Y, Y: across.X})
	c1 := r2.Add(r2.Add(p[1], r2.Scale(0.35, across)), bow)
	c2 := r2.Sub(r2.Add(p[1], r2.Scale(0.65, across)), bow)
	return shape.Outline{Start: p[0], Edges: []shape.Edge{
		{Name: "show", Segs: []shape.Seg{{End: p[1]}}},
		{Name: "break", Segs: []shape.Seg{{Kind: shape.Cubic, C1: c1, C2: c2, End: p[2]}}},
		{Name: "back", Segs: []shape.Seg{{End: p[3]}}},
		{Name: "cut", Segs: []shape.Seg{{End: p[0]}}},
	}}
}

// boxOf is the room that a label takes up, to be left free of hatching.
func boxOf(l draw.Label, em float64) shape.Outline {
	c := l.Corners(em)
	o := shape.Outline{Start: c[0]}
	for i := range c {
		o.Edges = append(o.Edges, shape.Edge{Name: fmt.Sprint(i), Segs: []shape.Seg{{End: c[(i+1)%len(c)]}}})
	}
	return o
}

// mitreFigure draws the panel's face seen from outside, its lower edge level: how far the seam leans
// from square. A mitre too small to see, or too flat to draw, has no figure.
func (b *Bench) mitreFigure(m mitre) {
	const least, most = 0.5 * math.Pi / 180, 75 * math.Pi / 180
	if math.Abs(m.angle) < least || math.Abs(m.angle) > most {
		return
	}
	const wide, high, em = 18.0, 9.0, 1.0 // no size of its own
	lean := r2.Vec{X: -high * math.Tan(m.angle), Y: high}
	left := -math.Max(wide, 7-lean.X)
	face := broken([]r2.Vec{lean, {X: left, Y: high}, {X: left}, {}})
	d := draw.Drawing{
		Title: "Mitre of " + b.Name,
		Desc:  fmt.Sprintf("The face of the panel seen from outside: its seam leans by %s from square to the lower edge, so that the panel %s.", b.deg(math.Abs(m.angle)), narrows(m.angle)),
	}
	arc := shape.Path{Start: r2.Vec{Y: 0.55 * high}}
	arc.Segs = []shape.Seg{{Kind: shape.Arc, End: r2.Rotate(arc.Start, m.angle, r2.Vec{}), Bulge: math.Tan(m.angle / 4)}}
	words := draw.Label{Role: draw.Accent, At: r2.Vec{X: math.Max(0, lean.X) + 0.7*em, Y: 0.55 * high}, Text: "mitre " + b.deg(m.angle), Anchor: draw.Start}
	d.Add(
		draw.Area{Role: draw.Body, Outline: face, Fill: true},
		draw.Stroke{Role: draw.Centre, Path: segment(r2.Vec{}, r2.Vec{Y: high + 0.6*em})},
		draw.Stroke{Role: draw.Accent, Path: segment(r2.Vec{}, lean)},
		draw.Stroke{Role: draw.Accent, Path: arc},
		words,
		draw.Label{Role: draw.Note, At: r2.Vec{X: left + 0.8*em, Y: high / 2}, Text: "show face", Anchor: draw.Start},
		draw.Label{Role: draw.Note, At: r2.Vec{X: left, Y: -0.9 * em}, Text: "lower edge", Anchor: draw.Start},
	)
	framed(&d, em)
	b.Draw(d)
}

func narrows(mitre float64) string {
	if mitre < 0 {
		return "widens upwards"
	}
	return "narrows upwards"
}
