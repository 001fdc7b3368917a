package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

// Options say how the edges of a shell are cut. The zero Options mitre every seam and cut rims square.
type Options struct {
	// Flat is how far a corner may lie off its face's plane, mm; 0 means the constant Flat.
	Flat float64
	// Through tells whether two faces that meet are butted and which of them runs through: it keeps its
	// width and covers the other's end. nil mitres all seams.
	Through func(a, b int) (through int, butt bool)
	// Rim is the bevel of an edge at an opening, or level: flush with the plane of the opening. nil cuts
	// all rims square.
	Rim func(e Edge) (bevel float64, level bool)
}

// Body is a shell worked out.
type Body struct {
	*Shell
	Panels []Panel // of the faces that are no openings, in their order
	Seams  []Seam  // in the order of their first faces and edges
	Rims   []Edge  // edges of panels with no panel beyond
	panel  []int   // of each face, -1 for openings
	// The outside and the inside of the walls, a loop of corners for each face, openings too.
	outer, inner [][]r3.Vec
}

// Panel is the foam of one face: its show and back side lie in two planes, Wall apart.
type Panel struct {
	Frame         // Origin is the lower left of the show side's box
	Face  int     // of the shell
	Name  string  // the face's
	Wall  float64 // mm
	// Corners are the corners of both sides, counter-clockwise seen from outside, each on the back
	// behind its like on the show side.
	Corners []Corner
	Sides   []Side // one for each edge of the face, in its order
}

// Corner is a corner of a panel's show side and the one of its back side behind it.
type Corner struct {
	Show, Back r3.Vec
	// Side is the side of the panel that begins here. -1: a small cut of no width on one of the two
	// faces, where more than three panels come to a point that is not regular; it counts to the side
	// before it.
	Side int
}

// Side is one edge of a panel with its cut.
type Side struct {
	Name       string
	Length     float64 // on the show face, mm
	BackLength float64 // on the back face, mm
	Bevel      float64 // β, radians
	CutWidth   float64 // t/cos β, mm
	Meets      Edge    // the face and edge beyond; Face is -1 at a rim
}

// Seam is two edges of a body that meet.
type Seam struct {
	A, B     Edge    // A of the face that comes first; where it is butted, A runs through
	Dihedral float64 // δ, radians
	Butt     bool    // A runs through and B stands against it
	GlueArea float64 // mm², of one side
}

// Clash says that the walls of a panel do not find room: two bevels of it meet before its other side is
// reached, or nothing of it is left.
type Clash struct {
	Face  string
	Edges [2]string
	Depth float64 // mm from the given side at which it happens
	At    r3.Vec  // about where
}

// Error is a sentence with face, edges and depth.
func (c *Clash) Error() string {
	switch {
	case c.Depth == 0:
		return fmt.Sprintf("nothing is left of %s between %s and %s at %s", c.Face, c.Edges[0], c.Edges[1], place(c.At))
	case c.Edges[0] == c.Edges[1]:
		return fmt.Sprintf("the bevel on %s of %s closes up %.3g mm deep at %s", c.Edges[0], c.Face, c.Depth, place(c.At))
	}
	return fmt.Sprintf("the bevels on %s and %s of %s meet %.3g mm deep at %s", c.Edges[0], c.Edges[1], c.Face, c.Depth, place(c.At))
}

// builder works a shell out.
//
// A face's plane at depth q is its own, moved inwards by q. Its given side is at 0, its moved side at
// its depth d: the wall, or less than nothing where the wall grows outwards. On both sides each edge has
// a line that the cut leaves: the given edge, moved towards the middle of the face by a distance.
//
// In the section square to an edge, with φ = 180° − δ the turn from face a to its neighbour b: at depth q
// in a, the plane of b at depth r is met (r − q·cos φ)/sin φ from the edge. So a mitre goes through the
// given edge and the line in which the two moved planes meet, whatever the two walls are, and inner faces
// meet exactly; with equal walls that is q·tan(φ/2), β = φ/2.
type builder struct {
	*Shell
	opt    Options
	twin   map[[2]int]Edge
	planes []plane
	depth  []float64
	moves  [][]move // of each face's edges
	skin   [][][]r3.Vec
	errs   []error
}

// move is how far the lines of an edge lie from the given edge, towards the middle of its face.
type move struct {
	given, moved float64
	phi          float64 // the turn to the neighbour, 0 at a rim
	to           Edge    // the neighbour; Face -1 if there is none
	plain        bool    // mitred, or flush at an opening: cut as the skin is
	open         bool    // a rim
}

// Build checks a shell and works it out. With errors, each a *Flaw or a *Clash, there is no body.
func Build(s *Shell, opt Options) (*Body, []error) {
	if opt.Flat == 0 {
		opt.Flat = Flat
	}
	if flaws := s.Check(opt.Flat); len(flaws) > 0 {
		var errs []error
		for _, f := range flaws {
			errs = append(errs, f)
		}
		return nil, errs
	}
	b := &builder{Shell: s, opt: opt, twin: s.twins()}
	b.planes, b.depth = make([]plane, len(s.Faces)), make([]float64, len(s.Faces))
	for i, f := range s.Faces {
		b.planes[i] = s.plane(i)
		switch {
		case f.Open:
		case s.Inside:
			b.depth[i] = -f.Wall
		default:
			b.depth[i] = f.Wall
		}
	}
	b.cuts()
	if len(b.errs) > 0 {
		return nil, b.errs
	}
	b.corners()
	if len(b.errs) > 0 {
		return nil, b.errs
	}
	body := b.body()
	if len(b.errs) > 0 {
		return nil, b.errs
	}
	return body, nil
}

// turn is φ between the face of an edge and the one beyond: above 0 at a ridge, below in a hollow.
func (b *builder) turn(e, to Edge) float64 {
	p, q := b.ends(e)
	u := r3.Unit(r3.Sub(b.Points[q], b.Points[p]))
	m, n := b.planes[e.Face].n, b.planes[to.Face].n
	return math.Atan2(r3.Dot(r3.Cross(m, n), u), r3.Dot(m, n))
}

const (
	level    = 1e-7 // radians: two faces lie in one plane
	steepest = 85 * math.Pi / 180
)

// met is how far from the edge, at depth q, the neighbour's plane at depth r is met.
func met(q, r, phi float64) float64 {
	if math.Abs(phi) < level {
		return 0
	}
	s, c := math.Sincos(phi)
	return (r - q*c) / s
}

// cuts works out the moves of all edges.
func (b *builder) cuts() {
	b.moves = make([][]move, len(b.Faces))
	for i, f := range b.Faces {
		b.moves[i] = make([]move, len(f.Loop))
		for k := range f.Loop {
			e := Edge{i, k}
			from, to := b.ends(e)
			other, ok := b.twin[[2]int{to, from}]
			if !ok {
				other = Edge{Face: -1}
			}
			m := b.cut(e, other)
			b.moves[i][k] = m
			if d := b.depth[i]; d != 0 && math.Abs(m.moved-m.given) > math.Abs(d)*math.Tan(steepest) {
				b.errs = append(b.errs, b.tooSteep(e, m))
			}
		}
	}
}

func (b *builder) tooSteep(e Edge, m move) *Flaw {
	from, _ := b.ends(e)
	f := &Flaw{Face: b.Faces[e.Face].Name, At: b.Points[from]}
	β := math.Atan(math.Abs(m.moved-m.given)/math.Abs(b.depth[e.Face])) * 180 / math.Pi
	what := "its rim"
	if m.to.Face >= 0 {
		f.Other = b.Faces[m.to.Face].Name
		what = f.Other
	}
	f.Text = fmt.Sprintf("would need a bevel of %.3g° along %s, towards %s,", β, b.Faces[e.Face].EdgeName(e.Edge), what)
	return f
}

func (b *builder) cut(e, to Edge) move {
	m := move{to: to}
	d := b.depth[e.Face]
	if to.Face >= 0 {
		m.phi = b.turn(e, to)
	}
	switch {
	case to.Face < 0 || b.Faces[to.Face].Open:
		m.open = true
		var bevel float64
		var flush bool
		if b.opt.Rim != nil {
			bevel, flush = b.opt.Rim(e)
		}
		if flush && to.Face >= 0 {
			m.plain = true
			m.moved = met(d, 0, m.phi)
		} else {
			m.moved = d * math.Tan(bevel)
		}
		return m
	case b.Faces[e.Face].Open:
		m.plain = true
		m.moved = met(d, b.depth[to.Face], m.phi)
		return m
	}
	if b.opt.Through != nil {
		if through, butt := b.opt.Through(e.Face, to.Face); butt && math.Abs(m.phi) >= level {
			return b.butted(e, m, through)
		}
	}
	m.plain = true
	m.moved = met(d, b.depth[to.Face], m.phi)
	return m
}

// butted: the one that runs through ends at the other's outer plane, the other at its inner plane.
func (b *builder) butted(e Edge, m move, through int) move {
	outer, inner := 0.0, b.depth[m.to.Face]
	if b.Inside {
		outer, inner = inner, outer
	}
	r := inner
	if through == e.Face {
		r = outer
	}
	m.given, m.moved = met(0, r, m.phi), met(b.depth[e.Face], r, m.phi)
	return m
}

// corners works out the moved corners of all faces as the skin has them: all mitred.
func (b *builder) corners() {
	b.skin = make([][][]r3.Vec, len(b.Faces))
	for i, f := range b.Faces {
		b.skin[i] = make([][]r3.Vec, len(f.Loop))
	}
	for _, fn := range b.fans(b.twin) {
		if fn.closed && len(fn.corners) >= 3 {
			if list, ok := b.closing(fn).solve(); ok {
				for i, c := range fn.corners {
					b.skin[c.face][c.at] = list[i]
				}
				continue
			}
			if len(fn.corners) > 3 && b.walled(fn) {
				c := fn.corners[0]
				b.errs = append(b.errs, &Flaw{Face: b.Faces[c.face].Name, At: b.Points[fn.point],
					Text: fmt.Sprintf("and %d other faces come together so that no walls close", len(fn.corners)-1)})
				continue
			}
		}
		for _, c := range fn.corners {
			if p, ok := b.own(c, true, true); ok {
				b.skin[c.face][c.at] = []r3.Vec{p}
			} else {
				b.straight(c)
			}
		}
	}
}

// walled tells whether any face round a point has a wall: without, nothing need close.
func (b *builder) walled(fn fan) bool {
	for _, c := range fn.corners {
		if b.depth[c.face] != 0 {
			return true
		}
	}
	return false
}

// straight reports two edges of a face in one line whose cuts do not meet.
func (b *builder) straight(c corner) {
	f := b.Faces[c.face]
	b.errs = append(b.errs, &Flaw{Face: f.Name, At: b.Points[f.Loop[c.at]],
		Text: fmt.Sprintf("has edges in one line, %s and %s, with different bevels, whose cuts do not meet,",
			f.EdgeName((c.at+len(f.Loop)-1)%len(f.Loop)), f.EdgeName(c.at))})
}

func (b *builder) closing(fn fan) *closing {
	k := len(fn.corners)
	c := &closing{
		planes: make([]plane, k), edges: make([]plane, k), flat: make([]bool, k),
		in: make([]r3.Vec, k), out: make([]r3.Vec, k), at: b.Points[fn.point],
	}
	ridges, hollows := 0, 0
	for i, q := range fn.corners {
		p := b.planes[q.face]
		c.planes[i] = plane{p.n, p.d - b.depth[q.face]}
		loop := b.Faces[q.face].Loop
		n := len(loop)
		prev, next := b.Points[loop[(q.at+n-1)%n]], b.Points[loop[(q.at+1)%n]]
		c.in[i], c.out[i] = r3.Unit(r3.Sub(c.at, prev)), r3.Unit(r3.Sub(next, c.at))
		m := b.moves[q.face][(q.at+n-1)%n]
		side := r3.Cross(p.n, c.in[i])
		c.edges[i] = plane{side, r3.Dot(side, c.at)}
		switch {
		case math.Abs(m.phi) < level:
			c.flat[i] = true
		case m.phi > 0:
			ridges++
		default:
			hollows++
		}
	}
	switch {
	case ridges == k:
		c.ridge = 1
	case hollows == k:
		c.ridge = -1
	}
	return c
}

// own is the corner of a face where the lines of its two edges meet, on its moved or its given side. For
// the skin the given edges stay where they are.
func (b *builder) own(c corner, moved, skin bool) (r3.Vec, bool) {
	f, n := b.Faces[c.face], len(b.Faces[c.face].Loop)
	at := b.Points[f.Loop[c.at]]
	p := b.planes[c.face]
	depth := 0.0
	if moved {
		depth = b.depth[c.face]
	}
	var sides [2]plane
	var shift [2]float64
	for i, e := range [2]int{(c.at + n - 1) % n, c.at} {
		from, to := b.ends(Edge{c.face, e})
		l := r3.Unit(r3.Cross(p.n, r3.Sub(b.Points[to], b.Points[from])))
		m := b.moves[c.face][e]
		shift[i] = m.given
		if moved {
			shift[i] = m.moved
			if skin && !m.plain {
				shift[i] = b.skinMove(Edge{c.face, e}, m)
			}
		}
		sides[i] = plane{l, r3.Dot(l, at) + shift[i]}
	}
	level := plane{p.n, p.d - depth}
	if r3.Norm(r3.Cross(sides[0].n, sides[1].n)) < 1e-7 && r3.Dot(sides[0].n, sides[1].n) > 0 {
		if math.Abs(shift[0]-shift[1]) > closes {
			return r3.Vec{}, false
		}
		x := r3.Add(at, r3.Scale(shift[0], sides[0].n))
		return r3.Sub(x, r3.Scale(level.over(x), p.n)), true
	}
	return meet3(level, sides[0], sides[1])
}

// skinMove is the move of an edge if it were mitred, or cut flush where the opening has a plane.
func (b *builder) skinMove(e Edge, m move) float64 {
	switch {
	case m.to.Face < 0:
		return m.moved
	default:
		return met(b.depth[e.Face], b.depth[m.to.Face], m.phi)
	}
}

// body makes panels, seams and rims.
func (b *builder) body() *Body {
	body := &Body{Shell: b.Shell, panel: make([]int, len(b.Faces))}
	body.outer, body.inner = b.skinLoops()
	for i, f := range b.Faces {
		body.panel[i] = -1
		if f.Open {
			continue
		}
		body.panel[i] = len(body.Panels)
		body.Panels = append(body.Panels, b.panel(i))
	}
	if len(b.errs) > 0 {
		return nil
	}
	for _, p := range body.Panels {
		for k, s := range p.Sides {
			e := Edge{p.Face, k}
			if s.Meets.Face < 0 {
				body.Rims = append(body.Rims, e)
				continue
			}
			if s.Meets.Face < p.Face {
				continue
			}
			body.Seams = append(body.Seams, b.seam(body, e, s))
		}
	}
	return body
}

func (b *builder) seam(body *Body, e Edge, s Side) Seam {
	m := b.moves[e.Face][e.Edge]
	seam := Seam{A: e, B: m.to, Dihedral: math.Pi - m.phi}
	other := body.Panels[body.panel[m.to.Face]].Sides[m.to.Edge]
	if b.opt.Through != nil && math.Abs(m.phi) >= level {
		if through, butt := b.opt.Through(e.Face, m.to.Face); butt {
			seam.Butt = true
			if through == m.to.Face {
				seam.A, seam.B, s, other = seam.B, seam.A, other, s
			}
		}
	}
	area := func(s Side) float64 { return (s.Length + s.BackLength) / 2 * s.CutWidth }
	seam.GlueArea = area(other)
	if !seam.Butt {
		seam.GlueArea = math.Min(area(s), area(other))
	}
	return seam
}

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

// PanelIndex is the place in Panels of a face's panel, -1 for an opening.
func (b *Body) PanelIndex(face int) int { return b.panel[face] }

// Ends are the two corners of a side: where it begins, and where the next begins.
func (p *Panel) Ends(side int) (from, to Corner) {
	for i, c := range p.Corners {
		if c.Side == side {
			return c, p.Corners[(i+1)%len(p.Corners)]
		}
	}
	return from, to
}

// Panel is the panel of a face, nil for an opening.
func (b *Body) Panel(face int) *Panel {
	if i := b.panel[face]; i >= 0 {
		return &b.Panels[i]
	}
	return nil
}
