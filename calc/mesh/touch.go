package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// touching finds panels that run through each other, lie on each other, or stand against each other
// without a common corner or edge. Two flat panels that share more than corners and edges have an edge
// of one of them in or through the other, so the edges are tried against the panels whose boxes they
// meet. An open edge at the border of a panel is not told: it is a gap, and told as one. Each pair of
// panels is told once; the first pairs are listed, and the last flaw counts the rest.
func (m *Model) touching(tol float64) []Flaw {
	const listed = 5
	tol = math.Max(tol, 1e-6)
	planes, boxes := m.Planes(), make([]r3.Box, len(m.Panels))
	sheets := make([]sheet, len(m.Panels))
	for i, p := range m.Panels {
		sheets[i] = m.sheet(p, planes[i])
		boxes[i] = sheets[i].box
	}
	open := map[[2]int]bool{}
	for _, rim := range m.Rims {
		for k, a := range rim {
			open[[2]int{a, rim[(k+1)%len(rim)]}] = true
		}
	}
	t := newTree(boxes)
	told := map[[2]int]bool{}
	var flaws []Flaw
	for i, p := range m.Panels {
		for k, a := range p.Loop {
			b := p.Loop[(k+1)%len(p.Loop)]
			edge := grown(r3.Box{Min: m.Points[a], Max: m.Points[a]}, m.Points[b])
			t.each(edge, func(j int) {
				pair := [2]int{min(i, j), max(i, j)}
				if i == j || told[pair] {
					return
				}
				at, hit := sheets[j].touches(m, a, b, tol)
				gap := m.atRim(sheets[j].Loop, at, open, tol) || open[[2]int{a, b}] && !sheets[j].holds(sheets[j].in(at), tol)
				if !hit || gap {
					return
				}
				told[pair] = true
				if len(flaws) < listed {
					flaws = append(flaws, Flaw{Touching, 1, m.Panels[pair[0]].Place + " and " + m.Panels[pair[1]].Place, at})
				} else {
					flaws[listed-1].Count++
				}
			})
		}
	}
	return flaws
}

// atRim tells whether a point lies on an open edge of a loop.
func (m *Model) atRim(loop []int, at r3.Vec, open map[[2]int]bool, tol float64) bool {
	for k, a := range loop {
		b := loop[(k+1)%len(loop)]
		if open[[2]int{a, b}] && strays(at, m.Points[a], m.Points[b]) <= 2*tol {
			return true
		}
	}
	return false
}

// sheet is a panel in its own plane.
type sheet struct {
	Panel
	plane     Plane
	right, up r3.Vec
	flat      []r2.Vec
	box       r3.Box
}

func (m *Model) sheet(p Panel, at Plane) sheet {
	s := sheet{Panel: p, plane: at}
	s.right, s.up, _ = frame(at.Normal)
	s.box = r3.Box{Min: m.Points[p.Loop[0]], Max: m.Points[p.Loop[0]]}
	for _, i := range p.Loop {
		s.flat = append(s.flat, s.in(m.Points[i]))
		s.box = grown(s.box, m.Points[i])
	}
	return s
}

func (s *sheet) in(p r3.Vec) r2.Vec { return r2.Vec{X: r3.Dot(p, s.right), Y: r3.Dot(p, s.up)} }

// touches tells whether the edge a–b of another panel comes to the sheet anywhere but at corners and
// along edges that both have.
func (s *sheet) touches(m *Model, a, b int, tol float64) (r3.Vec, bool) {
	p, q := m.Points[a], m.Points[b]
	mineA, mineB := slices.Contains(s.Loop, a), slices.Contains(s.Loop, b)
	da, db := s.plane.Over(p), s.plane.Over(q)
	if mineA {
		da = 0
	}
	if mineB {
		db = 0
	}
	onA, onB := math.Abs(da) <= tol, math.Abs(db) <= tol
	switch {
	case onA && onB:
		return s.lies(m, a, b, tol)
	case onA && !mineA && s.holds(s.in(p), -tol):
		return p, true
	case onB && !mineB && s.holds(s.in(q), -tol):
		return q, true
	case onA || onB || da > 0 == (db > 0):
		return r3.Vec{}, false
	}
	at := r3.Add(p, r3.Scale(da/(da-db), r3.Sub(q, p)))
	return at, s.holds(s.in(at), -tol)
}

// lies tells whether an edge in the plane of the sheet runs over its inside. The edge is parted where it meets the border; each stretch lies in or out.
func (s *sheet) lies(m *Model, a, b int, tol float64) (r3.Vec, bool) {
	p, q := s.in(m.Points[a]), s.in(m.Points[b])
	dir := r2.Sub(q, p)
	length := r2.Norm(dir)
	if length <= tol {
		return r3.Vec{}, false
	}
	cuts := []float64{0, 1}
	for i, c := range s.flat {
		d := s.flat[(i+1)%len(s.flat)]
		u, v := r2.Cross(dir, r2.Sub(c, p))/length, r2.Cross(dir, r2.Sub(d, p))/length
		for _, e := range []struct {
			off float64
			at  r2.Vec
		}{{u, c}, {v, d}} {
			if math.Abs(e.off) <= tol {
				cuts = append(cuts, r2.Dot(dir, r2.Sub(e.at, p))/(length*length))
			}
		}
		if (u > 0) != (v > 0) {
			x := r2.Add(c, r2.Scale(u/(u-v), r2.Sub(d, c)))
			cuts = append(cuts, r2.Dot(dir, r2.Sub(x, p))/(length*length))
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		from, to := math.Max(cuts[i-1], 0), math.Min(cuts[i], 1)
		if (to-from)*length <= 4*tol {
			continue
		}
		mid := (from + to) / 2
		if s.holds(r2.Add(p, r2.Scale(mid, dir)), tol) {
			return r3.Add(m.Points[a], r3.Scale(mid, r3.Sub(m.Points[b], m.Points[a]))), true
		}
	}
	return r3.Vec{}, false
}

// holds tells whether a point lies in the sheet at least deep within its border; with deep below 0,
// at most that far outside of it.
func (s *sheet) holds(p r2.Vec, deep float64) bool {
	in, near := false, math.Inf(1)
	for i, a := range s.flat {
		b := s.flat[(i+1)%len(s.flat)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
		near = math.Min(near, fromStretch(p, a, b))
	}
	if deep < 0 {
		return in || near <= -deep
	}
	return in && near >= deep
}

func fromStretch(p, a, b r2.Vec) float64 {
	ab, ap := r2.Sub(b, a), r2.Sub(p, a)
	t := 0.0
	if n := r2.Norm2(ab); n > 0 {
		t = math.Max(0, math.Min(1, r2.Dot(ap, ab)/n))
	}
	return r2.Norm(r2.Sub(ap, r2.Scale(t, ab)))
}
