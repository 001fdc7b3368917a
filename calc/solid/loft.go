package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Fold says along which diagonal a side that is not flat is split, seen from outside.
type Fold uint8

// The folds.
const (
	NoFold  Fold = iota
	Rising       // from the lower left to the upper right
	Falling      // from the upper left to the lower right
)

// Twist is a side of a loft that is not flat: how far, in mm, its fourth corner lies off the plane of the
// other three.
type Twist struct {
	Face string
	Off  float64
}

// Loft joins rings of points, from the lowest to the highest, all with as many points and counter-clockwise
// seen from above, by a side between each edge and the one above it. name gives the name of a side by its
// level (from 0) and edge; sides are the names of the edges of floor and lid. A side that is not flat within
// flat mm is split in two, NAME_low and NAME_high, along the fold that fold gives it, and one with a fold is
// split in any case; sides that are not flat and have no fold are told, and the shell is no good then.
// Walls are 0 and nothing is open.
func Loft(rings [][]r3.Vec, sides []string, name func(level, edge int) string, fold func(face string) Fold, flat float64) (*Shell, []Twist) {
	s := &Shell{}
	n := len(sides)
	for _, r := range rings {
		s.Points = append(s.Points, r...)
	}
	var twists []Twist
	for level := range len(rings) - 1 {
		for k := range n {
			a, b := level*n+k, level*n+(k+1)%n
			c, d := b+n, a+n
			face := name(level, k)
			way := fold(face)
			if off := s.offPlane(a, b, c, d); off > flat && way == NoFold {
				twists = append(twists, Twist{face, off})
			}
			low, high := face+"_low", face+"_high"
			switch way {
			case NoFold:
				s.Faces = append(s.Faces, Face{Name: face, Loop: []int{a, b, c, d}, Edges: upright})
			case Rising:
				s.Faces = append(s.Faces,
					Face{Name: low, Loop: []int{a, b, c}, Edges: []string{"bottom", "right", "fold"}},
					Face{Name: high, Loop: []int{a, c, d}, Edges: []string{"fold", "top", "left"}})
			case Falling:
				s.Faces = append(s.Faces,
					Face{Name: low, Loop: []int{a, b, d}, Edges: []string{"bottom", "fold", "left"}},
					Face{Name: high, Loop: []int{b, c, d}, Edges: []string{"right", "top", "fold"}})
			}
		}
	}
	s.capped(sides, false)
	return s, twists
}

// offPlane is how far four points are from lying in one plane: the distance of the furthest from the plane
// of the other three.
func (s *Shell) offPlane(list ...int) float64 {
	most := 0.0
	for i := range list {
		o, a, b := s.Points[list[(i+1)%4]], s.Points[list[(i+2)%4]], s.Points[list[(i+3)%4]]
		n := r3.Cross(r3.Sub(a, o), r3.Sub(b, o))
		if size := r3.Norm(n); size > 0 {
			most = max(most, math.Abs(r3.Dot(n, r3.Sub(s.Points[list[i]], o)))/size)
		}
	}
	return most
}
