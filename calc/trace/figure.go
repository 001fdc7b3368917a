package trace

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// lines draws the figure in mm.
func (f figure) lines() ([]Line, error) {
	t := &tracer{move: f.move}
	if err := basic[f.kind](f, t); err != nil {
		return nil, err
	}
	for i := range t.lines {
		l := &t.lines[i]
		// A line that ends where it starts is closed, whether its data says so or not.
		if n := len(l.Segs); n > 1 && r2.Norm(r2.Sub(l.Segs[n-1].End, l.Start)) < 1e-6 {
			l.Closed, l.Segs[n-1].End = true, l.Start
		}
	}
	return t.lines, nil
}

// basic are the figures with how they are drawn (SVG 2, 9 and 10.2 to 10.7).
var basic = map[string]func(figure, *tracer) error{
	"path": func(f figure, t *tracer) error { return t.data(f.attrs["d"]) },
	"rect": figure.rect,
	"circle": func(f figure, t *tracer) error {
		v, err := f.lengths("cx", "cy", "r")
		return t.ring(v[0], v[1], v[2], v[2], err)
	},
	"ellipse": func(f figure, t *tracer) error {
		v, err := f.lengths("cx", "cy", "rx", "ry")
		return t.ring(v[0], v[1], v[2], v[3], err)
	},
	"line": func(f figure, t *tracer) error {
		v, err := f.lengths("x1", "y1", "x2", "y2")
		t.moveTo(r2.Vec{X: v[0], Y: v[1]})
		t.lineTo(r2.Vec{X: v[2], Y: v[3]})
		return err
	},
	"polyline": func(f figure, t *tracer) error { return t.points(f.attrs["points"]) },
	"polygon": func(f figure, t *tracer) error {
		err := t.points(f.attrs["points"])
		t.close()
		return err
	},
}

// lengths reads attributes in the drawing's units: plain numbers, or px, which is the same.
func (f figure) lengths(names ...string) (v [6]float64, err error) {
	for i, name := range names {
		text := strings.TrimSpace(f.attrs[name])
		if text == "" {
			continue
		}
		s := scanner{text: text}
		x, ok := s.number()
		if unit := text[s.at:]; !ok || unit != "" && unit != "px" {
			return v, fmt.Errorf("its %s is %q: write it as a plain number", name, short(text))
		}
		v[i] = x
	}
	return v, nil
}

// ring draws a whole ellipse.
func (t *tracer) ring(cx, cy, rx, ry float64, err error) error {
	if err != nil {
		return err
	}
	if !(rx > 0 && ry > 0) {
		return fmt.Errorf("its radius is not above zero")
	}
	start := r2.Vec{X: cx + rx, Y: cy}
	t.moveTo(start)
	t.turn(ellipse{r2.Vec{X: cx, Y: cy}, rx, ry, 0}, 0, 2*math.Pi, start)
	t.close()
	return nil
}

// rect draws a rectangle, its corners rounded if it says so.
func (f figure) rect(t *tracer) error {
	v, err := f.lengths("x", "y", "width", "height", "rx", "ry")
	if err != nil {
		return err
	}
	x, y, w, h := v[0], v[1], v[2], v[3]
	if !(w > 0 && h > 0) {
		return fmt.Errorf("its width and height are not above zero")
	}
	rx, ry := v[4], v[5]
	if f.attrs["rx"] == "" {
		rx = ry
	}
	if f.attrs["ry"] == "" {
		ry = rx
	}
	rx, ry = math.Min(rx, w/2), math.Min(ry, h/2)
	at := func(dx, dy float64) r2.Vec { return r2.Vec{X: x + dx, Y: y + dy} }
	t.moveTo(at(rx, 0))
	t.lineTo(at(w-rx, 0))
	t.arcTo(rx, ry, 0, false, true, at(w, ry))
	t.lineTo(at(w, h-ry))
	t.arcTo(rx, ry, 0, false, true, at(w-rx, h))
	t.lineTo(at(rx, h))
	t.arcTo(rx, ry, 0, false, true, at(0, h-ry))
	t.lineTo(at(0, ry))
	t.arcTo(rx, ry, 0, false, true, at(rx, 0))
	t.close()
	return nil
}

// points follows the corners of a polyline or polygon.
func (t *tracer) points(text string) error {
	v, err := numbers(text)
	switch {
	case err != nil:
		return fmt.Errorf("its points: %w", err)
	case len(v) < 4 || len(v)%2 == 1:
		return fmt.Errorf("its points are %d numbers; pairs are wanted, two at least", len(v))
	case len(v) > 2*mostSegments:
		return fmt.Errorf("it has more than %d points", mostSegments)
	}
	t.moveTo(r2.Vec{X: v[0], Y: v[1]})
	for i := 2; i < len(v); i += 2 {
		t.lineTo(r2.Vec{X: v[i], Y: v[i+1]})
	}
	return nil
}

// place is the point that the figure marks.
func (f figure) place() (r2.Vec, error) {
	middle := map[string][]string{"circle": {"cx", "cy"}, "ellipse": {"cx", "cy"}, "rect": {"x", "y", "width", "height"}}
	if names := middle[f.kind]; names != nil {
		v, err := f.lengths(names...)
		return f.move.point(r2.Vec{X: v[0] + v[2]/2, Y: v[1] + v[3]/2}), err
	}
	lines, err := f.lines()
	if err != nil {
		return r2.Vec{}, err
	}
	if len(lines) == 0 {
		return r2.Vec{}, fmt.Errorf("it draws nothing")
	}
	return lines[0].Start, nil
}
