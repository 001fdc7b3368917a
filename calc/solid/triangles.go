package solid

import "gonum.org/v1/gonum/spatial/r2"

// Triangles cuts a simple polygon, corners counter-clockwise, into triangles over the indices of its
// corners. A polygon that is not simple is cut somehow into as many triangles. The time grows at worst
// with the third power of the corners.
func Triangles(corners []r2.Vec) [][3]int { return polygon(corners).triangles() }
