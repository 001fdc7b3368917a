package draw

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// most lines that one hatching may have; a finer hatching is drawn coarser instead.
const maxHatch = 400

// Hatching cuts parallel lines, spacing mm apart at the area's Hatch angle, to the area: inside its
// outline and outside its holes. The lines of neighbouring areas with one angle and spacing line up.
func (a Area) Hatching(spacing float64) []Line {
	box := OfOutline(a.Outline)
	if !(spacing > 0) || box.Min.X > box.Max.X {
		return nil
	}
	sin, cos := math.Sincos(a.Hatch)
	dir, up := r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	rings := [][]r2.Vec{Ring(a.Outline)}
	for _, h := range a.Holes {
		rings = append(rings, Ring(h))
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range rings[0] {
		t := r2.Dot(p, up)
		low, high = min(low, t), max(high, t)
	}
	spacing = math.Max(spacing, (high-low)/maxHatch)
	var lines []Line
	var cuts []float64
	for k := math.Ceil(low / spacing); k*spacing < high; k++ {
		level := k * spacing
		cuts = cuts[:0]
		for _, r := range rings {
			cuts = crossings(cuts, r, dir, up, level)
		}
		slices.Sort(cuts)
		for i := 0; i+1 < len(cuts); i += 2 {
			at := func(t float64) r2.Vec { return r2.Add(r2.Scale(t, dir), r2.Scale(level, up)) }
			lines = append(lines, Line{at(cuts[i]), at(cuts[i+1])})
		}
	}
	return lines
}

// crossings appends where a ring crosses the level, measured along dir. A corner that lies on the
// level counts with the side above it, so that each crossing counts once.
func crossings(cuts []float64, ring []r2.Vec, dir, up r2.Vec, level float64) []float64 {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		hp, hq := r2.Dot(p, up)-level, r2.Dot(q, up)-level
		if (hp < 0) == (hq < 0) {
			continue
		}
		f := hp / (hp - hq)
		cuts = append(cuts, r2.Dot(p, dir)+f*(r2.Dot(q, dir)-r2.Dot(p, dir)))
	}
	return cuts
}

// Ring follows an outline with short straight steps, fine enough for hatching and for finding room.
func Ring(o shape.Outline) []r2.Vec {
	var points []r2.Vec
	from := o.Start
	for _, e := range o.Edges {
		for _, s := range e.Segs {
			if s.Kind == shape.Line {
				points = append(points, s.End)
			} else {
				points = Beziers(from, s).points(points, 12)
			}
			from = s.End
		}
	}
	return points
}
