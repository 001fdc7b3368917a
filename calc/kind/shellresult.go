package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/solid"
	"bevelbook/calc/unit"
)

// mostRows is how many rows of a table anyone reads.
const mostRows = 40

// shellResults gives what is told of a shell and of each of its panels.
func (b *Bench) shellResults(s *shelled, w shellWork) {
	m := s.body.Measure()
	b.boxResults("", m.OuterBox, true)
	if s.insideTold() {
		b.boxResults("inner_", m.InnerBox, false)
	}
	b.shellHeights(s)
	b.shellWeight(s)
	b.Give("wall_volume", eval.Num(m.WallVolume, unit.Volume), "", "")
	if m.OuterVolume > 0 {
		b.Quiet("outer_volume", eval.Num(m.OuterVolume, unit.Volume))
		b.Quiet("inner_volume", eval.Num(m.InnerVolume, unit.Volume))
	}
	b.Give("outer_area", eval.Num(m.OuterArea, unit.Area), "", "")
	b.Quiet("inner_area", eval.Num(m.InnerArea, unit.Area))
	b.seamResults(s)
	b.panelRecords(s)
	b.panelTable(s)
	b.seamTable(s)
}

// boxResults gives width, depth and height of the box round the outside or the inside.
func (b *Bench) boxResults(prefix string, box [2]r3.Vec, shown bool) {
	d := r3.Sub(box[1], box[0])
	for _, x := range []struct {
		name string
		v    float64
	}{{"width", d.X}, {"depth", d.Y}, {"height", d.Z}} {
		if shown {
			b.Give(prefix+x.name, eval.Num(x.v, unit.Length), "", "")
		} else {
			b.Quiet(prefix+x.name, eval.Num(x.v, unit.Length))
		}
	}
}

// shellWeight adds up the pieces as they are cut; nothing where a density is not known.
func (b *Bench) shellWeight(s *shelled) {
	total := 0.0
	for _, p := range s.parts {
		for _, q := range p.pieces {
			if q.Weight == 0 {
				return
			}
			total += q.Weight * float64(len(p.panels))
		}
	}
	b.Give("weight", eval.Num(total, unit.Mass), "sum of the panels as cut, glue and paint not counted", "")
}

func (b *Bench) seamResults(s *shelled) {
	length, area := 0.0, 0.0
	for _, seam := range s.body.Seams {
		length += s.body.Panel(seam.B.Face).Sides[seam.B.Edge].Length
		area += seam.GlueArea
	}
	b.Quiet("seam_length", eval.Num(length, unit.Length))
	b.Give("glue_area", eval.Num(area, unit.Area), "one of the two faces of each seam", "")
}

// heights at which a shell is measured: no more than a table shows.
const mostHeights = 24

// justBeside is how far beside a corner's height a section is taken, mm.
const justBeside = 1e-4

// shellHeights tells girths and room at the heights of the inside's corners and at those that the block
// asks for, and the clear opening: the least room from one open end to the other, or at the one there is.
func (b *Bench) shellHeights(s *shelled) {
	at, hollow := s.body.Heights(), s.insideTold()
	if !hollow {
		at = s.cornerHeights()
	}
	if len(at) > mostHeights {
		var some []float64
		for i := range mostHeights {
			some = append(some, at[i*(len(at)-1)/(mostHeights-1)])
		}
		at = some
	}
	low, high := s.openEnds()
	title := "Round the shell"
	if !hollow {
		title += "; the inside is not told, for rims that are cut square end short of it: measure it on the piece, or cut them flush"
	}
	t := Table{Title: title, Head: []string{"height", "girth outside", "girth inside", "largest circle inside", "width × depth inside"}}
	row := func(name string, z float64, outer, inner float64, c solid.Clear) {
		cells := []string{strings.TrimSpace(name + " " + b.mm(z)), b.mm(outer), "–", "–", "–"}
		if hollow {
			cells = append(cells[:2], b.mm(inner), b.mm(c.Diameter), b.mm(c.Width)+" × "+b.mm(c.Depth))
		}
		t.Rows = append(t.Rows, cells)
	}
	least, most := math.Inf(1), 0.0
	var way *solid.Clear
	var seen [][3]float64
	for i, z := range at {
		for _, beside := range []float64{-justBeside, justBeside} {
			if i == 0 && beside < 0 || i == len(at)-1 && beside > 0 {
				continue
			}
			section := s.body.Section(z + beside)
			outer, inner := section.Girths()
			most = max(most, outer)
			if hollow && inner == 0 || outer == 0 {
				continue
			}
			c := section.Clear()
			passed := z+beside > low-2*justBeside && z+beside < high+2*justBeside
			if hollow && (passed || low > high) {
				least = min(least, inner)
			}
			if hollow && passed && (way == nil || c.Diameter < way.Diameter) {
				way = &c
			}
			here := [3]float64{z, outer, inner}
			if !slices.ContainsFunc(seen, func(o [3]float64) bool {
				return math.Abs(o[0]-here[0])+math.Abs(o[1]-here[1])+math.Abs(o[2]-here[2]) < 0.01
			}) {
				seen = append(seen, here)
				row("", z, outer, inner, c)
			}
		}
	}
	if most > 0 {
		b.Give("outer_girth", eval.Num(most, unit.Length), "the greatest, measured level", "")
	}
	if !math.IsInf(least, 0) {
		b.Give("inner_girth", eval.Num(least, unit.Length), "the least on the way from one open end to the other", "")
	}
	if way != nil {
		b.Give("opening", eval.Num(way.Diameter, unit.Length), "the largest circle that goes through", "")
		b.Quiet("opening_width", eval.Num(way.Width, unit.Length))
		b.Quiet("opening_depth", eval.Num(way.Depth, unit.Length))
	}
	levels := &eval.Record{Kind: "heights", Name: b.Name}
	for _, e := range b.Each("level") {
		z := e.Arg.Value.(eval.Quantity).Value
		section := s.body.Section(z)
		outer, inner := section.Girths()
		if outer == 0 {
			b.Fail(eval.WrongValue, e.Arg.Entry.Value.Span(), "Heights count from the bottom of the shell", "%s has nothing at a height of %s", b.Name, b.mm(z))
		}
		c := section.Clear()
		row(e.Name, z, outer, inner, c)
		levels.Fields = append(levels.Fields, eval.Result{Name: e.Name, Value: levelRecord(e.Name, z, outer, inner, c, hollow)})
	}
	if len(levels.Fields) > 0 {
		b.Quiet("level", levels)
	}
	b.Table(t)
}

// insideTold tells whether the inside is where it is measured: no farther beyond the foam than a wall or two.
func (s *shelled) insideTold() bool {
	wall := 0.0
	for _, p := range s.body.Panels {
		wall = max(wall, p.Wall)
	}
	return s.body.Beyond() <= 2*wall
}

// cornerHeights are the heights of the shell's corners, rising.
func (s *shelled) cornerHeights() []float64 {
	var list []float64
	for _, p := range s.body.Points {
		list = append(list, math.Round(p.Z*1e3)/1e3)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// levelRecord is what is told of one height; hollow says whether the inside is.
func levelRecord(name string, z, outer, inner float64, c solid.Clear, hollow bool) *eval.Record {
	r := &eval.Record{Kind: "height", Name: name}
	fields := []struct {
		name string
		v    float64
	}{{"height", z}, {"outer_girth", outer}, {"inner_girth", inner}, {"opening", c.Diameter}, {"opening_width", c.Width}, {"opening_depth", c.Depth}}
	if !hollow {
		fields = fields[:2]
	}
	for _, f := range fields {
		r.Fields = append(r.Fields, eval.Result{Name: f.name, Value: eval.Num(f.v, unit.Length)})
	}
	return r
}

// openEnds are the lowest and the highest of the level openings; nothing lies between them if there are
// none.
func (s *shelled) openEnds() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, f := range s.body.Faces {
		if !f.Open {
			continue
		}
		bottom, top := math.Inf(1), math.Inf(-1)
		for _, v := range f.Loop {
			z := s.body.Points[v].Z
			bottom, top = min(bottom, z), max(top, z)
		}
		if top-bottom < justBeside {
			low, high = min(low, bottom), max(high, top)
		}
	}
	return low, high
}

// panelRecords gives one record for each panel, by its own name and by that of its part.
func (b *Bench) panelRecords(s *shelled) {
	given := map[string]bool{}
	for _, f := range b.Out.Record.Fields {
		given[f.Name] = true
	}
	for i := range s.parts {
		p := &s.parts[i]
		rec := &eval.Record{Kind: "panel", Name: p.whole.Name, Fields: b.shellPanelFields(p)}
		names := []string{p.name}
		for _, k := range p.panels {
			names = append(names, s.panels[k].name)
		}
		for j, name := range names {
			if slices.Contains(names[:j], name) {
				continue
			}
			if given[name] {
				b.Fail(eval.SetTwice, b.At, "Give the panel another name", "%s has a panel and a result that are both called %s", b.Name, name)
			}
			given[name] = true
			b.Quiet(name, rec)
		}
	}
}

func (b *Bench) shellPanelFields(p *shellPart) []eval.Result {
	q := p.whole
	weight := 0.0
	for _, piece := range p.pieces {
		weight += piece.Weight
	}
	q.Weight = 0 // several layers weigh what they weigh as cut
	list := append(b.flatFields(q),
		eval.Result{Name: "back_area", Value: eval.Num(q.BackArea, unit.Area)},
		eval.Result{Name: "thickness", Value: eval.Num(q.Thickness, unit.Length)},
		eval.Result{Name: "symmetric", Value: eval.Bool(q.SelfMirrored)},
		eval.Result{Name: "count", Value: eval.Num(float64(q.Count), unit.None)})
	if weight > 0 {
		list = append(list, eval.Result{Name: "weight", Value: eval.Num(weight, unit.Mass)})
	}
	return list
}

// panelTable lists the parts of a shell.
func (b *Bench) panelTable(s *shelled) {
	t := Table{Title: "Panels", Head: []string{"panel", "cut", "size", "bevels", "area"}}
	for _, p := range s.parts {
		size := p.whole.Show.Bounds().Size()
		t.Rows = append(t.Rows, []string{s.calledWith(p), fmt.Sprintf("%d ×", p.whole.Count), b.mm(size.X) + " × " + b.mm(size.Y), b.bevelWords(p.whole), eval.Num(p.whole.Area, unit.Area).Show(b.Style)})
	}
	b.table(t)
}

// calledWith is a part's name, with the panels that are cut as it where they have other names.
func (s *shelled) calledWith(p shellPart) string {
	if len(p.panels) == 1 {
		return p.name
	}
	var names []string
	for _, k := range p.panels {
		names = append(names, s.panels[k].name)
	}
	if n := len(names); n > 3 {
		return fmt.Sprintf("%s (%s … %s)", p.name, names[0], names[n-1])
	}
	return p.name + " (" + strings.Join(names, ", ") + ")"
}

// bevelWords tells the bevels of a part: one if all are alike, else edge by edge.
func (b *Bench) bevelWords(p part.Part) string {
	var words []string
	for _, e := range p.Edges {
		if math.Abs(e.Bevel) > 1e-6 {
			words = append(words, e.Name+" "+b.deg(e.Bevel))
		}
	}
	same := len(words) == len(p.Edges) && !slices.ContainsFunc(p.Edges, func(e part.Edge) bool { return math.Abs(e.Bevel-p.Edges[0].Bevel) > 1e-6 })
	const most = 6
	switch {
	case len(words) == 0:
		return "square"
	case same:
		return b.deg(p.Edges[0].Bevel) + " all round"
	case len(words) > most:
		return strings.Join(words[:most], ", ") + " …"
	}
	return strings.Join(words, ", ")
}

// seamTable lists the seams, those alike in one row.
func (b *Bench) seamTable(s *shelled) {
	t := Table{Title: "Seams", Head: []string{"seam", "edges", "times", "length", "at the back", "angle inside", "bevels"}}
	type row struct {
		words []string
		times int
	}
	var rows []*row
	byEdges := map[string]*row{}
	for i, seam := range b.Out.Seams {
		one, two := b.sideName(seam.A), b.sideName(seam.B)
		edges := one + " – " + two
		r := byEdges[edges]
		if r == nil {
			r = byEdges[two+" – "+one]
		}
		if r != nil {
			r.times++
			continue
		}
		bevels := b.deg(seam.A.Bevel)
		if math.Abs(seam.A.Bevel-seam.B.Bevel) > 1e-6 {
			bevels += " and " + b.deg(seam.B.Bevel)
		}
		if seam.Butt {
			bevels = b.sideName(seam.A) + " runs through"
		}
		r = &row{[]string{s.letters[i], edges, "", b.mm(seam.B.Length), b.mm(seam.B.BackLength), b.deg(seam.Dihedral), bevels}, 1}
		byEdges[edges] = r
		rows = append(rows, r)
	}
	for _, r := range rows {
		r.words[2] = fmt.Sprintf("%d ×", r.times)
		t.Rows = append(t.Rows, r.words)
	}
	b.table(t)
}

// sideName is an edge of the block's own seams without section and block: "side.left".
func (b *Bench) sideName(s part.Side) string {
	prefix := b.Name + "."
	if b.Section != "" {
		prefix = b.Section + "." + prefix
	}
	return strings.TrimPrefix(s.Part, prefix) + "." + s.Edge
}

// table adds a table, cut to what anyone reads.
func (b *Bench) table(t Table) {
	if n := len(t.Rows); n > mostRows {
		t.Title = fmt.Sprintf("%s (the first %d of %d)", t.Title, mostRows, n)
		t.Rows = t.Rows[:mostRows]
	}
	if len(t.Rows) > 0 {
		b.Table(t)
	}
}
