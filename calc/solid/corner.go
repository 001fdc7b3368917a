package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

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
