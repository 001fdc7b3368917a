package trace

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// mostSegments of one figure; shape refuses longer outlines too.
const mostSegments = 50_000

// tracer draws a figure: it follows its commands in the units of the drawing and writes what they draw
// in mm.
type tracer struct {
	move  affine
	lines []Line
	open  bool   // a line has begun
	start r2.Vec // of the line, as drawn
	at    r2.Vec // as drawn
	count int
}

// moveTo ends the line and begins another.
func (t *tracer) moveTo(p r2.Vec) { t.open, t.start, t.at = false, p, p }

// put draws one segment whose places are in mm.
func (t *tracer) put(s shape.Seg, to r2.Vec) {
	if !t.open {
		t.lines = append(t.lines, Line{Path: shape.Path{Start: t.move.point(t.at)}})
		t.open = true
	}
	l := &t.lines[len(t.lines)-1]
	l.Segs = append(l.Segs, s)
	t.at = to
	t.count++
}

func (t *tracer) lineTo(p r2.Vec) {
	if p != t.at {
		t.put(shape.Seg{End: t.move.point(p)}, p)
	}
}

func (t *tracer) cubicTo(c1, c2, p r2.Vec) {
	if c1 == t.at && c2 == t.at && p == t.at {
		return
	}
	t.put(shape.Seg{Kind: shape.Cubic, C1: t.move.point(c1), C2: t.move.point(c2), End: t.move.point(p)}, p)
}

// quadTo is a quadratic curve raised to a cubic, which is exact.
func (t *tracer) quadTo(c, p r2.Vec) {
	third := func(a r2.Vec) r2.Vec { return r2.Add(a, r2.Scale(2.0/3, r2.Sub(c, a))) }
	t.cubicTo(third(t.at), third(p), p)
}

// close joins the line's end to its start.
func (t *tracer) close() {
	if !t.open {
		return
	}
	t.lineTo(t.start)
	l := &t.lines[len(t.lines)-1]
	l.Closed = true
	l.Segs[len(l.Segs)-1].End = l.Start
	t.open, t.at = false, t.start
}

// arcTo is an elliptical arc by its ends (SVG 2, 9.5.1; its centre by appendix B.2.4).
func (t *tracer) arcTo(rx, ry, turn float64, large, sweep bool, p r2.Vec) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if p == t.at {
		return
	}
	if rx == 0 || ry == 0 {
		t.lineTo(p)
		return
	}
	sin, cos := math.Sincos(turn)
	half := r2.Scale(0.5, r2.Sub(t.at, p))
	x, y := cos*half.X+sin*half.Y, -sin*half.X+cos*half.Y
	if k := x*x/(rx*rx) + y*y/(ry*ry); k > 1 { // too small to reach: grown until it does
		rx, ry = rx*math.Sqrt(k), ry*math.Sqrt(k)
	}
	q := rx*rx*y*y + ry*ry*x*x
	root := math.Sqrt(math.Max(0, (rx*rx*ry*ry-q)/q))
	if large == sweep {
		root = -root
	}
	cx, cy := root*rx*y/ry, -root*ry*x/rx
	mid := r2.Scale(0.5, r2.Add(t.at, p))
	centre := r2.Vec{X: cos*cx - sin*cy + mid.X, Y: sin*cx + cos*cy + mid.Y}
	from := math.Atan2((y-cy)/ry, (x-cx)/rx)
	delta := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - from
	switch {
	case sweep && delta < 0:
		delta += 2 * math.Pi
	case !sweep && delta > 0:
		delta -= 2 * math.Pi
	}
	t.turn(ellipse{centre, rx, ry, turn}, from, delta, p)
}

// ellipse is one in the drawing's units.
type ellipse struct {
	centre r2.Vec
	rx, ry float64
	turn   float64 // of its axes, radians
}

// matrix takes the unit circle to the ellipse.
func (e ellipse) matrix() affine {
	sin, cos := math.Sincos(e.turn)
	return affine{cos * e.rx, sin * e.rx, -sin * e.ry, cos * e.ry, e.centre.X, e.centre.Y}
}

// turn draws a stretch of an ellipse from an angle over an angle to a point. Where it is a circle on
// the page it stays an arc; else it is drawn in curves of a sixteenth of a turn, which keep within
// 1e-7 of the radius.
func (t *tracer) turn(e ellipse, from, delta float64, to r2.Vec) {
	unit := e.matrix()
	whole := t.move.after(unit)
	round, det := roundness(whole)
	step := math.Pi / 8
	if round {
		step = math.Pi / 2
	}
	n := int(math.Max(1, math.Ceil(math.Abs(delta)/step-1e-9)))
	part := delta / float64(n)
	on := func(angle float64) r2.Vec {
		s, c := math.Sincos(angle)
		return r2.Vec{X: c, Y: s}
	}
	for i := range n {
		a, b := from+part*float64(i), from+part*float64(i+1)
		end := unit.point(on(b))
		if i == n-1 {
			end = to
		}
		if round {
			t.put(shape.Seg{Kind: shape.Arc, End: t.move.point(end), Bulge: math.Copysign(math.Tan(math.Abs(part)/4), part*det)}, end)
			continue
		}
		k := 4.0 / 3 * math.Tan(part/4)
		p, q := on(a), on(b)
		t.cubicTo(unit.point(r2.Vec{X: p.X - k*p.Y, Y: p.Y + k*p.X}), unit.point(r2.Vec{X: q.X + k*q.Y, Y: q.Y - k*q.X}), end)
	}
}

// roundness tells whether a transform takes circles to circles, and whether it turns them over (det < 0).
func roundness(m affine) (round bool, det float64) {
	u, v := r2.Vec{X: m[0], Y: m[1]}, r2.Vec{X: m[2], Y: m[3]}
	det = r2.Cross(u, v)
	size := math.Max(r2.Norm2(u), r2.Norm2(v))
	const same = 1e-9
	return math.Abs(r2.Norm2(u)-r2.Norm2(v)) <= same*size && math.Abs(r2.Dot(u, v)) <= same*size, det
}

// counts are how many numbers each command takes.
var counts = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// data follows path data (SVG 2, 9.3). Everything before a fault could be drawn, but half an outline
// would look like a whole one: a fault is an error.
func (t *tracer) data(text string) error {
	s := scanner{text: text}
	var command, before byte // upper case; before is the last one drawn
	relative, begun := false, false
	var bent r2.Vec // the last control point, for S and T
	for {
		s.blank()
		if s.at == len(text) {
			return nil
		}
		c := text[s.at]
		upper := c &^ 0x20
		_, letter := counts[upper]
		switch {
		case letter:
			command, relative = upper, c != upper
			s.at++
		case command == 0 || command == 'Z':
			return fmt.Errorf("the path data is not understood at its character %d: %q", s.at+1, short(text[s.at:]))
		case command == 'M':
			command = 'L' // further pairs after a move are lines
		}
		if !begun && command != 'M' {
			return fmt.Errorf("the path data begins with %q; a path begins with M", short(text))
		}
		begun = true
		v, err := t.arguments(&s, command)
		if err != nil {
			return err
		}
		bent = t.command(command, before, relative, v, bent)
		before = command
		if t.count > mostSegments {
			return fmt.Errorf("the path has more than %d segments", mostSegments)
		}
	}
}

// arguments reads the numbers of one command.
func (t *tracer) arguments(s *scanner, command byte) (v [7]float64, err error) {
	for i := range counts[command] {
		s.blank()
		ok := false
		if command == 'A' && (i == 3 || i == 4) {
			var set bool
			if set, ok = s.flag(); set {
				v[i] = 1
			}
		} else {
			v[i], ok = s.number()
		}
		if !ok {
			return v, fmt.Errorf("the path data is not understood at its character %d: %c wants %d numbers", s.at+1, command, counts[command])
		}
	}
	return v, nil
}

// command draws one command and returns the control point that a smooth one after it mirrors.
func (t *tracer) command(command, before byte, relative bool, v [7]float64, bent r2.Vec) r2.Vec {
	var from r2.Vec
	if relative {
		from = t.at
	}
	point := func(i int) r2.Vec { return r2.Vec{X: from.X + v[i], Y: from.Y + v[i+1]} }
	mirror := t.at // of the last control point, or the point itself after another command
	if command == 'S' && (before == 'C' || before == 'S') || command == 'T' && (before == 'Q' || before == 'T') {
		mirror = r2.Sub(r2.Scale(2, t.at), bent)
	}
	switch command {
	case 'M':
		t.moveTo(point(0))
	case 'L':
		t.lineTo(point(0))
	case 'H':
		t.lineTo(r2.Vec{X: from.X + v[0], Y: t.at.Y})
	case 'V':
		t.lineTo(r2.Vec{X: t.at.X, Y: from.Y + v[0]})
	case 'C':
		bent = point(2)
		t.cubicTo(point(0), bent, point(4))
	case 'S':
		bent = point(0)
		t.cubicTo(mirror, bent, point(2))
	case 'Q':
		bent = point(0)
		t.quadTo(bent, point(2))
	case 'T':
		bent = mirror
		t.quadTo(mirror, point(0))
	case 'A':
		t.arcTo(v[0], v[1], v[2]*math.Pi/180, v[3] == 1, v[4] == 1, point(5))
	case 'Z':
		t.close()
	}
	return bent
}
