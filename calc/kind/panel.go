package kind

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/unit"
)

var panel = Kind{
	Name: "panel",
	Doc:  "one flat part: both faces' outlines, edges, bevel runs, area, weight, templates",
	Keys: []Key{
		{Name: "outline", Want: Outline, Required: true, Doc: "of the show face, seen from outside"},
		{Name: "material", Want: AMaterial, Doc: "the sheet that it is cut from"},
		{Name: "stack", Want: Block, Doc: "a stack in place of a material: one cut piece for each layer"},
		{Name: "thickness", Want: Length, Doc: "in place of a material"},
		{Name: "edges", Want: Names, Doc: "names for the edges, in the outline's order"},
		{Name: "bevel", Want: Angle, Doc: "of every edge that has none of its own"},
		{Name: "bevel", Arg: "EDGE", Want: Angle, Doc: "the angle of the cut from square; above 0 the back face is the smaller one"},
		{Name: "hole", Arg: "NAME", Want: Outline, Doc: "cut square through the part"},
		{Name: "line", Arg: "NAME", Want: Lines, Doc: "drawn on the show face"},
		{Name: "mark", Arg: "NAME", Want: Place, Doc: "a point marked on the show face"},
		{Name: "hand", Want: Word, Words: []string{"left", "right", "pair"}, Doc: "which hands are made; a pair is drawn as the left one"},
		{Name: "count", Want: Count, Doc: "how many of each hand, for each side of the section"},
		{Name: "worn", Want: Truth, Doc: "yes if the back face is towards the body"},
		{Name: "trace", Want: Word, Words: []string{"show", "back"}, Doc: "the face that the template is traced on"},
		{Name: "grain", Want: Angle, Doc: "where the grain or texture of its sheet runs on the part, counter-clockwise from level; 90 deg (upright) if left out"},
		{Name: "trim", Want: Length, Doc: "how much larger the layers below the first are cut, to be trimmed after gluing"},
	},
	Work: workPanel,
}

// BevelsCollide is the fault of a panel whose bevels meet inside its thickness.
const BevelsCollide = "bevels-collide"

func workPanel(b *Bench) {
	show, cutouts := b.panelOutline()
	layers := b.panelLayers()
	bevels := b.panelBevels(show)
	whole := part.Part{
		Section: b.Section, Name: b.Name, At: b.At, Block: b.Name,
		Show: show, Hand: part.Hand(b.Word("hand", "")), Count: int(b.Num("count", 1)),
		Worn: b.Yes("worn") || layers.worn, Trace: b.Word("trace", "show"),
		StackWorn:   layers.worn,
		FromPrivate: b.Privacy() > eval.Open,
	}
	whole.Holes = append(cutouts, b.features("hole")...)
	whole.Lines, whole.Marks = b.features("line"), b.features("mark")
	whole.Material, whole.Thickness, whole.Density = layers.material, layers.total, layers.density
	whole.Grained, whole.Grain = layers.grained, b.Num("grain", math.Pi/2)
	b.bevelled(&whole, bevels)
	b.inside(whole, func(key, name string) source.Span {
		if b.Has(key + " " + name) {
			return b.Where(key + " " + name)
		}
		return b.Where("outline") // cut into the outline itself
	})
	pieces := b.pieces(whole, layers, bevels, b.offsetCutter(whole, bevels))
	for _, p := range pieces {
		b.Part(p)
	}
	b.panelResults(whole, pieces)
	b.panelFigure(whole)
}

// panelOutline reads the outline, its own holes and the names given to its edges.
func (b *Bench) panelOutline() (shape.Outline, []part.Feature) {
	a, _ := b.arg("outline")
	o, err := eval.Closed(a.Value)
	if err != nil {
		b.Fail(eval.BadShape, b.Where("outline"), "An outline goes round once and does not cross itself", "this outline cannot be cut: %v", err)
	}
	var holes []part.Feature
	for i, h := range o.Holes {
		holes = append(holes, part.Feature{Name: fmt.Sprintf("cut%d", i+1), Shape: h})
	}
	names, ok := b.arg("edges")
	if !ok {
		return o.Outline, holes
	}
	if len(names.Words) != len(o.Edges) {
		b.Fail(eval.WrongValue, b.Where("edges"), fmt.Sprintf("Its edges are now %s", strings.Join(o.EdgeNames(), ", ")),
			"%d names for %d edges", len(names.Words), len(o.Edges))
	}
	edges := slices.Clone(o.Edges)
	for i, w := range names.Words {
		if slices.ContainsFunc(edges[:i], func(e shape.Edge) bool { return e.Name == w.Text }) {
			b.Fail(eval.SetTwice, w.At, "Give each edge its own name", "two edges are called %s", w.Text)
		}
		edges[i].Name = w.Text
	}
	o.Edges = edges
	return o.Outline, holes
}

// panelBevels is the bevel of each edge in radians, in the outline's order.
func (b *Bench) panelBevels(o shape.Outline) []float64 {
	bevels := make([]float64, len(o.Edges))
	for i := range bevels {
		bevels[i] = b.Num("bevel", 0)
	}
	b.sane(b.Num("bevel", 0), b.Where("bevel"))
	for _, e := range b.Each("bevel") {
		i := o.EdgeIndex(e.Name)
		if i < 0 {
			help := "Its edges are " + strings.Join(o.EdgeNames(), ", ")
			if near := spell.Nearest(e.Name, o.EdgeNames()); near != "" {
				help = "Did you mean " + near + "? " + help
			}
			b.Fail(eval.UnknownName, e.Arg.Entry.Key[1].At, help, "%s has no edge %s", b.Name, e.Name)
		}
		bevels[i] = e.Arg.Value.(eval.Quantity).Value
		b.sane(bevels[i], e.Arg.Entry.Value.Span())
	}
	return bevels
}

// sane refuses bevels that no cut can have: the run grows without end towards 90°.
func (b *Bench) sane(bevel float64, at source.Span) {
	const most = 85 * math.Pi / 180
	if math.Abs(bevel) > most {
		b.Fail(eval.WrongValue, at, "The bevel is counted from a square cut: 0° is square, 45° a mitred right angle", "a bevel of %s cannot be cut", b.deg(bevel))
	}
}

// bevelled works out the back outline and all that follows from the bevels: run r = t·tan β,
// cut width w = t/cos β.
func (b *Bench) bevelled(p *part.Part, bevels []float64) {
	p.Back = b.offsetCutter(*p, bevels).at(p.Thickness)
	measured(p, bevels)
}

// offsetCutter cuts a panel at a depth by moving each edge by its own run.
func (b *Bench) offsetCutter(whole part.Part, bevels []float64) cutter {
	return cutter{
		at: func(depth float64) shape.Outline {
			o, err := whole.Show.OffsetEdges(runs(bevels, depth))
			if err != nil {
				b.collide(err, whole)
			}
			return o
		},
		measure: measured,
	}
}

// runs is how far each edge moves inwards at a depth.
func runs(bevels []float64, depth float64) []float64 {
	list := make([]float64, len(bevels))
	for i, β := range bevels {
		list[i] = depth * math.Tan(β)
	}
	return list
}

// collide reports which bevels meet before the back face is reached.
func (b *Bench) collide(err error, p part.Part) {
	at := b.Where("outline")
	help := "Cut them less steep, use a thinner sheet, or make the part larger"
	var hit *shape.Collision
	if errors.As(err, &hit) {
		if b.Has("bevel") {
			at = b.Where("bevel")
		}
		for _, e := range b.Each("bevel") {
			if e.Name == hit.Edges[0] || e.Name == hit.Edges[1] {
				at = e.Arg.Entry.Value.Span()
			}
		}
		depth := b.mm(hit.Fraction * p.Thickness)
		b.Fail(BevelsCollide, at, help, "%v, %s below the show face of %s", err, depth, b.Name)
	}
	if smooth := (*shape.Smooth)(nil); errors.As(err, &smooth) {
		help = fmt.Sprintf("Give %s and %s the same bevel, or let them meet at a sharp corner", smooth.Edges[0], smooth.Edges[1])
	}
	b.Fail(eval.BadShape, at, help, "the back face of %s cannot be made: %v", b.Name, err)
}

// measured fills in edges, areas, volume, weight, symmetry and odd edges of one piece.
func measured(p *part.Part, bevels []float64) {
	middle := (p.Show.Area() + p.Back.Area()) / 2
	if o, err := p.Show.OffsetEdges(runs(bevels, p.Thickness/2)); err == nil {
		middle = o.Area()
	}
	measuredWith(p, bevels, p.Show.EdgeLengths(), p.Back.EdgeLengths(), middle)
}

// measuredWith is measured with the lengths of the edges on both faces and the area half way through.
// Letters and match marks that edges have already stay.
func measuredWith(p *part.Part, bevels, front, back []float64, middle float64) {
	marked := p.Edges
	p.Edges = make([]part.Edge, len(p.Show.Edges))
	for i, e := range p.Show.Edges {
		p.Edges[i] = part.Edge{
			Name: e.Name, Length: front[i], BackLength: back[i], Bevel: bevels[i],
			Run: p.Thickness * math.Tan(bevels[i]), CutWidth: p.Thickness / math.Cos(bevels[i]),
		}
		if i < len(marked) && marked[i].Name == e.Name {
			p.Edges[i].Meets, p.Edges[i].Letter, p.Edges[i].Matches = marked[i].Meets, marked[i].Letter, marked[i].Matches
		}
	}
	holes := 0.0
	for _, h := range p.Holes {
		holes += h.Shape.Area()
	}
	p.Area, p.BackArea = p.Show.Area()-holes, p.Back.Area()-holes
	p.Volume = volume(p.Show.Area(), middle, p.Back.Area(), p.Thickness) - holes*p.Thickness
	p.Weight = p.Volume * p.Density
	p.Odd = oddEdges(p.Edges)
	p.SelfMirrored = shape.SelfMirrored(p.Figure(), part.MirrorTolerance)
}

// volume is Simpson's rule over the depth. Where every edge is straight the area is a quadratic of
// the depth, for which the rule is exact (prismoidal formula).
func volume(show, middle, back, t float64) float64 { return t / 6 * (show + 4*middle + back) }

// oddEdges names the bevelled edges whose bevel differs from that of most others: they are cut with
// another setting of the saw and so want a mark. Common practice, no source.
func oddEdges(edges []part.Edge) []string {
	const same = 0.05 * math.Pi / 180
	alike := func(β float64) (n int) {
		for _, e := range edges {
			if math.Abs(e.Bevel-β) < same {
				n++
			}
		}
		return n
	}
	most := 0
	for _, e := range edges {
		if math.Abs(e.Bevel) > same {
			most = max(most, alike(e.Bevel))
		}
	}
	var odd []string
	for _, e := range edges {
		if math.Abs(e.Bevel) > same && alike(e.Bevel) < most && most >= 2 {
			odd = append(odd, e.Name)
		}
	}
	return odd
}

// panelResults gives the named results and the table of edges.
func (b *Bench) panelResults(p part.Part, pieces []part.Part) {
	box := p.Show.Bounds()
	size := r2.Sub(box.Max, box.Min)
	b.Give("width", eval.Num(size.X, unit.Length), "", "")
	b.Give("height", eval.Num(size.Y, unit.Length), "", "")
	b.Give("thickness", eval.Num(p.Thickness, unit.Length), "", "")
	b.Give("area", eval.Num(p.Area, unit.Area), "", "")
	b.Give("back_area", eval.Num(p.BackArea, unit.Area), "", "")
	b.panelWeight(p, pieces)
	perimeter := 0.0
	edges := &eval.Record{Kind: "edge table", Name: b.Name}
	t := Table{Title: "Edges", Head: []string{"edge", "show face", "bevel", "run", "cut width", "back face"}}
	for _, e := range p.Edges {
		perimeter += e.Length
		edges.Fields = append(edges.Fields, eval.Result{Name: e.Name, Value: edgeRecord(p, e)})
		name := e.Name
		if slices.Contains(p.Odd, e.Name) {
			name += " ×"
		}
		t.Rows = append(t.Rows, []string{name, b.mm(e.Length), b.deg(e.Bevel), b.mm(e.Run), b.mm(e.CutWidth), b.mm(e.BackLength)})
	}
	b.Quiet("perimeter", eval.Num(perimeter, unit.Length))
	b.Quiet("volume", eval.Num(p.Volume, unit.Volume))
	b.Quiet("edge", edges)
	b.Quiet("show", eval.Outline{Outline: p.Show})
	b.Quiet("back", eval.Outline{Outline: p.Back})
	b.Give("symmetric", eval.Bool(p.SelfMirrored), "", "")
	b.panelOrigins()
	b.Table(t)
	if len(pieces) > 1 {
		b.Table(b.layerTable(pieces))
	}
}

// panelWeight adds up the pieces as they are cut: with a trim they are more than the finished part.
func (b *Bench) panelWeight(p part.Part, pieces []part.Part) {
	weight := 0.0
	var each []string
	for _, q := range pieces {
		weight += q.Weight
		each = append(each, eval.Num(q.Weight, unit.Mass).Show(b.Style))
	}
	switch {
	case slices.ContainsFunc(pieces, func(q part.Part) bool { return q.Weight == 0 }): // of unknown density
	case len(pieces) == 1:
		b.Give("weight", eval.Num(weight, unit.Mass), "volume · density", b.cm3(p.Volume)+" · "+b.density(p.Density))
	default:
		b.Give("weight", eval.Num(weight, unit.Mass), "sum of the layers as cut", strings.Join(each, " + "))
	}
}

// panelOrigins says which keys each result comes from.
func (b *Bench) panelOrigins() {
	sheet := []string{"material", "stack", "thickness"}
	faces := append([]string{"outline", "bevel"}, sheet...)
	b.From([]string{"outline"}, "width", "height", "area", "perimeter", "show")
	b.From(sheet, "thickness")
	b.From(faces, "back_area", "back", "edge")
	b.From(append([]string{"hole", "trim"}, faces...), "volume", "weight")
}

func (b *Bench) layerTable(pieces []part.Part) Table {
	t := Table{Title: "Layers", Head: []string{"layer", "depth", "thickness", "show face", "back face"}}
	for _, q := range pieces {
		s, k := q.Show.Bounds(), q.Back.Bounds()
		t.Rows = append(t.Rows, []string{q.Layer, b.mm(q.Depth), b.mm(q.Thickness),
			b.mm(s.Max.X-s.Min.X) + " × " + b.mm(s.Max.Y-s.Min.Y), b.mm(k.Max.X-k.Min.X) + " × " + b.mm(k.Max.Y-k.Min.Y)})
	}
	return t
}

// edgeRecord is what is told of one edge of a part; `of` names the part within the build.
func edgeRecord(p part.Part, e part.Edge) *eval.Record {
	return &eval.Record{Kind: "edge", Name: e.Name, Fields: []eval.Result{
		{Name: "length", Value: eval.Num(e.Length, unit.Length)},
		{Name: "back_length", Value: eval.Num(e.BackLength, unit.Length)},
		{Name: "bevel", Value: eval.Num(e.Bevel, unit.Angle)},
		{Name: "run", Value: eval.Num(e.Run, unit.Length)},
		{Name: "cut_width", Value: eval.Num(e.CutWidth, unit.Length)},
		{Name: "of", Value: eval.Text(idOf(p))},
	}}
}

func (b *Bench) cm3(v float64) string { return eval.Num(v, unit.Volume).Show(b.Style) }
func (b *Bench) density(v float64) string {
	return eval.Num(v, unit.Dim{Mass: 1, Length: -3}).Show(b.Style)
}
