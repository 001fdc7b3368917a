package kind

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
)

// spatial is a picture of foam in space: what is seen of each surface and each edge, and the words that
// stand on it already.
type spatial struct {
	scene *solid.Scene
	shell *solid.Shell
	what  []solid.Surface
	face  map[solid.Surface]int
	seen  [][][]r2.Vec // of each face
	area  []float64    // of what is seen
	lines []solid.Line
	// marked are stretches of what is drawn on the foam.
	marked [][2]r2.Vec

	em    float64
	inked [][4]r2.Vec // the lines as boxes that no word should cover
	taken [][4]r2.Vec // words that stand
}

func newSpatial(shell *solid.Shell, what []solid.Surface, v solid.View) *spatial {
	p := &spatial{scene: shell.Seen(v), shell: shell, what: what, face: map[solid.Surface]int{}}
	p.seen, p.area = make([][][]r2.Vec, len(what)), make([]float64, len(what))
	for i, w := range what {
		p.face[w] = i
		p.seen[i] = p.scene.Face(i)
		for _, q := range p.seen[i] {
			p.area[i] += ringArea(q)
		}
	}
	return p
}

// separate is a picture of slabs that touch nowhere.
func separate(list []solid.Slab, v solid.View) *spatial {
	shell, what := solid.Slabs(list)
	return newSpatial(shell, what, v)
}

// ringArea is the area of a plane ring of corners (shoelace formula).
func ringArea(ring []r2.Vec) float64 {
	sum := 0.0
	for i := 2; i < len(ring); i++ {
		sum += r2.Cross(r2.Sub(ring[i-1], ring[0]), r2.Sub(ring[i], ring[0]))
	}
	return sum / 2
}

// shades are the surfaces, each in the shade that the light gives it; those of one shade together.
func (p *spatial) shades() []draw.Item {
	var byShade [len(draw.Shades)][]draw.Item
	for i, pieces := range p.seen {
		if len(pieces) == 0 {
			continue
		}
		step := p.shade(i)
		for _, ring := range pieces {
			byShade[step] = append(byShade[step], draw.Area{Role: draw.Shades[step], Outline: closedRing(ring), Fill: true})
		}
	}
	return slices.Concat(byShade[:]...)
}

// shade is the step of a surface; insides are a step darker, so that an opening reads as one.
func (p *spatial) shade(face int) int {
	normal := p.shell.Normal(face)
	inside := p.what[face].Side == solid.Back
	if p.scene.Facing(face) < 0 {
		normal, inside = r3.Scale(-1, normal), true
	}
	last := len(draw.Shades) - 1
	step := last - int(p.scene.View.Light(normal)*float64(last+1))
	if inside {
		step++
	}
	return min(max(step, 0), last)
}

func closedRing(ring []r2.Vec) shape.Outline {
	o := shape.Outline{Start: ring[0], Edges: []shape.Edge{{}}}
	for i := range ring {
		o.Edges[0].Segs = append(o.Edges[0].Segs, shape.Seg{End: ring[(i+1)%len(ring)]})
	}
	return o
}

// picture is all but the words.
func (p *spatial) picture() []draw.Item {
	p.lines = slices.DeleteFunc(p.scene.Edges(), p.bend)
	return append(p.shades(), p.ink()...)
}

// bend tells whether a line is only a step in the wall of a round hole.
func (p *spatial) bend(l solid.Line) bool {
	const least = 0.82 // cosine of 35°
	a, b := l.Faces[0], l.Faces[1]
	return b >= 0 && !l.Contour && p.what[a].Side == solid.Hole && p.what[b].Side == solid.Hole &&
		r3.Dot(p.shell.Normal(a), p.shell.Normal(b)) > least
}

// ink are the lines: thin ones where faces meet, and over them the contours, heavier; both lighter where
// there are so many that they would blacken the picture. Stretches that follow each other are one stroke.
func (p *spatial) ink() []draw.Item {
	const many = 400
	within, contour := draw.Body, draw.Cut
	if len(p.lines) > many {
		within, contour = draw.Hatch, draw.Body
	}
	var thin, heavy [][2]r2.Vec
	for _, l := range p.lines {
		if l.Contour {
			heavy = append(heavy, [2]r2.Vec{l.A, l.B})
		} else {
			thin = append(thin, [2]r2.Vec{l.A, l.B})
		}
	}
	return append(strokes(within, thin), strokes(contour, heavy)...)
}

// strokes joins stretches end to end, as far as they go, in their order.
func strokes(role draw.Role, list [][2]r2.Vec) []draw.Item {
	type end struct{ stretch, side int }
	at := map[r2.Vec][]end{}
	for i, s := range list {
		at[s[0]] = append(at[s[0]], end{i, 0})
		at[s[1]] = append(at[s[1]], end{i, 1})
	}
	done := make([]bool, len(list))
	var items []draw.Item
	for i, s := range list {
		if done[i] {
			continue
		}
		done[i] = true
		path := segment(s[0], s[1])
		for tip := s[1]; ; {
			k := slices.IndexFunc(at[tip], func(e end) bool { return !done[e.stretch] })
			if k < 0 {
				break
			}
			e := at[tip][k]
			done[e.stretch] = true
			tip = list[e.stretch][1-e.side]
			path.Segs = append(path.Segs, shape.Seg{End: tip})
		}
		items = append(items, draw.Stroke{Role: role, Path: path})
	}
	return items
}

// letter makes the picture ready for words of a size.
func (p *spatial) letter(em float64) {
	p.em, p.taken, p.inked = em, nil, nil
	for _, l := range p.lines {
		p.inked = append(p.inked, thinBox(l.A, l.B, 0.08*em))
	}
	for _, l := range p.marked {
		p.inked = append(p.inked, thinBox(l[0], l[1], 0.08*em))
	}
}

// thinBox is a line as a box, half as wide as it is to be kept clear.
func thinBox(a, b r2.Vec, half float64) [4]r2.Vec {
	side := r2.Scale(half, r2.Unit(r2.Vec{X: a.Y - b.Y, Y: b.X - a.X}))
	return [4]r2.Vec{r2.Sub(a, side), r2.Sub(b, side), r2.Add(b, side), r2.Add(a, side)}
}

// on tells whether a point lies on what is seen of a face.
func (p *spatial) on(face int, at r2.Vec) bool {
	return slices.ContainsFunc(p.seen[face], func(ring []r2.Vec) bool {
		for i, a := range ring {
			if r2.Cross(r2.Sub(ring[(i+1)%len(ring)], a), r2.Sub(at, a)) < 0 {
				return false
			}
		}
		return true
	})
}

// free tells whether a box of words stands clear of lines and of other words.
func (p *spatial) free(box [4]r2.Vec) bool { return !meets(p.taken, box) && !meets(p.inked, box) }

// take keeps a label's place.
func (p *spatial) take(l draw.Label) draw.Label {
	p.taken = append(p.taken, l.Corners(p.em))
	return l
}

// within finds a place for words on what is seen of a face, as near to its middle as it can: level, or
// else along one of its sides that is not too steep to read.
func (p *spatial) within(face int, l draw.Label) (draw.Label, bool) {
	spots := p.spots(face)
	for _, l.Angle = range p.slants(face) {
		for _, l.At = range spots {
			box := l.Corners(p.em)
			if p.on(face, box[0]) && p.on(face, box[1]) && p.on(face, box[2]) && p.on(face, box[3]) && p.free(box) {
				return p.take(l), true
			}
		}
	}
	return l, false
}

// slants are the angles at which words may stand on a face: level first, then along its sides, the
// flattest first.
func (p *spatial) slants(face int) []float64 {
	const steep = 65 * math.Pi / 180
	list := []float64{0}
	loop := p.shell.Faces[face].Loop
	for k := range loop {
		a, b := p.scene.View.Project(p.shell.Points[loop[k]]), p.scene.View.Project(p.shell.Points[loop[(k+1)%len(loop)]])
		angle := draw.Upright(math.Atan2(b.Y-a.Y, b.X-a.X))
		if math.Abs(angle) < steep && !slices.ContainsFunc(list, func(other float64) bool { return math.Abs(angle-other) < 0.05 }) {
			list = append(list, angle)
		}
	}
	slices.SortFunc(list, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) })
	return list
}

// spots are places on what is seen of a face, the nearest to its middle first.
func (p *spatial) spots(face int) []r2.Vec {
	const rows, columns = 11, 9
	mid := balance(p.seen[face])
	box := around(p.seen[face])
	var list []r2.Vec
	if p.on(face, mid) { // not in a hole, nor beside a hollow face
		list = append(list, mid)
	}
	for i := range columns {
		for k := range rows {
			at := r2.Vec{
				X: box.Min.X + (box.Max.X-box.Min.X)*(float64(i)+0.5)/columns,
				Y: box.Min.Y + (box.Max.Y-box.Min.Y)*(float64(k)+0.5)/rows,
			}
			if p.on(face, at) {
				list = append(list, at)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b r2.Vec) int {
		return cmp.Compare(r2.Norm2(r2.Sub(a, mid)), r2.Norm2(r2.Sub(b, mid)))
	})
	if len(list) == 0 { // a sliver
		piece := slices.MaxFunc(p.seen[face], func(a, b []r2.Vec) int { return cmp.Compare(ringArea(a), ringArea(b)) })
		list = append(list, balance([][]r2.Vec{piece}))
	}
	return list
}

// balance is the centre of the area of convex rings.
func balance(pieces [][]r2.Vec) r2.Vec {
	var sum r2.Vec
	total := 0.0
	for _, ring := range pieces {
		for i := 2; i < len(ring); i++ {
			a := r2.Cross(r2.Sub(ring[i-1], ring[0]), r2.Sub(ring[i], ring[0]))
			sum = r2.Add(sum, r2.Scale(a/3, r2.Add(ring[0], r2.Add(ring[i-1], ring[i]))))
			total += a
		}
	}
	return r2.Scale(1/total, sum)
}

func around(pieces [][]r2.Vec) r2.Box {
	box := r2.Box{Min: pieces[0][0], Max: pieces[0][0]}
	for _, ring := range pieces {
		for _, q := range ring {
			box.Min = r2.Vec{X: min(box.Min.X, q.X), Y: min(box.Min.Y, q.Y)}
			box.Max = r2.Vec{X: max(box.Max.X, q.X), Y: max(box.Max.Y, q.Y)}
		}
	}
	return box
}

// outside letters a name off the picture, as near to what it names as there is room, with a line that
// leads to it.
func (p *spatial) outside(face int, name string) []draw.Item {
	const nearest, farthest, directions = 1.5, 14.0, 24 // Em
	foot := p.spots(face)[0]
	box := p.scene.Box()
	away := r2.Sub(foot, r2.Scale(0.5, r2.Add(box.Min, box.Max)))
	outwards := math.Atan2(away.Y, away.X)
	for far := nearest; far < farthest; far += 0.5 {
		for k := range directions {
			// Outwards first, then to its sides in turn.
			turn := float64((k+1)/2) * 2 * math.Pi / directions * float64(1-2*(k%2))
			sin, cos := math.Sincos(outwards + turn)
			tip := r2.Add(foot, r2.Scale(far*p.em, r2.Vec{X: cos, Y: sin}))
			if items := p.lead(foot, tip, cos, sin, name); items != nil {
				return items
			}
		}
	}
	return nil
}

// lead letters a name at the tip of a line if all of it stands off the picture and the line runs over no word.
func (p *spatial) lead(foot, tip r2.Vec, cos, sin float64, name string) []draw.Item {
	const steep = 0.35
	l := draw.Label{Role: draw.Note, Text: name, At: r2.Vec{X: tip.X, Y: tip.Y + 0.6*p.em*sin}}
	switch {
	case cos > steep:
		l.Anchor, l.At.X = draw.Start, tip.X+0.3*p.em
	case cos < -steep:
		l.Anchor, l.At.X = draw.End, tip.X-0.3*p.em
	}
	box := l.Corners(p.em)
	line := thinBox(foot, tip, 0.1*p.em)
	if !p.free(box) || meets(p.taken, line) || p.anyOn(r2.Scale(0.5, r2.Add(box[0], box[2]))) {
		return nil
	}
	p.inked = append(p.inked, line)
	return []draw.Item{draw.Stroke{Role: draw.Dim, Path: segment(foot, tip)}, draw.Area{Role: draw.Dim, Outline: dot(foot, 0.14*p.em)}, p.take(l)}
}

func dot(at r2.Vec, r float64) shape.Outline {
	right := r2.Vec{X: at.X + r, Y: at.Y}
	return shape.Outline{Start: right, Edges: []shape.Edge{{Segs: []shape.Seg{
		{Kind: shape.Arc, End: r2.Vec{X: at.X - r, Y: at.Y}, Bulge: 1}, {Kind: shape.Arc, End: right, Bulge: 1}}}}}
}
