package kind

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
)

// ring is a closed curve round a shape, followed in short steps, counter-clockwise seen from its end.
type ring []r3.Vec

// seamLine is where two edges meet on the standing shape: points, and the way out at each.
type seamLine struct {
	at, out []r3.Vec
	letter  string
}

// standing is a rolled shape set up again: rings from one end to the other, with convex skin between
// neighbours, and its seams.
type standing struct {
	rings []ring
	seams []seamLine
	// convex shapes have one skin over all rings.
	convex bool
	facet  int     // steps of the rings that get one shade, from the first ring to the last; 0: each its own
	view   float64 // the direction from which it is seen, round the z axis, radians
}

// stepsRound is how finely circles are drawn in the small picture.
const stepsRound = 72

// circleRing is a circle about c in the plane of u and v.
func circleRing(c, u, v r3.Vec) ring {
	r := make(ring, stepsRound)
	for i := range r {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / stepsRound)
		r[i] = r3.Add(c, r3.Add(r3.Scale(cos, u), r3.Scale(sin, v)))
	}
	return r
}

// levelRing is a level circle of radius r about the z axis.
func levelRing(r, z float64) ring {
	return circleRing(r3.Vec{Z: z}, r3.Vec{X: r}, r3.Vec{Y: r})
}

// lookFrom is the view from a direction round the z axis, from a little above.
func lookFrom(azimuth float64) solid.View {
	const above = 22 * math.Pi / 180
	return solid.Look(azimuth+math.Pi/2, above)
}

func projected(v solid.View, pts []r3.Vec) []r2.Vec {
	out := make([]r2.Vec, len(pts))
	for i, p := range pts {
		out[i] = v.Project(p)
	}
	return out
}

// standFigure draws the shape set up, far skins first, and letters its seams; hidden ones are dashed.
func (b *Bench) standFigure(s standing) {
	v := lookFrom(s.view)
	d := draw.Drawing{Title: b.Name + " set up", Desc: "The " + b.Kind.Name + " as it stands, seen from a little above." + seamWords(s.seams)}
	s.skins(&d, v)
	for _, end := range []int{0, len(s.rings) - 1} {
		if mouth := s.rings[end]; s.faces(end, v) {
			o := hull(projected(v, mouth))
			d.Add(draw.Area{Role: draw.Shades[len(draw.Shades)-1], Outline: o, Fill: true}, draw.Area{Role: draw.Cut, Outline: o})
		}
	}
	for _, l := range s.seams {
		l.draw(&d, v)
	}
	em := 1.2 * draw.ReadableEm(s.box(v))
	var taken [][4]r2.Vec
	for _, l := range s.seams {
		if l.letter != "" {
			l.name(&d, v, em, &taken)
		}
	}
	draw.Fit(&d, 1)
	b.Draw(d)
}

// skins draws the skin between each two rings, the farther ones first, shaded as the light falls on it;
// the skin of a convex shape is one.
func (s standing) skins(d *draw.Drawing, v solid.View) {
	var runs [][]ring
	if s.convex {
		runs = [][]ring{s.rings}
	} else {
		for i := range len(s.rings) - 1 {
			runs = append(runs, s.rings[i:i+2])
		}
	}
	depth := func(run []ring) float64 { return r3.Dot(v.Toward, r3.Add(middleOf(run[0]), middleOf(run[1]))) }
	slices.SortStableFunc(runs, func(a, b []ring) int { return cmp.Compare(depth(a), depth(b)) })
	for _, run := range runs {
		var all []r2.Vec
		var lit []draw.Area
		for i, r := range run {
			all = append(all, projected(v, r)...)
			if i > 0 {
				lit = append(lit, s.bands(v, run[i-1], r)...)
			}
		}
		skin := hull(all)
		d.Add(draw.Area{Role: draw.Body, Outline: skin, Fill: true})
		slices.SortStableFunc(lit, func(a, b draw.Area) int { return cmp.Compare(a.Role, b.Role) })
		for _, a := range lit {
			d.Add(a)
		}
		d.Add(draw.Area{Role: draw.Cut, Outline: skin})
	}
}

// bands are the near side of the skin between two rings of equally many points, in bands of one shade.
func (s standing) bands(v solid.View, low, high ring) []draw.Area {
	n := len(low)
	normal := func(low, high ring, i, j int) r3.Vec {
		return r3.Cross(r3.Sub(high[j%n], low[i%n]), r3.Sub(high[i%n], low[j%n]))
	}
	shade := func(i int) int { // -1 on the far side
		to := normal(low, high, i, i+1)
		if r3.Dot(to, v.Toward) <= 0 {
			return -1
		}
		if s.facet > 0 {
			i -= i % s.facet
			to = normal(s.rings[0], s.rings[len(s.rings)-1], i, i+s.facet)
		}
		dark := 1 - v.Light(r3.Unit(to))
		return min(len(draw.Shades)-1, int(dark*float64(len(draw.Shades))))
	}
	first := 0 // where the shade changes
	for first < n && shade(first) == shade(first+n-1) {
		first++
	}
	var list []draw.Area
	for i := first; i < first+n; {
		from, now := i, shade(i)
		for i < first+n && shade(i) == now {
			i++
		}
		if now < 0 {
			continue
		}
		var pts []r3.Vec
		for k := from; k <= i; k++ {
			pts = append(pts, low[k%n])
		}
		for k := i; k >= from; k-- {
			pts = append(pts, high[k%n])
		}
		if o, err := shape.Polygon(projected(v, pts)); err == nil {
			list = append(list, draw.Area{Role: draw.Shades[now], Outline: o, Fill: true})
		}
	}
	return list
}

// box is what the rings fill of the picture.
func (s standing) box(v solid.View) r2.Box {
	first := v.Project(s.rings[0][0])
	box := r2.Box{Min: first, Max: first}
	for _, r := range s.rings {
		for _, p := range projected(v, r) {
			box.Min = r2.Vec{X: min(box.Min.X, p.X), Y: min(box.Min.Y, p.Y)}
			box.Max = r2.Vec{X: max(box.Max.X, p.X), Y: max(box.Max.Y, p.Y)}
		}
	}
	return box
}

func seamWords(seams []seamLine) string {
	if len(seams) == 0 {
		return ""
	}
	const most = 26
	var names []string
	for _, l := range seams {
		if l.letter != "" && len(names) < most {
			names = append(names, l.letter)
		}
	}
	return fmt.Sprintf(" Its seams are %s.", joined(names, "and"))
}

func middleOf(r ring) r3.Vec {
	var sum r3.Vec
	for _, p := range r {
		sum = r3.Add(sum, p)
	}
	return r3.Scale(1/float64(len(r)), sum)
}

// faces tells whether the open end at a ring looks towards who looks.
func (s standing) faces(end int, v solid.View) bool {
	next := s.rings[1]
	if end > 0 {
		next = s.rings[end-1]
	}
	r := s.rings[end]
	out := r3.Sub(middleOf(r), middleOf(next))
	// Newell's sum over the corners is square to the ring's plane.
	var normal r3.Vec
	for i, p := range r {
		normal = r3.Add(normal, r3.Cross(p, r[(i+1)%len(r)]))
	}
	if r3.Dot(normal, out) < 0 {
		normal = r3.Scale(-1, normal)
	}
	const point = 1e-6 // mm²: an end that is a point is no mouth
	return r3.Norm(normal) > point && r3.Dot(normal, v.Toward) > 0
}

// draw draws what is seen of a seam as a line and what is hidden dashed.
func (l seamLine) draw(d *draw.Drawing, v solid.View) {
	for i := 0; i+1 < len(l.at); {
		seen := l.seen(v, i)
		path := shape.Path{Start: v.Project(l.at[i])}
		for ; i+1 < len(l.at) && l.seen(v, i) == seen; i++ {
			path.Segs = append(path.Segs, shape.Seg{End: v.Project(l.at[i+1])})
		}
		role := draw.Back
		if seen {
			role = draw.Mark
		}
		d.Add(draw.Stroke{Role: role, Path: path})
	}
}

// seen tells whether the stretch of a seam behind its point i is on the near side.
func (l seamLine) seen(v solid.View, i int) bool {
	const grazing = 1e-6
	return r3.Dot(r3.Add(l.out[i], l.out[i+1]), v.Toward) >= -grazing
}

// name writes the seam's letter beside the middle of what is seen of it, on the skin, where no other
// letter stands.
func (l seamLine) name(d *draw.Drawing, v solid.View, em float64, taken *[][4]r2.Vec) {
	var seen []int
	for i := range len(l.at) - 1 {
		if l.seen(v, i) {
			seen = append(seen, i)
		}
	}
	if len(seen) == 0 {
		for i := range len(l.at) - 1 {
			seen = append(seen, i)
		}
	}
	label := draw.Label{Role: draw.Accent, Text: l.letter}
	for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		i := seen[int(share*float64(len(seen)-1))]
		a, z := v.Project(l.at[i]), v.Project(l.at[i+1])
		dir := r2.Sub(z, a)
		if n := r2.Norm(dir); n > 0 {
			dir = r2.Scale(1/n, dir)
		}
		for _, side := range []float64{1, -1} {
			label.At = r2.Add(r2.Scale(0.5, r2.Add(a, z)), r2.Scale(side*0.9*em, r2.Vec{X: dir.Y, Y: -dir.X}))
			if box := label.Corners(em); !meets(*taken, box) {
				*taken = append(*taken, box)
				d.Add(label)
				return
			}
		}
	}
	d.Add(label)
}

// hull is the convex outline round points (Andrew's monotone chain); points all but in line are left out.
func hull(pts []r2.Vec) shape.Outline {
	const inLine = 1e-9
	slices.SortFunc(pts, func(a, b r2.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	var ring []r2.Vec
	for pass := range 2 {
		floor := len(ring) + 1
		for i := range pts {
			p := pts[i]
			if pass == 1 {
				p = pts[len(pts)-1-i]
			}
			for len(ring) > floor && r2.Cross(r2.Sub(ring[len(ring)-1], ring[len(ring)-2]), r2.Sub(p, ring[len(ring)-1])) <= inLine {
				ring = ring[:len(ring)-1]
			}
			ring = append(ring, p)
		}
		ring = ring[:len(ring)-1]
	}
	o := shape.Outline{Start: ring[0]}
	for i := range ring {
		o.Edges = append(o.Edges, shape.Edge{Name: fmt.Sprint("e", i+1), Segs: []shape.Seg{{End: ring[(i+1)%len(ring)]}}})
	}
	return o
}

// straightSeam is a seam along a straight line of the skin.
func straightSeam(from, to, out r3.Vec, letter string) seamLine {
	const steps = 10
	l := seamLine{letter: letter}
	for i := range steps + 1 {
		l.at = append(l.at, r3.Add(from, r3.Scale(float64(i)/steps, r3.Sub(to, from))))
		l.out = append(l.out, out)
	}
	return l
}

// lettersOf are the letters of the seams at which pieces close, one for each of n seams round.
func lettersOf(seams []part.Seam, n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = seams[min(i, len(seams)-1)].Letter
	}
	return list
}

// tubeStanding sets a tube up, its first seam in view; letters are those of the seams round it.
func tubeStanding(t roll.Tube, seam float64, letters []string) standing {
	tanLow, tanHigh := math.Tan(t.Bottom), math.Tan(t.Top)
	low := circleRing(r3.Vec{}, r3.Vec{X: t.Radius, Z: t.Radius * tanLow}, r3.Vec{Y: t.Radius})
	high := circleRing(r3.Vec{Z: t.Length}, r3.Vec{X: t.Radius, Z: -t.Radius * tanHigh}, r3.Vec{Y: t.Radius})
	s := standing{rings: []ring{low, high}, view: seam - math.Pi/5}
	for i, letter := range letters {
		sin, cos := math.Sincos(seam + 2*math.Pi*float64(i+1)/float64(len(letters)))
		out := r3.Vec{X: cos, Y: sin}
		foot := r3.Scale(t.Radius, out)
		s.seams = append(s.seams, straightSeam(r3.Add(foot, r3.Vec{Z: foot.X * tanLow}), r3.Add(foot, r3.Vec{Z: t.Length - foot.X*tanHigh}), out, letter))
	}
	return s
}

// coneStanding sets a cone up, its first seam in view.
func coneStanding(c roll.Cone, letters []string) standing {
	s := standing{rings: []ring{levelRing(c.Low, 0), levelRing(c.High, c.Height)}, view: -math.Pi / 5}
	rise, run := math.Sincos(c.Lean())
	for i, letter := range letters {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(letters)))
		s.seams = append(s.seams, straightSeam(r3.Vec{X: c.Low * cos, Y: c.Low * sin}, r3.Vec{X: c.High * cos, Y: c.High * sin, Z: c.Height},
			r3.Vec{X: rise * cos, Y: rise * sin, Z: run}, letter))
	}
	return s
}
