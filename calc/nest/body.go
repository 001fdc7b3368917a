package nest

import (
	"math"
	"slices"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

// kind is an item as the search knows it.
type kind struct {
	item   int
	area   float64 // true area, holes taken off
	bodies []int   // places in a stock's bodies, one for each turn worth trying
}

// body is a kind at one turn: convex pieces that cover it and half the gap around it.
type body struct {
	kind   int
	turn   float64
	pieces []piece
	box    r2.Box // of the true part with its slack: what must stay within the margins
	reach  r2.Box // of the pieces
	least  float64
}

// piece is a convex polygon, counter-clockwise.
type piece []r2.Vec

// stock is everything that can be laid, ready for the search.
type stock struct {
	job    Job
	kinds  []kind
	bodies []body
	rims   []int // for each sheet with an outline, the body of what lies around it
}

func newStock(job Job) *stock {
	s := &stock{job: job}
	wanted := 0
	for _, it := range job.Items {
		if it.Count > 0 {
			wanted++
		}
	}
	for i, it := range job.Items {
		k := kind{item: i}
		r := boundary(it.Outline, job.holes(i))
		k.area = r.area()
		if it.Count > 0 {
			plain, stray := r.simplified()
			pieces := convexPieces(plain[0], plain[1:])
			if !covers(pieces, r, stray) {
				pieces = [][]r2.Vec{hull(it.Outline)}
			}
			for n, p := range pieces {
				pieces[n] = grown(p, job.Gap/2+it.Slack+stray)
			}
			for _, turn := range turnsWorthTrying(it, pieces, job.Sheets, mostTurns(wanted)) {
				k.bodies = append(k.bodies, len(s.bodies))
				s.bodies = append(s.bodies, newBody(i, turn, it, pieces))
			}
		}
		s.kinds = append(s.kinds, k)
	}
	s.addRims()
	return s
}

// covers tells whether the corners of the rings and the middles of their sides lie in the pieces, or no further
// out than stray: a spike without area does not.
func covers(pieces [][]r2.Vec, r rings, stray float64) bool {
	in := func(p r2.Vec) bool {
		return slices.ContainsFunc(pieces, func(piece []r2.Vec) bool {
			for i, a := range piece {
				b := piece[(i+1)%len(piece)]
				if side(a, b, p) < -(stray+1e-7)*r2.Norm(r2.Sub(b, a)) {
					return false
				}
			}
			return true
		})
	}
	for _, ring := range r {
		for i, p := range ring {
			if !in(p) || !in(r2.Scale(0.5, r2.Add(p, ring[(i+1)%len(ring)]))) {
				return false
			}
		}
	}
	return true
}

// holes of an item, as far as anything may lie in them.
func (j Job) holes(item int) [][]r2.Vec {
	if !j.FillHoles {
		return nil
	}
	return j.Items[item].Holes
}

func newBody(k int, turn float64, it Item, pieces [][]r2.Vec) body {
	m := shape.Motion{Angle: turn}
	b := body{kind: k, turn: turn}
	b.box = ringBox(moved(it.Outline, m))
	b.box.Min = r2.Sub(b.box.Min, r2.Vec{X: it.Slack, Y: it.Slack})
	b.box.Max = r2.Add(b.box.Max, r2.Vec{X: it.Slack, Y: it.Slack})
	for i, p := range pieces {
		p = moved(p, m)
		if box := ringBox(p); i == 0 {
			b.reach = box
		} else {
			b.reach.Min.X, b.reach.Max.X = math.Min(b.reach.Min.X, box.Min.X), math.Max(b.reach.Max.X, box.Max.X)
			b.reach.Min.Y, b.reach.Max.Y = math.Min(b.reach.Min.Y, box.Min.Y), math.Max(b.reach.Max.Y, box.Max.Y)
		}
		b.pieces = append(b.pieces, p)
	}
	size := b.reach.Size()
	b.least = math.Min(size.X, size.Y)
	return b
}

func moved(ring []r2.Vec, m shape.Motion) []r2.Vec {
	out := make([]r2.Vec, len(ring))
	for i, p := range ring {
		out[i] = m.Apply(p)
	}
	return out
}

// mostTurns keeps the number of bodies, whose pairs are remembered, within bounds.
func mostTurns(kinds int) int { return min(48, max(8, 1200/max(1, kinds))) }

// turnsWorthTrying are the turns of an item. Of every angle they are the quarters, those that lay a side of
// the hull along the sheet, longest first, and then steps of 15°; where the part fits no sheet in any of
// them, also such as it fits in. Turns that bring the part onto itself are left out.
func turnsWorthTrying(it Item, pieces [][]r2.Vec, sheets []Sheet, most int) []float64 {
	const q = math.Pi / 2
	var list []float64
	switch it.Turns {
	case None:
		list = []float64{0}
	case Half:
		list = []float64{0, math.Pi}
	case Quarter:
		list = []float64{0, q, 2 * q, 3 * q}
	default:
		list = everyTurn(it, sheets)
	}
	var out []float64
	var seen []rings
	for _, t := range list {
		r := make(rings, 0, len(pieces))
		for _, p := range pieces {
			r = append(r, moved(p, shape.Motion{Angle: t}))
		}
		if !slices.ContainsFunc(seen, func(o rings) bool { return sameSet(o, r) }) {
			seen, out = append(seen, r), append(out, t)
		}
		if len(out) == most {
			break
		}
	}
	return out
}

func everyTurn(it Item, sheets []Sheet) []float64 {
	const q = math.Pi / 2
	h := hull(it.Outline)
	sides := make([]r2.Vec, len(h))
	for i, p := range h {
		sides[i] = r2.Sub(h[(i+1)%len(h)], p)
	}
	slices.SortStableFunc(sides, func(a, b r2.Vec) int {
		switch d := r2.Norm2(b) - r2.Norm2(a); {
		case d > 1e-9*r2.Norm2(a):
			return 1
		case d < -1e-9*r2.Norm2(a):
			return -1
		}
		return 0
	})
	list := []float64{0, q, 2 * q, 3 * q}
	for _, s := range sides[:min(len(sides), 8)] {
		for k := range 4 {
			list = append(list, math.Mod(2*math.Pi+float64(k)*q-math.Atan2(s.Y, s.X), 2*math.Pi))
		}
	}
	for k := 1; k < 24; k++ {
		list = append(list, float64(k)*math.Pi/12)
	}
	fits := func(t float64) bool {
		box := ringBox(moved(h, shape.Motion{Angle: t})).Size()
		return slices.ContainsFunc(sheets, func(s Sheet) bool {
			w, ht := s.size()
			return box.X+2*it.Slack <= w && box.Y+2*it.Slack <= ht
		})
	}
	if !slices.ContainsFunc(list, fits) {
		for k := range 720 {
			if t := float64(k) * math.Pi / 360; fits(t) {
				list = append([]float64{t, t + math.Pi}, list...)
				break
			}
		}
	}
	slices.SortStableFunc(list, func(a, b float64) int { // those that fit come first
		switch fa, fb := fits(a), fits(b); {
		case fa && !fb:
			return -1
		case fb && !fa:
			return 1
		}
		return 0
	})
	return list
}

// size of the sheet's box.
func (s Sheet) size() (w, h float64) {
	if s.Outline != nil {
		v := ringBox(s.Outline).Size()
		return v.X, v.Y
	}
	return s.Width, s.Height
}

// sameSet tells whether two sets of rings cover the same, shifted or not, by their corners from the box's.
func sameSet(a, b rings) bool {
	if a.points() != b.points() {
		return false
	}
	pa, pb := a.sorted(), b.sorted()
	for i := range pa {
		if r2.Norm(r2.Sub(pa[i], pb[i])) > 1e-7 {
			return false
		}
	}
	return true
}

// sorted are all points, from the corner of their box, in an order that small errors do not change.
func (r rings) sorted() []r2.Vec {
	all := slices.Concat(r...)
	min := ringBox(all).Min
	for i, p := range all {
		p = r2.Sub(p, min)
		all[i] = r2.Vec{X: math.Round(p.X*1e7) / 1e7, Y: math.Round(p.Y*1e7) / 1e7}
	}
	slices.SortFunc(all, func(a, b r2.Vec) int {
		switch {
		case a.X-b.X < -3e-7 || math.Abs(a.X-b.X) <= 3e-7 && a.Y < b.Y:
			return -1
		case a.X-b.X > 3e-7 || math.Abs(a.X-b.X) <= 3e-7 && a.Y > b.Y:
			return 1
		}
		return 0
	})
	return all
}
