package part

import (
	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// MoveMatches takes match marks that were set along the edges of another outline of the same part, such as
// the show face of the whole stack, to the edges of this piece, so that they keep their place in space:
// bevels make the edges of a layer start elsewhere. Marks beyond the ends are dropped.
func (p *Part) MoveMatches(from shape.Outline) {
	here := p.Show.Corners()
	for i, at := range from.Corners() {
		if len(p.Edges[i].Matches) == 0 {
			continue
		}
		along := r2.Unit(r2.Sub(from.Edges[i].Segs[0].End, at))
		shift := r2.Dot(along, r2.Sub(here[i], at))
		var moved []float64
		for _, m := range p.Edges[i].Matches {
			if m -= shift; m > 0 && m < p.Edges[i].Length {
				moved = append(moved, m)
			}
		}
		p.Edges[i].Matches = moved
	}
}
