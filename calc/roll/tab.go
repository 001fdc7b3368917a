package roll

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Tab widens an outline beyond one of its straight edges by a strip to glue on, mm wide, its corners
// taken off so that it slips behind the other edge. The edge gets the name tab; the line along which
// it was is returned. A tab that runs over the outline is refused.
func Tab(o shape.Outline, edge string, width float64) (shape.Outline, shape.Path, error) {
	i := o.EdgeIndex(edge)
	if i < 0 || len(o.Edges[i].Segs) != 1 || o.Edges[i].Segs[0].Kind != shape.Line {
		return o, shape.Path{}, fmt.Errorf("the edge %s is not straight", edge)
	}
	path := o.EdgePath(i)
	a, b := path.Start, path.Segs[0].End
	along := r2.Sub(b, a)
	length := r2.Norm(along)
	if !(width > same) || !(width <= Largest) || length < same {
		return o, shape.Path{}, errors.New("the tab has no width")
	}
	along = r2.Scale(1/length, along)
	out := r2.Scale(width, r2.Vec{X: along.Y, Y: -along.X})
	slope := r2.Scale(math.Min(width, length/4), along)
	edges := append([]shape.Edge(nil), o.Edges...)
	edges[i] = shape.Edge{Name: "tab", Segs: []shape.Seg{
		{End: r2.Add(r2.Add(a, out), slope)}, {End: r2.Sub(r2.Add(b, out), slope)}, {End: b}}}
	o.Edges = edges
	return o, path, o.IsSimple()
}
