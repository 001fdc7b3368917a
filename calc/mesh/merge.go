package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// region is triangles of one plane that hang together.
type region struct {
	normal r3.Vec  // unit
	middle r3.Vec  // a point of its plane
	area   float64 // of its triangles
	first  int32   // its triangle that stands first in the file
}

// tilt is how far a triangle may lean from the plane of a region that it joins.
var tilt = math.Cos(20 * math.Pi / 180)

// merge gathers triangles into regions: the largest triangle gives the plane, and those beside it join
// while their corners stand within flat of that plane and they lean little from it, so that a smooth
// curve is cut into strips and does not creep into one. Slivers, whose own direction means nothing, go
// to the neighbour across their longest side. Groups do not mix: a border between two is a seam that
// somebody drew. More regions than most are a flaw, told before anything else is worked out.
func (l *linked) merge(flat float64, most int) ([]region, []int32, *Flaw) {
	m := merger{linked: l, flat: flat, of: make([]int32, len(l.Tri)), plane: make([]r3.Vec, len(l.Tri))}
	order, area := make([]int32, len(l.Tri)), make([]float64, len(l.Tri))
	for t := range order {
		order[t], m.of[t], m.plane[t] = int32(t), -1, l.areaVector(t)
		area[t] = r3.Norm2(m.plane[t])
	}
	slices.SortFunc(order, func(a, b int32) int {
		if area[a] != area[b] {
			return cmp.Compare(area[b], area[a])
		}
		return l.compare(a, b)
	})
	for _, t := range order {
		if m.of[t] < 0 && !m.sliver(t) {
			m.grow(t)
			if len(m.regions) > most {
				return nil, nil, &Flaw{Kind: TooFine, Count: m.count(order), At: l.Points[l.Tri[t][0]], Place: l.Where(int(t))}
			}
		}
	}
	m.giveSlivers(order)
	return m.regions, m.of, nil
}

type merger struct {
	*linked
	flat    float64
	regions []region
	of      []int32  // of each triangle: its region, -1 for none yet
	plane   []r3.Vec // of each triangle: its area vector
	queue   []int32
}

// compare orders triangles of one size by where they stand, so that their order in the file does not
// matter.
func (l *linked) compare(a, b int32) int {
	sum := func(t int32) r3.Vec {
		x, y, z := l.corners(int(t))
		return r3.Add(x, r3.Add(y, z))
	}
	p, q := sum(a), sum(b)
	return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(p.Z, q.Z), cmp.Compare(a, b))
}

// sliver tells whether a triangle is nowhere as high as the tolerance over its longest side.
func (m *merger) sliver(t int32) bool {
	return 2*r3.Norm(m.plane[t]) <= m.flat*m.length(m.longest(t))
}

func (m *merger) length(h int32) float64 {
	return r3.Norm(r3.Sub(m.Points[m.to(h)], m.Points[m.from(h)]))
}

func (m *merger) longest(t int32) int32 {
	h := 3 * t
	for k := h + 1; k < 3*t+3; k++ {
		if m.length(k) > m.length(h) {
			h = k
		}
	}
	return h
}

// grow makes a region from a triangle on.
func (m *merger) grow(seed int32) {
	number := int32(len(m.regions))
	r := region{normal: r3.Unit(m.plane[seed]), middle: m.Points[m.Tri[seed][0]], first: seed}
	m.of[seed] = number
	m.queue = append(m.queue[:0], seed)
	for len(m.queue) > 0 {
		t := m.queue[len(m.queue)-1]
		m.queue = m.queue[:len(m.queue)-1]
		r.area += r3.Norm(m.plane[t])
		r.first = min(r.first, t)
		for h := 3 * t; h < 3*t+3; h++ {
			if n := m.mate[h]; n >= 0 && m.of[n/3] < 0 && m.joins(&r, n/3, seed) {
				m.of[n/3] = number
				m.queue = append(m.queue, n/3)
			}
		}
	}
	m.regions = append(m.regions, r)
}

func (m *merger) joins(r *region, t, seed int32) bool {
	if m.Group[t] != m.Group[seed] || r3.Dot(m.plane[t], r.normal) < tilt*r3.Norm(m.plane[t]) || m.sliver(t) {
		return false
	}
	for _, i := range m.Tri[t] {
		if math.Abs(r3.Dot(r3.Sub(m.Points[i], r.middle), r.normal)) > m.flat {
			return false
		}
	}
	return true
}

// giveSlivers hands each sliver to the region across its longest side that leads somewhere; a patch of
// nothing but slivers becomes a region of its own.
func (m *merger) giveSlivers(order []int32) {
	left := order[:0]
	for _, t := range order {
		if m.of[t] < 0 {
			left = append(left, t)
		}
	}
	for len(left) > 0 {
		still := left[:0]
		for _, t := range left {
			if to := m.neighbour(t); to >= 0 {
				m.of[t] = to
				r := &m.regions[to]
				r.area += r3.Norm(m.plane[t])
			} else {
				still = append(still, t)
			}
		}
		if len(still) == len(left) {
			t := still[0]
			m.of[t] = int32(len(m.regions))
			m.regions = append(m.regions, region{normal: unit(m.plane[t]), middle: m.Points[m.Tri[t][0]], area: r3.Norm(m.plane[t]), first: t})
			still = still[1:]
		}
		left = still
	}
}

// neighbour is the region across the longest of a sliver's sides that borders on one of its group,
// or on any; -1 for none.
func (m *merger) neighbour(t int32) int32 {
	best, longest, own := int32(-1), -1.0, false
	for h := 3 * t; h < 3*t+3; h++ {
		n := m.mate[h]
		if n < 0 || m.of[n/3] < 0 {
			continue
		}
		same := m.Group[n/3] == m.Group[t]
		if length := m.length(h); same && !own || same == own && length > longest {
			best, longest, own = m.of[n/3], length, same
		}
	}
	return best
}

// count is how many regions there would be at least: those made and the triangles left that are larger
// than a sliver and lean away from all their neighbours. It is the number that the message tells.
func (m *merger) count(order []int32) int {
	for _, t := range order {
		if m.of[t] < 0 && !m.sliver(t) {
			m.grow(t)
		}
	}
	return len(m.regions)
}

func unit(v r3.Vec) r3.Vec {
	_, _, n := frame(v)
	return n
}
