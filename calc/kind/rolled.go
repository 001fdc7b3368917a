package kind

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/shape"
	"bevelbook/calc/unit"
)

// What the kinds that are rolled from flat sheet have in common: the sheet, how wide they are, tabs
// and seams, the parts and what is told of them.

// roundKeys say how wide a round shape is.
var roundKeys = []Key{
	{Name: "outside", Want: Length, Doc: "the diameter outside"},
	{Name: "inside", Want: Length, Doc: "the diameter inside, in place of the outside"},
	{Name: "girth", Want: Length, Doc: "what it goes around, in place of a diameter"},
	{Name: "ease", Want: Length, Doc: "with a girth: the room all round between it and the inside"},
}

// rolledKeys are a kind's own keys and those of every rolled kind.
func rolledKeys(own ...[]Key) []Key {
	return slices.Concat(slices.Concat(own...), []Key{
		{Name: "material", Want: AMaterial, Doc: "the sheet that it is cut from; its k says where the neutral line lies"},
		{Name: "thickness", Want: Length, Doc: "in place of a material"},
		{Name: "hand", Want: Word, Words: []string{"left", "right", "pair"}, Doc: "which hands are made; a pair is drawn as the left one"},
		{Name: "count", Want: Count, Doc: "how many of each hand, for each side of the section"},
		{Name: "worn", Want: Truth, Doc: "yes if the inside is towards the body"},
		{Name: "grain", Want: Angle, Doc: "where the grain or texture of its sheet runs on the flat part, counter-clockwise from level; 90 deg (upright) if left out"},
	})
}

var tabKey = Key{Name: "tab", Want: Length, Doc: "the width of a strip to glue on at the seam; without it the edges are butted"}

// TightBend is the finding of a sheet that is bent to a smaller radius than it takes.
const TightBend = "tight-bend"

// leastBend is the least inside radius as a multiple of the thickness, for a material that does not say
// its own by `bend`. Common practice, no source.
const leastBend = 2

// bentSheet is the sheet that a block is rolled from.
type bentSheet struct {
	roll.Sheet
	material string
	density  float64
	grained  bool
	bend     float64 // the least radius inside, mm
	said     bool    // the material says so itself
}

// bentSheet reads material or thickness: exactly one of them.
func (b *Bench) bentSheet() bentSheet {
	s := bentSheet{Sheet: roll.Sheet{K: 0.5}}
	switch m := b.Record("material"); {
	case m != nil && b.Has("thickness"):
		b.Fail(KeysClash, b.Where("thickness"), "Keep one of them", "material and thickness both say how thick the sheet is")
	case m != nil:
		t, _ := m.Number("thickness")
		s.material, s.Thickness = m.Name, b.thick("material", t)
		s.density, _ = m.Number("density")
		s.grained = grained(m)
		s.bend, s.said = m.Number("bend")
		if k, ok := m.Number("k"); ok {
			s.K = k
		}
	case b.Has("thickness"):
		s.Thickness = b.thick("thickness", b.Num("thickness", 0))
	default:
		b.Fail(NeedsKey, b.At, "Say `material: foam4`, or `thickness: 4 mm`", "%s needs to know what it is cut from", b.Kind.called(b.Name))
	}
	if !(s.K >= 0 && s.K <= 1) {
		b.Fail(eval.WrongValue, b.Where("material"), "0 is the inside, 0.5 the middle, 1 the outside", "the k of %s is %.4g; it lies between 0 and 1", s.material, s.K)
	}
	if !s.said {
		s.bend = leastBend * s.Thickness
	}
	b.within("thickness", s.Thickness)
	return s
}

// mindBend tells when the sheet is bent to a smaller radius inside than it takes; what says where.
func (b *Bench) mindBend(s bentSheet, inside float64, key, what string) {
	if inside >= s.bend-alike {
		return
	}
	than := fmt.Sprintf("twice its thickness, %s", b.mm(s.bend))
	if s.said {
		than = fmt.Sprintf("the %s that %s takes", b.mm(s.bend), s.material)
	}
	b.Note(finding.Mind, TightBend, b.Where(key),
		"Roll it from thinner sheets, one on the other; make it wider; or try an offcut and write what it takes as `bend` of the material",
		"%s bends to a radius of %s inside, less than %s", what, b.mm(math.Max(0, inside)), than)
}

// within refuses a size that no sheet has.
func (b *Bench) within(key string, v float64) {
	if !(v <= roll.Largest) {
		b.Fail(eval.WrongValue, b.Where(key), "Check the unit", "%s of %s is beyond what is developed, %s", key, b.mm(v), b.mm(roll.Largest))
	}
}

// above reads a length that must be above zero.
func (b *Bench) above(key string) float64 {
	v := b.Num(key, 0)
	if !(v > 0) {
		b.Fail(eval.WrongValue, b.Where(key), "Give it a length above zero", "%s of %s cannot have a %s of %s", b.Kind.Name, b.Name, key, b.mm(v))
	}
	b.within(key, v)
	return v
}

// counted reads a whole number between two bounds.
func (b *Bench) counted(key string, otherwise, least, most int) int {
	n := int(b.Num(key, float64(otherwise)))
	if n < least || n > most {
		b.Fail(eval.WrongValue, b.Where(key), fmt.Sprintf("Choose %d to %d", least, most), "%s cannot be %d", key, n)
	}
	return n
}

// roundKey is the one key that says how wide a round shape is, and its value: outside, inside or girth.
func (b *Bench) roundKey() (key string, v float64) {
	var given []string
	for _, key := range []string{"outside", "inside", "girth"} {
		if b.Has(key) {
			given = append(given, key)
		}
	}
	const help = "Say `outside: 120 mm`, or `inside: 100 mm`, or `girth: wearer.forearm_girth` with `ease: 15 mm`"
	switch {
	case len(given) == 0:
		b.Fail(NeedsKey, b.At, help, "%s does not say how wide it is", b.Kind.called(b.Name))
	case len(given) > 1:
		b.Fail(KeysClash, b.Where(given[1]), help+": one of them", "%s both say how wide it is", joined(given, "and"))
	case b.Has("ease") && given[0] != "girth":
		b.Fail(KeysClash, b.Where("ease"), "Add it to the diameter", "ease goes with a girth, not with %s", given[0])
	}
	return given[0], b.above(given[0])
}

// round reads how wide a round shape is and gives the radius of its neutral line: half the inside and k·t.
func (b *Bench) round(s bentSheet) float64 {
	key, v := b.roundKey()
	inside, formula, numbers := v, "", ""
	switch key {
	case "outside":
		inside = v - 2*s.Thickness
		formula, numbers = "outside − 2 · thickness", b.mm(v)+" − 2 · "+b.mm(s.Thickness)
	case "girth":
		inside = v/math.Pi + 2*b.Num("ease", 0)
		formula, numbers = "girth / π + 2 · ease", b.mm(v)+" / π + 2 · "+b.mm(b.Num("ease", 0))
	}
	if !(inside > 0) {
		b.Fail(eval.WrongValue, b.Where(key), "Make it wider, or use a thinner sheet", "a wall of %s leaves no room inside of %s", b.mm(s.Thickness), b.mm(v))
	}
	b.within(key, inside)
	b.Give("inside", eval.Num(inside, unit.Length), formula, numbers)
	b.Give("outside", eval.Num(inside+2*s.Thickness, unit.Length), "inside + 2 · thickness", b.mm(inside)+" + 2 · "+b.mm(s.Thickness))
	b.Quiet("inner_girth", eval.Num(math.Pi*inside, unit.Length))
	b.Quiet("outer_girth", eval.Num(math.Pi*(inside+2*s.Thickness), unit.Length))
	if a, _ := b.arg("girth"); a.Privacy == eval.Kept && b.Num("ease", 0) == 0 {
		b.keep("inside", "inner_girth")
	}
	b.mindBend(s, inside/2, key, b.Name)
	return inside/2 + s.Inner()
}

// keep marks results that are a private measurement itself, divided by π or not.
func (b *Bench) keep(names ...string) {
	for i, f := range b.Out.Record.Fields {
		if slices.Contains(names, f.Name) {
			b.Out.Record.Fields[i].Privacy = eval.Kept
		}
	}
}

// flatLength is the working of π · (inside + 2·k·t).
func (b *Bench) flatLength(s bentSheet, radius float64) {
	b.Give("flat", eval.Num(2*math.Pi*radius, unit.Length), "π · (inside + 2 · k · thickness)",
		fmt.Sprintf("π · (%s + 2 · %.4g · %s)", b.mm(2*(radius-s.Inner())), s.K, b.mm(s.Thickness)))
}

// flatPart makes a part of a flat pattern, cut square all round; times as many as the block's count.
func (b *Bench) flatPart(name string, flat shape.Outline, s bentSheet, times int) part.Part {
	p := part.Part{
		Section: b.Section, Name: name, At: b.At, Block: b.Name,
		Material: s.material, Thickness: s.Thickness, Density: s.density,
		Show: flat, Back: flat, Trace: "show", Grained: s.grained, Grain: b.Num("grain", math.Pi/2),
		Hand: part.Hand(b.Word("hand", "")), Count: times * int(b.Num("count", 1)), Worn: b.Yes("worn"),
		FromPrivate: b.Privacy() > eval.Open,
	}
	measured(&p, make([]float64, len(flat.Edges)))
	return p
}

// unrolled tells why a shape cannot be developed, if it cannot.
func (b *Bench) unrolled(flat shape.Outline, err error) shape.Outline {
	if err != nil {
		b.Fail(eval.BadShape, b.At, "Make it of more pieces, or change its sizes", "the flat pattern of %s cannot be cut: %v", b.Name, err)
	}
	return flat
}

// saneTab refuses a tab of no width.
func (b *Bench) saneTab() {
	if b.Has("tab") && b.Num("tab", 0) == 0 {
		b.Fail(eval.WrongValue, b.Where("tab"), "Leave it out to butt the edges", "a tab needs a width")
	}
}

// tabbed adds the glue tab at the edge `end`, whose line is marked where the other edge comes to lie.
// The tab changes nothing about hands: it could as well stand at the other edge.
func (b *Bench) tabbed(p *part.Part) {
	width := b.Num("tab", 0)
	if width == 0 {
		return
	}
	if wide := p.Show.Bounds().Size().X; width >= wide {
		b.Fail(eval.WrongValue, b.Where("tab"), "A tab is a few times as wide as the sheet is thick", "a tab of %s is wider than %s, %s", b.mm(width), p.Name, b.mm(wide))
	}
	show, fold, err := roll.Tab(p.Show, "end", width)
	back, _, errBack := roll.Tab(p.Back, "end", width)
	if err = errors.Join(err, errBack); err != nil {
		b.Fail(eval.BadShape, b.Where("tab"), "Make it narrower, or butt the edges", "a tab of %s does not go on %s: %v", b.mm(width), p.Name, err)
	}
	bevels := make([]float64, len(p.Edges))
	for i, e := range p.Edges {
		bevels[i] = e.Bevel
	}
	same := p.SelfMirrored
	p.Show, p.Back = show, back
	p.Lines = append(p.Lines, part.Feature{Name: "end", Path: fold})
	measured(p, bevels)
	p.SelfMirrored = same
}

// flatResults gives what is told of one flat part.
func (b *Bench) flatResults(p part.Part) {
	b.Out.Record.Fields = append(b.Out.Record.Fields, b.flatFields(p)...)
}

func (b *Bench) flatFields(p part.Part) []eval.Result {
	box := p.Show.Bounds().Size()
	edges := &eval.Record{Kind: "edge table", Name: p.Name}
	for _, e := range p.Edges {
		edges.Fields = append(edges.Fields, eval.Result{Name: e.Name, Value: edgeRecord(p, e)})
	}
	list := []eval.Result{
		{Name: "width", Value: eval.Num(box.X, unit.Length)},
		{Name: "height", Value: eval.Num(box.Y, unit.Length), Quiet: true},
		{Name: "area", Value: eval.Num(p.Area, unit.Area)},
		{Name: "volume", Value: eval.Num(p.Volume, unit.Volume), Quiet: true},
		{Name: "edge", Value: edges, Quiet: true},
		{Name: "show", Value: eval.Outline{Outline: p.Show}, Quiet: true},
		{Name: "back", Value: eval.Outline{Outline: p.Back}, Quiet: true},
	}
	if p.Weight > 0 {
		list = append(list, eval.Result{Name: "weight", Value: eval.Num(p.Weight, unit.Mass),
			Formula: "volume · density", Numbers: b.cm3(p.Volume) + " · " + b.density(p.Density)})
	}
	return list
}

// flats puts out the parts with their seams drawn in, and the table of their edges.
func (b *Bench) flats(parts []part.Part) {
	t := Table{Title: "Edges", Head: []string{"edge", "seam", "length", "meets"}}
	total := 0.0
	for _, p := range parts {
		b.Part(p)
		total += p.Weight * float64(p.Count)
		for _, e := range p.Edges {
			name := e.Name
			if len(parts) > 1 {
				name = panelOf(p) + " " + name
			}
			t.Rows = append(t.Rows, []string{name, e.Letter, b.mm(e.Length), e.Meets})
		}
	}
	if len(parts) == 1 {
		b.flatResults(parts[0])
	} else {
		for _, p := range parts {
			b.Quiet(panelOf(p), &eval.Record{Kind: "panel", Name: p.Name, Fields: b.flatFields(p)})
		}
		if total > 0 {
			b.Give("weight", eval.Num(total, unit.Mass), "sum of the pieces", "")
		}
	}
	const most = 40 // rows that anyone reads
	if len(t.Rows) <= most {
		b.Table(t)
	}
}
