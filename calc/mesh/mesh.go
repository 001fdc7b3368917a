// Package mesh reads models (OBJ, STL in text and binary) and turns their triangles into flat panels:
// points that stand together are welded, faces turned to look outwards, triangles of one plane merged,
// and the corners put where the panels' planes meet.
//
//	bytes → Facets → Model: panels over shared points → panels moved by a wall
//
// Lengths are the file's until Scale, then millimetres; coordinates are right-handed with z up, so a
// model made with y up is turned first. Loops run counter-clockwise seen from outside. What is wrong
// is a Fault or a Flaw with its place, and no file makes anything here panic or run away: the limits
// are the constants below. The package imports nothing of ours but solid.
package mesh

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// The limits of a model. They bound memory and time; a model for foam stays far below all of them.
const (
	// MaxFacets is the most triangles that are read.
	MaxFacets = 3_000_000
	// MaxPoints is the most corners that are read.
	MaxPoints = 3_000_000
	// MaxCorners is the most corners of one face of a file.
	MaxCorners = 256
	// MaxConcave is the most corners that all hollow faces with more than four corners have together.
	MaxConcave = 20_000
	// MaxCoordinate is the farthest that a corner may stand from the origin, in the file's own unit.
	MaxCoordinate = 1e9
)

// Facets is what a file holds: triangles over points. Faces of more corners are cut into triangles as
// they are read.
type Facets struct {
	Points []r3.Vec
	Tri    [][3]int32 // corners, as indices of Points
	Group  []int32    // of each triangle, as an index of Groups
	Place  []int32    // of each triangle: its line in a text, its number from 1 in a binary file
	Groups []string   // names of groups, objects or solids; "" for none
	Lines  bool       // Place counts lines
	Bent   []int32    // places of faces whose corners are not in one plane (see Read)
}

// Where is the place of a triangle in its file, in words.
func (f *Facets) Where(tri int) string { return f.place(f.Place[tri]) }

func (f *Facets) place(at int32) string {
	if f.Lines {
		return fmt.Sprintf("line %d", at)
	}
	return fmt.Sprintf("triangle %d", at)
}

// Fault is what is wrong with a file: where, and the way out.
type Fault struct {
	Where string // "line 12", "triangle 7", or "" for the whole file
	What  string
	Help  string
}

func (f *Fault) Error() string {
	if f.Where == "" {
		return f.What
	}
	return f.Where + ": " + f.What
}

// Read reads a model by the ending of its name: .obj or .stl. The error is a *Fault.
func Read(name string, data []byte) (*Facets, error) {
	var f *Facets
	var err error
	switch strings.ToLower(path.Ext(name)) {
	case ".obj":
		f, err = readOBJ(data)
	case ".stl":
		f, err = readSTL(data)
	default:
		return nil, &Fault{"", "it is neither .obj nor .stl", "Export the model as OBJ, which keeps names and shared corners, or as STL"}
	}
	if err != nil {
		return nil, err
	}
	if len(f.Tri) == 0 {
		return nil, &Fault{"", "it holds no faces", "Export the model as a mesh of faces"}
	}
	return f, nil
}

// Scale multiplies all sizes.
func (f *Facets) Scale(by float64) {
	for i, p := range f.Points {
		f.Points[i] = r3.Scale(by, p)
	}
}

// StandUp turns a model made with y up so that z is up: x stays, y becomes z.
func (f *Facets) StandUp() {
	for i, p := range f.Points {
		f.Points[i] = r3.Vec{X: p.X, Y: -p.Z, Z: p.Y}
	}
}

// Box is the box around the triangles; points that no triangle has do not count.
func (f *Facets) Box() r3.Box {
	inf := math.Inf(1)
	b := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for _, t := range f.Tri {
		for _, i := range t {
			b = grown(b, f.Points[i])
		}
	}
	return b
}

func grown(b r3.Box, p r3.Vec) r3.Box {
	b.Min = r3.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)}
	b.Max = r3.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)}
	return b
}

// Volume is what the triangles enclose (divergence theorem): the sum of the tetrahedra that they make
// with one point, here the first corner. It is negative when they look inwards.
func (f *Facets) Volume() float64 {
	if len(f.Tri) == 0 {
		return 0
	}
	o, sum := f.Points[f.Tri[0][0]], 0.0
	for t := range f.Tri {
		a, b, c := f.corners(t)
		sum += r3.Dot(r3.Sub(a, o), r3.Cross(r3.Sub(b, o), r3.Sub(c, o)))
	}
	return sum / 6
}

// Area is that of all triangles.
func (f *Facets) Area() float64 {
	sum := 0.0
	for t := range f.Tri {
		sum += r3.Norm(f.areaVector(t))
	}
	return sum
}

func (f *Facets) corners(t int) (a, b, c r3.Vec) {
	return f.Points[f.Tri[t][0]], f.Points[f.Tri[t][1]], f.Points[f.Tri[t][2]]
}

// areaVector is the normal of a triangle, as long as its area.
func (f *Facets) areaVector(t int) r3.Vec {
	a, b, c := f.corners(t)
	return r3.Scale(0.5, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
}

// add appends a face as triangles, cut where solid.Triangles cuts it; bent marks one that is not flat.
func (f *Facets) add(corners []int32, group, place int32, concave *int) error {
	if len(f.Tri)+len(corners)-2 > MaxFacets {
		return &Fault{f.place(place), fmt.Sprintf("there are more than %d triangles", MaxFacets), simpler}
	}
	list, bent, err := f.fan(corners, concave)
	if err != nil {
		return &Fault{f.place(place), err.Error(), simpler}
	}
	if bent {
		f.Bent = append(f.Bent, place)
	}
	f.Tri = append(f.Tri, list...)
	for range list {
		f.Group = append(f.Group, group)
		f.Place = append(f.Place, place)
	}
	return nil
}

// simpler is the way out for a model beyond a limit.
const simpler = "Reduce it to the flat faces that you would cut before you export it"

// group is the index of a name, added if it is new.
func (f *Facets) group(name string) int32 {
	if i := slices.Index(f.Groups, name); i >= 0 {
		return int32(i)
	}
	f.Groups = append(f.Groups, name)
	return int32(len(f.Groups) - 1)
}
