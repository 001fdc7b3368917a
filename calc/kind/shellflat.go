package kind

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// mostFlat is how many panels one flat figure lays out.
const mostFlat = 12

// laidFlat draws the parts beside each other, seen from outside: name, letters of the edges that meet, the
// back face dashed, and the lengths of one of each that are alike. Many parts take several figures.
func (b *Bench) laidFlat(s *shelled) {
	figures := (len(s.parts) + mostFlat - 1) / mostFlat
	measured := firstOfAlike(s.parts)
	for k := range figures {
		from, to := k*len(s.parts)/figures, (k+1)*len(s.parts)/figures
		d := draw.Drawing{Title: b.Name + " laid flat", Desc: b.flatInWords(s.parts[from:to])}
		if figures > 1 {
			d.Title = fmt.Sprintf("%s laid flat, %d to %d of %d", b.Name, from+1, to, len(s.parts))
		}
		sheet := flatSheet{b, s.parts[from:to], measured[from:to]}
		b.drawSettled(sheet.bare(), func(em float64) draw.Drawing {
			d.Items = sheet.layout(em)
			return d
		})
	}
}

// flatInWords says what the figure shows to who cannot see it: each part with the edges that it meets.
func (b *Bench) flatInWords(parts []shellPart) string {
	text := "Seen from outside, back faces dashed; edges that meet bear the same letter."
	for i := range parts {
		var edges []string
		for _, e := range parts[i].whole.Edges {
			if e.Letter != "" {
				edges = append(edges, e.Letter+" "+e.Name+" to "+e.Meets)
			}
		}
		text += " " + parts[i].called()
		if len(edges) > 0 {
			text += ": " + strings.Join(edges, ", ")
		}
		text += "."
	}
	return text
}

// firstOfAlike tells of each part whether no earlier one has the same edges.
func firstOfAlike(parts []shellPart) []bool {
	first := make([]bool, len(parts))
	for i := range parts {
		first[i] = !slices.ContainsFunc(parts[:i], func(other shellPart) bool { return alikeEdges(&parts[i].whole, &other.whole) })
	}
	return first
}

// alikeEdges tells whether two parts have edges of the same lengths in the same order, whichever comes
// first and whichever way round.
func alikeEdges(p, q *part.Part) bool {
	n := len(p.Edges)
	if n != len(q.Edges) || math.Abs(p.Area-q.Area) > 0.01*math.Sqrt(math.Abs(p.Area)) {
		return false
	}
	for turn := range n {
		same, mirrored := true, true
		for i := range n {
			length := p.Edges[i].Length
			same = same && math.Abs(length-q.Edges[(i+turn)%n].Length) < 0.01
			mirrored = mirrored && math.Abs(length-q.Edges[(n-i+turn)%n].Length) < 0.01
		}
		if same || mirrored {
			return true
		}
	}
	return false
}

// flatSheet lays parts out in rows.
type flatSheet struct {
	*Bench
	parts    []shellPart
	measured []bool
}

// bare is about the box that the parts take without words.
func (s flatSheet) bare() r2.Box {
	cells := make([]cell, len(s.parts))
	for i := range s.parts {
		box := s.parts[i].whole.Show.Bounds()
		cells[i] = cell{box, box.Min.Y}
	}
	_, size := rows(cells, 0)
	return r2.Box{Max: size}
}

func (s flatSheet) layout(em float64) []draw.Item {
	cells := make([]cell, len(s.parts))
	for i := range s.parts {
		cells[i] = cell{extentOf(s.part(i, em, r2.Vec{}), em), s.parts[i].whole.Show.Bounds().Min.Y}
	}
	shifts, _ := rows(cells, 0.9*em)
	var items []draw.Item
	for i, by := range shifts {
		items = append(items, s.part(i, em, by)...)
	}
	return items
}

func extentOf(items []draw.Item, em float64) r2.Box {
	box := draw.Extent(nil, em)
	for _, it := range items {
		e := draw.Extent(it, em)
		box.Min = r2.Vec{X: min(box.Min.X, e.Min.X), Y: min(box.Min.Y, e.Min.Y)}
		box.Max = r2.Vec{X: max(box.Max.X, e.Max.X), Y: max(box.Max.Y, e.Max.Y)}
	}
	return box
}

// cell is the room that a part takes with its words, and the level of its lower edge.
type cell struct {
	box  r2.Box
	foot float64
}

func (c cell) wide() float64 { return c.box.Max.X - c.box.Min.X }

// rows sets cells in rows from the top, in their order and with a gap between, as wide as lets the
// lettering be smallest. It returns how far each is to be shifted, and the size of all.
func rows(cells []cell, gap float64) (shifts []r2.Vec, size r2.Vec) {
	best := math.Inf(1)
	for columns := 1; columns <= len(cells); columns++ {
		// The width that the widest run of so many in their order takes.
		width := 0.0
		for i := 0; i+columns <= len(cells); i++ {
			run := -gap
			for _, c := range cells[i : i+columns] {
				run += c.wide() + gap
			}
			width = math.Max(width, run)
		}
		places, all := shelves(cells, gap, width)
		if em := draw.ReadableEm(r2.Box{Max: all}); em < best-1e-9 {
			best, shifts, size = em, places, all
		}
	}
	return shifts, size
}

// shelves fills rows of a width from the top down; the parts in a row stand on one line.
func shelves(cells []cell, gap, width float64) (shifts []r2.Vec, size r2.Vec) {
	shifts = make([]r2.Vec, len(cells))
	for i := 0; i < len(cells); {
		x, above, below, end := 0.0, 0.0, 0.0, i
		for end < len(cells) {
			c := cells[end]
			if end > i && x+c.wide() > width+1e-9 {
				break
			}
			shifts[end].X = x - c.box.Min.X
			x += c.wide() + gap
			above, below = math.Max(above, c.box.Max.Y-c.foot), math.Max(below, c.foot-c.box.Min.Y)
			end++
		}
		if i > 0 {
			size.Y += gap
		}
		for k := i; k < end; k++ {
			shifts[k].Y = -size.Y - above - cells[k].foot
		}
		size = r2.Vec{X: math.Max(size.X, x-gap), Y: size.Y + above + below}
		i = end
	}
	return shifts, size
}

// part draws one part, shifted to its place.
func (s flatSheet) part(i int, em float64, at r2.Vec) []draw.Item {
	p := s.parts[i].whole
	p.Show, p.Back = p.Show.Translate(at), p.Back.Translate(at)
	p.Holes, p.Lines, p.Marks = moved(p, at)
	foam := draw.Area{Role: draw.Body, Outline: p.Show, Fill: true}
	for _, h := range p.Holes {
		foam.Holes = append(foam.Holes, h.Shape)
	}
	items := []draw.Item{foam, draw.Area{Role: draw.Cut, Outline: p.Show}}
	if bevelled(p) {
		items = append(items, draw.Area{Role: draw.Back, Outline: p.Back})
	}
	for _, h := range p.Holes {
		items = append(items, draw.Area{Role: draw.Hole, Outline: h.Shape})
	}
	for _, l := range p.Lines {
		items = append(items, draw.Stroke{Role: draw.Mark, Path: l.Path})
	}
	for _, m := range p.Marks {
		items = append(items, draw.Point{Role: draw.Mark, At: m.At})
	}
	free := room{em: em, show: p.Show, holes: p.Holes, taken: obstacles(p, em)}
	beside := map[int]bool{} // edges whose letter stands outside
	for k, e := range p.Edges {
		words := free.edgeName(p.Show.EdgePath(k), e)
		if words == nil && e.Letter != "" {
			words, beside[k] = free.besideEdge(p.Show.EdgePath(k), e), true
		}
		items = append(items, words...)
	}
	if s.measured[i] {
		items = append(items, s.lengths(p, em, beside)...)
	}
	name, ok := free.named(s.parts[i].called())
	if !ok { // above all that is there
		box := extentOf(items, em)
		name.At = r2.Vec{X: p.Show.Centroid().X, Y: box.Max.Y + 0.7*em}
	}
	return append(items, name)
}

// moved are holes, lines and marks of a part shifted with it.
func moved(p part.Part, by r2.Vec) (holes, lines, marks []part.Feature) {
	for _, h := range p.Holes {
		holes = append(holes, part.Feature{Name: h.Name, Shape: h.Shape.Translate(by)})
	}
	for _, l := range p.Lines {
		lines = append(lines, part.Feature{Name: l.Name, Path: l.Path.Translate(by)})
	}
	for _, m := range p.Marks {
		marks = append(marks, part.Feature{Name: m.Name, At: r2.Add(m.At, by)})
	}
	return holes, lines, marks
}

// besideEdge writes the letter of a short or narrow edge outside of it.
func (f *room) besideEdge(path shape.Path, e part.Edge) []draw.Item {
	at, dir, _ := midway(path)
	l := draw.Label{Role: draw.Name, Text: e.Letter, Size: 0.9, At: r2.Add(at, r2.Scale(0.75*f.em, r2.Vec{X: dir.Y, Y: -dir.X}))}
	f.names = append(f.names, l.Corners(f.em))
	return []draw.Item{l}
}

// edgeName writes along an edge its letter, heavy, and its name, or the letter alone.
func (f *room) edgeName(path shape.Path, e part.Edge) []draw.Item {
	at, dir, bent := midway(path)
	in := r2.Vec{X: -dir.Y, Y: dir.X}
	l := draw.Label{Role: draw.Note, Angle: draw.Upright(math.Atan2(dir.Y, dir.X)), Size: 0.9}
	texts := []string{e.Letter + " " + e.Name, e.Letter}
	if e.Letter == "" {
		texts = []string{e.Name}
	}
	// Clear of the dashed back edge, or between the two where there is room.
	off := 0.85*f.em + math.Max(0, e.Run)
	if e.Run > 2*f.em {
		off = e.Run / 2
	}
	l.At = r2.Add(at, r2.Scale(off, in))
	for _, l.Text = range texts {
		if draw.TextWidth(l.Text)*f.em > e.Length-1.2*f.em && !bent {
			continue
		}
		if got, ok := f.along(l, dir, e.Length, bent); ok {
			return split(got, e.Letter, f.em)
		}
	}
	return nil
}

// split makes the letter that words begin with heavy, where it stands.
func split(l draw.Label, letter string, em float64) []draw.Item {
	name := strings.TrimPrefix(l.Text, letter+" ")
	heavy := l
	heavy.Role, heavy.Text = draw.Name, letter
	if letter == "" || l.Text == letter {
		if letter == "" {
			heavy = l
		}
		return []draw.Item{heavy}
	}
	// Both stand at the gap between them, so that a narrower face of type leaves no hole there.
	gap := (draw.TextWidth(letter+" ") - draw.TextWidth(l.Text)/2) * em * l.Size
	sin, cos := math.Sincos(l.Angle)
	gapAt := func(by float64) r2.Vec { return r2.Add(l.At, r2.Scale(gap+by*em*l.Size, r2.Vec{X: cos, Y: sin})) }
	heavy.Anchor, heavy.At = draw.End, gapAt(-0.35)
	l.Anchor, l.Text, l.At = draw.Start, name, gapAt(0)
	return []draw.Item{heavy, l}
}

// named writes a name on the part, as near to its middle as there is room, level or upright.
func (f *room) named(name string) (draw.Label, bool) {
	const n = 8
	l := draw.Label{Role: draw.Name, Text: name}
	mid, box := f.show.Centroid(), f.show.Bounds()
	spots := []r2.Vec{mid}
	for i := range n * n {
		spots = append(spots, r2.Vec{
			X: box.Min.X + (box.Max.X-box.Min.X)*(float64(i%n)+0.5)/n,
			Y: box.Min.Y + (box.Max.Y-box.Min.Y)*(float64(i/n)+0.5)/n,
		})
	}
	slices.SortStableFunc(spots, func(a, b r2.Vec) int {
		return cmp.Compare(r2.Norm2(r2.Sub(a, mid)), r2.Norm2(r2.Sub(b, mid)))
	})
	for _, l.Angle = range []float64{0, math.Pi / 2} {
		for _, l.At = range spots {
			box := l.Corners(f.em)
			if !meets(f.names, box) && !meets(f.taken, box) && !f.inHole(l.At) && f.show.Contains(box[0]) && f.show.Contains(box[1]) && f.show.Contains(box[2]) && f.show.Contains(box[3]) {
				return l, true
			}
		}
	}
	l.Angle = 0
	return l, false
}

// inHole tells whether a point lies in one of the part's holes.
func (f *room) inHole(at r2.Vec) bool {
	return slices.ContainsFunc(f.holes, func(h part.Feature) bool { return h.Shape.Contains(at) })
}

// lengths are the dimensions of the edges that differ: the longest, the longest that runs another way, then
// the others, fewer where many parts share the figure; farther out where a letter stands beside the edge.
func (s flatSheet) lengths(p part.Part, em float64, beside map[int]bool) []draw.Item {
	const room = 12
	most := min(max(room/len(s.parts), 2), 4)
	order := byLength(p)
	if k := slices.IndexFunc(order, func(i int) bool { return across(p, order[0], i) }); k > 1 {
		across := order[k]
		order = slices.Insert(slices.Delete(order, k, k+1), 1, across)
	}
	var items []draw.Item
	var told []float64
	for _, i := range order {
		length := p.Edges[i].Length
		if len(items) == most || slices.ContainsFunc(told, func(other float64) bool { return math.Abs(other-length) < 0.05 }) {
			continue
		}
		told = append(told, length)
		path, off := p.Show.EdgePath(i), 1.6*em
		if beside[i] {
			off = 2.3 * em
		}
		items = append(items, draw.Dimension{A: path.Start, B: path.Segs[len(path.Segs)-1].End, Off: -off, Text: s.mm(length)})
	}
	return items
}

// byLength are the edges of a part, the longest first.
func byLength(p part.Part) []int {
	order := make([]int, len(p.Edges))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		if d := p.Edges[j].Length - p.Edges[i].Length; math.Abs(d) > 0.05 {
			return int(math.Copysign(1, d))
		}
		return 0
	})
	return order
}

// across tells whether two edges run in clearly different directions.
func across(p part.Part, i, j int) bool {
	_, u, _ := midway(p.Show.EdgePath(i))
	_, v, _ := midway(p.Show.EdgePath(j))
	return math.Abs(r2.Cross(u, v)) > 0.5
}
