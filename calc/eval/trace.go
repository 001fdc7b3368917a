package eval

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/finding"
	"bevelbook/calc/shape"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/trace"
)

// traces are the functions that read drawings from files.
var traces = []Function{
	{Name: "trace", Doc: "an outline from an SVG that you drew: trace(\"traces/cheek.svg#plate\"); scale: is the true distance of the points named by from: and to:",
		Params: []Param{{"file", AText, false}, {"scale", ALength, true}, {"from", AText, true}, {"to", AText, true}}, Give: traced},
}

// tracedCorner is how far a traced line must turn at once to begin a new edge.
const tracedCorner = 20 * math.Pi / 180

// traced reads a figure or a group of an SVG: its largest closed line is the outline, closed lines
// inside are its holes; a single open line is a path. It lies where it was drawn, in mm from the lower
// left corner of the page, so that things traced from one file keep their places.
func traced(c *Call) Value {
	name := string(c.args[0].value.(Text))
	path, id, ok := strings.Cut(name, "#")
	if !ok || id == "" {
		fail(WrongArguments, c.args[0].at, "Write the file, # and the id of the line in it, as in \"traces/cheek.svg#plate\"", "trace needs to know which line of %s is meant", path)
	}
	d := c.drawing(path)
	lines, left, err := d.Lines(id)
	if err != nil {
		c.noTrace(err, c.args[0].at, path+"#"+id)
	}
	k := c.traceScale(d, path)
	for i := range lines {
		lines[i].Path = lines[i].Path.Scale(k)
	}
	value, more := c.tracedShape(lines)
	c.passedOver(slices.Concat(left, more, d.Left()), path, d.Sized() || c.has(1))
	return value
}

// drawing reads the file.
func (c *Call) drawing(path string) *trace.Drawing {
	data, err := c.ev.p.read(c.ev.n, path)
	if errors.Is(err, ErrNoFile) {
		fail(NoTrace, c.args[0].at, "Write its path from the journal's folder, as in traces/cheek.svg", "there is no file %s", path)
	}
	var d *trace.Drawing
	if err == nil {
		d, err = trace.Read(data)
	}
	if err != nil {
		fail(NoTrace, c.args[0].at, "Save the drawing as plain SVG", "%s cannot be read: %v", path, err)
	}
	return d
}

// noTrace fails with what kept a line from being read.
func (c *Call) noTrace(err error, at source.Span, what string) {
	var unknown *trace.Unknown
	if !errors.As(err, &unknown) {
		fail(NoTrace, at, "Draw it as a path, a basic shape or a group of them", "%s cannot be traced: %v", what, err)
	}
	const most = 8
	help := "Give the line an id in the drawing"
	if near := spell.Nearest(unknown.ID, unknown.Names); near != "" {
		help = "Did you mean " + near + "?"
	} else if n := len(unknown.Names); n > 0 {
		help = "Its ids are " + strings.Join(unknown.Names[:min(n, most)], ", ")
	}
	fail(NoTrace, at, help, "%s cannot be traced: %v", what, err)
}

// traceScale is how much larger the traced line is than drawn: the true distance of two points over
// the one in the drawing.
func (c *Call) traceScale(d *trace.Drawing, path string) float64 {
	if !c.has(1) && !c.has(2) && !c.has(3) {
		return 1
	}
	if !c.has(1) || !c.has(2) || !c.has(3) {
		fail(WrongArguments, c.At, "Write scale: with the true distance, and from: and to: with the ids of two points in the drawing", "scale, from and to go together")
	}
	var ends [2]r2.Vec
	for i := range ends {
		arg := c.args[2+i]
		id := string(arg.value.(Text))
		p, err := d.Point(id)
		if err != nil {
			c.noTrace(err, arg.at, path+"#"+id)
		}
		ends[i] = p
	}
	drawn, measured := r2.Norm(r2.Sub(ends[1], ends[0])), c.num(1, 0)
	if !(drawn > 1e-6) || !(measured > 0) {
		fail(WrongArguments, c.args[1].at, "Mark two places whose distance you measured", "a scale needs two different points and a distance above zero")
	}
	return measured / drawn
}

// tracedShape makes a value of the lines: an outline with holes, or a path.
func (c *Call) tracedShape(lines []trace.Line) (v Value, left []string) {
	var closed []shape.Outline
	var open []shape.Path
	for _, l := range lines {
		if !l.Closed {
			open = append(open, l.Path)
			continue
		}
		o, err := shape.FromPath(l.Path, nil)
		if err != nil {
			fail(BadShape, c.At, "An outline goes round once and does not cross itself; mend it in the drawing", "the traced line cannot be cut: %v", err)
		}
		closed = append(closed, o.Joined(tracedCorner))
	}
	if len(closed) == 0 {
		if len(open) > 1 {
			left = append(left, fmt.Sprintf("%d further open lines", len(open)-1))
		}
		return Path{open[0]}, left
	}
	if len(open) > 0 {
		left = append(left, fmt.Sprintf("%d open lines beside the outline", len(open)))
	}
	slices.SortStableFunc(closed, func(a, b shape.Outline) int {
		switch x, y := a.Area(), b.Area(); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	for _, h := range closed[1:] {
		if !closed[0].ContainsOutline(h) {
			fail(BadShape, c.At, "Trace one of them by its own id", "it holds two outlines of which neither lies inside of the other")
		}
	}
	return Outline{Outline: closed[0], Holes: closed[1:]}, left
}

// passedOver notes what of a drawing was not read, and a drawing without a size.
func (c *Call) passedOver(left []string, path string, sized bool) {
	note := func(help, format string, args ...any) {
		f := Err(TracedPartly, c.args[0].at, help, format, args...)
		f.Severity = finding.Mind
		c.ev.n.worked = append(c.ev.n.worked, f)
	}
	const most = 5
	if n := len(left); n > most {
		left = append(left[:most:most], fmt.Sprintf("%d more", n-most))
	}
	if len(left) > 0 {
		note("Turn it into plain lines in the drawing, or leave it: what was read is right", "not all of %s was read: %s", path, strings.Join(left, "; "))
	}
	if !sized {
		note("Set the page of the drawing in mm, or give scale:, from: and to:", "%s says no real size: its units count as 1/96 in", path)
	}
}
