package template

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// line is one line of the words on a piece.
type line struct {
	text string
	role draw.Role
	size float64 // in Em
}

// title names the piece: section, name, layer, hand.
func (s *sheetPiece) title() string {
	t := s.name()
	if s.part.Section != "" {
		t = s.part.Section + ": " + t
	}
	if s.hand != "" {
		t += ", " + s.hand
	}
	return t
}

func (s *sheetPiece) name() string {
	if s.part.Layer != "" {
		return s.part.Name + " · " + s.part.Layer
	}
	return s.part.Name
}

// summary says what to cut: count, material, thickness, face.
func (s *sheetPiece) summary() string {
	count := s.meta.Count
	if count == 0 {
		count = max(s.part.Count, 1)
	}
	words := "cut " + strconv.Itoa(count)
	if m := s.material(); m != "" {
		words += " · " + m
	}
	if s.part.Thickness > 0 {
		words += " · " + s.meta.length(s.part.Thickness)
	}
	return words + " · " + s.face()
}

func (s *sheetPiece) material() string {
	if s.meta.Material != "" {
		return s.meta.Material
	}
	return s.part.Material
}

func (s *sheetPiece) face() string {
	if s.lean < 0 {
		return "back face up"
	}
	return "show face up"
}

// layouts are the ways to set the words, the most generous first.
func (s *sheetPiece) layouts() [][]line {
	name := line{s.name(), draw.Name, 1.4}
	hand := line{strings.ToUpper(s.hand), draw.Name, 1.2}
	section := line{s.part.Section, draw.Note, 0.8}
	cut, face, _ := strings.Cut(s.summary(), " · ")
	rest, face := cutLast(face)
	tall := []line{section, name, hand, {cut + sep(rest), draw.Note, 0.8}, {face, draw.Note, 0.8}}
	if s.part.Trim > 0 {
		tall = append(tall, line{"with " + s.meta.length(s.part.Trim) + " to trim all round", draw.Note, 0.8})
	}
	narrow := []line{section, name, hand, {cut, draw.Note, 0.8}}
	for word := range strings.SplitSeq(rest, " · ") {
		narrow = append(narrow, line{word, draw.Note, 0.8})
	}
	narrow = append(narrow, line{face, draw.Note, 0.8})
	wide := []line{{strings.TrimPrefix(s.name()+sep(hand.text), " · "), draw.Name, 1.2},
		{strings.TrimPrefix(s.part.Section+sep(s.summary()), " · "), draw.Note, 0.8}}
	return [][]line{kept(tall), kept(narrow), kept(wide)}
}

func sep(words string) string {
	if words == "" {
		return ""
	}
	return " · " + words
}

// cutLast parts the last of the words that stand between dots.
func cutLast(words string) (before, last string) {
	i := strings.LastIndex(words, " · ")
	if i < 0 {
		return "", words
	}
	return words[:i], words[i+len(" · "):]
}

func kept(lines []line) []line {
	out := lines[:0]
	for _, l := range lines {
		if l.text != "" {
			out = append(out, l)
		}
	}
	return out
}

// leading is the distance of lines in multiples of their size.
const leading = 1.3

// wide is the width of words in multiples of their size, with a little to spare for other fonts.
func wide(text string) float64 { return 1.06 * measure(text, true) }

func sizeOf(lines []line) (w, h float64) {
	for _, l := range lines {
		w = math.Max(w, l.size*wide(l.text))
		h += l.size * leading
	}
	return w, h
}

// block sets the words where they fit on the piece, level or upright, smaller if they must be;
// else beside the piece, with a leader to it.
func (s *sheetPiece) block() {
	layouts := s.layouts()
	places := spots(s.ring)
	for _, scale := range []float64{1, 0.8, 0.65} {
		for _, lines := range layouts {
			for _, angle := range []float64{0, math.Pi / 2} {
				if s.setInside(lines, places, angle, scale) {
					return
				}
			}
		}
	}
	s.setBeside(layouts[0], places)
}

func (s *sheetPiece) setInside(lines []line, places []r2.Vec, angle, scale float64) bool {
	w, h := sizeOf(lines)
	const air = 0.8
	w, h = (w+air)*s.em*scale, (h+air)*s.em*scale
	box := bounds(s.ring)
	dir, up := turned(angle)
	wide := r2.Vec{X: w*dir.X - h*up.X, Y: w*dir.Y + h*up.Y}
	if wide.X > box.Max.X-box.Min.X || wide.Y > box.Max.Y-box.Min.Y {
		return false
	}
	for _, at := range places {
		if corners := around(at, dir, up, w, h); s.clear(corners) {
			s.set(lines, at, angle, scale, draw.Middle)
			s.taken = append(s.taken, corners)
			return true
		}
	}
	return false
}

// turned gives the directions along and across lettering at 0° or 90°.
func turned(angle float64) (dir, up r2.Vec) {
	if angle == 0 {
		return r2.Vec{X: 1}, r2.Vec{Y: 1}
	}
	return r2.Vec{Y: 1}, r2.Vec{X: -1}
}

func around(at, dir, up r2.Vec, w, h float64) [4]r2.Vec {
	corner := func(x, y float64) r2.Vec {
		return r2.Add(at, r2.Add(r2.Scale(x*w/2, dir), r2.Scale(y*h/2, up)))
	}
	return [4]r2.Vec{corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)}
}

// set writes lines centred about a point in height, one under the other.
func (s *sheetPiece) set(lines []line, at r2.Vec, angle, scale float64, anchor draw.Anchor) {
	_, h := sizeOf(lines)
	_, up := turned(angle)
	y := h / 2 * s.em * scale
	for _, l := range lines {
		step := l.size * leading * s.em * scale
		s.d.Add(draw.Label{Role: l.role, Text: l.text, Size: l.size * scale, Angle: angle, Anchor: anchor,
			At: r2.Add(at, r2.Scale(y-step/2, up))})
		y -= step
	}
}

// setBeside sets the words beside the piece and leads a line to it, where the line runs over no
// other words if there is such a place.
func (s *sheetPiece) setBeside(lines []line, places []r2.Vec) {
	inside := places[0]
	for _, p := range places {
		if s.clear(around(p, r2.Vec{X: 1}, r2.Vec{Y: 1}, 0.5, 0.5)) {
			inside = p
			break
		}
	}
	const scale = 0.8
	box := extent(s.d)
	w, h := sizeOf(lines)
	w, h = w*s.em*scale, h*s.em*scale
	foot, at := s.leader(inside, box, w, h)
	s.set(lines, at, 0, scale, draw.Start)
	s.d.Add(draw.Stroke{Role: draw.Note, Path: shape.Path{Start: foot, Segs: []shape.Seg{{End: inside}}}})
	s.d.Add(draw.Area{Role: draw.Note, Fill: true, Outline: disc(inside, 0.25*s.em)})
}

// leader finds where a leader to a point starts, and the left middle of the words of that size there.
func (s *sheetPiece) leader(inside r2.Vec, box r2.Box, w, h float64) (foot, at r2.Vec) {
	away, gap := 1.5*s.em, 0.5*s.em
	right, below := box.Max.X+away, box.Min.Y-away
	type spot struct{ foot, at r2.Vec }
	var list []spot
	for _, y := range [...]float64{inside.Y, box.Max.Y, box.Min.Y} {
		list = append(list, spot{r2.Vec{X: right - gap, Y: y}, r2.Vec{X: right, Y: y}})
	}
	for _, x := range [...]float64{inside.X, box.Max.X, box.Min.X} {
		left := math.Max(box.Min.X, x-w/2)
		list = append(list, spot{r2.Vec{X: math.Max(x, left), Y: below + gap}, r2.Vec{X: left, Y: below - h/2}})
	}
	if flat := box.Max.X-box.Min.X > 1.5*(box.Max.Y-box.Min.Y); flat {
		list = append(list[3:], list[:3]...)
	}
	for _, l := range list {
		if !s.overWords(l.foot, inside) {
			return l.foot, l.at
		}
	}
	return list[0].foot, list[0].at
}

func (s *sheetPiece) overWords(a, b r2.Vec) bool {
	for _, t := range s.taken {
		if crosses(t, []r2.Vec{a, b}, false) {
			return true
		}
	}
	return false
}

func disc(at r2.Vec, r float64) shape.Outline {
	start := r2.Vec{X: at.X + r, Y: at.Y}
	return shape.Outline{Start: start, Edges: []shape.Edge{{Segs: []shape.Seg{
		{Kind: shape.Arc, End: r2.Vec{X: at.X - r, Y: at.Y}, Bulge: 1},
		{Kind: shape.Arc, End: start, Bulge: 1},
	}}}}
}
