package shape

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Contains tells whether p lies inside the outline or within a millionth of a millimetre of it.
func (o Outline) Contains(p r2.Vec) bool {
	return o.winding(p) != 0 || o.touches(p)
}

// ContainsOutline tells whether other lies inside the outline, its boundary nowhere outside or across;
// it may touch from inside, as far as chords that stray by a micrometre can tell. Of two outlines so
// long and tangled that the answer would take many seconds, it says no.
func (o Outline) ContainsOutline(other Outline) bool {
	if !within(o.Bounds(), other.Bounds()) {
		return false
	}
	here := newBands(o)
	walls := newChords(flatten(o.Start, here.list, here.flat))
	pts := other.Flatten(here.flat)
	for i, p := range pts {
		// Between two walls that a chord passes it is wholly inside or wholly outside.
		q := pts[(i+1)%len(pts)]
		stops := append(walls.passed(p, q), 0, 1)
		slices.Sort(stops)
		if here.work+walls.work > tooManyPairs {
			return false
		}
		for k := range stops[1:] {
			if m := lerp(p, q, (stops[k]+stops[k+1])/2); here.winding(m) == 0 && !here.touches(m) {
				return false
			}
		}
	}
	return true
}

// passed are the places, 0 to 1, at which the way from p to q passes a chord.
func (c *chords) passed(p, q r2.Vec) []float64 {
	var out []float64
	box, u := boxOf(p, q), r2.Sub(q, p)
	var look func(node int)
	look = func(node int) {
		c.work++
		if c.empty(node) || apart(box, c.boxes[node], samePoint) {
			return
		}
		if !c.leaf(node) {
			look(2 * node)
			look(2*node + 1)
			return
		}
		for i := c.spans[node][0]; i < c.spans[node][1]; i++ {
			a, b := c.pts[i], c.pts[i+1]
			if x, ok := linesMeet(p, u, a, r2.Sub(b, a)); ok && touch(p, q, a, b) {
				out = append(out, unitRange(r2.Dot(r2.Sub(x, p), u)/r2.Norm2(u)))
			}
		}
	}
	look(1)
	return out
}

// bands sort an outline's curves by the heights that they pass, so that a point asks only those on
// its level.
type bands struct {
	list   []curve
	low    float64
	height float64
	flat   float64 // chord error that suits the outline's size
	of     [][]int32
	work   int // curves asked
}

func newBands(o Outline) *bands {
	const most = 512
	list, _ := o.curves()
	box := o.Bounds()
	n := min(most, 1+len(list)/4)
	b := &bands{list: list, low: box.Min.Y, height: box.Size().Y / float64(n), of: make([][]int32, n)}
	b.flat = math.Max(checkFlat, checkShare*(box.Size().X+box.Size().Y))
	for i, c := range list {
		span := c.bounds()
		for k := b.band(span.Min.Y - 2*b.flat); k <= b.band(span.Max.Y+2*b.flat); k++ {
			b.of[k] = append(b.of[k], int32(i))
		}
	}
	return b
}

func (b *bands) band(y float64) int {
	if b.height <= 0 {
		return 0
	}
	return int(math.Max(0, math.Min(float64(len(b.of)-1), (y-b.low)/b.height)))
}

func (b *bands) winding(p r2.Vec) int {
	sum, level := 0, b.of[b.band(p.Y)]
	b.work += len(level)
	for _, i := range level {
		sum += b.list[i].winding(p)
	}
	return sum
}

// touches tells whether the boundary is as near as two chord errors.
func (b *bands) touches(p r2.Vec) bool {
	level := b.of[b.band(p.Y)]
	b.work += len(level)
	for _, i := range level {
		if b.list[i].distance(p, 3*b.flat) <= 2*b.flat {
			return true
		}
	}
	return false
}

// within tells whether the box inner lies in outer, or over its edge by a rounding.
func within(outer, inner r2.Box) bool {
	return inner.Min.X >= outer.Min.X-onEdge && inner.Min.Y >= outer.Min.Y-onEdge &&
		inner.Max.X <= outer.Max.X+onEdge && inner.Max.Y <= outer.Max.Y+onEdge
}

// winding is how often the outline runs around p, counter-clockwise positive: 1 inside, 0 outside.
// It counts the chords that cross the level of p to its right, and for curves whether p lies between
// the curve and its chord.
func (o Outline) winding(p r2.Vec) int {
	sum := 0
	list, _ := o.curves()
	for _, c := range list {
		sum += c.winding(p)
	}
	return sum
}

func (c curve) winding(p r2.Vec) int {
	switch {
	case c.Kind == Cubic:
		return cubicWinding(c, p, 0)
	case c.Kind == Arc && c.Bulge != 0:
		return crossingsAt(c.from, c.End, p) + c.arcWinding(p)
	}
	return crossingsAt(c.from, c.End, p)
}

// crossingsAt is 1 if the chord from a to b passes the level of p upwards to the right of p, -1 if
// downwards, else 0 (the winding number of a polygon, by its half-open edges).
func crossingsAt(a, b, p r2.Vec) int {
	switch {
	case a.Y <= p.Y && b.Y > p.Y && toLeft(a, b, p):
		return 1
	case b.Y <= p.Y && a.Y > p.Y && !toLeft(a, b, p):
		return -1
	}
	return 0
}

// toLeft tells whether p lies to the left of the line from a to b. A point on it is taken as if it
// stood a trace higher, and a smaller trace to the right: the same everywhere, so that curves and
// chords agree about it.
func toLeft(a, b, p r2.Vec) bool {
	d := r2.Sub(b, a)
	switch cross := r2.Cross(d, r2.Sub(p, a)); {
	case cross != 0:
		return cross > 0
	case d.X != 0:
		return d.X > 0
	}
	return d.Y < 0
}

// arcWinding is the sign of the arc if p lies between the arc and its chord.
func (c curve) arcWinding(p r2.Vec) int {
	if toLeft(c.from, c.End, p) == (c.Bulge > 0) {
		return 0
	}
	// The arc is seen from p under more than its own inscribed angle exactly when p lies within the
	// circle; asked without the centre, so that flat arcs need no large numbers.
	u, v := r2.Sub(c.from, p), r2.Sub(c.End, p)
	if math.Abs(math.Atan2(r2.Cross(u, v), r2.Dot(u, v))) <= math.Pi-math.Abs(c.sweep())/2 {
		return 0
	}
	return int(math.Copysign(1, c.Bulge))
}

// cubicWinding halves the curve until p lies outside the box of its control points, where the chord
// and the curve are the same to it.
func cubicWinding(c curve, p r2.Vec, depth int) int {
	const deepest = 40
	hull := join(boxOf(c.from, c.C1), boxOf(c.C2, c.End))
	if depth == deepest || apart(hull, r2.Box{Min: p, Max: p}, 0) {
		return crossingsAt(c.from, c.End, p)
	}
	a, b := c.split(0.5)
	return cubicWinding(a, p, depth+1) + cubicWinding(b, p, depth+1)
}

// touches tells whether p lies on the boundary.
func (o Outline) touches(p r2.Vec) bool {
	list, _ := o.curves()
	for _, c := range list {
		if c.distance(p, 2*onEdge) <= onEdge {
			return true
		}
	}
	return false
}

// distance is the lesser of best and the distance of p from the curve.
func (c curve) distance(p r2.Vec, best float64) float64 {
	best = math.Min(best, math.Min(dist(p, c.from), dist(p, c.End)))
	switch {
	case c.Kind == Cubic:
		return c.cubicDistance(p, best)
	case c.round():
		centre, r := c.circle()
		t := turn(centre, c.from, p) / c.sweep()
		if t < 0 {
			t += 2 * math.Pi / math.Abs(c.sweep())
		}
		if t <= 1 {
			best = math.Min(best, math.Abs(dist(p, centre)-r))
		}
		return best
	}
	d := c.chord()
	if t := r2.Dot(r2.Sub(p, c.from), d); t > 0 && t < r2.Norm2(d) {
		best = math.Min(best, math.Abs(r2.Cross(d, r2.Sub(p, c.from)))/r2.Norm(d))
	}
	return best
}

// cubicDistance leaves out halves whose control points' box is further away than the best.
func (c curve) cubicDistance(p r2.Vec, best float64) float64 {
	hull := join(boxOf(c.from, c.C1), boxOf(c.C2, c.End))
	x := math.Max(0, math.Max(hull.Min.X-p.X, p.X-hull.Max.X))
	y := math.Max(0, math.Max(hull.Min.Y-p.Y, p.Y-hull.Max.Y))
	if math.Hypot(x, y) >= best {
		return best
	}
	if c.pieces(onEdge/4) == 1 {
		return curve{c.from, Seg{Kind: Line, End: c.End}}.distance(p, best)
	}
	a, b := c.split(0.5)
	best = math.Min(best, dist(p, a.End))
	if dist(p, a.from) > dist(p, b.End) {
		a, b = b, a
	}
	return b.cubicDistance(p, a.cubicDistance(p, best))
}
