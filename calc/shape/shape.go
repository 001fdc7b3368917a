// Package shape holds plane outlines and what can be done with them.
//
// Millimetres and radians, x right, y up. An Outline is closed, simple, and runs counter-clockwise
// around its inside, seen from the show face (outside). Each of its edges has a name and is made of
// one or more segments. Functions are pure; values share memory and are never changed in place.
package shape

import "gonum.org/v1/gonum/spatial/r2"

// SegKind is the kind of a segment.
type SegKind uint8

// The kinds of segment.
const (
	Line  SegKind = iota
	Arc           // circular, by its bulge
	Cubic         // Bézier with two control points
)

// Seg leads from the point before it to End.
type Seg struct {
	Kind SegKind
	End  r2.Vec
	// Bulge is tan(θ/4) of an arc's included angle θ, positive counter-clockwise, as in DXF.
	Bulge float64
	// C1 and C2 are a cubic's control points.
	C1, C2 r2.Vec
}

// Path is an open run of segments.
type Path struct {
	Start r2.Vec
	Segs  []Seg
}

// Edge is a named run of segments of an outline.
type Edge struct {
	Name string
	Segs []Seg
}

// Outline is a closed run of edges; the last segment ends at Start.
type Outline struct {
	Start r2.Vec
	Edges []Edge
}
