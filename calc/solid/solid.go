// Package solid holds shells: flat faces in space that share edges, with the wall behind each face.
//
// Millimetres and radians, right-handed coordinates, z up where a shape has an up, the front at −y.
// The points of a face run counter-clockwise seen from outside, so that its normal (right-hand rule)
// points out of the foam. The given faces are the show side and the wall grows from them towards the
// inside, or the other way round where Shell.Inside says so.
// Dihedral δ is the angle between two faces measured inside the foam's side: 180° is flat, less is a
// convex ridge, more a hollow corner; a symmetric mitre cuts both at β = (180° − δ)/2.
//
// A Shell is data. Check tells what is wrong with it; Build works out its panels, seams and skins.
//
// The package imports nothing of ours but shape.
package solid

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
)

// Face is one flat panel of a shell.
type Face struct {
	Name  string
	Loop  []int    // indices of Shell.Points, counter-clockwise seen from outside
	Edges []string // name of the edge from Loop[i] to Loop[i+1]; nil names them e1, e2, …
	Wall  float64  // thickness behind the face, mm
	// Open says that the face is an opening: no panel stands there and its edges are rims. It still
	// closes the shell for volumes and girths, and says where a rim that is cut flush lies.
	Open bool
}

// Shell is faces with shared points. Two faces meet where one's loop holds i→j and the other's j→i.
type Shell struct {
	Points []r3.Vec
	Faces  []Face
	// Inside says that the given faces are the back side, and that the wall grows outwards from them.
	Inside bool
}

// EdgeName is the name of edge i of a face.
func (f Face) EdgeName(i int) string {
	if i < len(f.Edges) {
		return f.Edges[i]
	}
	return fmt.Sprintf("e%d", i+1)
}

// FaceIndex is the place of the named face, or -1.
func (s *Shell) FaceIndex(name string) int {
	for i, f := range s.Faces {
		if f.Name == name {
			return i
		}
	}
	return -1
}

// Edge is one edge of one face of a shell: from Loop[Edge] to the next corner.
type Edge struct{ Face, Edge int }

// ends are the indices of the points that an edge leads from and to.
func (s *Shell) ends(e Edge) (from, to int) {
	loop := s.Faces[e.Face].Loop
	return loop[e.Edge], loop[(e.Edge+1)%len(loop)]
}

// Label names an edge with its face: "front.right".
func (s *Shell) Label(e Edge) string {
	f := s.Faces[e.Face]
	return f.Name + "." + f.EdgeName(e.Edge)
}
