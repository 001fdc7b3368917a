package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// outlines chains the borders of the regions to loops and leaves out the corners that lie on the
// straight way between two others, for all regions alike. Of each region the first loop is the outer
// one; further ones are its windows.
func (l *linked) outlines(of []int32, regions []region, flat float64) [][][]int32 {
	o := outliner{linked: l, of: of, flat: flat, degree: make([]int8, len(l.Points)), kept: make([]bool, len(l.Points))}
	loops := make([][][]int32, len(regions)) // of half edges
	done := make([]bool, len(l.mate))
	for h := range int32(len(l.mate)) {
		if o.border(h) && !done[h] {
			loop := o.chain(h, done)
			loops[of[h/3]] = append(loops[of[h/3]], loop)
		}
	}
	o.corners()
	for _, list := range loops {
		for _, loop := range list {
			o.straighten(loop)
		}
	}
	for r, list := range loops {
		for k, loop := range list {
			list[k] = o.points(loop)
		}
		list = slices.DeleteFunc(list, func(loop []int32) bool { return len(loop) < 3 })
		area := func(loop []int32) float64 { return r3.Dot(l.area(loop), regions[r].normal) }
		slices.SortStableFunc(list, func(a, b []int32) int { return cmp.Compare(area(b), area(a)) })
		loops[r] = list
	}
	return loops
}

func (l *linked) area(loop []int32) r3.Vec {
	p := make([]r3.Vec, len(loop))
	for i, at := range loop {
		p[i] = l.Points[at]
	}
	return areaOf(p)
}

type outliner struct {
	*linked
	of     []int32
	flat   float64
	degree []int8 // of each point: how many borders leave it, at most 3; a rim counts as one more
	kept   []bool // of each point: it is a corner
}

// border tells whether a half edge parts its region from another or from nothing.
func (o *outliner) border(h int32) bool {
	m := o.mate[h]
	return m < 0 || o.of[m/3] != o.of[h/3]
}

// beyond is the region on the other side of a border, -1 at a rim.
func (o *outliner) beyond(h int32) int32 {
	if m := o.mate[h]; m >= 0 {
		return o.of[m/3]
	}
	return -1
}

func (o *outliner) chain(h int32, done []bool) []int32 {
	own := o.of[h/3]
	var loop []int32
	for at := h; !done[at]; at = o.along(at, func(m int32) bool { return m < 0 || o.of[m/3] != own }) {
		done[at] = true
		loop = append(loop, at)
	}
	return loop
}

// corners keeps the points at which three regions meet, a rim counting as one: two border edges of a
// mesh meet at every other point of a border.
func (o *outliner) corners() {
	for h := range int32(len(o.mate)) {
		m := o.mate[h]
		if !o.border(h) || m >= 0 && m < h {
			continue // each edge once
		}
		for _, i := range [2]int32{o.from(h), o.to(h)} {
			o.degree[i] = min(o.degree[i]+1, 3)
			o.kept[i] = o.degree[i] > 2
		}
	}
}

// straighten keeps, of the points between two corners, those without which the border would stray more
// than flat (Ramer 1972, Douglas and Peucker 1973). Each border is looked at from one of its regions.
func (o *outliner) straighten(loop []int32) {
	at := slices.IndexFunc(loop, func(h int32) bool { return o.kept[o.from(h)] })
	if at < 0 {
		if o.beyond(loop[0]) < o.of[loop[0]/3] {
			o.round(loop)
		}
		return
	}
	loop = append(slices.Clone(loop[at:]), loop[:at]...)
	for len(loop) > 0 {
		n := 1
		for n < len(loop) && !o.kept[o.from(loop[n])] {
			n++
		}
		if n > 1 && o.beyond(loop[0]) < o.of[loop[0]/3] {
			chain := make([]int32, 0, n+1)
			for _, h := range loop[:n] {
				chain = append(chain, o.from(h))
			}
			o.split(append(chain, o.to(loop[n-1])))
		}
		loop = loop[n:]
	}
}

// round straightens a border without corners: from its point that is first by place, and the one
// farthest from that.
func (o *outliner) round(loop []int32) {
	first := 0
	for i := range loop {
		p, q := o.Points[o.from(loop[i])], o.Points[o.from(loop[first])]
		if cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(p.Z, q.Z)) < 0 {
			first = i
		}
	}
	chain := make([]int32, 0, len(loop)+1)
	for i := range loop {
		chain = append(chain, o.from(loop[(first+i)%len(loop)]))
	}
	chain = append(chain, chain[0])
	far := 0
	for i, k := range chain {
		if r3.Norm(r3.Sub(o.Points[k], o.Points[chain[0]])) > r3.Norm(r3.Sub(o.Points[chain[far]], o.Points[chain[0]])) {
			far = i
		}
	}
	o.kept[chain[0]], o.kept[chain[far]] = true, true
	o.split(chain[:far+1])
	o.split(chain[far:])
}

// split keeps the point of a chain that strays farthest, if it strays too far, and goes on with both
// halves; the stack of halves is no deeper than the chain is long.
func (o *outliner) split(chain []int32) {
	stack := [][]int32{chain}
	for len(stack) > 0 {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if len(c) < 3 {
			continue
		}
		a, b := o.Points[c[0]], o.Points[c[len(c)-1]]
		far, most := 0, o.flat
		for i := 1; i+1 < len(c); i++ {
			if d := strays(o.Points[c[i]], a, b); d > most {
				far, most = i, d
			}
		}
		if far > 0 {
			o.kept[c[far]] = true
			stack = append(stack, c[:far+1], c[far:])
		}
	}
}

// strays is the distance of p from the stretch a–b.
func strays(p, a, b r3.Vec) float64 {
	ab, ap := r3.Sub(b, a), r3.Sub(p, a)
	t := 0.0
	if n := r3.Norm2(ab); n > 0 {
		t = math.Max(0, math.Min(1, r3.Dot(ap, ab)/n))
	}
	return r3.Norm(r3.Sub(ap, r3.Scale(t, ab)))
}

// points are the corners of a loop.
func (o *outliner) points(loop []int32) []int32 {
	var list []int32
	for _, h := range loop {
		if o.kept[o.from(h)] {
			list = append(list, o.from(h))
		}
	}
	return list
}
