package eval

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// outlines are the functions that make and change outlines and paths. Outlines are the show face
// seen from outside; x right, y up.
var outlines = []Function{
	{Name: "rect", Doc: "a rectangle; edges bottom, right, top, left", Params: lengths("width", "height"),
		Give: func(c *Call) Value { return c.shaped(shape.Rect(c.num(0, 0), c.num(1, 0))) }},
	{Name: "trapezoid", Doc: "the long edge below, the short one centred above it or shifted; edges long, right, short, left",
		Params: append(lengths("long", "short", "height"), Param{"shift", ALength, true}),
		Give: func(c *Call) Value {
			return c.shaped(shape.Trapezoid(c.num(0, 0), c.num(1, 0), c.num(2, 0), c.num(3, 0)))
		}},
	{Name: "polygon", Doc: "straight edges between points; edges e1, e2, …", Rest: Param{"point", APlace, false}, Give: polygon},
	{Name: "regular", Doc: "a regular polygon by its side, across flats or across corners; edges e1, e2, …",
		Params: []Param{{"n", ANumber, false}, {"side", ALength, true}, {"flats", ALength, true}, {"corners", ALength, true}}, Give: regular},
	{Name: "circle", Doc: "a circle; its edge is rim",
		Params: []Param{{"diameter", ALength, true}, {"radius", ALength, true}, {"at", APlace, true}}, Give: circle},
	{Name: "sector", Doc: "a piece of a ring, as a cone unrolls; edges outer, end, inner, start",
		Params: []Param{{"outer", ALength, false}, {"inner", ALength, true}, {"angle", AnAngle, false}},
		Give: func(c *Call) Value {
			return c.shaped(shape.Sector(c.num(0, 0), c.num(1, 0), c.num(2, 0)))
		}},
	{Name: "path", Doc: "points, arc(…) and curve(…) one after the other; closed where an outline is wanted", Rest: Param{"step", AStep, false}, Give: path},
	{Name: "arc", Doc: "a step of a path: a circular arc to a point, by radius, through a point, or by its bulge",
		Params: []Param{{"to", APlace, false}, {"radius", ALength, true}, {"through", APlace, true}, {"bulge", ANumber, true}}, Give: arc},
	{Name: "curve", Doc: "a step of a path: a Bézier curve with two control points",
		Params: []Param{{"c1", APlace, false}, {"c2", APlace, false}, {"to", APlace, false}}, Give: curve},
	{Name: "mirror", Doc: "the mirror image, left for right", Params: theOutline,
		Give: func(c *Call) Value { return c.each(shape.Outline.Mirror) }},
	{Name: "rotate", Doc: "turned counter-clockwise about the origin or a point",
		Params: []Param{{"outline", AnOutline, false}, {"angle", AnAngle, false}, {"about", APlace, true}},
		Give: func(c *Call) Value {
			return c.each(func(o shape.Outline) shape.Outline { return o.Rotate(c.num(1, 0), c.place(2).Vec) })
		}},
	{Name: "move", Doc: "moved by a distance (x, y)", Params: []Param{{"outline", AnOutline, false}, {"by", APlace, false}},
		Give: func(c *Call) Value {
			return c.each(func(o shape.Outline) shape.Outline { return o.Translate(c.place(1).Vec) })
		}},
	{Name: "offset", Doc: "grown outwards by a distance, or shrunk if it is negative; corners stay sharp",
		Params: []Param{{"outline", AnOutline, false}, {"distance", ALength, false}},
		Give: func(c *Call) Value {
			v := c.shaped(c.outline(0).Offset(c.num(1, 0))).(Outline)
			return Outline{v.Outline, c.outline(0).Holes}
		}},
	{Name: "fillet", Doc: "corners rounded with a radius: all, or those numbered (1 is where the first edge starts)",
		Params: []Param{{"outline", AnOutline, false}, {"radius", ALength, false}}, Rest: Param{"corner", ANumber, false},
		Give: corners(shape.Outline.Fillet)},
	{Name: "chamfer", Doc: "corners cut straight, that far along each edge: all, or those numbered",
		Params: []Param{{"outline", AnOutline, false}, {"size", ALength, false}}, Rest: Param{"corner", ANumber, false},
		Give: corners(shape.Outline.Chamfer)},
	{Name: "cut", Doc: "an outline with holes cut into it", Params: theOutline, Rest: Param{"hole", AnOutline, false}, Give: cut},
}

var theOutline = []Param{{"outline", AnOutline, false}}

func lengths(names ...string) []Param {
	var list []Param
	for _, n := range names {
		list = append(list, Param{Name: n, Want: ALength})
	}
	return list
}

func polygon(c *Call) Value {
	pts := make([]r2.Vec, len(c.rest))
	for i, b := range c.rest {
		pts[i] = b.value.(Point).Vec
	}
	return c.shaped(shape.Polygon(pts))
}

func regular(c *Call) Value {
	n := c.num(0, 0)
	if n != math.Trunc(n) || n < 3 || n > 1000 {
		fail(WrongValue, c.args[0].at, "Use circle for a round one", "a regular polygon has a whole number of sides from 3 to 1000")
	}
	size := []func(int, float64) float64{shape.CircumradiusFromSide, shape.FromAcrossFlats, shape.FromAcrossCorners}
	for i, toRadius := range size {
		if c.has(i + 1) {
			c.only(i+1, 1, 3)
			return c.shaped(shape.Regular(int(n), toRadius(int(n), c.num(i+1, 0))))
		}
	}
	fail(WrongArguments, c.At, "Use it as regular(n: 8, side: 90 mm), with flats: or corners: in place of side:", "regular needs a size")
	return nil
}

// only refuses a second one among parameters that exclude each other.
func (c *Call) only(given, from, to int) {
	for i := from; i <= to; i++ {
		if i != given && c.has(i) {
			fail(WrongArguments, c.args[i].at, "Take one of them out", "give %s or %s, not both", c.fn.Params[given].Name, c.fn.Params[i].Name)
		}
	}
}

func circle(c *Call) Value {
	d := c.num(0, 2*c.num(1, 0))
	if !c.has(0) && !c.has(1) {
		fail(WrongArguments, c.At, "Use it as circle(diameter: 5 mm)", "circle needs a diameter or a radius")
	}
	if c.has(0) {
		c.only(0, 0, 1)
	}
	v := c.shaped(shape.Circle(d)).(Outline)
	return Outline{Outline: v.Translate(c.place(2).Vec)}
}

// path walks its steps. A path that ends where it starts is still a path: where an outline is
// wanted it is closed.
func path(c *Call) Value {
	if len(c.rest) == 0 || !is[Point](c.rest[0].value) {
		fail(WrongArguments, c.At, "Use it as path((0 mm, 0 mm), (60 mm, 0 mm), arc(to: (0 mm, 40 mm), radius: 50 mm))", "a path starts at a point")
	}
	pen := shape.MoveTo(c.rest[0].value.(Point).Vec)
	for _, b := range c.rest[1:] {
		switch step := b.value.(type) {
		case Point:
			pen.LineTo(step.Vec)
		case PathItem:
			step.Step(pen)
		}
	}
	p, err := pen.Path()
	if err != nil {
		fail(BadShape, c.At, "A path is a starting point, then points, arc(…) and curve(…)", "path: %v", err)
	}
	return Path{p}
}

func arc(c *Call) Value {
	to := c.place(0).Vec
	switch {
	case c.has(1):
		c.only(1, 1, 3)
		r := c.num(1, 0) // a negative radius bends the other way, clockwise
		return PathItem{Step: func(pen *shape.Pen) { pen.ArcRadius(to, math.Abs(r), false, r > 0) }}
	case c.has(2):
		c.only(2, 1, 3)
		via := c.place(2).Vec
		return PathItem{Step: func(pen *shape.Pen) { pen.ArcThrough(to, via) }}
	case c.has(3):
		bulge := c.num(3, 0)
		return PathItem{Step: func(pen *shape.Pen) { pen.ArcTo(to, bulge) }}
	}
	fail(WrongArguments, c.At, "Use it as arc(to: (60 mm, 0 mm), radius: 50 mm), or with through: or bulge:", "an arc needs its radius, a point on it, or its bulge")
	return nil
}

func curve(c *Call) Value {
	c1, c2, to := c.place(0).Vec, c.place(1).Vec, c.place(2).Vec
	return PathItem{Step: func(pen *shape.Pen) { pen.CurveTo(c1, c2, to) }}
}

// each moves an outline with its holes.
func (c *Call) each(move func(shape.Outline) shape.Outline) Value {
	o := c.outline(0)
	out := Outline{Outline: move(o.Outline)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, move(h))
	}
	return out
}

// corners makes fillet and chamfer. Corners count from 1 for people, from 0 inside.
func corners(change func(shape.Outline, float64, ...int) (shape.Outline, error)) func(*Call) Value {
	return func(c *Call) Value {
		o := c.outline(0)
		var which []int
		for _, b := range c.rest {
			n, _ := plain(b.value)
			if n != math.Trunc(n) || n < 1 || int(n) > len(o.Edges) {
				fail(WrongValue, b.at, "Corner 1 is where the first edge starts; count on along the edges", "this outline has corners 1 to %d", len(o.Edges))
			}
			which = append(which, int(n)-1)
		}
		v := c.shaped(change(o.Outline, c.num(1, 0), which...)).(Outline)
		return Outline{v.Outline, o.Holes}
	}
}

func cut(c *Call) Value {
	o := c.outline(0)
	holes := append([]shape.Outline(nil), o.Holes...)
	for _, b := range c.rest {
		h := b.value.(Outline)
		if !o.ContainsOutline(h.Outline) {
			fail(BadShape, b.at, "Move it, or make it smaller", "this hole does not lie inside the outline")
		}
		holes = append(holes, h.Outline)
	}
	return Outline{o.Outline, holes}
}

// Closed reads a value where an outline is wanted: an outline, or a path that is closed by a
// straight edge if need be.
func Closed(v Value) (Outline, error) {
	switch v := v.(type) {
	case Outline:
		return v, nil
	case Path:
		o, err := shape.FromPath(v.Path, nil)
		return Outline{Outline: o}, err
	}
	return Outline{}, errNoOutline(v)
}

func errNoOutline(v Value) error {
	return fmt.Errorf("an outline is expected here, and this is %s", v.Type())
}
