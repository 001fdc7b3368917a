package solid

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Slab is the foam of one panel: the corners of its show face, counter-clockwise seen from outside, and
// of its back face, each behind its like. Its sides are the cuts between them.
type Slab struct{ Show, Back []r3.Vec }

// Surface says what of a slab a face is.
type Surface struct {
	Slab int
	Side int // the cut from corner Side to the next; Show or Back for the two faces
}

// The surfaces of a slab that are not cuts.
const (
	Show = -1
	Back = -2
)

// Slabs is a shell of all surfaces of slabs, each slab closed on its own, and what each face is.
func Slabs(list []Slab) (*Shell, []Surface) {
	s, what := &Shell{}, []Surface(nil)
	for i, b := range list {
		n, first := min(len(b.Show), len(b.Back)), len(s.Points)
		s.Points = append(append(s.Points, b.Show[:n]...), b.Back[:n]...)
		front, back := make([]int, n), make([]int, n)
		for k := range n {
			front[k], back[n-1-k] = first+k, first+n+k
		}
		add := func(side int, loop ...int) {
			s.Faces, what = append(s.Faces, Face{Loop: loop}), append(what, Surface{i, side})
		}
		add(Show, front...)
		add(Back, back...)
		for k := range n {
			next := (k + 1) % n
			add(k, first+next, first+k, first+n+k, first+n+next)
		}
	}
	return s, what
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
