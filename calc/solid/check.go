package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

// The limits of what is worked on, and the tolerances, each by what it decides. Millimetres.
const (
	maxSize   = 1e6  // no coordinate is larger
	samePoint = 1e-9 // two points are one
	leastEdge = 1e-3 // an edge shorter than this is no edge: foam is not cut finer
	leastArea = 1e-6 // mm²
	// Flat is how far a point may lie off the plane of its face: below what a blade in foam can follow.
	Flat = 0.01
)

// Flaw is something wrong with a shell: which face and where.
type Flaw struct {
	Face  string // its name, "" if it is the whole shell
	Other string // a second face in it, or ""
	At    r3.Vec // about where
	Text  string // what is wrong, of the face: "has two corners at one place"
}

// Error is a sentence with face, place and fault.
func (f *Flaw) Error() string {
	if f.Face == "" {
		return f.Text
	}
	return fmt.Sprintf("%s %s at %s", f.Face, f.Text, place(f.At))
}

// place writes a point with one decimal, as a maker measures.
func place(p r3.Vec) string {
	one := func(v float64) float64 {
		v = math.Round(v*10) / 10
		return v + 0 // never -0
	}
	return fmt.Sprintf("(%g, %g, %g) mm", one(p.X), one(p.Y), one(p.Z))
}

func finite(p r3.Vec) bool {
	return math.Abs(p.X) <= maxSize && math.Abs(p.Y) <= maxSize && math.Abs(p.Z) <= maxSize // false for NaN
}

// Check tells all that is wrong with a shell, the faces in their order: loops that are no loops,
// places that are no numbers, repeated corners, faces without area, not flat or crossing themselves,
// walls that are no thickness, edges that more than two faces share or that two faces run through the
// same way, and a closed shell turned inside out. A shell with a flaw cannot be built. flat is how far,
// in mm, a point may lie off its face's plane.
func (s *Shell) Check(flat float64) []*Flaw {
	var list []*Flaw
	if len(s.Faces) == 0 {
		return []*Flaw{{Text: "the shell has no faces"}}
	}
	sound := make([]bool, len(s.Faces))
	for i := range s.Faces {
		flaw := s.checkFace(i, flat)
		if sound[i] = flaw == nil; flaw != nil {
			list = append(list, flaw)
		}
	}
	list = append(list, s.checkEdges(sound)...)
	if len(list) == 0 && s.closed() && s.signedVolume() < 0 {
		list = append(list, &Flaw{Text: "the faces of the shell are turned inside out: their corners must run counter-clockwise seen from outside"})
	}
	return list
}

func (s *Shell) checkFace(i int, flat float64) *Flaw {
	f := s.Faces[i]
	flaw := func(at r3.Vec, format string, args ...any) *Flaw {
		return &Flaw{Face: f.Name, At: at, Text: fmt.Sprintf(format, args...)}
	}
	if len(f.Loop) < 3 {
		return flaw(r3.Vec{}, "has %d corners; a face needs three", len(f.Loop))
	}
	seen := make(map[int]bool, len(f.Loop))
	for _, k := range f.Loop {
		switch {
		case k < 0 || k >= len(s.Points):
			return flaw(r3.Vec{}, "has a corner that does not exist, number %d,", k)
		case !finite(s.Points[k]):
			return flaw(r3.Vec{}, "has a corner whose place is no number, or is too far away to cut,")
		case seen[k]:
			return flaw(s.Points[k], "comes twice to one corner")
		}
		seen[k] = true
	}
	for e := range f.Loop {
		from, to := s.ends(Edge{i, e})
		if r3.Norm(r3.Sub(s.Points[to], s.Points[from])) < leastEdge {
			return flaw(s.Points[from], "has two corners at one place")
		}
	}
	if !(f.Wall >= 0 && f.Wall <= maxSize) {
		return flaw(s.Points[f.Loop[0]], "has a wall of %g mm", f.Wall)
	}
	n := s.areaVector(i)
	if !(r3.Norm(n) > leastArea) {
		return flaw(s.Points[f.Loop[0]], "has no area")
	}
	if off, at := s.unflat(i); off > flat {
		return flaw(at, "is not flat: a corner lies %.2g mm off its plane,", off)
	}
	return s.checkSimple(i)
}

// unflat is how far the corner furthest off the face's best plane lies from it, and where that is.
func (s *Shell) unflat(i int) (off float64, at r3.Vec) {
	p := s.plane(i)
	for _, k := range s.Faces[i].Loop {
		if d := math.Abs(p.over(s.Points[k])); d >= off {
			off, at = d, s.Points[k]
		}
	}
	return off, at
}

// checkSimple refuses faces whose edges cross. Triangles cannot.
func (s *Shell) checkSimple(i int) *Flaw {
	f := s.Faces[i]
	if len(f.Loop) == 3 {
		return nil
	}
	ring := make(polygon, len(f.Loop))
	fr := frameOf(s.plane(i).n)
	for k, v := range f.Loop {
		ring[k] = fr.flat(s.Points[v])
	}
	if ring.convex() {
		return nil
	}
	o := shape.Outline{Start: ring[0]}
	for k := range ring {
		o.Edges = append(o.Edges, shape.Edge{Name: f.EdgeName(k), Segs: []shape.Seg{{End: ring[(k+1)%len(ring)]}}})
	}
	if err := o.IsSimple(); err != nil {
		return &Flaw{Face: f.Name, At: s.Points[f.Loop[0]], Text: "crosses itself: " + err.Error() + " in its plane,"}
	}
	return nil
}

// checkEdges finds edges that do not join two faces properly.
func (s *Shell) checkEdges(sound []bool) []*Flaw {
	var list []*Flaw
	type use struct {
		first Edge
		along int // how many faces run through it from the lower to the higher point
		all   int
	}
	uses := map[[2]int]*use{}
	for i, f := range s.Faces {
		if !sound[i] {
			continue
		}
		for e := range f.Loop {
			from, to := s.ends(Edge{i, e})
			key := [2]int{min(from, to), max(from, to)}
			u := uses[key]
			if u == nil {
				u = &use{first: Edge{i, e}}
				uses[key] = u
			}
			u.all++
			if from < to {
				u.along++
			}
			mid := r3.Scale(0.5, r3.Add(s.Points[from], s.Points[to]))
			flaw := &Flaw{Face: f.Name, Other: s.Faces[u.first.Face].Name, At: mid}
			switch {
			case u.all > 2:
				flaw.Text = fmt.Sprintf("shares its edge %s with more than one other face (%s is one)", f.EdgeName(e), flaw.Other)
				list = append(list, flaw)
			case u.all == 2 && u.along != 1:
				flaw.Text = fmt.Sprintf("and %s run through their common edge %s the same way: one of them is turned over,", flaw.Other, f.EdgeName(e))
				list = append(list, flaw)
			}
		}
	}
	return list
}

// signedVolume is the volume within closed faces (divergence theorem): below 0 if they are turned
// inside out.
func (s *Shell) signedVolume() float64 {
	sum, o := 0.0, s.Points[s.Faces[0].Loop[0]]
	for i, f := range s.Faces {
		sum += r3.Dot(r3.Sub(s.Points[f.Loop[0]], o), s.areaVector(i))
	}
	return sum / 3
}
