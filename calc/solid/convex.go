package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// polygon is a plane polygon, corners counter-clockwise.
type polygon []r2.Vec

// area is the polygon's area (shoelace formula, about its first corner).
func (p polygon) area() float64 {
	sum := 0.0
	for i := 2; i < len(p); i++ {
		sum += r2.Cross(r2.Sub(p[i-1], p[0]), r2.Sub(p[i], p[0]))
	}
	return sum / 2
}

func (p polygon) box() r2.Box {
	b := r2.Box{Min: p[0], Max: p[0]}
	for _, q := range p[1:] {
		b.Min = r2.Vec{X: min(b.Min.X, q.X), Y: min(b.Min.Y, q.Y)}
		b.Max = r2.Vec{X: max(b.Max.X, q.X), Y: max(b.Max.Y, q.Y)}
	}
	return b
}

func apart(a, b r2.Box) bool {
	return a.Max.X < b.Min.X || b.Max.X < a.Min.X || a.Max.Y < b.Min.Y || b.Max.Y < a.Min.Y
}

// thin tells whether a convex polygon is too slim to count. One that is everywhere wider than width is
// not: with least width w and diameter D its area is at least wD/2 and its girth at most πD.
func (p polygon) thin(width float64) bool {
	if len(p) < 3 {
		return true
	}
	girth := 0.0
	for i := range p {
		girth += r2.Norm(r2.Sub(p[i], p[(i+1)%len(p)]))
	}
	return p.area() <= width*girth/(2*math.Pi)
}

// line is a half plane: where n·p + d ≥ 0.
type line struct {
	n r2.Vec
	d float64
}

func (l line) at(p r2.Vec) float64 { return r2.Dot(l.n, p) + l.d }

func (l line) other() line { return line{r2.Scale(-1, l.n), -l.d} }

// leftOf is the half plane to the left of a→b, with distances in the units of the points; a side no
// longer than width has no direction to go by.
func leftOf(a, b r2.Vec, width float64) (line, bool) {
	dir := r2.Sub(b, a)
	length := r2.Norm(dir)
	if length <= width {
		return line{}, false
	}
	n := r2.Vec{X: -dir.Y / length, Y: dir.X / length}
	return line{n, -r2.Dot(n, a)}, true
}

// clip keeps what lies in the half plane of a convex polygon (Sutherland and Hodgman, 1974).
func (p polygon) clip(l line) polygon {
	var out polygon
	if len(p) == 0 {
		return nil
	}
	prev := p[len(p)-1]
	before := l.at(prev)
	for _, q := range p {
		here := l.at(q)
		if (before < 0) != (here < 0) {
			out = append(out, r2.Add(prev, r2.Scale(before/(before-here), r2.Sub(q, prev))))
		}
		if here >= 0 {
			out = append(out, q)
		}
		prev, before = q, here
	}
	return out
}

// less appends to list what is left of a convex polygon outside of another: convex pieces. Overlaps
// that are nowhere wider than width do not count, and pieces that are not are dropped.
func (p polygon) less(list []polygon, q polygon, width float64) []polygon {
	whole, first := p, len(list)
	for i, a := range q {
		l, ok := leftOf(a, q[(i+1)%len(q)], width)
		if !ok {
			continue
		}
		if outside := p.clip(l.other()); !outside.thin(width) {
			list = append(list, outside)
		}
		p = p.clip(l)
		if p.thin(width) {
			return append(list[:first], whole)
		}
	}
	return list
}

// piece is a convex part of a polygon.
type piece struct {
	polygon
	inner  []bool // the side from corner i on is a cut through the polygon, not a side of it; nil for none
	bounds r2.Box
}

// convexPieces parts a simple polygon, corners counter-clockwise, into convex ones that together are
// just as large. A convex polygon is its own only piece.
func (p polygon) convexPieces() []piece {
	if p.convex() {
		return []piece{{p, nil, p.box()}}
	}
	var list []piece
	for _, corners := range joined(p, p.triangles()) {
		q := piece{inner: make([]bool, len(corners))}
		for i, k := range corners {
			q.polygon = append(q.polygon, p[k])
			q.inner[i] = corners[(i+1)%len(corners)] != (k+1)%len(p)
		}
		q.bounds = q.box()
		list = append(list, q)
	}
	return list
}

func (p polygon) convex() bool {
	turned := 0.0
	for i, a := range p {
		b, c := p[(i+1)%len(p)], p[(i+2)%len(p)]
		u, v := r2.Sub(b, a), r2.Sub(c, b)
		angle := math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
		if angle < -1e-9 {
			return false
		}
		turned += angle
	}
	return turned < 2*math.Pi+0.1 // once round
}

// triangles cuts ears off until nothing is left (Meisters, "Polygons have ears", 1975). Where rounding
// leaves no ear, as in a polygon that touches itself, the sharpest corner is cut off instead.
func (p polygon) triangles() [][3]int {
	left := make([]int, len(p))
	for i := range left {
		left[i] = i
	}
	var list [][3]int
	for len(left) > 3 {
		ear := p.ear(left)
		n := len(left)
		list = append(list, [3]int{left[(ear+n-1)%n], left[ear], left[(ear+1)%n]})
		left = append(left[:ear], left[ear+1:]...)
	}
	if len(left) == 3 {
		list = append(list, [3]int(left))
	}
	return list
}

// ear is a corner of what is left that can be cut off: the first convex one whose triangle holds no
// other corner.
func (p polygon) ear(left []int) int {
	n := len(left)
	sharpest, most := 0, math.Inf(-1)
	for i := range left {
		a, b, c := p[left[(i+n-1)%n]], p[left[i]], p[left[(i+1)%n]]
		u, v := r2.Sub(b, a), r2.Sub(c, b)
		turn := math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
		if turn > most {
			sharpest, most = i, turn
		}
		if turn >= 0 && !p.anyIn(left, a, b, c) {
			return i
		}
	}
	return sharpest
}

// anyIn tells whether a corner lies in the triangle abc or on it, its own corners and others at the
// same places left out.
func (p polygon) anyIn(left []int, a, b, c r2.Vec) bool {
	for _, k := range left {
		q := p[k]
		if q == a || q == b || q == c {
			continue
		}
		if r2.Cross(r2.Sub(b, a), r2.Sub(q, a)) >= 0 && r2.Cross(r2.Sub(c, b), r2.Sub(q, b)) >= 0 && r2.Cross(r2.Sub(a, c), r2.Sub(q, c)) >= 0 {
			return true
		}
	}
	return false
}

// joined puts triangles together to larger convex pieces, across shared sides while the corner at
// both ends stays convex (Hertel and Mehlhorn, 1983: at most four times the least number of pieces).
func joined(p polygon, list [][3]int) [][]int {
	at := map[[2]int]int{} // a side → the triangle that has it
	for t, c := range list {
		for i := range c {
			at[[2]int{c[i], c[(i+1)%3]}] = t
		}
	}
	taken := make([]bool, len(list))
	var out [][]int
	for t, c := range list {
		if taken[t] {
			continue
		}
		taken[t] = true
		piece := c[:]
		for i := 0; i < len(piece); i++ {
			a, b := piece[i], piece[(i+1)%len(piece)]
			other, ok := at[[2]int{b, a}]
			if !ok || taken[other] {
				continue
			}
			tip := third(list[other], a, b)
			before, after := piece[(i+len(piece)-1)%len(piece)], piece[(i+2)%len(piece)]
			if turns(p[before], p[a], p[tip]) && turns(p[tip], p[b], p[after]) {
				taken[other] = true
				piece = append(piece[:i+1:i+1], append([]int{tip}, piece[i+1:]...)...)
				i = -1 // its new sides may join too
			}
		}
		out = append(out, piece)
	}
	return out
}

func third(t [3]int, a, b int) int {
	for _, k := range t {
		if k != a && k != b {
			return k
		}
	}
	return a
}

// turns tells whether the way a→b→c does not turn right.
func turns(a, b, c r2.Vec) bool { return r2.Cross(r2.Sub(b, a), r2.Sub(c, b)) >= 0 }

// crossed tells whether the stretches a–b and c–d share a point.
func crossed(a, b, c, d r2.Vec) bool {
	side := func(a, b, p r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}
