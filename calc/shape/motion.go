package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Motion is a move of the plane that keeps every length: first a mirroring in the y axis (x → −x) if
// Mirror is set, then a turn about the origin by Angle (radians, counter-clockwise), then a shift by
// Shift (mm). The zero Motion leaves everything where it is.
type Motion struct {
	Mirror bool
	Angle  float64
	Shift  r2.Vec
}

// Apply moves a point.
func (m Motion) Apply(p r2.Vec) r2.Vec { return r2.Add(m.turn(p), m.Shift) }

// turn is the motion without its shift, for directions.
func (m Motion) turn(v r2.Vec) r2.Vec {
	if m.Mirror {
		v.X = -v.X
	}
	if m.Angle == 0 {
		return v
	}
	return turned(v, m.Angle)
}

// Path moves a path; it keeps its direction, so a mirrored arc bends the other way.
func (m Motion) Path(p Path) Path {
	out := Path{Start: m.Apply(p.Start), Segs: make([]Seg, len(p.Segs))}
	for i, s := range p.Segs {
		out.Segs[i] = m.seg(s)
	}
	return out
}

func (m Motion) seg(s Seg) Seg {
	s.End = m.Apply(s.End)
	if s.Kind == Cubic {
		s.C1, s.C2 = m.Apply(s.C1), m.Apply(s.C2)
	}
	if m.Mirror {
		s.Bulge = -s.Bulge
	}
	return s
}

// Outline moves an outline. A mirrored one is turned counter-clockwise again: its edges come in the
// opposite order, the first one still first, each with its name.
func (m Motion) Outline(o Outline) Outline {
	if len(o.Edges) == 0 {
		return o
	}
	out := o.each(func(p Path) Path { return m.Path(p) })
	if m.Mirror {
		out = out.reversed()
	}
	return out
}

// each rebuilds the outline from its edges, changed one by one; they must still join.
func (o Outline) each(change func(Path) Path) Outline {
	out := Outline{Edges: make([]Edge, len(o.Edges))}
	for i, at := range o.Corners() {
		p := change(Path{Start: at, Segs: o.Edges[i].Segs})
		out.Edges[i] = Edge{Name: o.Edges[i].Name, Segs: p.Segs}
		if i == 0 {
			out.Start = p.Start
		}
	}
	return out
}

// about is the motion that turns (and mirrors) about a point that stays.
func about(m Motion, fixed r2.Vec) Motion {
	m.Shift = r2.Sub(fixed, m.turn(fixed))
	return m
}

// mirrorMotion is the mirroring in the line through p along dir, which must not be nought.
func mirrorMotion(p, dir r2.Vec) Motion {
	// Mirroring in the y axis, then a turn by 2φ − π, mirrors in the line at the angle φ.
	return about(Motion{Mirror: true, Angle: 2*math.Atan2(dir.Y, dir.X) - math.Pi}, p)
}

// Translate shifts the outline by v, in mm.
func (o Outline) Translate(v r2.Vec) Outline { return Motion{Shift: v}.Outline(o) }

// Rotate turns the outline about a point, by radians counter-clockwise.
func (o Outline) Rotate(angle float64, fixed r2.Vec) Outline {
	return about(Motion{Angle: angle}, fixed).Outline(o)
}

// Mirror is the outline in a mirror along the y axis: x becomes −x. It runs counter-clockwise again,
// its edges in the opposite order with the first still first, each with its own name; mirrored twice
// it is itself.
func (o Outline) Mirror() Outline { return Motion{Mirror: true}.Outline(o) }

// MirrorAcross mirrors the outline in the line through p along dir, as Mirror does.
func (o Outline) MirrorAcross(p, dir r2.Vec) Outline { return mirrorMotion(p, dir).Outline(o) }

// Scale makes the outline k times as large from the origin; k must be more than 0.
func (o Outline) Scale(k float64) Outline {
	return o.each(func(p Path) Path { return p.Scale(k) })
}

// Translate shifts the path by v, in mm.
func (p Path) Translate(v r2.Vec) Path { return Motion{Shift: v}.Path(p) }

// Rotate turns the path about a point, by radians counter-clockwise.
func (p Path) Rotate(angle float64, fixed r2.Vec) Path {
	return about(Motion{Angle: angle}, fixed).Path(p)
}

// Mirror is the path with x → −x; it keeps its direction.
func (p Path) Mirror() Path { return Motion{Mirror: true}.Path(p) }

// MirrorAcross mirrors the path in the line through a point along dir; it keeps its direction.
func (p Path) MirrorAcross(a, dir r2.Vec) Path { return mirrorMotion(a, dir).Path(p) }

// Scale makes the path k times as large from the origin; k must be more than 0.
func (p Path) Scale(k float64) Path {
	out := Path{Start: r2.Scale(k, p.Start), Segs: make([]Seg, len(p.Segs))}
	for i, s := range p.Segs {
		s.End, s.C1, s.C2 = r2.Scale(k, s.End), r2.Scale(k, s.C1), r2.Scale(k, s.C2)
		out.Segs[i] = s
	}
	return out
}
