package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

// panel makes the panel of a face.
func (b *builder) panel(i int) Panel {
	f := b.Faces[i]
	p := Panel{Frame: frameOf(b.planes[i].n), Face: i, Name: f.Name, Wall: f.Wall, Sides: make([]Side, len(f.Loop))}
	for k := range f.Loop {
		p.Sides[k].Name = f.EdgeName(k)
		b.addCorners(&p, k)
	}
	if len(b.errs) > 0 {
		return p
	}
	b.clash(&p)
	if b.Inside {
		for j, c := range p.Corners {
			p.Corners[j].Show, p.Corners[j].Back = c.Back, c.Show
		}
	}
	b.measure(&p)
	low := r3.Vec{X: math.Inf(1), Y: math.Inf(1)}
	show := 0.0
	for _, c := range p.Corners {
		q := p.flat(c.Show)
		low.X, low.Y = min(low.X, q.X), min(low.Y, q.Y)
	}
	show = b.planes[i].d
	if b.Inside {
		show += f.Wall
	}
	p.Origin = r3.Add(r3.Scale(show, p.Normal), r3.Add(r3.Scale(low.X, p.X), r3.Scale(low.Y, p.Y)))
	return p
}

// addCorners adds the corners of a panel at corner k of its face.
func (b *builder) addCorners(p *Panel, k int) {
	n := len(p.Sides)
	before, after := b.moves[p.Face][(k+n-1)%n], b.moves[p.Face][k]
	c := corner{p.Face, k}
	given := b.Points[b.Faces[p.Face].Loop[k]]
	moved := b.skin[p.Face][k]
	if !before.plain || !after.plain || !b.allPlain(c) {
		g, ok1 := b.own(c, false, false)
		m, ok2 := b.own(c, true, false)
		if !ok1 || !ok2 {
			b.straight(c)
			return
		}
		given, moved = g, []r3.Vec{m}
	}
	for j, q := range moved {
		side := -1
		if j == len(moved)-1 {
			side = k
		}
		p.Corners = append(p.Corners, Corner{Show: given, Back: q, Side: side})
	}
}

// allPlain tells whether all edges round a corner's point are cut as the skin is, so that its small
// edges there are right.
func (b *builder) allPlain(c corner) bool {
	if len(b.skin[c.face][c.at]) == 1 {
		return true
	}
	for at := c; ; {
		if !b.moves[at.face][at.at].plain {
			return false
		}
		next, ok := b.Shell.after(at, b.twin)
		if !ok {
			return false
		}
		if next == c {
			return true
		}
		at = next
	}
}

// measure fills in the sides of a panel.
func (b *builder) measure(p *Panel) {
	for j, c := range p.Corners {
		if c.Side < 0 {
			continue
		}
		m := b.moves[p.Face][c.Side]
		next := p.Corners[(j+1)%len(p.Corners)]
		β := 0.0
		if d := b.depth[p.Face]; d != 0 {
			β = math.Atan((m.moved - m.given) / d)
		}
		s := Side{
			Name: b.Faces[p.Face].EdgeName(c.Side), Bevel: β, CutWidth: p.Wall / math.Cos(β), Meets: m.to,
			Length: r3.Norm(r3.Sub(next.Show, c.Show)), BackLength: r3.Norm(r3.Sub(next.Back, c.Back)),
		}
		if m.open {
			s.Meets = Edge{Face: -1}
		}
		p.Sides[c.Side] = s
	}
}

// clash reports bevels that meet in the thickness of a panel.
func (b *builder) clash(p *Panel) {
	f := b.Faces[p.Face]
	n := len(f.Loop)
	first, worst := -1, 1.0
	for j, c := range p.Corners {
		if c.Side < 0 {
			continue
		}
		from, to := b.ends(Edge{p.Face, c.Side})
		along := r3.Unit(r3.Sub(b.Points[to], b.Points[from]))
		next := p.Corners[(j+1)%len(p.Corners)]
		long, left := r3.Dot(along, r3.Sub(next.Show, c.Show)), r3.Dot(along, r3.Sub(next.Back, c.Back))
		at := 1.0
		switch {
		case long < leastEdge:
			at = 0
		case left < leastEdge:
			at = long / (long - left)
		default:
			continue
		}
		if first < 0 || at < worst {
			first, worst = c.Side, at
		}
	}
	hit := &Clash{Face: f.Name}
	switch {
	case first >= 0:
		before, after := (first+n-1)%n, (first+1)%n
		hit.Edges = [2]string{f.EdgeName(before), f.EdgeName(after)}
		hit.At = b.Points[f.Loop[first]]
	default:
		i, j, at, ok := p.crossing()
		if !ok {
			return
		}
		worst = at
		hit.Edges = [2]string{f.EdgeName(i), f.EdgeName(j)}
		hit.At = b.Points[f.Loop[i]]
	}
	hit.Depth = worst * p.Wall
	b.errs = append(b.errs, hit)
}

// crossing finds two sides of a panel that cross on its moved side, and the share of the wall at which
// they first meet.
func (p *Panel) crossing() (i, j int, at float64, ok bool) {
	ring := p.ring(1)
	if ring.convex() && p.ring(0).convex() {
		return 0, 0, 0, false
	}
	find := func(f float64) (a, b int, hit bool) {
		o := p.outlineAt(p.ring(f))
		err := o.IsSimple()
		if err == nil && o.Area() > 0 {
			return 0, 0, false
		}
		if c, is := err.(*shape.Crossing); is {
			return o.EdgeIndex(c.Edges[0]), o.EdgeIndex(c.Edges[1]), true
		}
		return 0, len(p.Sides) / 2, true
	}
	i, j, ok = find(1)
	if !ok {
		return 0, 0, 0, false
	}
	lo, hi := 0.0, 1.0
	for range 32 {
		mid := (lo + hi) / 2
		if a, b, hit := find(mid); hit {
			i, j, hi = a, b, mid
		} else {
			lo = mid
		}
	}
	return i, j, hi, true
}

// ring is the corners of a panel in its plane at a share of the way from the show to the back side.
func (p *Panel) ring(f float64) polygon {
	list := make(polygon, len(p.Corners))
	for k, c := range p.Corners {
		list[k] = p.flat(r3.Add(c.Show, r3.Scale(f, r3.Sub(c.Back, c.Show))))
	}
	return list
}

// outlineAt makes an outline of a ring of the panel's corners; a small cut counts to the edge before it.
func (p *Panel) outlineAt(ring polygon) shape.Outline {
	n, first := len(ring), 0
	for first < n && p.Corners[first].Side != 0 {
		first++
	}
	o := shape.Outline{Start: ring[first], Edges: make([]shape.Edge, len(p.Sides))}
	side := 0
	for k := range n {
		i := (first + k) % n
		if p.Corners[i].Side >= 0 {
			side = p.Corners[i].Side
		}
		a, b := ring[i], ring[(i+1)%n]
		if k == n-1 {
			b = o.Start
		}
		e := &o.Edges[side]
		e.Name = p.Sides[side].Name
		if len(e.Segs) == 0 || r2.Norm(r2.Sub(b, a)) > samePoint {
			e.Segs = append(e.Segs, shape.Seg{End: b})
		}
	}
	return o
}

// At is the outline of a panel's section at a depth from its show side, 0 to Wall, in its frame, with
// the names of its edges. It is exact: all corners move on straight lines.
func (p *Panel) At(depth float64) shape.Outline {
	f := 0.0
	if p.Wall > 0 {
		f = depth / p.Wall
	}
	return p.outlineAt(p.ring(f))
}

// Bevels are the bevels of a panel's sides, in radians, as part.Figure and outlines want them.
func (p *Panel) Bevels() []float64 {
	list := make([]float64, len(p.Sides))
	for i, s := range p.Sides {
		list[i] = s.Bevel
	}
	return list
}

// Ends are the two corners of a side: where it begins, and where the next begins.
func (p *Panel) Ends(side int) (from, to Corner) {
	for i, c := range p.Corners {
		if c.Side == side {
			return c, p.Corners[(i+1)%len(p.Corners)]
		}
	}
	return from, to
}
