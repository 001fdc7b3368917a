package template

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// Meta is what the words on a piece need beyond the part.
type Meta struct {
	Material string                  // its name for people; "" takes the part's
	Count    int                     // pieces of this hand to cut; 0 takes the part's
	Length   func(mm float64) string // shows a length in the journal's units; nil shows millimetres
}

func (m Meta) length(mm float64) string {
	if m.Length != nil {
		return m.Length(mm)
	}
	return string(draw.AppendNumber(nil, mm, 2)) + " mm"
}

// Piece draws one piece at full size in mm, with all that the bench needs on it. The hand is "left",
// "right" or "" when the part needs none; the other hand of a pair is mirrored, its words are not.
// A part that is traced on its back face is drawn as seen from the back: the line to follow is then
// the back outline, and the show outline is the dashed one.
func Piece(p part.Part, hand string, meta Meta) draw.Drawing {
	fromBack := p.Trace == "back"
	v := view{flip: otherHand(p, hand) != fromBack}
	s := &sheetPiece{part: p, hand: hand, meta: meta, lean: 1}
	s.near, s.far = v.outline(p.Show), v.outline(p.Back)
	if len(p.Back.Edges) == 0 {
		s.far = s.near
	}
	if fromBack {
		s.near, s.far, s.lean = s.far, s.near, -1
	}
	s.outlines(v)
	s.ring, s.farRing = draw.Ring(s.near), draw.Ring(s.far)
	s.em = lettering(draw.OfOutline(s.near))
	s.d.Em = s.em
	s.features(v)
	s.matches(v.flip)
	s.edges()
	s.block()
	s.grain(v)
	s.d.Title, s.d.Desc = s.title(), s.summary()
	s.d.Box = extent(s.d)
	return s.d
}

// otherHand tells whether the hand asked for is not the one that the part is drawn as.
func otherHand(p part.Part, hand string) bool {
	drawn := string(part.Left)
	if p.Hand == part.Right {
		drawn = string(part.Right)
	}
	return hand != "" && hand != drawn
}

// lettering grows a little with the piece: 3.6 mm to 5.5 mm, about 10 to 16 points.
func lettering(box r2.Box) float64 {
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	return math.Max(3.6, math.Min(5.5, size/45))
}

func extent(d draw.Drawing) r2.Box {
	const margin = 2
	box := draw.Extent(nil, 0)
	for _, it := range d.Items {
		e := draw.Extent(it, d.Em)
		box.Min = r2.Vec{X: min(box.Min.X, e.Min.X), Y: min(box.Min.Y, e.Min.Y)}
		box.Max = r2.Vec{X: max(box.Max.X, e.Max.X), Y: max(box.Max.Y, e.Max.Y)}
	}
	pad := r2.Vec{X: margin, Y: margin}
	return r2.Box{Min: r2.Sub(box.Min, pad), Max: r2.Add(box.Max, pad)}
}

// sheetPiece is a piece while it is being drawn.
type sheetPiece struct {
	part part.Part
	hand string
	meta Meta
	d    draw.Drawing
	em   float64

	near, far     shape.Outline // of the face that is up, and of the other
	ring, farRing []r2.Vec
	lean          float64     // +1 show face up, −1 back face up: the sense of a bevel seen from above
	lines         [][]r2.Vec  // what words must not touch: holes, closed, and lines, open
	taken         [][4]r2.Vec // boxes of words that already stand
}

// outlines draws the cut lines first, so that words lie over them.
func (s *sheetPiece) outlines(v view) {
	s.d.Add(draw.Area{Role: draw.Cut, Outline: s.near})
	if s.bevelled() {
		s.d.Add(draw.Area{Role: draw.Back, Outline: s.far})
	}
	for _, h := range s.part.Holes {
		hole := v.outline(h.Shape)
		s.d.Add(draw.Area{Role: draw.Hole, Outline: hole})
		ring := draw.Ring(hole)
		if len(ring) > 0 {
			s.lines = append(s.lines, append(ring, ring[0]))
		}
	}
	for _, l := range s.part.Lines {
		path := v.path(l.Path)
		s.d.Add(draw.Stroke{Role: draw.Mark, Path: path})
		s.lines = append(s.lines, steps(path))
	}
}

// steps follows an open path with short straight steps.
func steps(p shape.Path) []r2.Vec {
	points := draw.Ring(shape.Outline{Start: p.Start, Edges: []shape.Edge{{Segs: p.Segs}}})
	return append([]r2.Vec{p.Start}, points...)
}

// bevelled tells whether the two faces differ, so that the other one is worth drawing.
func (s *sheetPiece) bevelled() bool {
	for _, e := range s.part.Edges {
		if math.Abs(e.Run) > 0.01 {
			return true
		}
	}
	return false
}

// features marks drill centres and points, and names lines, holes and points.
func (s *sheetPiece) features(v view) {
	for _, h := range s.part.Holes {
		hole := v.outline(h.Shape)
		box := draw.OfOutline(hole)
		words := h.Name
		if centre, radius, ok := round(hole); ok {
			s.d.Add(draw.Point{Role: draw.Drill, At: centre})
			words = strings.TrimSpace(words + " Ø " + s.meta.length(2*radius))
		}
		s.beside(words, box)
	}
	for _, l := range s.part.Lines {
		if points := steps(v.path(l.Path)); len(points) > 0 {
			mid := points[len(points)/2]
			s.beside(l.Name, r2.Box{Min: mid, Max: mid})
		}
	}
	for _, m := range s.part.Marks {
		at := v.point(m.At)
		s.d.Add(draw.Point{Role: draw.Mark, At: at})
		arm := r2.Vec{X: target, Y: target}
		s.beside(m.Name, r2.Box{Min: r2.Sub(at, arm), Max: r2.Add(at, arm)})
	}
}

// round finds the centre of a hole made of arcs about one centre.
func round(o shape.Outline) (centre r2.Vec, radius float64, ok bool) {
	from, first := o.Start, true
	for _, e := range o.Edges {
		for _, seg := range e.Segs {
			if seg.Kind != shape.Arc {
				return r2.Vec{}, 0, false
			}
			c, r, real := draw.ArcCentre(from, seg)
			if !real || !first && (r2.Norm(r2.Sub(c, centre)) > 0.01 || math.Abs(r-radius) > 0.01) {
				return r2.Vec{}, 0, false
			}
			centre, radius, first, from = c, r, false, seg.End
		}
	}
	return centre, radius, !first
}

// beside names a feature on the first of its four sides that is clear; small words, and left out
// where there is no room, for the page that lists the part names it too.
func (s *sheetPiece) beside(words string, box r2.Box) {
	if words == "" {
		return
	}
	const size = 0.65
	h := size * s.em
	mid := r2.Scale(0.5, r2.Add(box.Min, box.Max))
	for _, l := range []draw.Label{
		{At: r2.Vec{X: box.Max.X + 0.6*h, Y: mid.Y}, Anchor: draw.Start},
		{At: r2.Vec{X: box.Min.X - 0.6*h, Y: mid.Y}, Anchor: draw.End},
		{At: r2.Vec{X: mid.X, Y: box.Max.Y + 0.9*h}},
		{At: r2.Vec{X: mid.X, Y: box.Min.Y - 0.9*h}},
	} {
		l.Role, l.Text, l.Size = draw.Note, words, size
		if corners := l.Corners(s.em); s.clear(corners) {
			s.d.Add(l)
			s.taken = append(s.taken, corners)
			return
		}
	}
}

func degrees(rad float64) string {
	text := strconv.FormatFloat(math.Abs(rad)*180/math.Pi, 'f', 1, 64)
	return strings.TrimSuffix(text, ".0") + "°"
}
