package shape

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Collision says which two edges stand in each other's way first when the edges of an outline are
// moved: their bevels meet, or (Apart) the two were neighbours and no longer meet.
type Collision struct {
	Edges    [2]string // the same name twice where an edge closes up on itself
	Fraction float64   // of the full run, 0 to 1, at which it happens
	Apart    bool
}

// percentSlack keeps a meeting at exactly half, found from below by bisection, from being told as 49 %.
const percentSlack = 1e-3

// Error is a sentence about bevels, whose full run is reached at the back of the thickness.
func (c *Collision) Error() string {
	percent := fmt.Sprintf("%.0f%% of the thickness", math.Floor(100*c.Fraction+percentSlack))
	switch {
	case c.Edges[0] == c.Edges[1]:
		return fmt.Sprintf("the bevel on %s closes up at %s", c.Edges[0], percent)
	case c.Apart:
		return fmt.Sprintf("bevels on %s and %s, neighbours almost in line, no longer meet at %s", c.Edges[0], c.Edges[1], percent)
	}
	return fmt.Sprintf("bevels on %s and %s meet at %s", c.Edges[0], c.Edges[1], percent)
}

// Smooth says that two edges meet without a corner although their runs differ, so that there is no
// point at which the moved edges meet.
type Smooth struct{ Edges [2]string }

// Error is a sentence with both names.
func (s *Smooth) Error() string {
	return fmt.Sprintf("the edges %s and %s meet without a corner, so they need the same bevel", s.Edges[0], s.Edges[1])
}

// Offset moves every edge outwards by d mm (inwards if d is negative). Corners stay sharp: they are
// where the moved edges meet. It fails where edges would meet, as OffsetEdges does.
func (o Outline) Offset(d float64) (Outline, error) {
	run := make([]float64, len(o.Edges))
	for i := range run {
		run[i] = -d
	}
	out, err := o.OffsetEdges(run)
	if hit := (*Collision)(nil); errors.As(err, &hit) {
		return Outline{}, fmt.Errorf("an offset of %s mm is too much: the edges %s and %s meet at %s mm",
			number(d), hit.Edges[0], hit.Edges[1], number(d*hit.Fraction))
	}
	return out, err
}

// OffsetEdges is the back outline: each edge i is moved inwards by run[i] mm (outwards if negative),
// and the corners are where the moved edges meet. The edges, their order and names stay.
//
// Lines stay lines, arcs arcs about the same centre; a cubic becomes cubics within 0.01 mm of its true
// parallel, with a straight end along its tangent where it must reach further than it did.
// Errors: *Collision if the result would not be a simple outline with every edge in its direction;
// *Smooth if two edges meet without a corner and their runs differ; others for runs that are no
// lengths or not one for each edge.
func (o Outline) OffsetEdges(run []float64) (Outline, error) {
	if len(run) != len(o.Edges) {
		return Outline{}, fmt.Errorf("there are %d runs for %d edges", len(run), len(o.Edges))
	}
	still := true
	for i, r := range run {
		if err := shiftSize("run of edge "+o.Edges[i].Name, r); err != nil {
			return Outline{}, err
		}
		still = still && r == 0
	}
	if still {
		return o, nil
	}
	list, edge, err := o.solid()
	if err != nil {
		return Outline{}, err
	}
	m := mover{o, list, edge, run}
	if err := m.smoothFit(); err != nil {
		return Outline{}, err
	}
	out, hit, err := m.moved(1)
	if err != nil || hit == nil {
		return out, err
	}
	return Outline{}, m.first(*hit)
}

// solid are the curves that have a length, with their edges.
func (o Outline) solid() (list []curve, edge []int, err error) {
	all, of := o.curves()
	if len(all) > maxSegments {
		return nil, nil, fmt.Errorf("the outline has %d segments; the most that is moved is %d", len(all), maxSegments)
	}
	seen := make([]bool, len(o.Edges))
	for i, c := range all {
		if c.length() > samePoint {
			list, edge = append(list, c), append(edge, of[i])
			seen[of[i]] = true
		}
	}
	for i, ok := range seen {
		if !ok {
			return nil, nil, fmt.Errorf("the edge %s has no length", o.Edges[i].Name)
		}
	}
	if len(list) < 2 {
		return nil, nil, errors.New("an outline needs two segments at least")
	}
	return list, edge, nil
}

// mover moves the edges of one outline.
type mover struct {
	o    Outline
	list []curve
	edge []int // of each curve
	run  []float64
}

func (m mover) name(seg int) string {
	n := len(m.edge)
	return m.o.Edges[m.edge[(seg+n)%n]].Name
}

// smoothFit refuses joints without a corner whose runs differ.
func (m mover) smoothFit() error {
	for k, next := range m.list {
		j := (k + len(m.list) - 1) % len(m.list)
		if smooth(m.list[j], next) && math.Abs(m.run[m.edge[j]]-m.run[m.edge[k]]) > equalRun {
			return &Smooth{[2]string{m.name(j), m.name(k)}}
		}
	}
	return nil
}

// smooth tells whether b goes on in a's direction.
func smooth(a, b curve) bool {
	u, v := a.tangent(1), b.tangent(0)
	return r2.Dot(u, v) > 0 && math.Abs(r2.Cross(u, v)) <= smoothJoint
}

// pair are two segments that stand in each other's way, or that should meet and are apart.
type pair struct {
	a, b  int
	apart bool
}

// first finds by halving the fraction of the run at which the edges first meet. The pair is the one
// found at the full run; just past the first meeting it may be another.
func (m mover) first(hit pair) *Collision {
	steps := 32
	if len(m.list) > 2000 {
		steps = 14
	}
	lo, hi := 0.0, 1.0
	for range steps {
		mid := (lo + hi) / 2
		_, at, err := m.moved(mid)
		switch {
		case err != nil:
			// Too tangled to check there: what is known must do.
			return m.collision(hit, hi)
		case at == nil:
			lo = mid
		default:
			hi, hit = mid, *at
		}
	}
	return m.collision(hit, hi)
}

func (m mover) collision(hit pair, fraction float64) *Collision {
	return &Collision{Edges: [2]string{m.name(hit.a), m.name(hit.b)}, Fraction: fraction, Apart: hit.apart}
}

// moved moves the edges by a fraction of their runs. The pair is not nil if they meet before.
func (m mover) moved(fraction float64) (Outline, *pair, error) {
	n := len(m.list)
	rails := make([]*rail, n)
	for i, c := range m.list {
		rails[i] = newRail(c, fraction*m.run[m.edge[i]])
		if rails[i].gone {
			return Outline{}, m.around(i), nil
		}
	}
	for k := range rails {
		j := (k + n - 1) % n
		if !meetAt(rails[j], rails[k]) {
			return Outline{}, &pair{a: j, b: k, apart: true}, nil
		}
	}
	out := Outline{Start: rails[0].start.at, Edges: make([]Edge, len(m.o.Edges))}
	for i, e := range m.o.Edges {
		out.Edges[i].Name = e.Name
	}
	for i, r := range rails {
		segs := r.trimmed()
		if segs == nil {
			return Outline{}, m.around(i), nil
		}
		e := &out.Edges[m.edge[i]]
		e.Segs = append(e.Segs, segs...)
	}
	return m.sound(out)
}

// sound holds a moved outline against its terms: simple, counter-clockwise and of a drawable size.
func (m mover) sound(out Outline) (Outline, *pair, error) {
	list, edge := out.curves()
	box := out.Bounds()
	for _, p := range []r2.Vec{box.Min, box.Max} {
		if !(r2.Norm(p) < 10*maxSize) {
			return Outline{}, nil, errors.New("the moved edges meet too far away to draw")
		}
	}
	i, j, _, err := crossing(out, list)
	switch {
	case err != nil:
		return Outline{}, nil, err
	case i >= 0:
		return Outline{}, &pair{a: m.some(edge[i]), b: m.some(edge[j])}, nil
	case out.Area() <= 0:
		return Outline{}, &pair{a: 0, b: len(m.list) / 2}, nil
	}
	return out, nil, nil
}

// some is a segment of the edge.
func (m mover) some(edge int) int {
	for i, e := range m.edge {
		if e == edge {
			return i
		}
	}
	return 0
}

// around are the neighbours of a segment that has vanished: it is they that meet. Where they are one
// edge, it is the vanished one that meets it.
func (m mover) around(i int) *pair {
	n := len(m.list)
	before, after := (i+n-1)%n, (i+1)%n
	if m.edge[before] == m.edge[after] {
		before = i
	}
	return &pair{a: before, b: after}
}
