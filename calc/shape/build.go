package shape

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rect is a rectangle of width w and height h with its lower left corner at the origin.
// Edges: bottom right top left.
func Rect(w, h float64) (Outline, error) {
	if err := errors.Join(size("width", w), size("height", h)); err != nil {
		return Outline{}, err
	}
	return polygon([]r2.Vec{{}, {X: w}, {X: w, Y: h}, {Y: h}}, []string{"bottom", "right", "top", "left"}), nil
}

// Trapezoid has its long edge at the bottom and, height above it, the short one: centred, then moved
// right by shift (negative: left). The lower left of its box is the origin.
// Edges: long right short left. The short edge may not be longer than the long one.
func Trapezoid(long, short, height, shift float64) (Outline, error) {
	err := errors.Join(size("long edge", long), size("short edge", short), size("height", height), shiftSize("shift", shift))
	if err != nil {
		return Outline{}, err
	}
	if short > long {
		return Outline{}, fmt.Errorf("the short edge, %s mm, is longer than the long one, %s mm", number(short), number(long))
	}
	x := (long-short)/2 + shift
	low := math.Max(0, -x)
	return polygon([]r2.Vec{{X: low}, {X: low + long}, {X: low + x + short, Y: height}, {X: low + x, Y: height}},
		[]string{"long", "right", "short", "left"}), nil
}

// Polygon joins the points by straight edges e1…en: e1 leads from the first point to the second.
// A point that repeats the one before it is left out. Points given clockwise are turned
// counter-clockwise, e1 staying the first edge and each edge keeping its name.
// Errors: fewer than three points, no area, edges that cross.
func Polygon(points []r2.Vec) (Outline, error) {
	if len(points) > maxSegments {
		return Outline{}, fmt.Errorf("the polygon has %d points; the most is %d", len(points), maxSegments)
	}
	var kept []r2.Vec
	for _, p := range points {
		if err := place(p); err != nil {
			return Outline{}, err
		}
		if len(kept) == 0 || dist(kept[len(kept)-1], p) > samePoint {
			kept = append(kept, p)
		}
	}
	for len(kept) > 1 && dist(kept[0], kept[len(kept)-1]) <= samePoint {
		kept = kept[:len(kept)-1]
	}
	if len(kept) < 3 {
		return Outline{}, fmt.Errorf("a polygon needs three different points; there are %d", len(kept))
	}
	return checked(polygon(kept, numbered(len(kept))))
}

// Regular is a regular polygon with n sides (3 to 1000), its corners circumradius from the origin,
// its first edge flat at the bottom. Edges: e1…en.
func Regular(n int, circumradius float64) (Outline, error) {
	if n < 3 || n > maxSides {
		return Outline{}, fmt.Errorf("a regular polygon has 3 to %d sides, not %d", maxSides, n)
	}
	if err := size("radius", circumradius); err != nil {
		return Outline{}, err
	}
	pts := make([]r2.Vec, n)
	for i := range pts {
		s, c := sincos(-math.Pi/2 + float64(2*i-1)*math.Pi/float64(n))
		pts[i] = r2.Vec{X: circumradius * c, Y: circumradius * s}
	}
	return polygon(pts, numbered(n)), nil
}

// CircumradiusFromSide is the circumradius of a regular n-gon with the side given: side/(2·sin(π/n)).
func CircumradiusFromSide(n int, side float64) float64 {
	return side / (2 * math.Sin(math.Pi/float64(n)))
}

// FromAcrossFlats is the circumradius of a regular n-gon that measures af from a flat to the other
// side: to the opposite flat if n is even, to the opposite corner if n is odd (there is no other flat).
func FromAcrossFlats(n int, af float64) float64 {
	in := math.Cos(math.Pi / float64(n)) // inradius over circumradius
	if n%2 == 1 {
		return af / (1 + in)
	}
	return af / (2 * in)
}

// FromAcrossCorners is the circumradius of a regular n-gon whose longest diagonal is ac: through the
// centre if n is even; if n is odd, between the two corners furthest apart, 2R·cos(π/2n).
// A triangle's longest "diagonal" is its side.
func FromAcrossCorners(n int, ac float64) float64 {
	if n%2 == 1 {
		return ac / (2 * math.Cos(math.Pi/float64(2*n)))
	}
	return ac / 2
}

// Circle is a circle of diameter d about the origin, drawn as two arcs. Edge: rim.
func Circle(d float64) (Outline, error) {
	if err := size("diameter", d); err != nil {
		return Outline{}, err
	}
	r := d / 2
	return Outline{Start: r2.Vec{X: r}, Edges: []Edge{{Name: "rim", Segs: []Seg{
		{Kind: Arc, End: r2.Vec{X: -r}, Bulge: 1}, {Kind: Arc, End: r2.Vec{X: r}, Bulge: 1},
	}}}}, nil
}

// Sector is the part of a ring between two radii that lies from angle 0 (the positive x axis)
// counter-clockwise to the angle sweep, in radians, more than 0 and less than a full turn; its centre
// is the origin. Edges: outer end inner start; with inner 0 there is no inner edge.
func Sector(outer, inner, sweep float64) (Outline, error) {
	if err := size("outer radius", outer); err != nil {
		return Outline{}, err
	}
	switch {
	case !finite(inner) || inner < 0:
		return Outline{}, errors.New("the inner radius must be 0 or more")
	case inner >= outer-samePoint:
		return Outline{}, fmt.Errorf("the inner radius, %s mm, must be less than the outer, %s mm", number(inner), number(outer))
	case !(sweep > leastShare) || sweep > 2*math.Pi-leastShare:
		return Outline{}, errors.New("the angle of a sector is more than 0° and less than 360°")
	}
	ring := func(r, from, to float64) []Seg {
		n := int(math.Ceil(math.Abs(to-from) / math.Pi)) // no arc above a half turn
		var segs []Seg
		for i := 1; i <= n; i++ {
			s, c := sincos(from + (to-from)*float64(i)/float64(n))
			segs = append(segs, Seg{Kind: Arc, End: r2.Vec{X: r * c, Y: r * s}, Bulge: math.Tan((to - from) / float64(4*n))})
		}
		return segs
	}
	s, c := sincos(sweep)
	o := Outline{Start: r2.Vec{X: outer}, Edges: []Edge{
		{Name: "outer", Segs: ring(outer, 0, sweep)},
		{Name: "end", Segs: []Seg{{End: r2.Vec{X: inner * c, Y: inner * s}}}},
	}}
	if inner > 0 {
		o.Edges = append(o.Edges, Edge{Name: "inner", Segs: ring(inner, sweep, 0)})
	}
	o.Edges = append(o.Edges, Edge{Name: "start", Segs: []Seg{{End: o.Start}}})
	return checked(o)
}

// FromPath makes an outline of a path, closing it with a straight edge if its ends differ. Each
// segment is an edge, e1…en or as named (one name for each edge, the closing one included, all
// different); segments without length are left out with their names. A clockwise path is turned
// like a clockwise Polygon.
func FromPath(p Path, names []string) (Outline, error) {
	if len(p.Segs) >= maxSegments {
		return Outline{}, fmt.Errorf("the path has %d segments; the most is %d", len(p.Segs), maxSegments)
	}
	if err := p.valid(); err != nil {
		return Outline{}, err
	}
	list := p.curves()
	if len(list) == 0 {
		return Outline{}, errors.New("a path needs at least two points")
	}
	if last := list[len(list)-1].End; dist(last, p.Start) > samePoint {
		list = append(list, curve{last, Seg{Kind: Line, End: p.Start}})
	}
	list[len(list)-1].End = p.Start
	if len(names) == 0 {
		names = numbered(len(list))
	}
	if err := namesFit(names, len(list)); err != nil {
		return Outline{}, err
	}
	o := Outline{Start: p.Start}
	for i, c := range list {
		if c.length() > samePoint {
			o.Edges = append(o.Edges, Edge{Name: names[i], Segs: []Seg{c.Seg}})
		}
	}
	return checked(o)
}

// valid refuses numbers that are none and arcs that do not exist.
func (p Path) valid() error {
	n := MoveTo(p.Start)
	for _, s := range p.Segs {
		switch s.Kind {
		case Arc:
			n.ArcTo(s.End, s.Bulge)
		case Cubic:
			n.CurveTo(s.C1, s.C2, s.End)
		default:
			n.LineTo(s.End)
		}
	}
	return n.err
}

func namesFit(names []string, edges int) error {
	if len(names) != edges {
		return fmt.Errorf("there are %d names for %d edges", len(names), edges)
	}
	seen := map[string]bool{}
	for _, n := range names {
		if n == "" {
			return errors.New("an edge has an empty name")
		}
		if seen[n] {
			return fmt.Errorf("two edges are named %s", n)
		}
		seen[n] = true
	}
	return nil
}

// checked turns an outline counter-clockwise and refuses one that is not simple.
func checked(o Outline) (Outline, error) {
	if len(o.Edges) == 0 {
		return Outline{}, errors.New("the outline has no length")
	}
	area, box := o.Area(), o.Bounds().Size()
	if math.Abs(area) <= leastShare*(box.X*box.X+box.Y*box.Y) {
		return Outline{}, errors.New("the outline encloses no area")
	}
	if area < 0 {
		o = o.reversed()
	}
	if err := o.IsSimple(); err != nil {
		return Outline{}, err
	}
	return o, nil
}

// reversed runs the other way round; the first edge stays the first, and names stay with their edges.
func (o Outline) reversed() Outline {
	n := len(o.Edges)
	corners := o.Corners()
	out := Outline{Start: corners[1%n], Edges: make([]Edge, 0, n)}
	for i := range n {
		k := (n - i) % n
		run := Path{Start: corners[k], Segs: o.Edges[k].Segs}.Reversed()
		out.Edges = append(out.Edges, Edge{Name: o.Edges[k].Name, Segs: run.Segs})
	}
	return out
}

// Reversed is the same path from its end to its start.
func (p Path) Reversed() Path {
	list := p.curves()
	if len(list) == 0 {
		return p
	}
	out := Path{Start: list[len(list)-1].End, Segs: make([]Seg, 0, len(list))}
	for i := len(list) - 1; i >= 0; i-- {
		out.Segs = append(out.Segs, list[i].reversed().Seg)
	}
	return out
}

// polygon joins points by straight named edges.
func polygon(pts []r2.Vec, names []string) Outline {
	o := Outline{Start: pts[0], Edges: make([]Edge, len(pts))}
	for i := range pts {
		o.Edges[i] = Edge{Name: names[i], Segs: []Seg{{Kind: Line, End: pts[(i+1)%len(pts)]}}}
	}
	return o
}

func numbered(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = "e" + strconv.Itoa(i+1)
	}
	return names
}
