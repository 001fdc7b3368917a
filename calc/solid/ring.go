package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The names of level ends.
const (
	Floor = "floor"
	Lid   = "lid"
)

// upright are the edges of a side panel, as Loop runs: from the lower left, seen from outside.
var upright = []string{"bottom", "right", "top", "left"}

// Ring is a regular n-sided prism or frustum about the z axis, standing on z = 0, with corners bottom
// and top mm from the axis. A top of 0 is a point. Its sides are side1 … sideN, side1 at the front, then to
// the right; their edges are bottom right top left. Floor and lid close it, their edges named after the sides; a ring with a point has
// no lid.
// Walls are 0 and nothing is open.
func Ring(n int, bottom, top, height float64) *Shell {
	s := &Shell{}
	at := func(k int, r, z float64) r3.Vec {
		sin, cos := math.Sincos(2*math.Pi*(float64(k)-0.5)/float64(n) - math.Pi/2)
		return r3.Vec{X: r * cos, Y: r * sin, Z: z}
	}
	for k := range n {
		s.Points = append(s.Points, at(k, bottom, 0))
	}
	pointed := top == 0
	if pointed {
		s.Points = append(s.Points, r3.Vec{Z: height})
	}
	for k := 0; k < n && !pointed; k++ {
		s.Points = append(s.Points, at(k, top, height))
	}
	sides := make([]string, n)
	for k := range n {
		next := (k + 1) % n
		sides[k] = fmt.Sprintf("side%d", k+1)
		f := Face{Name: sides[k], Loop: []int{k, next, n + next, n + k}, Edges: upright}
		if pointed {
			f.Loop, f.Edges = []int{k, next, n}, []string{"bottom", "right", "left"}
		}
		s.Faces = append(s.Faces, f)
	}
	s.capped(sides, pointed)
	return s
}

// capped closes a tube, whose lowest points are the first and whose highest the last, as many as it has
// sides at each end; the edges of its ends are named after them.
func (s *Shell) capped(sides []string, pointed bool) {
	n := len(sides)
	floor, lid := Face{Name: Floor}, Face{Name: Lid}
	first := len(s.Points) - n
	for k := range n {
		floor.Loop = append(floor.Loop, (n-k)%n)
		lid.Loop = append(lid.Loop, first+k)
		// The edge from point n−k to the one before it is the bottom of the side before.
		floor.Edges = append(floor.Edges, sides[n-k-1])
		lid.Edges = append(lid.Edges, sides[k])
	}
	s.Faces = append(s.Faces, floor)
	if !pointed {
		s.Faces = append(s.Faces, lid)
	}
}
