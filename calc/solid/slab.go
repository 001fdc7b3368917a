package solid

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Slab is the foam of one panel: the corners of its show face, counter-clockwise seen from outside, and
// of its back face, each behind its like. Its sides are the cuts between them. Holes go through it; their
// corners too run counter-clockwise seen from outside.
type Slab struct {
	Show, Back []r3.Vec
	Holes      []Slab
}

// Surface says what of a slab a face is.
type Surface struct {
	Slab int
	Side int // the cut from corner Side to the next; Show or Back for the two faces, Hole for a hole's wall
}

// The surfaces of a slab that are not cuts.
const (
	Show = -1
	Back = -2
	Hole = -3
)

// Slabs is a shell of all surfaces of slabs, each slab closed on its own, and what each face is.
func Slabs(list []Slab) (*Shell, []Surface) {
	s, what := &Shell{}, []Surface(nil)
	add := func(slab, side int, loop ...int) {
		s.Faces, what = append(s.Faces, Face{Loop: loop}), append(what, Surface{slab, side})
	}
	for i, b := range list {
		front, back := s.addRing(b)
		holes := make([][2][]int, len(b.Holes))
		for k, h := range b.Holes {
			holes[k][0], holes[k][1] = s.addRing(h)
		}
		around := [2][]int{front, slices.Clone(back)}
		ways := s.bridges(front, holes)
		for _, k := range ways {
			for face := range around {
				around[face] = keyhole(around[face], k.at, holes[k.hole][face], k.to)
			}
		}
		slices.Reverse(around[1])
		add(i, Show, around[0]...)
		add(i, Back, around[1]...)
		for k := range front {
			next := (k + 1) % len(front)
			add(i, k, front[next], front[k], back[k], back[next])
		}
		for _, way := range ways {
			h := holes[way.hole]
			for k, p := range h[0] {
				next := (k + 1) % len(h[0])
				add(i, Hole, p, h[0][next], h[1][next], h[1][k])
			}
		}
	}
	return s, what
}

// addRing adds the corners of a ring's two faces.
func (s *Shell) addRing(b Slab) (front, back []int) {
	n := min(len(b.Show), len(b.Back))
	for k := range n {
		front, back = append(front, len(s.Points)+k), append(back, len(s.Points)+n+k)
	}
	s.Points = append(append(s.Points, b.Show[:n]...), b.Back[:n]...)
	return front, back
}

// bridge joins a hole to what is around it, so that both are one loop: from place at of the loop so far
// to corner to of the hole.
type bridge struct{ hole, at, to int }

// bridges finds a way to every hole that crosses nothing, the shortest each time. A hole that has none,
// as one that sticks out of the panel, is left out.
func (s *Shell) bridges(loop []int, holes [][2][]int) []bridge {
	if len(holes) == 0 {
		return nil
	}
	one := &Shell{Points: s.Points, Faces: []Face{{Loop: loop}}}
	f := frameOf(one.Normal(0))
	flat := func(k int) r2.Vec { return f.flat(s.Points[k]) }
	var sides [][2]r2.Vec
	wall := func(ring []int) {
		for k := range ring {
			sides = append(sides, [2]r2.Vec{flat(ring[k]), flat(ring[(k+1)%len(ring)])})
		}
	}
	wall(loop)
	for _, h := range holes {
		wall(h[0])
	}
	free := func(a, b r2.Vec) bool {
		return !slices.ContainsFunc(sides, func(w [2]r2.Vec) bool {
			return w[0] != a && w[1] != a && w[0] != b && w[1] != b && crossed(a, b, w[0], w[1])
		})
	}
	var out []bridge
	done := make([]bool, len(holes))
	for range holes {
		best, shortest := bridge{}, math.Inf(1)
		for h := range holes {
			if done[h] {
				continue
			}
			for at, k := range loop {
				for to, m := range holes[h][0] {
					a, b := flat(k), flat(m)
					if d := r2.Norm(r2.Sub(a, b)); d < shortest && free(a, b) {
						best, shortest = bridge{h, at, to}, d
					}
				}
			}
		}
		if math.IsInf(shortest, 1) {
			break
		}
		done[best.hole] = true
		sides = append(sides, [2]r2.Vec{flat(loop[best.at]), flat(holes[best.hole][0][best.to])})
		loop = keyhole(loop, best.at, holes[best.hole][0], best.to)
		out = append(out, best)
	}
	return out
}

// keyhole goes round a loop, at one place over to a hole, round that the other way, and back.
func keyhole(loop []int, at int, hole []int, to int) []int {
	out := slices.Clone(loop[:at+1])
	for k := range len(hole) + 1 {
		out = append(out, hole[(to-k+2*len(hole))%len(hole)])
	}
	return append(out, loop[at:]...)
}

// Glued is Slabs with the cuts that lie on each other taken out: what is left is the outside, the inside
// and the open rims. Corners nearer than within, in mm, are one.
func Glued(list []Slab, within float64) (*Shell, []Surface) {
	s, what := Slabs(list)
	s.weld(within)
	cuts := map[string][]int{} // the corners of a cut → faces with them
	gone := make([]bool, len(s.Faces))
	for i, f := range s.Faces {
		if what[i].Side < 0 {
			continue
		}
		ring := slices.Clone(f.Loop)
		slices.Sort(ring)
		key := string(appendInts(nil, ring))
		for _, k := range cuts[key] {
			if !gone[k] && what[k].Slab != what[i].Slab {
				gone[k], gone[i] = true, true
				break
			}
		}
		cuts[key] = append(cuts[key], i)
	}
	out, kept := s.Faces[:0], what[:0]
	for i := range s.Faces {
		if !gone[i] {
			out, kept = append(out, s.Faces[i]), append(kept, what[i])
		}
	}
	s.Faces = out
	return s, kept
}

func appendInts(dst []byte, list []int) []byte {
	for _, n := range list {
		dst = append(dst, byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
	}
	return dst
}

// weld makes one point of those that are near each other: each joins the first that it is near to.
func (s *Shell) weld(within float64) {
	cell := func(p r3.Vec) [3]int64 {
		return [3]int64{int64(math.Floor(p.X / within)), int64(math.Floor(p.Y / within)), int64(math.Floor(p.Z / within))}
	}
	at := map[[3]int64][]int{}
	joins := make([]int, len(s.Points))
	for i, p := range s.Points {
		joins[i] = i
		c := cell(p)
	search:
		for k := range 27 {
			for _, j := range at[[3]int64{c[0] + int64(k%3-1), c[1] + int64(k/3%3-1), c[2] + int64(k/9-1)}] {
				if r3.Norm(r3.Sub(s.Points[j], p)) <= within {
					joins[i] = j
					break search
				}
			}
		}
		if joins[i] == i {
			at[c] = append(at[c], i)
		}
	}
	for _, f := range s.Faces {
		for k, i := range f.Loop {
			f.Loop[k] = joins[i]
		}
	}
}
