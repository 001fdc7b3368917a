// Package solid holds shells: flat faces in space that share edges, with the wall behind each face.
//
// Millimetres and radians, right-handed coordinates, z up where a shape has an up. The points of a
// face run counter-clockwise seen from outside, so that its normal (right-hand rule) points out of
// the foam. The given faces are the show side; the wall grows from them towards the inside.
// Dihedral δ is the angle between two faces measured inside the foam's side: 180° is flat, less is a
// convex ridge, more a hollow corner; a symmetric mitre cuts both at β = (180° − δ)/2.
//
// The package imports nothing of ours but shape.
package solid

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Face is one flat panel of a shell.
type Face struct {
	Name  string
	Loop  []int    // indices of Shell.Points, counter-clockwise seen from outside
	Edges []string // name of the edge from Loop[i] to Loop[i+1]; nil names them e1, e2, …
	Wall  float64  // thickness behind the face, mm
}

// Shell is faces with shared points. Two faces meet where one's loop holds i→j and the other's j→i.
type Shell struct {
	Points []r3.Vec
	Faces  []Face
}
