package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Joined is the same outline with fewer edges: those that meet in a corner of less than the angle, in
// radians, become one, as in a traced line whose many short pieces are one edge to the maker. Edges are
// e1, e2, … from the first corner on; an outline without a corner has the one edge rim.
func (o Outline) Joined(corner float64) Outline {
	n := len(o.Edges)
	var corners []int // edges that begin at a corner
	list, edge := o.curves()
	for i, c := range list {
		before := list[(i+len(list)-1)%len(list)]
		if i > 0 && edge[i-1] == edge[i] {
			continue
		}
		u, v := before.tangent(1), c.tangent(0)
		if turn := math.Abs(math.Atan2(r2.Cross(u, v), r2.Dot(u, v))); turn >= corner || math.IsNaN(turn) {
			corners = append(corners, edge[i])
		}
	}
	if len(corners) == 0 {
		one := Edge{Name: "rim"}
		for _, e := range o.Edges {
			one.Segs = append(one.Segs, e.Segs...)
		}
		return Outline{Start: o.Start, Edges: []Edge{one}}
	}
	names := numbered(len(corners))
	out := Outline{Start: o.corner(corners[0])}
	for k, first := range corners {
		next := corners[(k+1)%len(corners)]
		if next <= first {
			next += n
		}
		e := Edge{Name: names[k]}
		for i := first; i < next; i++ {
			e.Segs = append(e.Segs, o.Edges[i%n].Segs...)
		}
		out.Edges = append(out.Edges, e)
	}
	return out
}
