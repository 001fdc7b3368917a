package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// parted gives a face as loops without windows. One with windows is cut in two along a chain of lines
// from corner to corner: from the outer border to the first window, on from window to window, and from
// the last one to the border, each line the shortest that crosses nothing. Where no such chain is
// found, or a border touches itself, the outer border alone is given, and false.
func (m *Model) parted(loops [][]int32, normal r3.Vec) ([][]int, bool) {
	right, up, _ := frame(normal)
	c := cutter{}
	for _, loop := range loops {
		var list []corner
		for _, i := range loop {
			p := m.Points[i]
			list = append(list, corner{int(i), r2.Vec{X: r3.Dot(p, right), Y: r3.Dot(p, up)}})
		}
		c.loops = append(c.loops, list)
	}
	outer := indices(c.loops[0])
	if c.twice() {
		return [][]int{outer}, false
	}
	if len(loops) == 1 {
		return [][]int{outer}, true
	}
	windows := c.loops[1:]
	slices.SortFunc(windows, func(a, b []corner) int { return cmp.Compare(left(a), left(b)) })
	return c.cut(outer)
}

// corner is a point of a face in its plane.
type corner struct {
	at int
	p  r2.Vec
}

func indices(loop []corner) []int {
	list := make([]int, len(loop))
	for i, c := range loop {
		list[i] = c.at
	}
	return list
}

func left(loop []corner) float64 {
	x := math.Inf(1)
	for _, c := range loop {
		x = math.Min(x, c.p.X)
	}
	return x
}

// cutter cuts one face: its outer border first, counter-clockwise, then its windows, clockwise.
type cutter struct{ loops [][]corner }

// twice tells whether a point comes twice.
func (c *cutter) twice() bool {
	seen := map[int]bool{}
	for _, loop := range c.loops {
		for _, k := range loop {
			if seen[k.at] {
				return true
			}
			seen[k.at] = true
		}
	}
	return false
}

// bridge is a line between two corners of two loops.
type bridge struct{ a, b int }

// mostTries bounds how many pairs of corners are tried against how many borders.
const mostTries = 50_000_000

func (c *cutter) cut(outer []int) ([][]int, bool) {
	n := 0
	for _, loop := range c.loops {
		n += len(loop)
	}
	if n*n > mostTries/n {
		return [][]int{outer}, false
	}
	// Bridges b0 … bn: border → window 1 → … → window n → border, each window entered and left by
	// corners of its own.
	var bridges []bridge
	ways := len(c.loops)
	for k := range ways {
		from, to := c.loops[k], c.loops[(k+1)%ways]
		b, ok := c.bridge(from, to, bridges, k)
		if !ok {
			return [][]int{outer}, false
		}
		bridges = append(bridges, b)
	}
	first, last := bridges[0], bridges[ways-1]
	// One side goes along the outer border from where the last bridge ends to where the first begins,
	// and then along the windows; the other has the rest.
	one := run(c.loops[0], last.b, first.a)
	two := run(c.loops[0], first.a, last.b)
	for k := 1; k < ways; k++ {
		one = append(one, run(c.loops[k], bridges[k-1].b, bridges[k].a)...)
	}
	for k := ways - 1; k > 0; k-- {
		two = append(two, run(c.loops[k], bridges[k].a, bridges[k-1].b)...)
	}
	pick := func(list []corner) []int { return indices(list) }
	return [][]int{pick(one), pick(two)}, true
}

// run is the stretch of a loop from corner i to corner j, both with it.
func run(loop []corner, i, j int) []corner {
	out := []corner{loop[i]}
	for k := i; k != j; {
		k = (k + 1) % len(loop)
		out = append(out, loop[k])
	}
	return out
}

// bridge is the shortest line between corners of two loops that crosses no border and no earlier
// bridge, and does not take a corner that an earlier bridge ends in.
func (c *cutter) bridge(from, to []corner, earlier []bridge, k int) (bridge, bool) {
	type try struct {
		bridge
		length float64
	}
	usedFrom, usedTo := -1, -1
	if k > 0 {
		usedFrom = earlier[k-1].b
	}
	if k == len(c.loops)-1 {
		usedTo = earlier[0].a
	}
	var tries []try
	for i := range from {
		for j := range to {
			if i != usedFrom && j != usedTo {
				tries = append(tries, try{bridge{i, j}, r2.Norm(r2.Sub(from[i].p, to[j].p))})
			}
		}
	}
	slices.SortStableFunc(tries, func(a, b try) int { return cmp.Compare(a.length, b.length) })
	for _, t := range tries {
		if c.free(from[t.a], to[t.b], earlier) {
			return t.bridge, true
		}
	}
	return bridge{}, false
}

// free tells whether the line between two corners runs inside the face and meets nothing between them.
func (c *cutter) free(a, b corner, earlier []bridge) bool {
	clear := func(p, q corner) bool {
		if p.at == a.at || p.at == b.at || q.at == a.at || q.at == b.at {
			return !between(a, b, p) && !between(a, b, q)
		}
		return !cross(a.p, b.p, p.p, q.p)
	}
	for _, loop := range c.loops {
		for i := range loop {
			if !clear(loop[i], loop[(i+1)%len(loop)]) {
				return false
			}
		}
	}
	for k, e := range earlier {
		if !clear(c.loops[k][e.a], c.loops[(k+1)%len(c.loops)][e.b]) {
			return false
		}
	}
	return c.inside(r2.Scale(0.5, r2.Add(a.p, b.p)))
}

// between tells whether a third corner lies on the line a–b.
func between(a, b, p corner) bool {
	if p.at == a.at || p.at == b.at {
		return false
	}
	ab, ap := r2.Sub(b.p, a.p), r2.Sub(p.p, a.p)
	t := r2.Dot(ap, ab)
	return math.Abs(r2.Cross(ab, ap)) <= 1e-9*r2.Norm2(ab) && t > 0 && t < r2.Norm2(ab)
}

// cross tells whether two stretches meet.
func cross(a, b, p, q r2.Vec) bool {
	side := func(a, b, p r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) }
	return side(a, b, p)*side(a, b, q) <= 0 && side(p, q, a)*side(p, q, b) <= 0
}

// inside tells whether a point lies in the face, windows left out (even-odd rule).
func (c *cutter) inside(p r2.Vec) bool {
	in := false
	for _, loop := range c.loops {
		for i := range loop {
			a, b := loop[i].p, loop[(i+1)%len(loop)].p
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}
