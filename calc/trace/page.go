package trace

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// affine is x' = a·x + c·y + e, y' = b·x + d·y + f, in the order in which SVG writes a matrix.
type affine [6]float64

var unmoved = affine{1, 0, 0, 1, 0, 0}

// after is the transform that does n first and then m.
func (m affine) after(n affine) affine {
	return affine{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

func (m affine) point(p r2.Vec) r2.Vec {
	return r2.Vec{X: m[0]*p.X + m[2]*p.Y + m[4], Y: m[1]*p.X + m[3]*p.Y + m[5]}
}

// finite tells whether the transform takes places to places and keeps areas from vanishing.
func (m affine) finite() bool {
	for _, v := range m {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return m[0]*m[3]-m[1]*m[2] != 0
}

// transforms reads the attribute: a list of matrix, translate, scale, rotate, skewX and skewY (SVG 2,
// 8.5; CSS Transforms 1, 8).
func transforms(text string) (affine, error) {
	m := unmoved
	for rest := strings.Trim(text, " \t\r\n,"); rest != ""; rest = strings.Trim(rest, " \t\r\n,") {
		name, args, ok := strings.Cut(rest, "(")
		inside, after, closed := strings.Cut(args, ")")
		if !ok || !closed {
			return m, fmt.Errorf("the transform %q is not understood", short(rest))
		}
		v, err := numbers(inside)
		if err != nil {
			return m, fmt.Errorf("the transform %q: %w", short(rest), err)
		}
		one, ok := transform(strings.TrimSpace(name), v)
		if !ok {
			return m, fmt.Errorf("the transform %q is not understood", short(rest))
		}
		m, rest = m.after(one), after
	}
	if !m.finite() {
		return m, fmt.Errorf("the transform %q leaves nothing of it", short(text))
	}
	return m, nil
}

func transform(name string, v []float64) (affine, bool) {
	const deg = math.Pi / 180
	n := len(v)
	opt := func(i int, otherwise float64) float64 {
		if i < n {
			return v[i]
		}
		return otherwise
	}
	switch {
	case name == "matrix" && n == 6:
		return affine(v), true
	case name == "translate" && (n == 1 || n == 2):
		return affine{1, 0, 0, 1, v[0], opt(1, 0)}, true
	case name == "scale" && (n == 1 || n == 2):
		return affine{v[0], 0, 0, opt(1, v[0]), 0, 0}, true
	case name == "rotate" && (n == 1 || n == 3):
		s, c := math.Sincos(v[0] * deg)
		x, y := opt(1, 0), opt(2, 0)
		return affine{c, s, -s, c, x - c*x + s*y, y - s*x - c*y}, true
	case name == "skewX" && n == 1:
		return affine{1, 0, math.Tan(v[0] * deg), 1, 0, 0}, true
	case name == "skewY" && n == 1:
		return affine{1, math.Tan(v[0] * deg), 0, 1, 0, 0}, true
	}
	return unmoved, false
}

// numbers reads numbers with commas or blanks between them.
func numbers(text string) ([]float64, error) {
	s := scanner{text: text}
	var list []float64
	for {
		s.blank()
		if s.at == len(s.text) {
			return list, nil
		}
		v, ok := s.number()
		if !ok {
			return nil, fmt.Errorf("%q is no number", short(s.text[s.at:]))
		}
		list = append(list, v)
	}
}

// short is the beginning of a text, for a message.
func short(text string) string {
	const most = 24
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// page is the drawing's sheet.
type page struct {
	toMM  affine // from the units of the drawing to mm, y up
	sized bool   // by a real unit
}

// lengthUnits are the units of SVG lengths in mm (CSS Values and Units 3, 6.2).
var lengthUnits = map[string]float64{"mm": 1, "cm": 10, "q": 0.25, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96, "": 25.4 / 96}

// length reads a length in mm. ok is false for one that is left out or relative; real tells that its
// unit is one of the world and not of the screen.
func length(text string) (mm float64, real, ok bool, err error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" || text == "auto" || strings.HasSuffix(text, "%") {
		return 0, false, false, nil
	}
	s := scanner{text: text}
	v, read := s.number()
	unit := text[s.at:]
	k, known := lengthUnits[unit]
	if !read || !known {
		return 0, false, false, fmt.Errorf("%q is no length", short(text))
	}
	return v * k, unit != "" && unit != "px", true, nil
}

// readPage works out the scale from width, height, viewBox and preserveAspectRatio (SVG 2, 8.2 to 8.7).
func readPage(attrs map[string]string) (page, error) {
	w, realW, hasW, err := length(attrs["width"])
	if err != nil {
		return page{}, fmt.Errorf("the width %w", err)
	}
	h, realH, hasH, err := length(attrs["height"])
	if err != nil {
		return page{}, fmt.Errorf("the height %w", err)
	}
	const px = 25.4 / 96
	p := page{sized: realW || realH}
	box, err := numbers(attrs["viewBox"])
	switch {
	case err != nil || len(box) != 4 && len(box) != 0:
		return p, fmt.Errorf("the viewBox %q is not four numbers", short(attrs["viewBox"]))
	case len(box) == 0:
		p.toMM = affine{px, 0, 0, -px, 0, h}
		p.sized = false // the page has a size, but nothing says how large a unit of the drawing is
		return p, nil
	case !(box[2] > 0 && box[3] > 0):
		return p, fmt.Errorf("the viewBox %q has no size", short(attrs["viewBox"]))
	}
	switch {
	case !hasW && !hasH:
		w, h = box[2]*px, box[3]*px
	case !hasW:
		w = h * box[2] / box[3]
	case !hasH:
		h = w * box[3] / box[2]
	}
	if !(w > 0 && h > 0) {
		return p, fmt.Errorf("its width and height are not above zero")
	}
	sx, sy, x, y, err := fit(attrs["preserveAspectRatio"], w, h, box)
	if err != nil {
		return p, err
	}
	p.toMM = affine{sx, 0, 0, -sy, x - sx*box[0], h - y + sy*box[1]}
	if !p.toMM.finite() {
		return p, fmt.Errorf("its size cannot be worked with")
	}
	return p, nil
}

// fit is how a viewBox lies on the page: its scales and the place of its corner (SVG 2, 8.6).
func fit(text string, w, h float64, box []float64) (sx, sy, x, y float64, err error) {
	sx, sy = w/box[2], h/box[3]
	words := strings.Fields(text)
	if len(words) == 0 {
		words = []string{"xMidYMid"}
	}
	if words[0] == "none" {
		return sx, sy, 0, 0, nil
	}
	share := map[string]float64{"xMin": 0, "xMid": 0.5, "xMax": 1, "YMin": 0, "YMid": 0.5, "YMax": 1}
	if len(words[0]) != 8 {
		return 0, 0, 0, 0, fmt.Errorf("the preserveAspectRatio %q is not understood", short(text))
	}
	ax, okX := share[words[0][:4]]
	ay, okY := share[words[0][4:]]
	if !okX || !okY {
		return 0, 0, 0, 0, fmt.Errorf("the preserveAspectRatio %q is not understood", short(text))
	}
	k := math.Min(sx, sy)
	if len(words) > 1 && words[1] == "slice" {
		k = math.Max(sx, sy)
	}
	return k, k, ax * (w - k*box[2]), ay * (h - k*box[3]), nil
}

// scanner reads the numbers and letters of an attribute.
type scanner struct {
	text string
	at   int
}

// blank passes over white space and commas.
func (s *scanner) blank() {
	for s.at < len(s.text) && strings.IndexByte(" \t\r\n\f,", s.text[s.at]) >= 0 {
		s.at++
	}
}

// number reads one number; it ends where the next could begin, as in "1-2" and ".5.5" (SVG 2, 9.3.9).
func (s *scanner) number() (float64, bool) {
	i, digits := s.at, 0
	take := func(set string) bool {
		if i < len(s.text) && strings.IndexByte(set, s.text[i]) >= 0 {
			i++
			return true
		}
		return false
	}
	run := func() {
		for i < len(s.text) && s.text[i] >= '0' && s.text[i] <= '9' {
			i, digits = i+1, digits+1
		}
	}
	take("+-")
	run()
	if take(".") {
		run()
	}
	if digits == 0 {
		return 0, false
	}
	if mark := i; take("eE") {
		take("+-")
		before := digits
		if run(); digits == before {
			i = mark // "1em" is a number and a unit
		}
	}
	v, err := strconv.ParseFloat(s.text[s.at:i], 64)
	if err != nil {
		return 0, false
	}
	s.at = i
	return v, true
}

// flag reads a 0 or 1 of an arc, which need no space behind them.
func (s *scanner) flag() (bool, bool) {
	if s.at < len(s.text) && (s.text[s.at] == '0' || s.text[s.at] == '1') {
		s.at++
		return s.text[s.at-1] == '1', true
	}
	return false, false
}
