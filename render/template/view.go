package template

import (
	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// view carries a shape to where it is drawn: mirrored at the y axis or not, then shifted.
// Edges keep their order and their names; a mirrored outline therefore runs clockwise.
type view struct {
	flip bool
	by   r2.Vec
}

func (v view) point(p r2.Vec) r2.Vec {
	if v.flip {
		p.X = -p.X
	}
	return r2.Add(p, v.by)
}

func (v view) segs(in []shape.Seg) []shape.Seg {
	out := make([]shape.Seg, len(in))
	for i, s := range in {
		s.End, s.C1, s.C2 = v.point(s.End), v.point(s.C1), v.point(s.C2)
		if v.flip {
			s.Bulge = -s.Bulge
		}
		out[i] = s
	}
	return out
}

func (v view) path(p shape.Path) shape.Path {
	return shape.Path{Start: v.point(p.Start), Segs: v.segs(p.Segs)}
}

func (v view) outline(o shape.Outline) shape.Outline {
	out := shape.Outline{Start: v.point(o.Start), Edges: make([]shape.Edge, len(o.Edges))}
	for i, e := range o.Edges {
		out.Edges[i] = shape.Edge{Name: e.Name, Segs: v.segs(e.Segs)}
	}
	return out
}

// shifted moves one item of a drawing; words are moved, never mirrored.
func shifted(it draw.Item, by r2.Vec) draw.Item {
	v := view{by: by}
	switch it := it.(type) {
	case draw.Stroke:
		it.Path = v.path(it.Path)
		return it
	case draw.Area:
		it.Outline = v.outline(it.Outline)
		holes := make([]shape.Outline, len(it.Holes))
		for i, h := range it.Holes {
			holes[i] = v.outline(h)
		}
		it.Holes = holes
		return it
	case draw.Label:
		it.At = v.point(it.At)
		return it
	case draw.Point:
		it.At = v.point(it.At)
		return it
	case draw.Dimension:
		it.A, it.B = v.point(it.A), v.point(it.B)
		return it
	case draw.Angle:
		it.At = v.point(it.At)
		return it
	}
	return it
}
