package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
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

// PanelIndex is the place in Panels of a face's panel, -1 for an opening.
func (b *Body) PanelIndex(face int) int { return b.panel[face] }

// Panel is the panel of a face, nil for an opening.
func (b *Body) Panel(face int) *Panel {
	if i := b.panel[face]; i >= 0 {
		return &b.Panels[i]
	}
	return nil
}
