package nest

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"
)

// clearOf is how deep two pieces may lie in each other and still count as clear, in mm: far above what
// rounding adds, a tenth of what Check lets pass.
const clearOf = 1e-7

// half is the half plane nx·x + ny·y < c; (nx, ny) has length 1 and points outwards.
type half struct{ nx, ny, c float64 }

// nofit holds the shifts from one body to another at which the two overlap: it is the union of convex
// polygons, one for each pair of pieces.
type nofit struct {
	x0, x1, y0, y1 float64 // the box of all
	size           float64 // weighs overlaps of large bodies more: the square root of the mean of their widths
	parts          []nofitPart
}

// nofitPart is convex, given by its box and its sides.
type nofitPart struct {
	x0, x1, y0, y1 float64
	sides          []half
}

// newNofit is the no-fit polygon of b around a: the Minkowski sums of a's pieces and b's turned about.
// A sum that lies within another is left out.
func newNofit(a, b *body) *nofit {
	var sums [][]r2.Vec
	for _, p := range a.pieces {
		for _, q := range b.pieces {
			sums = append(sums, difference(p, q))
		}
	}
	parts := make([]nofitPart, len(sums))
	for i, s := range sums {
		parts[i] = newNofitPart(s)
	}
	hidden := make([]bool, len(sums))
	for i, s := range sums {
		for k := 0; k < len(parts) && !hidden[i]; k++ {
			hidden[i] = k != i && !hidden[k] && parts[k].covers(s)
		}
	}
	n := &nofit{x0: math.Inf(1), y0: math.Inf(1), x1: math.Inf(-1), y1: math.Inf(-1), size: math.Pow(a.least*b.least, 0.25)}
	for i, p := range parts {
		if !hidden[i] {
			n.parts = append(n.parts, p)
			n.x0, n.x1 = math.Min(n.x0, p.x0), math.Max(n.x1, p.x1)
			n.y0, n.y1 = math.Min(n.y0, p.y0), math.Max(n.y1, p.y1)
		}
	}
	return n
}

// difference is the convex polygon of all p − q: the sides of p and of q turned about, by their direction.
func difference(p, q piece) []r2.Vec {
	i0, k0 := lowest(p, 1), lowest(q, -1)
	out := make([]r2.Vec, 0, len(p)+len(q))
	for i, k := 0, 0; i < len(p) || k < len(q); {
		a, b := p[(i0+i)%len(p)], q[(k0+k)%len(q)]
		out = append(out, r2.Sub(a, b))
		turn := 0.0
		if i < len(p) && k < len(q) {
			turn = r2.Cross(r2.Sub(p[(i0+i+1)%len(p)], a), r2.Sub(b, q[(k0+k+1)%len(q)]))
		}
		if k == len(q) || i < len(p) && turn >= 0 {
			i++
			if turn == 0 && k < len(q) {
				k++
			}
		} else {
			k++
		}
	}
	return out
}

// lowest is the point furthest down (s = 1) or up (s = −1), of several the one furthest left (or right).
func lowest(p piece, s float64) int {
	best := 0
	for i, v := range p {
		if d := s * (v.Y - p[best].Y); d < 0 || d == 0 && s*(v.X-p[best].X) < 0 {
			best = i
		}
	}
	return best
}

func newNofitPart(ring []r2.Vec) nofitPart {
	box := ringBox(ring)
	n := nofitPart{x0: box.Min.X, x1: box.Max.X, y0: box.Min.Y, y1: box.Max.Y, sides: make([]half, 0, len(ring))}
	for i, a := range ring {
		d := r2.Sub(ring[(i+1)%len(ring)], a)
		if l := r2.Norm(d); l > 0 {
			h := half{nx: d.Y / l, ny: -d.X / l}
			h.c = h.nx*a.X + h.ny*a.Y
			n.sides = append(n.sides, h)
		}
	}
	return n
}

// covers tells whether all points lie in the part.
func (n *nofitPart) covers(ring []r2.Vec) bool {
	for _, p := range ring {
		for _, h := range n.sides {
			if h.nx*p.X+h.ny*p.Y > h.c+1e-10 {
				return false
			}
		}
	}
	return true
}

// depth is how far the shift (x, y) is from being clear of the part: the way out through the nearest side,
// which is the result's second half; 0 if it is clear.
func (n *nofitPart) depth(x, y float64) (float64, *half) {
	if x <= n.x0 || x >= n.x1 || y <= n.y0 || y >= n.y1 {
		return 0, nil
	}
	least, out := math.Inf(1), (*half)(nil)
	for i := range n.sides {
		h := &n.sides[i]
		d := h.c - h.nx*x - h.ny*y
		if d < least {
			if d <= clearOf {
				return 0, nil
			}
			least, out = d, h
		}
	}
	return least, out
}

// spanY is the open interval of y in which (x, y) lies in the part, short by so little that its ends
// count as clear.
func (n *nofitPart) spanY(x float64) (lo, hi float64, ok bool) {
	if x <= n.x0+clearOf || x >= n.x1-clearOf {
		return 0, 0, false
	}
	lo, hi = math.Inf(-1), math.Inf(1)
	for _, h := range n.sides {
		c := h.c - clearOf/2 - h.nx*x
		switch {
		case h.ny > 1e-12:
			hi = math.Min(hi, c/h.ny)
		case h.ny < -1e-12:
			lo = math.Max(lo, c/h.ny)
		case c <= 0:
			return 0, 0, false
		}
	}
	return lo, hi, lo < hi
}

// spanX is the same with x and y exchanged.
func (n *nofitPart) spanX(y float64) (lo, hi float64, ok bool) {
	if y <= n.y0+clearOf || y >= n.y1-clearOf {
		return 0, 0, false
	}
	lo, hi = math.Inf(-1), math.Inf(1)
	for _, h := range n.sides {
		c := h.c - clearOf/2 - h.ny*y
		switch {
		case h.nx > 1e-12:
			hi = math.Min(hi, c/h.nx)
		case h.nx < -1e-12:
			lo = math.Max(lo, c/h.nx)
		case c <= 0:
			return 0, 0, false
		}
	}
	return lo, hi, lo < hi
}

// corner is a corner of one of the parts, drawn at random.
func (n *nofit) corner(rng *rand.Rand) r2.Vec {
	p := &n.parts[rng.IntN(len(n.parts))]
	i := rng.IntN(len(p.sides))
	a, b := p.sides[i], p.sides[(i+1)%len(p.sides)]
	det := a.nx*b.ny - a.ny*b.nx
	if det < 1e-6 { // nearly in line: any point of the side will do
		return r2.Vec{X: a.c * a.nx, Y: a.c * a.ny}
	}
	return r2.Vec{X: (a.c*b.ny - a.ny*b.c) / det, Y: (a.nx*b.c - a.c*b.nx) / det}
}

// nofits remembers the no-fit polygons of one search. It forgets all of them when they take too much room.
type nofits struct {
	bodies []body
	rows   [][]*nofit
	held   int // sides and places held
}

// mostHeld bounds the memory of remembered no-fit polygons to about 200 MB.
const mostHeld = 8_000_000

func newNofits(bodies []body) *nofits {
	return &nofits{bodies: bodies, rows: make([][]*nofit, len(bodies))}
}

// of is the no-fit polygon of body b around body a.
func (n *nofits) of(a, b int) *nofit {
	if row := n.rows[a]; row != nil && row[b] != nil {
		return row[b]
	}
	return n.build(a, b)
}

func (n *nofits) build(a, b int) *nofit {
	if n.held > mostHeld {
		clear(n.rows)
		n.held = 0
	}
	if n.rows[a] == nil {
		n.rows[a] = make([]*nofit, len(n.bodies))
		n.held += len(n.bodies) / 3
	}
	nf := newNofit(&n.bodies[a], &n.bodies[b])
	n.rows[a][b] = nf
	for _, p := range nf.parts {
		n.held += len(p.sides) + 4
	}
	return nf
}
