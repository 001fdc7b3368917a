package draw

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// spread returns the items with every dimension far enough outside to read: at least 1.6 Em off,
// and moved outwards row by row while it runs over a label or an earlier dimension.
// The order of the items decides who stays, so the same drawing always comes out the same.
func spread(items []Item, em float64) []Item {
	out := make([]Item, len(items))
	copy(out, items)
	var taken [][4]r2.Vec
	for _, it := range items {
		if l, ok := it.(Label); ok && l.Text != "" {
			taken = append(taken, l.Corners(em))
		}
	}
	for i, it := range items {
		d, ok := it.(Dimension)
		if !ok {
			continue
		}
		const rows = 12
		d.Off = math.Copysign(math.Max(math.Abs(d.Off), 1.6*em), d.Off)
		box := d.rows(em)
		for n := 0; n < rows && anyMeets(box, taken); n++ {
			d.Off += math.Copysign(0.8*em, d.Off)
			box = d.rows(em)
		}
		taken = append(taken, box[:]...)
		out[i] = d
	}
	return out
}

// rows are the boxes that a dimension takes up: its line and its text.
func (d Dimension) rows(em float64) [2][4]r2.Vec {
	_, label := d.Drawn(em)
	span := r2.Sub(d.B, d.A)
	length := math.Hypot(span.X, span.Y)
	if length == 0 {
		return [2][4]r2.Vec{label.Corners(em), label.Corners(em)}
	}
	dir := r2.Scale(1/length, span)
	up := r2.Vec{X: -dir.Y, Y: dir.X}
	a, b := along(d.A, up, d.Off), along(d.B, up, d.Off)
	h := 0.45 * em
	// The ends are left out so that chained dimensions may share a row.
	a, b = along(a, dir, h), along(b, dir, -h)
	return [2][4]r2.Vec{
		label.Corners(em),
		{along(a, up, -h), along(b, up, -h), along(b, up, h), along(a, up, h)},
	}
}

func anyMeets(boxes [2][4]r2.Vec, taken [][4]r2.Vec) bool {
	for _, t := range taken {
		if Overlap(boxes[0], t) || Overlap(boxes[1], t) {
			return true
		}
	}
	return false
}

// Overlap tells whether two rectangles, turned anyhow, share ground: no side of either parts them
// (separating axis theorem).
func Overlap(a, b [4]r2.Vec) bool {
	// Most that are asked about lie farther apart than their corners reach.
	between := r2.Norm2(r2.Sub(r2.Add(a[0], a[2]), r2.Add(b[0], b[2]))) / 4
	one, two := r2.Norm2(r2.Sub(a[0], a[2]))/4, r2.Norm2(r2.Sub(b[0], b[2]))/4
	if between > 2*(one+two) { // (r + s)² ≤ 2(r² + s²)
		return false
	}
	for _, box := range [2][4]r2.Vec{a, b} {
		for i := range 2 {
			axis := r2.Sub(box[i+1], box[i])
			aMin, aMax := shadow(a, axis)
			bMin, bMax := shadow(b, axis)
			if aMax <= bMin || bMax <= aMin {
				return false
			}
		}
	}
	return true
}

func shadow(box [4]r2.Vec, axis r2.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range box {
		t := r2.Dot(p, axis)
		low, high = min(low, t), max(high, t)
	}
	return low, high
}
