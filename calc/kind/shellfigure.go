package kind

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
)

// What a figure shows one by one. More would be a thicket, and more than a page should carry.
const (
	mostNamedPanels = 40  // with names and letters
	mostTakenApart  = 100 // drawn apart at all
)

// shellFigures draws a shell put together, taken apart and laid flat.
func (b *Bench) shellFigures(s *shelled) {
	n := len(s.panels)
	glued, what := solid.Glued(s.slabs(nil), glueWithin)
	view := glued.ThreeQuarter()
	b.assembled(s, newSpatial(glued, what, view))
	if n <= mostTakenApart {
		b.takenApart(s, view)
	}
	if len(s.parts) <= mostNamedPanels {
		b.laidFlat(s)
	}
}

// glueWithin is how far corners of neighbours may lie apart and still be one, in mm: far below what
// shows, far above rounding.
const glueWithin = 1e-3

// slabs is the foam of the panels with its holes, each moved by its own way if there are such.
func (s *shelled) slabs(by []r3.Vec) []solid.Slab {
	list := make([]solid.Slab, len(s.body.Panels))
	for i, p := range s.body.Panels {
		var way r3.Vec
		if by != nil {
			way = by[i]
		}
		for _, c := range p.Corners {
			list[i].Show, list[i].Back = append(list[i].Show, r3.Add(c.Show, way)), append(list[i].Back, r3.Add(c.Back, way))
		}
		whole := &s.parts[s.panels[i].part].whole
		for _, h := range whole.Holes[:min(len(whole.Holes), mostHoles)] {
			var hole solid.Slab
			for _, q := range inSteps(h.Shape.Path()) {
				hole.Show, hole.Back = append(hole.Show, r3.Add(p.In(q, 0), way)), append(hole.Back, r3.Add(p.In(q, p.Wall), way))
			}
			list[i].Holes = append(list[i].Holes, hole)
		}
	}
	return list
}

// mostHoles of a panel are drawn in space; more are to be seen on the flat part.
const mostHoles = 12

// inSteps follows a path in straight steps, some twenty for a circle, without its last point if it closes.
func inSteps(p shape.Path) []r2.Vec {
	box := p.Bounds()
	list := p.Flatten(math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) / 250)
	const most = 60
	if n := len(list); n > most { // a traced outline
		some := make([]r2.Vec, most)
		for i := range some {
			some[i] = list[i*(n-1)/(most-1)]
		}
		list = some
	}
	if n := len(list) - 1; n > 2 && r2.Norm(r2.Sub(list[n], list[0])) < 1e-9 {
		list = list[:n]
	}
	return list
}

// drawn are the lines on the show faces of panels, as far as they show.
func (p *spatial) drawn(s *shelled, by []r3.Vec) []draw.Item {
	var items []draw.Item
	for i, q := range s.body.Panels {
		face, ok := p.face[solid.Surface{Slab: i, Side: solid.Show}]
		if !ok || !(p.scene.Facing(face) > 0) {
			continue
		}
		var way r3.Vec
		if by != nil {
			way = by[i]
		}
		for _, l := range s.parts[s.panels[i].part].whole.Lines {
			points := inSteps(l.Path)
			for k := 1; k < len(points); k++ {
				for _, seen := range p.scene.Segment(r3.Add(q.In(points[k-1], 0), way), r3.Add(q.In(points[k], 0), way), face) {
					items = append(items, draw.Stroke{Role: draw.Mark, Path: segment(seen[0], seen[1])})
					p.marked = append(p.marked, seen)
				}
			}
		}
	}
	return items
}

// called is what a part is called in the figures: by its name, with how many panels are cut as it.
func (p *shellPart) called() string {
	if len(p.panels) == 1 {
		return p.name
	}
	return fmt.Sprintf("%s × %d", p.name, len(p.panels))
}

// assembled draws the shell put together, with the names of the panels that show.
func (b *Bench) assembled(s *shelled, p *spatial) {
	d := draw.Drawing{Title: b.Name + " put together", Desc: b.assembledInWords(s, p)}
	picture := append(p.picture(), p.drawn(s, nil)...)
	b.drawSettled(p.scene.Box(), func(em float64) draw.Drawing {
		d := d
		d.Items = picture[:len(picture):len(picture)]
		if len(s.panels) <= mostNamedPanels {
			p.letter(em)
			p.nameAll(&d, s)
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

// nameAll letters the parts that show, once each: on the face that shows most of one of its panels, or off
// the picture where the name finds no room. What cannot be lettered at all is told in words.
func (p *spatial) nameAll(d *draw.Drawing, s *shelled) {
	var homeless []int
	var hidden, unnamed []string
	for i := range s.parts {
		faces := p.facesOf(s.parts[i].panels)
		if len(faces) == 0 {
			hidden = append(hidden, s.parts[i].called())
			continue
		}
		named := slices.ContainsFunc(faces, func(face int) bool {
			l, ok := p.within(face, draw.Label{Role: draw.Note, Text: s.parts[i].called()})
			if ok {
				d.Add(l)
			}
			return ok
		})
		if !named {
			homeless = append(homeless, i)
		}
	}
	for _, i := range homeless {
		items := p.outside(p.facesOf(s.parts[i].panels)[0], s.parts[i].called())
		if items == nil {
			unnamed = append(unnamed, s.parts[i].called())
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

// facesOf are the faces of panels that show, the one that shows most first.
func (p *spatial) facesOf(panels []int) []int {
	const speck = 0.02 // Em²
	var faces []int
	for _, i := range panels {
		if f := p.shown(i); f >= 0 && p.area[f] > speck*p.em*p.em {
			faces = append(faces, f)
		}
	}
	slices.SortStableFunc(faces, func(a, b int) int { return cmp.Compare(p.area[b], p.area[a]) })
	return faces
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
func (b *Bench) assembledInWords(s *shelled, p *spatial) string {
	box := s.body.Measure().OuterBox
	size := r3.Sub(box[1], box[0])
	side := "right"
	if p.scene.View.Toward.X < 0 {
		side = "left"
	}
	text := fmt.Sprintf("%s, %s wide, %s deep and %s high, seen from the front, somewhat to the %s and from above.",
		counted(len(s.panels), "panel"), b.mm(size.X), b.mm(size.Y), b.mm(size.Z), side)
	if len(s.panels) > mostNamedPanels {
		text += " So many panels are not named here; their templates are."
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
func (b *Bench) takenApart(s *shelled, view solid.View) {
	by, p := s.apart(view)
	d := draw.Drawing{Title: b.Name + " taken apart"}
	d.Desc = fmt.Sprintf("%s, moved out along their normals; chain lines join the edges that meet.", counted(len(s.panels), "panel"))
	picture := append(p.picture(), p.drawn(s, by)...)
	for _, seam := range s.body.Seams {
		picture = append(picture, p.join(s, by, seam)...)
	}
	lettered := len(s.panels) <= mostNamedPanels
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
		for i, seam := range s.body.Seams {
			d.Add(p.edgeLetter(s, by, seam.A, s.letters[i])...)
			d.Add(p.edgeLetter(s, by, seam.B, s.letters[i])...)
		}
		p.nameAll(&d, s)
		return d
	})
}

// apart says how panels move out along their normals, and a little away from the middle so that panels in
// one plane part too: as far as they must go to leave most of each other to be seen, and no farther than
// helps, for what is far apart is drawn small. Very many panels are moved once, by what mostly does.
func (s *shelled) apart(v solid.View) ([]r3.Vec, *spatial) {
	const enough, worth = 0.88, 0.3 // of what faces the viewer; what a whole size of way must show more
	n := len(s.body.Panels)
	var middle r3.Vec
	centres, size := make([]r3.Vec, n), 0.0
	for i, b := range s.slabs(nil) {
		centres[i] = centre(b.Show)
		middle = r3.Add(middle, r3.Scale(1/float64(n), centres[i]))
		size += math.Sqrt(math.Max(0, s.parts[s.panels[i].part].whole.Area)) / float64(n)
	}
	shares := []float64{0.3, 0.45, 0.6, 0.75, 0.9}
	if n > mostNamedPanels {
		shares = shares[2:3]
	}
	var bestBy []r3.Vec
	var best *spatial
	most := math.Inf(-1)
	for _, share := range shares {
		by := make([]r3.Vec, n)
		for i := range by {
			by[i] = r3.Add(r3.Scale(share*size, s.body.Panels[i].Normal), r3.Scale(0.6*share, r3.Sub(centres[i], middle)))
		}
		p := separate(s.slabs(by), v)
		shown := p.share()
		if gain := shown - worth*share; gain > most {
			bestBy, best, most = by, p, gain
		}
		if shown >= enough {
			break
		}
	}
	return bestBy, best
}

// share is how much shows of the faces that are turned to the viewer.
func (p *spatial) share() float64 {
	shown, facing := 0.0, 0.0
	for f, w := range p.what {
		if w.Side == solid.Show || w.Side == solid.Back {
			shown += p.area[f]
			facing += p.shell.Area(f) * math.Max(0, p.scene.Facing(f))
		}
	}
	if facing == 0 {
		return 1
	}
	return shown / facing
}

func centre(points []r3.Vec) r3.Vec {
	var sum r3.Vec
	for _, q := range points {
		sum = r3.Add(sum, r3.Scale(1/float64(len(points)), q))
	}
	return sum
}

// ends are where an edge of the moved shell leads from and to, on the show or the back face.
func (s *shelled) ends(by []r3.Vec, e solid.Edge, back bool) (from, to r3.Vec) {
	i := s.body.PanelIndex(e.Face)
	a, b := s.body.Panels[i].Ends(e.Edge)
	if back {
		return r3.Add(a.Back, by[i]), r3.Add(b.Back, by[i])
	}
	return r3.Add(a.Show, by[i]), r3.Add(b.Show, by[i])
}

// join is the line between the middles of two edges that meet, as far as it shows.
func (p *spatial) join(s *shelled, by []r3.Vec, seam solid.Seam) []draw.Item {
	var ends [2]r3.Vec
	for i, e := range []solid.Edge{seam.A, seam.B} {
		from, to := s.ends(by, e, false)
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
func (p *spatial) edgeLetter(s *shelled, by []r3.Vec, e solid.Edge, letter string) []draw.Item {
	face := p.shown(s.body.PanelIndex(e.Face))
	if face < 0 || letter == "" {
		return nil
	}
	back := p.what[face].Side == solid.Back
	a, b := s.ends(by, e, back)
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
