package solid

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Scene is a shell as it is seen: of each face the parts that no other face hides, and of each edge
// the stretches. A face is cut against every face that stands before it, each clipped to what lies on
// the viewer's side of its plane, so faces that overlap in a ring or run through each other come out
// right too, and nothing depends on an order.
//
// In a closed shell (each i→j of a loop stands against a j→i) faces that are turned away are not
// looked at; in an open one they are seen from behind.
type Scene struct {
	View   View
	shell  *Shell
	faces  []seenFace
	closed bool
	grid   grid
	width  float64 // what is narrower does not show, mm
}

// seenFace is a face in the picture.
type seenFace struct {
	facing float64 // cosine of its normal with the way to the viewer; 0 if it is not looked at
	pieces []piece
	box    r2.Box
	// The depth of its plane at a point of the picture, towards the viewer, is slope·p + level.
	slope r2.Vec
	level float64
}

func (f *seenFace) depth(p r2.Vec) float64 { return r2.Dot(f.slope, p) + f.level }

// Seen projects the shell. Points that are not finite give faces that are not seen.
func (s *Shell) Seen(v View) *Scene {
	sc := &Scene{View: v, shell: s, faces: make([]seenFace, len(s.Faces)), closed: s.closed()}
	for i := range s.Faces {
		sc.faces[i] = sc.face(i)
	}
	sc.grid = newGrid(sc.faces)
	size := r2.Sub(sc.grid.box.Max, sc.grid.box.Min)
	sc.width = 1e-7 * math.Max(size.X, size.Y)
	return sc
}

// closed tells whether every step of a loop stands against one in the other direction.
func (s *Shell) closed() bool {
	open := map[[2]int]int{}
	for _, f := range s.Faces {
		for k, i := range f.Loop {
			j := f.Loop[(k+1)%len(f.Loop)]
			if i < j {
				open[[2]int{i, j}]++
			} else {
				open[[2]int{j, i}]--
			}
		}
	}
	for _, n := range open {
		if n != 0 {
			return false
		}
	}
	return true
}

// grazing is the cosine below which a face is seen so much from the side that nothing of it shows.
const grazing = 1e-4

func (sc *Scene) face(i int) seenFace {
	area := sc.shell.areaVector(i)
	size := r3.Norm(area)
	if !(size > 0) || math.IsInf(size, 0) {
		return seenFace{}
	}
	n := r3.Scale(1/size, area)
	facing := r3.Dot(n, sc.View.Toward)
	if math.Abs(facing) < grazing || facing < 0 && sc.closed {
		return seenFace{}
	}
	loop := sc.shell.Faces[i].Loop
	outline := make(polygon, len(loop))
	var mean r3.Vec
	for k, at := range loop {
		outline[k] = sc.View.Project(sc.shell.Points[at])
		mean = r3.Add(mean, r3.Scale(1/float64(len(loop)), sc.shell.Points[at]))
	}
	if facing < 0 {
		slices.Reverse(outline)
	}
	f := seenFace{facing: facing, pieces: outline.convexPieces(), box: outline.box()}
	// On the plane n·(p − mean) = 0 the depth falls off across the picture.
	f.slope = r2.Vec{X: -r3.Dot(n, sc.View.Right) / facing, Y: -r3.Dot(n, sc.View.Up) / facing}
	f.level = r3.Dot(mean, sc.View.Toward) - r2.Dot(f.slope, sc.View.Project(mean))
	return f
}

// Facing is the cosine between a face's normal and the way to the viewer: negative for one that is
// seen from behind, 0 for one that is not looked at.
func (sc *Scene) Facing(face int) float64 { return sc.faces[face].facing }

// Box is the box around the picture.
func (sc *Scene) Box() r2.Box { return sc.grid.box }

// Face is what is seen of a face: convex polygons that do not overlap, corners counter-clockwise.
func (sc *Scene) Face(face int) [][]r2.Vec {
	f := &sc.faces[face]
	left := make([]polygon, len(f.pieces))
	for i, p := range f.pieces {
		left[i] = p.polygon
	}
	var next []polygon
	for _, k := range sc.grid.near(f.box) {
		if k == face || len(left) == 0 || apart(sc.faces[k].box, f.box) {
			continue
		}
		for _, q := range sc.faces[k].before(f, sc.width) {
			box := q.box()
			next = next[:0:0]
			for _, p := range left {
				if apart(box, p.box()) {
					next = append(next, p)
				} else {
					next = p.less(next, q, sc.width)
				}
			}
			left = next
		}
	}
	out := make([][]r2.Vec, 0, len(left))
	for _, p := range left {
		if !p.thin(sc.width) {
			out = append(out, p)
		}
	}
	return out
}

// before is what lies of f nearer to the viewer than the plane of another face, by more than width.
func (f *seenFace) before(other *seenFace, width float64) []polygon {
	ahead := line{r2.Sub(f.slope, other.slope), f.level - other.level - width}
	var list []polygon
	for _, p := range f.pieces {
		if apart(p.bounds, other.box) {
			continue
		}
		if q := p.clip(ahead); !q.thin(width) {
			list = append(list, q)
		}
	}
	return list
}

// Line is a stretch of an edge in the picture.
type Line struct {
	A, B r2.Vec
	// Contour: on one side of it the shell ends or turns away from the viewer.
	Contour bool
	Faces   [2]int // the faces that meet there, the second −1 at a rim
}

// Edges are all stretches of edges that are seen, in the order of the faces.
func (sc *Scene) Edges() []Line {
	type edge struct{ a, b int }
	first := map[edge]int{}
	var list []struct {
		edge
		faces [2]int
	}
	for i, f := range sc.shell.Faces {
		for k, a := range f.Loop {
			e := edge{a, f.Loop[(k+1)%len(f.Loop)]}
			if e.a > e.b {
				e = edge{e.b, e.a}
			}
			if at, ok := first[e]; ok && list[at].faces[1] < 0 {
				list[at].faces[1] = i
				continue
			}
			first[e] = len(list)
			list = append(list, struct {
				edge
				faces [2]int
			}{e, [2]int{i, -1}})
		}
	}
	var out []Line
	for _, e := range list {
		if e.faces[0] == e.faces[1] { // the way to a hole
			continue
		}
		one := sc.faces[e.faces[0]].facing
		two := 0.0
		if e.faces[1] >= 0 {
			two = sc.faces[e.faces[1]].facing
		}
		if one == 0 && two == 0 {
			continue
		}
		contour := !(one*two > 0)
		for _, s := range sc.Segment(sc.shell.Points[e.a], sc.shell.Points[e.b], e.faces[:]...) {
			out = append(out, Line{s[0], s[1], contour, e.faces})
		}
	}
	return out
}

// Segment is what is seen of a straight line in space; the faces named are its own and do not hide it.
func (sc *Scene) Segment(a, b r3.Vec, own ...int) [][2]r2.Vec {
	p, q := sc.View.Project(a), sc.View.Project(b)
	length := r2.Norm(r2.Sub(q, p))
	if !(length > sc.width) || math.IsInf(length, 0) {
		return nil
	}
	da, db := r3.Dot(a, sc.View.Toward), r3.Dot(b, sc.View.Toward)
	box := polygon{p, q}.box()
	var hidden [][2]float64
	for _, k := range sc.grid.near(box) {
		f := &sc.faces[k]
		if slices.Contains(own, k) || apart(f.box, box) {
			continue
		}
		// How far the face stands before the line, at its ends.
		ahead := [2]float64{f.depth(p) - da - sc.width, f.depth(q) - db - sc.width}
		for i := range f.pieces {
			piece := &f.pieces[i]
			if apart(piece.bounds, box) {
				continue
			}
			if s, ok := piece.covers(p, q, ahead, sc.width); ok {
				hidden = append(hidden, s)
			}
		}
	}
	least := sc.width / length
	at := func(t float64) r2.Vec {
		if t == 1 {
			return q // to the last digit, so that lines which go on from there are found
		}
		return r2.Add(p, r2.Scale(t, r2.Sub(q, p)))
	}
	slices.SortFunc(hidden, func(x, y [2]float64) int { return cmp.Compare(x[0], y[0]) })
	var out [][2]r2.Vec
	from := 0.0
	for _, h := range append(hidden, [2]float64{1, 1}) {
		if h[0] > from+least {
			out = append(out, [2]r2.Vec{at(from), at(h[0])})
		}
		from = math.Max(from, h[1])
	}
	return out
}

// covers is the share of the line p–q, from 0 to 1, that a piece lies before, given how far its plane
// is ahead at both ends. What runs along a side of the face is not covered: the side is a line too.
func (c *piece) covers(p, q r2.Vec, ahead [2]float64, width float64) ([2]float64, bool) {
	t := [2]float64{0, 1}
	if !keep(&t, ahead[0], ahead[1]) {
		return t, false
	}
	for i, a := range c.polygon {
		l, ok := leftOf(a, c.polygon[(i+1)%len(c.polygon)], width)
		if !ok {
			continue
		}
		u, v := l.at(p), l.at(q)
		if along := math.Abs(u) <= width && math.Abs(v) <= width; along {
			if c.inner != nil && c.inner[i] {
				continue
			}
			return t, false
		}
		if !keep(&t, u, v) {
			return t, false
		}
	}
	return t, true
}

// keep shortens a stretch to where what is u at 0 and v at 1 is positive.
func keep(t *[2]float64, u, v float64) bool {
	switch {
	case u <= 0 && v <= 0:
		return false
	case u < 0:
		t[0] = math.Max(t[0], u/(u-v))
	case v < 0:
		t[1] = math.Min(t[1], u/(u-v))
	}
	return t[0] < t[1]
}
