package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/solid"
)

// shellPanel is one panel of a shell as its figures draw it: the foam in space, and the part.
type shellPanel struct {
	name   string // without the block's
	slab   solid.Slab
	starts []int // the corner of the slab at which each edge of the part starts
	part   *part.Part
}

// edge are the ends of an edge on the show face, or on the back face.
func (q *shellPanel) edge(k int, back bool) (from, to r3.Vec) {
	corners := q.slab.Show
	if back {
		corners = q.slab.Back
	}
	i := q.starts[k]
	return corners[i], corners[(i+1)%len(corners)]
}

// shellSeam is two edges that meet, each as panel and edge.
type shellSeam struct {
	a, b   [2]int
	letter string
}

// What a figure shows one by one. More would be a thicket, and more than a page should carry.
const (
	mostNamedPanels = 40  // with names and letters
	mostTakenApart  = 100 // drawn apart at all
)

// shellFigures draws a shell put together, taken apart and laid flat.
func (b *Bench) shellFigures(panels []shellPanel, seams []shellSeam) {
	if len(panels) == 0 {
		return
	}
	b.assembled(panels)
	if len(panels) <= mostTakenApart {
		b.takenApart(panels, seams)
	}
	if len(panels) <= mostNamedPanels {
		b.laidFlat(panels)
	}
}

// glueWithin is how far corners of neighbours may lie apart and still be one, in mm: far below what
// shows, far above rounding.
const glueWithin = 1e-3

// assembled draws the shell put together, with the names of the panels that show.
func (b *Bench) assembled(panels []shellPanel) {
	shell, what := solid.Glued(slabsOf(panels), glueWithin)
	view := shell.ThreeQuarter()
	p := newSpatial(shell, what, view)
	d := draw.Drawing{Title: b.Name + " put together", Desc: b.assembledInWords(p, panels)}
	picture := p.picture()
	b.drawSettled(p.scene.Box(), func(em float64) draw.Drawing {
		d := d
		d.Items = picture[:len(picture):len(picture)]
		if len(panels) <= mostNamedPanels {
			p.letter(em)
			p.nameAll(&d, panels)
		}
		return d
	})
}

// drawSettled adds a drawing that is laid out around a picture. Words make the box larger and so want to
// be larger themselves: the lettering grows until its box asks for no more.
func (b *Bench) drawSettled(picture r2.Box, drawn func(em float64) draw.Drawing) {
	const margin = 1.0
	em := draw.ReadableEm(picture)
	for limit := 2.5 * em; ; {
		d := drawn(em)
		draw.Frame(&d, em, margin)
		want := math.Min(draw.ReadableEm(d.Box), limit)
		if want <= 1.01*em {
			b.Draw(d)
			return
		}
		em = math.Max(want, 1.04*em)
	}
}

func slabsOf(panels []shellPanel) []solid.Slab {
	list := make([]solid.Slab, len(panels))
	for i, q := range panels {
		list[i] = q.slab
	}
	return list
}

// nameAll letters the panels that show: on the face that shows most of each, or off the picture where the
// name finds no room on it. What cannot be lettered at all is told in words.
func (p *spatial) nameAll(d *draw.Drawing, panels []shellPanel) {
	var homeless []int
	var hidden, unnamed []string
	for i, q := range panels {
		face := p.shown(i)
		if face < 0 || p.area[face] < 0.02*p.em*p.em {
			hidden = append(hidden, q.name)
		} else if l, ok := p.within(face, draw.Label{Role: draw.Note, Text: q.name}); ok {
			d.Add(l)
		} else {
			homeless = append(homeless, i)
		}
	}
	for _, i := range homeless {
		items := p.outside(p.shown(i), panels[i].name)
		if items == nil {
			unnamed = append(unnamed, panels[i].name)
		}
		d.Add(items...)
	}
	if len(hidden) > 0 {
		d.Desc += " Hidden behind others: " + strings.Join(hidden, ", ") + "."
	}
	if len(unnamed) > 0 {
		d.Desc += " Without room for its name: " + strings.Join(unnamed, ", ") + "."
	}
}

// shown is the face of a panel that shows most of it, −1 if none does.
func (p *spatial) shown(panel int) int {
	best := -1
	for _, side := range []int{solid.Show, solid.Back} {
		if f, ok := p.face[solid.Surface{Slab: panel, Side: side}]; ok && p.area[f] > 0 && (best < 0 || p.area[f] > p.area[best]) {
			best = f
		}
	}
	return best
}

// assembledInWords says what the figure shows to who cannot see it.
func (b *Bench) assembledInWords(p *spatial, panels []shellPanel) string {
	low, high := p.shell.Points[0], p.shell.Points[0]
	for _, q := range p.shell.Points {
		low = r3.Vec{X: min(low.X, q.X), Y: min(low.Y, q.Y), Z: min(low.Z, q.Z)}
		high = r3.Vec{X: max(high.X, q.X), Y: max(high.Y, q.Y), Z: max(high.Z, q.Z)}
	}
	size := r3.Sub(high, low)
	side := "right"
	if p.scene.View.Toward.X < 0 {
		side = "left"
	}
	text := fmt.Sprintf("%s of %s wide, %s deep and %s high, seen from the front, somewhat to the %s and from above.",
		counted(len(panels), "panel"), b.mm(size.X), b.mm(size.Y), b.mm(size.Z), side)
	if len(panels) > mostNamedPanels {
		return text + " So many panels are not named here; their templates are."
	}
	return text
}

func counted(n int, what string) string {
	if n == 1 {
		return "One " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// takenApart draws the panels moved out along their normals, with the letters of the edges that meet
// and lines between them.
func (b *Bench) takenApart(panels []shellPanel, seams []shellSeam) {
	glued, _ := solid.Glued(slabsOf(panels), glueWithin)
	moved, p := apart(panels, glued.ThreeQuarter())
	d := draw.Drawing{Title: b.Name + " taken apart"}
	d.Desc = fmt.Sprintf("The %s moved out along their normals; chain lines join the edges that meet.", strings.ToLower(counted(len(panels), "panel")))
	picture := p.picture()
	for _, s := range seams {
		picture = append(picture, p.join(moved, s)...)
	}
	lettered := len(panels) <= mostNamedPanels
	if lettered {
		d.Desc += " Edges that meet bear the same letter."
	} else {
		d.Desc += " So many panels bear no letters here; their templates do."
	}
	b.drawSettled(p.scene.Box(), func(em float64) draw.Drawing {
		d := d
		d.Items = picture[:len(picture):len(picture)]
		if !lettered {
			return d
		}
		p.letter(em)
		for _, s := range seams {
			d.Add(p.edgeLetter(moved, s.a, s.letter)...)
			d.Add(p.edgeLetter(moved, s.b, s.letter)...)
		}
		p.nameAll(&d, panels)
		return d
	})
}

// apart moves the panels out along their normals, and a little away from the middle so that panels in
// one plane part too: as far as they must go to leave most of each other to be seen. Very many panels
// are moved once, by what mostly does.
func apart(panels []shellPanel, v solid.View) ([]shellPanel, *spatial) {
	const enough = 0.88 // of what faces the viewer
	var middle r3.Vec
	centres, normals, size := make([]r3.Vec, len(panels)), make([]r3.Vec, len(panels)), 0.0
	shell, what := solid.Slabs(slabsOf(panels))
	for f, w := range what {
		if w.Side == solid.Show {
			normals[w.Slab] = shell.Normal(f)
			centres[w.Slab] = centre(panels[w.Slab].slab.Show)
			middle = r3.Add(middle, r3.Scale(1/float64(len(panels)), centres[w.Slab]))
			size += math.Sqrt(math.Max(0, panels[w.Slab].part.Area)) / float64(len(panels))
		}
	}
	share := 0.3
	if len(panels) > mostNamedPanels {
		share = 0.6
	}
	for ; ; share += 0.15 {
		moved := slices.Clone(panels)
		for i, q := range panels {
			by := r3.Add(r3.Scale(share*size, normals[i]), r3.Scale(0.4*share, r3.Sub(centres[i], middle)))
			moved[i].slab = solid.Slab{Show: shifted(q.slab.Show, by), Back: shifted(q.slab.Back, by)}
		}
		shell, what := solid.Slabs(slabsOf(moved))
		p := newSpatial(shell, what, v)
		shown, facing := 0.0, 0.0
		for f, w := range what {
			if w.Side < 0 {
				shown += p.area[f]
				facing += shell.Area(f) * math.Max(0, p.scene.Facing(f))
			}
		}
		if shown >= enough*facing || share > 1 || len(panels) > mostNamedPanels {
			return moved, p
		}
	}
}

func centre(points []r3.Vec) r3.Vec {
	var sum r3.Vec
	for _, q := range points {
		sum = r3.Add(sum, r3.Scale(1/float64(len(points)), q))
	}
	return sum
}

func shifted(points []r3.Vec, by r3.Vec) []r3.Vec {
	out := make([]r3.Vec, len(points))
	for i, q := range points {
		out[i] = r3.Add(q, by)
	}
	return out
}

// join is the line between the middles of two edges that meet, as far as it shows.
func (p *spatial) join(panels []shellPanel, s shellSeam) []draw.Item {
	var ends [2]r3.Vec
	for i, at := range [][2]int{s.a, s.b} {
		from, to := panels[at[0]].edge(at[1], false)
		ends[i] = r3.Scale(0.5, r3.Add(from, to))
	}
	var items []draw.Item
	for _, l := range p.scene.Segment(ends[0], ends[1]) {
		items = append(items, draw.Stroke{Role: draw.Centre, Path: segment(l[0], l[1])})
	}
	return items
}

// edgeLetter stands inside of an edge near the middle of the longest stretch that shows, or outside of
// it where the panel is seen too much from the side.
func (p *spatial) edgeLetter(panels []shellPanel, at [2]int, letter string) []draw.Item {
	face := p.shown(at[0])
	if face < 0 || letter == "" {
		return nil
	}
	back := p.what[face].Side == solid.Back
	a, b := panels[at[0]].edge(at[1], back)
	if back {
		a, b = b, a // so that the foam lies to the left of it, seen from its face
	}
	var from, to r2.Vec
	for _, l := range p.scene.Segment(a, b, face) {
		if r2.Norm(r2.Sub(l[1], l[0])) > r2.Norm(r2.Sub(to, from)) {
			from, to = l[0], l[1]
		}
	}
	length := r2.Norm(r2.Sub(to, from))
	if length < 0.8*p.em {
		return nil
	}
	dir := r2.Scale(1/length, r2.Sub(to, from))
	in := r2.Vec{X: -dir.Y, Y: dir.X}
	l := draw.Label{Role: draw.Name, Text: letter, Size: 0.95}
	for _, off := range []float64{0.8, 0.95, -0.85, -1.1} {
		for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
			l.At = r2.Add(r2.Add(from, r2.Scale(share*length, dir)), r2.Scale(off*p.em, in))
			if off > 0 && !p.on(face, l.At) || off < 0 && p.anyOn(l.At) {
				continue
			}
			if p.free(l.Corners(p.em)) {
				return []draw.Item{p.take(l)}
			}
		}
	}
	return nil
}

// anyOn tells whether a point lies on the picture.
func (p *spatial) anyOn(at r2.Vec) bool {
	for f := range p.seen {
		if p.on(f, at) {
			return true
		}
	}
	return false
}
