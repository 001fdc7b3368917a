package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// skinLoops works out the corners of all faces, openings too, on the outside and on the inside of the walls, as if
// every seam were mitred and every rim cut flush: what a tape measures round the shell.
func (b *builder) skinLoops() (outer, inner [][]r3.Vec) {
	given, moved := make([][]r3.Vec, len(b.Faces)), make([][]r3.Vec, len(b.Faces))
	for i, f := range b.Faces {
		for k, v := range f.Loop {
			given[i] = append(given[i], b.Points[v])
			moved[i] = append(moved[i], b.skin[i][k]...)
		}
	}
	if b.Inside {
		return moved, given
	}
	return given, moved
}

// Measures are the sizes of a whole shell. Volumes are those within the outside and the inside; the wall's
// is the sum of the panels'. Where the given faces leave holes without an opening to close them, the two
// volumes are 0.
type Measures struct {
	OuterVolume, InnerVolume, WallVolume float64 // mm³
	OuterArea, InnerArea                 float64 // mm², of the panels' show and back faces
	OuterBox, InnerBox                   [2]r3.Vec
}

// Measure measures the shell.
func (b *Body) Measure() Measures {
	var m Measures
	if b.closed() {
		m.OuterVolume, m.InnerVolume = volumeWithin(b.outer), volumeWithin(b.inner)
	}
	m.OuterBox, m.InnerBox = boxAround(b.outer), boxAround(b.inner)
	for i := range b.Panels {
		p := &b.Panels[i]
		m.WallVolume += p.Volume()
		m.OuterArea += p.ring(0).area()
		m.InnerArea += p.ring(1).area()
	}
	return m
}

// Volume is the panel's, in mm³, exact: all corners move on straight lines, so the area is a quadratic of
// the depth and the prismoidal formula holds.
func (p *Panel) Volume() float64 {
	return p.Wall / 6 * (p.ring(0).area() + 4*p.ring(0.5).area() + p.ring(1).area())
}

// volumeWithin is the volume within closed flat faces (divergence theorem).
func volumeWithin(faces [][]r3.Vec) float64 {
	sum, o := 0.0, faces[0][0]
	for _, f := range faces {
		for k := 1; k+1 < len(f); k++ {
			sum += r3.Dot(r3.Sub(f[0], o), r3.Cross(r3.Sub(f[k], o), r3.Sub(f[k+1], o)))
		}
	}
	return sum / 6
}

func boxAround(faces [][]r3.Vec) [2]r3.Vec {
	inf := math.Inf(1)
	low, high := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for _, f := range faces {
		for _, p := range f {
			low = r3.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
			high = r3.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
		}
	}
	return [2]r3.Vec{low, high}
}
