package kind

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
)

// What the kinds that close flat panels to a shape in space have in common: what they are cut from, how
// rims are cut, what is on a panel, the parts and their seams.
//
// A kind makes a solid.Shell and hands it to Bench.shell, which gives parts, seams, results and tables.
// Parts are named block.panel. Panels of one family that are cut alike are one part, cut as often as
// there are such panels, under the family's name, unless the block says `apart: yes`.

// shellKeys are a kind's own keys and those of every shell.
func shellKeys(own ...Key) []Key {
	return append(own, []Key{
		{Name: "material", Want: AMaterial, Doc: "the sheet that all panels are cut from"},
		{Name: "stack", Want: Block, Doc: "a stack in place of a material: one cut piece for each layer"},
		{Name: "thickness", Want: Length, Doc: "in place of a material"},
		{Name: "rim", Arg: "EDGE", Want: Angle, Doc: "the bevel of all open edges of that name; they are cut square if it does not say"},
		{Name: "flush", Want: Names, Doc: "names of open edges that are cut level with the opening"},
		{Name: "hole", Arg: "PANEL", Want: AList, Doc: "one or more outlines cut square through a panel, from its lower left"},
		{Name: "line", Arg: "PANEL", Want: AList, Doc: "a line, or a list of them, drawn on the show face of a panel"},
		{Name: "mark", Arg: "PANEL", Want: AList, Doc: "one or more points marked on the show face of a panel"},
		{Name: "level", Arg: "NAME", Want: Length, Doc: "a height at which girths and the clear opening are told, as level.NAME.inner_girth"},
		{Name: "apart", Want: Truth, Doc: "yes to name and cut each panel by itself, even those that are alike"},
		{Name: "hand", Want: Word, Words: []string{"left", "right", "pair"}, Doc: "which hands are made; a pair is drawn as the left one"},
		{Name: "count", Want: Count, Doc: "how many of each hand, for each side of the section"},
		{Name: "worn", Want: Truth, Doc: "yes if the inside is towards the body"},
		{Name: "trace", Want: Word, Words: []string{"show", "back"}, Doc: "the face that the templates are traced on"},
		{Name: "grain", Want: Angle, Doc: "where the grain or texture of the sheet runs on each panel, counter-clockwise from level; 90 deg (upright) if left out"},
		{Name: "trim", Want: Length, Doc: "how much larger the layers below the first are cut, to be trimmed after gluing"},
	}...)
}

// shellWork is what a kind hands to Bench.shell.
type shellWork struct {
	shell  *solid.Shell // with its walls and openings
	layers layering     // what the panels are cut from
	// through is solid.Options.Through; nil mitres every seam.
	through func(a, b int) (int, bool)
	// family is the family of a face, by its name: panels of one family that are cut alike are one part
	// under that name. nil, or "", for panels that stay by themselves.
	family func(face string) string
	// flat is how far, in mm, a corner may lie off its face; 0 for solid.Flat.
	flat float64
}

// shelled is a shell on the bench. The figures draw it.
type shelled struct {
	body   *solid.Body
	panels []shellFace // as body.Panels
	parts  []shellPart
	// seams are as body.Seams: the letter of each.
	letters []string
}

// shellFace is one panel of the shell.
type shellFace struct {
	name     string // without the block's
	part     int    // of shelled.parts
	features [3][]part.Feature
}

// shellPart is one part and the panels that are cut as it.
type shellPart struct {
	name   string    // without the block's
	whole  part.Part // through all layers
	panels []int     // of body.Panels, the first is the one it was made from
	pieces []part.Part
}

// shell works a shell out: parts, seams, results, tables and the drawing.
func (b *Bench) shell(w shellWork) *shelled {
	body, errs := solid.Build(w.shell, solid.Options{Flat: w.flat, Through: w.through, Rim: b.rims(w.shell)})
	b.shellFaults(errs)
	s := &shelled{body: body}
	b.shellFeatures(s, w)
	b.group(s, w)
	for i := range s.parts {
		b.shellPart(s, i, w.layers)
	}
	b.shellSeams(s)
	for i := range s.parts {
		p := &s.parts[i]
		p.pieces = b.pieces(p.whole, w.layers, body.Panels[p.panels[0]].Bevels(), s.cutter(b, i))
		for j := range p.pieces {
			b.Part(p.pieces[j])
		}
	}
	b.Out.Shell = w.shell
	b.shellResults(s, w)
	b.shellFigures(s)
	return s
}

// mostFaults is how many things wrong with one shell are told.
const mostFaults = 8

// shellFaults stops with all that keeps a shell from being built.
func (b *Bench) shellFaults(errs []error) {
	for i, err := range errs {
		name, at, help := eval.BadShape, b.At, "Check its sizes"
		if clash := (*solid.Clash)(nil); errors.As(err, &clash) {
			name, help = BevelsCollide, "Use a thinner sheet, make it larger, or change its shape there"
			for _, key := range []string{"material", "stack", "thickness"} {
				if b.Has(key) {
					at = b.Where(key)
				}
			}
		}
		if i == len(errs)-1 || i == mostFaults-1 {
			b.Fail(name, at, help, "the walls of %s do not close: %v", b.Name, err)
		}
		b.found = append(b.found, eval.Err(name, at, help, "the walls of %s do not close: %v", b.Name, err))
	}
}

// rims reads `rim EDGE` and `flush`.
func (b *Bench) rims(s *solid.Shell) func(solid.Edge) (float64, bool) {
	bevels, flush := map[string]float64{}, map[string]bool{}
	known := func(name string, at source.Span) {
		var names []string
		for _, f := range s.Faces {
			for i := range f.Loop {
				if f.EdgeName(i) == name && !f.Open {
					return
				}
				if !slices.Contains(names, f.EdgeName(i)) {
					names = append(names, f.EdgeName(i))
				}
			}
		}
		b.Fail(eval.UnknownName, at, nearOr(name, names, "Its edges are "), "%s has no edge %s", b.Name, name)
	}
	for _, e := range b.Each("rim") {
		known(e.Name, e.Arg.Entry.Key[1].At)
		bevels[e.Name] = e.Arg.Value.(eval.Quantity).Value
		b.sane(bevels[e.Name], e.Arg.Entry.Value.Span())
	}
	if a, ok := b.arg("flush"); ok {
		for _, w := range a.Words {
			known(w.Text, w.At)
			if _, both := bevels[w.Text]; both {
				b.Fail(KeysClash, w.At, "Keep one of them", "rim and flush both say how %s is cut", w.Text)
			}
			flush[w.Text] = true
		}
	}
	return func(e solid.Edge) (float64, bool) {
		name := s.Faces[e.Face].EdgeName(e.Edge)
		return bevels[name], flush[name]
	}
}

// nearOr is the help for a name that is not known: the nearest one and the first of all.
func nearOr(name string, known []string, all string) string {
	const most = 12
	help := all + strings.Join(known[:min(len(known), most)], ", ")
	if len(known) > most {
		help += " …"
	}
	if near := spell.Nearest(name, known); near != "" {
		help = "Did you mean " + near + "? " + help
	}
	return help
}

// walled gives the faces of a shell their wall and leaves panels out: those that `open` names, or the
// ones that are open if it does not say. `none` closes all.
func (b *Bench) walled(s *solid.Shell, layers layering, open ...string) {
	if a, ok := b.arg("open"); ok {
		open = nil
		for _, w := range a.Words {
			if w.Text == "none" && len(a.Words) == 1 {
				break
			}
			if s.FaceIndex(w.Text) < 0 {
				b.Fail(eval.UnknownName, w.At, nearOr(w.Text, faceNames(s), "Its panels are "), "%s has no panel %s", b.Name, w.Text)
			}
			open = append(open, w.Text)
		}
	}
	closed := 0
	for i := range s.Faces {
		f := &s.Faces[i]
		f.Wall, f.Open = layers.total, slices.Contains(open, f.Name)
		if !f.Open {
			closed++
		}
	}
	if closed == 0 {
		b.Fail(eval.WrongValue, b.Where("open"), "Leave at least one panel", "nothing is left of %s", b.Name)
	}
}

func faceNames(s *solid.Shell) []string {
	var names []string
	for _, f := range s.Faces {
		names = append(names, f.Name)
	}
	return names
}

// The features of a panel, as they stand in shellFace.
var featureKeys = [3]string{"hole", "line", "mark"}

// shellFeatures reads what is cut into panels or drawn on them. A family's name stands for all its panels.
func (b *Bench) shellFeatures(s *shelled, w shellWork) {
	s.panels = make([]shellFace, len(s.body.Panels))
	byName := map[string][]int{}
	var names []string
	for i, p := range s.body.Panels {
		s.panels[i].name = p.Name
		byName[p.Name] = append(byName[p.Name], i)
		names = append(names, p.Name)
		if f := w.of(p.Name); f != "" && f != p.Name {
			byName[f] = append(byName[f], i)
		}
	}
	for k, key := range featureKeys {
		for _, e := range b.Each(key) {
			on, ok := byName[e.Name]
			if !ok {
				b.Fail(eval.UnknownName, e.Arg.Entry.Key[1].At, nearOr(e.Name, names, "Its panels are "), "%s has no panel %s", b.Name, e.Name)
			}
			list := b.featuresOf(key, e)
			for _, i := range on {
				s.panels[i].features[k] = append(s.panels[i].features[k], list...)
			}
		}
	}
}

// featuresOf reads one entry of hole, line or mark: one thing, or a list of them.
func (b *Bench) featuresOf(key string, e Argument) []part.Feature {
	items := []eval.Value{e.Arg.Value}
	if l, ok := e.Arg.Value.(eval.List); ok {
		points := key == "line" && !slices.ContainsFunc(l, func(v eval.Value) bool { return typed[eval.Point](v) != "" })
		if !points {
			items = l
		}
	}
	want := map[string]Want{"hole": Outline, "line": Lines, "mark": Place}[key]
	var list []part.Feature
	for i, v := range items {
		if why := misfits(want, v); why != "" {
			b.Fail(eval.WrongValue, e.Arg.Entry.Value.Span(), "Separate several by commas", "%s must be %s, and this is %s", e.Arg.Entry.Name(), wants[want].text, why)
		}
		name := key
		if len(items) > 1 {
			name = fmt.Sprintf("%s%d", key, i+1)
		}
		list = append(list, b.feature(key, name, v, e))
	}
	return list
}

func (w shellWork) of(face string) string {
	if w.family == nil {
		return ""
	}
	return w.family(face)
}

// group puts panels of one family that are cut alike together.
func (b *Bench) group(s *shelled, w shellWork) {
	groups := map[string][]int{} // family → parts of it
	for i := range s.panels {
		family := w.of(s.panels[i].name)
		if b.Yes("apart") {
			family = ""
		}
		at := -1
		if family != "" {
			at = slices.IndexFunc(groups[family], func(g int) bool { return s.alike(s.parts[g].panels[0], i) })
		}
		if at >= 0 {
			at = groups[family][at]
			s.parts[at].panels = append(s.parts[at].panels, i)
		} else {
			at = len(s.parts)
			s.parts = append(s.parts, shellPart{name: s.panels[i].name, panels: []int{i}})
			if family != "" {
				groups[family] = append(groups[family], at)
			}
		}
		s.panels[i].part = at
	}
	// The largest group of a family bears its name; the others, that of their first panel.
	for family, list := range groups {
		most := slices.MaxFunc(list, func(a, c int) int { return len(s.parts[a].panels) - len(s.parts[c].panels) })
		if len(s.parts[most].panels) > 1 {
			s.parts[most].name = family
		}
	}
}

// alike tells whether two panels are cut the same: as they stand, edge by edge.
func (s *shelled) alike(i, j int) bool {
	const same = 1e-6
	p, q := &s.body.Panels[i], &s.body.Panels[j]
	if len(p.Corners) != len(q.Corners) || len(p.Sides) != len(q.Sides) || p.Wall != q.Wall {
		return false
	}
	for k, a := range p.Sides {
		c := q.Sides[k]
		if a.Name != c.Name || (a.Meets.Face < 0) != (c.Meets.Face < 0) || math.Abs(a.Bevel-c.Bevel) > same {
			return false
		}
	}
	for _, depth := range []float64{0, p.Wall} {
		a, c := p.At(depth).Corners(), q.At(depth).Corners()
		for k := range a {
			if math.Hypot(a[k].X-c[k].X, a[k].Y-c[k].Y) > same {
				return false
			}
		}
	}
	for k := range featureKeys {
		if !slices.EqualFunc(s.panels[i].features[k], s.panels[j].features[k], sameFeature) {
			return false
		}
	}
	return true
}

// sameFeature: features come from the same entry, so their numbers are the same or the features are not.
func sameFeature(a, c part.Feature) bool {
	if a.Name != c.Name || a.At != c.At || a.Path.Start != c.Path.Start || len(a.Shape.Edges) != len(c.Shape.Edges) || a.Shape.Start != c.Shape.Start {
		return false
	}
	for i := range a.Shape.Edges {
		if !slices.Equal(a.Shape.Edges[i].Segs, c.Shape.Edges[i].Segs) {
			return false
		}
	}
	return slices.Equal(a.Path.Segs, c.Path.Segs)
}

// shellPart makes part i, through all layers.
func (b *Bench) shellPart(s *shelled, i int, layers layering) {
	sp := &s.parts[i]
	first := sp.panels[0]
	panel := &s.body.Panels[first]
	p := part.Part{
		Section: b.Section, Name: b.Name + "." + sp.name, At: b.At, Block: b.Name,
		Hand: part.Hand(b.Word("hand", "")), Count: len(sp.panels) * int(b.Num("count", 1)),
		Worn: b.Yes("worn") || layers.worn, StackWorn: layers.worn, Trace: b.Word("trace", "show"),
		Material: layers.material, Thickness: panel.Wall, Density: layers.density,
		Grained: layers.grained, Grain: b.Num("grain", math.Pi/2),
		FromPrivate: b.Privacy() > eval.Open,
	}
	p.Holes, p.Lines, p.Marks = s.panels[first].features[0], s.panels[first].features[1], s.panels[first].features[2]
	p.Show, p.Back = panel.At(0), panel.At(panel.Wall)
	s.cutter(b, i).measure(&p, panel.Bevels())
	b.inside(p, func(key, _ string) source.Span {
		for _, name := range []string{s.panels[first].name, sp.name} {
			if b.Has(key + " " + name) {
				return b.Where(key + " " + name)
			}
		}
		return b.At
	})
	sp.whole = p
}

// cutter is how part i of a shell is cut at a depth: its panel's own sections.
func (s *shelled) cutter(b *Bench, i int) cutter {
	panel := &s.body.Panels[s.parts[i].panels[0]]
	return cutter{
		at: panel.At,
		measure: func(p *part.Part, bevels []float64) {
			if p.Trim > 0 {
				measured(p, bevels)
				return
			}
			measuredWith(p, bevels, straightLengths(p.Show), straightLengths(p.Back), panel.At(p.Depth+p.Thickness/2).Area())
		},
	}
}

// straightLengths are the lengths of edges whose first segment is the edge; what follows in it are small
// cuts at its end.
func straightLengths(o shape.Outline) []float64 {
	list := make([]float64, len(o.Edges))
	for i := range o.Edges {
		path := o.EdgePath(i)
		path.Segs = path.Segs[:1]
		list[i] = path.Length()
	}
	return list
}
