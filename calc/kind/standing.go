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
)

// ring is a plane closed curve round a shape, followed in short steps.
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

// camera looks level at the axis, from a little above.
type camera struct{ right, up, to r3.Vec }

func cameraFrom(azimuth float64) camera {
	const above = 22 * math.Pi / 180
	s, c := math.Sincos(azimuth)
	se, ce := math.Sincos(above)
	return camera{
		right: r3.Vec{X: -s, Y: c},
		up:    r3.Vec{X: -se * c, Y: -se * s, Z: ce},
		to:    r3.Vec{X: ce * c, Y: ce * s, Z: se}, // towards who looks
	}
}

func (c camera) see(p r3.Vec) r2.Vec { return r2.Vec{X: r3.Dot(p, c.right), Y: r3.Dot(p, c.up)} }

func (c camera) all(pts []r3.Vec) []r2.Vec {
	out := make([]r2.Vec, len(pts))
	for i, p := range pts {
		out[i] = c.see(p)
	}
	return out
}

// standFigure draws the shape set up, far skins first, and letters its seams; hidden ones are dashed.
func (b *Bench) standFigure(s standing) {
	cam := cameraFrom(s.view)
	d := draw.Drawing{Title: b.Name + " set up", Desc: "The " + b.Kind.Name + " as it stands, seen from a little above." + seamWords(s.seams)}
	if s.convex {
		var all []r2.Vec
		for _, r := range s.rings {
			all = append(all, cam.all(r)...)
		}
		skin := hull(all)
		d.Add(draw.Area{Role: draw.Body, Outline: skin, Fill: true}, draw.Area{Role: draw.Cut, Outline: skin})
	} else {
		s.skins(&d, cam)
	}
	for _, end := range []int{0, len(s.rings) - 1} {
		if mouth := s.rings[end]; s.faces(end, cam) {
			o := hull(cam.all(mouth))
			d.Add(draw.Area{Role: draw.Body2, Outline: o, Fill: true}, draw.Area{Role: draw.Cut, Outline: o})
		}
	}
	for _, l := range s.seams {
		cam.seam(&d, l)
	}
	em := 1.2 * draw.ReadableEm(s.box(cam))
	var taken [][4]r2.Vec
	for _, l := range s.seams {
		if l.letter != "" {
			cam.letter(&d, l, em, &taken)
		}
	}
	draw.Fit(&d, 1)
	b.Draw(d)
}

// skins draws the skin between each two rings, the farther ones first.
func (s standing) skins(d *draw.Drawing, cam camera) {
	order := make([]int, len(s.rings)-1)
	for i := range order {
		order[i] = i
	}
	depth := func(i int) float64 { return r3.Dot(cam.to, r3.Add(middleOf(s.rings[i]), middleOf(s.rings[i+1]))) }
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(depth(i), depth(j)) })
	for _, i := range order {
		skin := hull(append(cam.all(s.rings[i]), cam.all(s.rings[i+1])...))
		d.Add(draw.Area{Role: draw.Body, Outline: skin, Fill: true}, draw.Area{Role: draw.Cut, Outline: skin})
	}
}

// box is what the rings fill of the picture.
func (s standing) box(cam camera) r2.Box {
	box := r2.Box{Min: cam.see(s.rings[0][0]), Max: cam.see(s.rings[0][0])}
	for _, r := range s.rings {
		for _, p := range cam.all(r) {
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

// faces tells whether the open end at a ring looks towards the camera.
func (s standing) faces(end int, cam camera) bool {
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
	return r3.Norm(normal) > point && r3.Dot(normal, cam.to) > 0
}

// seam draws what is seen of a seam as a line and what is hidden dashed.
func (c camera) seam(d *draw.Drawing, l seamLine) {
	for i := 0; i+1 < len(l.at); {
		seen := c.sees(l, i)
		path := shape.Path{Start: c.see(l.at[i])}
		for ; i+1 < len(l.at) && c.sees(l, i) == seen; i++ {
			path.Segs = append(path.Segs, shape.Seg{End: c.see(l.at[i+1])})
		}
		role := draw.Back
		if seen {
			role = draw.Mark
		}
		d.Add(draw.Stroke{Role: role, Path: path})
	}
}

// sees tells whether the stretch of a seam behind its point i is on the near side.
func (c camera) sees(l seamLine, i int) bool {
	const grazing = 1e-6
	return r3.Dot(r3.Add(l.out[i], l.out[i+1]), c.to) >= -grazing
}

// letter writes the seam's letter beside the middle of what is seen of it, on the skin, where no other
// letter stands.
func (c camera) letter(d *draw.Drawing, l seamLine, em float64, taken *[][4]r2.Vec) {
	var seen []int
	for i := range len(l.at) - 1 {
		if c.sees(l, i) {
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
		a, z := c.see(l.at[i]), c.see(l.at[i+1])
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
