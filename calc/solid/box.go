package solid

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Box has level ends, width × depth mm each, the top's middle shifted sideways from above the bottom's; the
// bottom's middle is the origin. Its faces are front right back left, as one who looks at the front has
// them, with edges bottom right top left each; floor and lid, with edges named after what they meet. Walls
// are 0 and nothing is open.
func Box(bottom, top r2.Vec, height float64, shift r2.Vec) *Shell {
	s := &Shell{}
	for _, c := range [2]struct{ size, mid r2.Vec }{{bottom, r2.Vec{}}, {top, shift}} {
		z := height * float64(len(s.Points)/4)
		for _, sign := range [4]r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
			s.Points = append(s.Points, r3.Vec{X: c.mid.X + sign.X*c.size.X/2, Y: c.mid.Y + sign.Y*c.size.Y/2, Z: z})
		}
	}
	sides := []string{"front", "right", "back", "left"}
	for k, name := range sides {
		next := (k + 1) % 4
		s.Faces = append(s.Faces, Face{Name: name, Loop: []int{k, next, 4 + next, 4 + k}, Edges: upright})
	}
	s.capped(sides, false)
	return s
}
