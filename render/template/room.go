package template

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// clear tells whether a box of words stands inside of the piece and touches no line and no other words.
func (s *sheetPiece) clear(box [4]r2.Vec) bool {
	for _, t := range s.taken {
		if draw.Overlap(box, t) {
			return false
		}
	}
	if !within(box[0], s.ring) || crosses(box, s.ring, true) {
		return false
	}
	if s.bevelled() && crosses(box, s.farRing, true) {
		return false
	}
	for _, l := range s.lines {
		if crosses(box, l, false) || len(l) > 0 && insideBox(l[0], frame(box)) {
			return false
		}
		if closed := len(l) > 2 && l[0] == l[len(l)-1]; closed && within(box[0], l) {
			return false
		}
	}
	return true
}

// within tells whether a point lies inside of a ring (crossings of a ray to the right).
func within(p r2.Vec, ring []r2.Vec) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	return inside
}

// boxFrame is a turned box as its first corner, its two directions and its size.
type boxFrame struct {
	at, u, v r2.Vec
	w, h     float64
}

func frame(box [4]r2.Vec) boxFrame {
	u, v := r2.Sub(box[1], box[0]), r2.Sub(box[3], box[0])
	w, h := r2.Norm(u), r2.Norm(v)
	return boxFrame{box[0], r2.Scale(1/w, u), r2.Scale(1/h, v), w, h}
}

func (f boxFrame) local(p r2.Vec) r2.Vec {
	p = r2.Sub(p, f.at)
	return r2.Vec{X: r2.Dot(p, f.u), Y: r2.Dot(p, f.v)}
}

func insideBox(p r2.Vec, f boxFrame) bool {
	q := f.local(p)
	return q.X >= 0 && q.X <= f.w && q.Y >= 0 && q.Y <= f.h
}

// crosses tells whether a run of straight steps meets a box.
func crosses(box [4]r2.Vec, points []r2.Vec, closed bool) bool {
	if len(points) == 0 {
		return false
	}
	f := frame(box)
	prev := f.local(points[0])
	for _, p := range points[1:] {
		q := f.local(p)
		if meetsBox(prev, q, f.w, f.h) {
			return true
		}
		prev = q
	}
	return closed && meetsBox(prev, f.local(points[0]), f.w, f.h)
}

// meetsBox tells whether the line a–b meets the box (0, 0)–(w, h), by cutting it down side by side
// (Liang and Barsky's clipping).
func meetsBox(a, b r2.Vec, w, h float64) bool {
	if max(a.X, b.X) < 0 || min(a.X, b.X) > w || max(a.Y, b.Y) < 0 || min(a.Y, b.Y) > h {
		return false
	}
	d := r2.Sub(b, a)
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{{-d.X, a.X}, {d.X, w - a.X}, {-d.Y, a.Y}, {d.Y, h - a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return false
		case p < 0:
			from = math.Max(from, q/p)
		case p > 0:
			to = math.Min(to, q/p)
		}
	}
	return from <= to
}

// spots are places over the piece to try words at, the nearest to its middle first.
func spots(ring []r2.Vec) []r2.Vec {
	const n = 15
	box := bounds(ring)
	size := r2.Sub(box.Max, box.Min)
	mid := centroid(ring)
	list := make([]r2.Vec, 0, n*n+1)
	list = append(list, mid)
	for i := range n {
		for j := range n {
			list = append(list, r2.Vec{
				X: box.Min.X + size.X*(float64(i)+0.5)/n,
				Y: box.Min.Y + size.Y*(float64(j)+0.5)/n,
			})
		}
	}
	slices.SortStableFunc(list, func(a, b r2.Vec) int {
		if r2.Norm2(r2.Sub(a, mid)) < r2.Norm2(r2.Sub(b, mid)) {
			return -1
		}
		return 1
	})
	return list
}

func bounds(points []r2.Vec) r2.Box {
	if len(points) == 0 {
		return r2.Box{}
	}
	box := r2.Box{Min: points[0], Max: points[0]}
	for _, p := range points {
		box.Min = r2.Vec{X: min(box.Min.X, p.X), Y: min(box.Min.Y, p.Y)}
		box.Max = r2.Vec{X: max(box.Max.X, p.X), Y: max(box.Max.Y, p.Y)}
	}
	return box
}

// centroid is the middle of a ring's area (shoelace formula); of its box if it has none.
func centroid(ring []r2.Vec) r2.Vec {
	if len(ring) == 0 {
		return r2.Vec{}
	}
	var sum r2.Vec
	area, o := 0.0, ring[0]
	for i := range ring {
		a, b := r2.Sub(ring[i], o), r2.Sub(ring[(i+1)%len(ring)], o)
		k := r2.Cross(a, b)
		area += k
		sum = r2.Add(sum, r2.Scale(k/3, r2.Add(a, b)))
	}
	if math.Abs(area) < 1e-9 {
		b := bounds(ring)
		return r2.Scale(0.5, r2.Add(b.Min, b.Max))
	}
	return r2.Add(o, r2.Scale(1/area, sum))
}
