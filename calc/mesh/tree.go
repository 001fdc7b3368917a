package mesh

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// tree finds the boxes that meet a box: a balanced tree over their middles, split by turns along the
// longest side (n log n to build). Boxes that all overlap cost a look at each.
type tree struct {
	boxes []r3.Box
	order []int    // the boxes, leaf by leaf
	nodes []r3.Box // around order[lo:hi]; the children of node i are 2i+1 and 2i+2
}

// leafSize is how many boxes are looked at one by one.
const leafSize = 4

func newTree(boxes []r3.Box) *tree {
	t := &tree{boxes: boxes, order: make([]int, len(boxes))}
	for i := range t.order {
		t.order[i] = i
	}
	t.build(0, 0, len(boxes))
	return t
}

func (t *tree) build(node, lo, hi int) {
	if lo >= hi {
		return
	}
	for len(t.nodes) <= node {
		t.nodes = append(t.nodes, r3.Box{})
	}
	b := t.boxes[t.order[lo]]
	for _, i := range t.order[lo+1 : hi] {
		b = grown(grown(b, t.boxes[i].Min), t.boxes[i].Max)
	}
	t.nodes[node] = b
	if hi-lo <= leafSize {
		return
	}
	side := r3.Sub(b.Max, b.Min)
	middle := func(i int) float64 {
		c := r3.Add(t.boxes[i].Min, t.boxes[i].Max)
		switch {
		case side.X >= side.Y && side.X >= side.Z:
			return c.X
		case side.Y >= side.Z:
			return c.Y
		}
		return c.Z
	}
	slices.SortFunc(t.order[lo:hi], func(a, b int) int { return cmp.Or(cmp.Compare(middle(a), middle(b)), a-b) })
	mid := (lo + hi) / 2
	t.build(2*node+1, lo, mid)
	t.build(2*node+2, mid, hi)
}

// each calls do for the boxes that meet b.
func (t *tree) each(b r3.Box, do func(i int)) { t.visit(b, do, 0, 0, len(t.order)) }

func (t *tree) visit(b r3.Box, do func(i int), node, lo, hi int) {
	if lo >= hi || !meets(t.nodes[node], b) {
		return
	}
	if hi-lo <= leafSize {
		for _, i := range t.order[lo:hi] {
			if meets(t.boxes[i], b) {
				do(i)
			}
		}
		return
	}
	mid := (lo + hi) / 2
	t.visit(b, do, 2*node+1, lo, mid)
	t.visit(b, do, 2*node+2, mid, hi)
}

func meets(a, b r3.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y && a.Min.Z <= b.Max.Z && b.Min.Z <= a.Max.Z
}
