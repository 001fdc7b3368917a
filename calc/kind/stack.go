package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

var stack = Kind{
	Name: "stack",
	Doc:  "works out a wall of layers: total, groove, weight, and the spacer that makes it look like another",
	Keys: []Key{
		{Name: "layers", Want: AList, Required: true, Doc: "materials or thicknesses from the outside in, as in 2 mm, 2 x foam10"},
		{Name: "worn", Want: Truth, Doc: "yes if the wall faces the body"},
		{Name: "match", Want: Block, Doc: "another stack that this wall is to look like"},
		{Name: "spacer", Want: AList, Doc: "what is put in, where it shows, to make both walls alike: materials or thicknesses"},
		{Name: "split", Want: Count, Doc: "how many layers, from the outside, a groove goes through"},
		{Name: "saw", Want: ATool, Doc: "the tool that cuts the stack when it is glued: minds its height"},
		{Name: "grip", Want: Length, Doc: "how much of a screw must hold in what lies behind the wall: gives the screw's length"},
	},
	Work: workStack,
}

// MaxLayers bounds the layers of one stack.
const MaxLayers = 24

// ply is one layer of a stack.
type ply struct {
	layer
	named bool // a material, not a bare thickness
}

// sheet is what the layer is called: its material, or its thickness.
func (b *Bench) sheet(p ply) string {
	if p.named {
		return p.name
	}
	return b.mm(p.thickness) + " sheet"
}

func workStack(b *Bench) {
	s := wall{name: b.Name, plies: b.readPlies(b.Items("layers")), worn: b.Yes("worn")}
	for _, p := range s.plies {
		s.total += p.thickness
	}
	b.Give("total", eval.Num(s.total, unit.Length), "sum of the layers", b.sumOf(s.plies))
	if b.Has("split") {
		s.groove = b.grooveDepth(s.plies)
	}
	b.weighed(s.plies)
	if b.Has("grip") {
		grip := b.Num("grip", 0)
		b.Give("screw", eval.Num(s.total+grip, unit.Length), "total + grip", b.mm(s.total)+" + "+b.mm(grip))
	}
	b.Quiet("worn", eval.Bool(s.worn))
	b.Quiet("layers", layerRecords(s.plies))
	b.mindHeight(s.total, "the stack is", "Cut the layers one by one before they are glued, or with a long blade along a guide")
	b.layersTable(s.plies)
	if b.Has("match") {
		b.matched(s)
		return
	}
	b.stackFigure(s)
}

// wall is a stack as it is drawn and compared.
type wall struct {
	name          string
	plies         []ply
	total, groove float64
	worn          bool
}

// readPlies reads the layers; a list among them, or another stack, stands for its own layers.
func (b *Bench) readPlies(items []eval.Value) []ply {
	var list []ply
	depth := 0.0
	var add func(v eval.Value, nested int)
	add = func(v eval.Value, nested int) {
		const deep = 8
		if inner, ok := v.(eval.List); ok && nested < deep {
			for _, item := range inner {
				add(item, nested+1)
			}
			return
		}
		p := b.ply(v, "layers")
		p.depth = depth
		depth += p.thickness
		if list = append(list, p); len(list) > MaxLayers {
			b.Fail(eval.TooMuch, b.Where("layers"), "Make it of two stacks", "a stack has %d layers at most", MaxLayers)
		}
	}
	for _, v := range items {
		add(v, 0)
	}
	if len(list) == 0 {
		b.Fail(eval.WrongValue, b.Where("layers"), "Write materials or thicknesses from the outside in, as in 2 mm, foam4", "%s has no layers", b.Kind.called(b.Name))
	}
	return list
}

// ply reads one layer: a length, or a material with a thickness.
func (b *Bench) ply(v eval.Value, key string) ply {
	const help = "Write a material or a thickness, as in foam10 or 10 mm"
	at := b.Where(key)
	switch v := v.(type) {
	case eval.Quantity:
		if why := misfits(Length, v); why != "" {
			b.Fail(eval.WrongValue, at, help, "a layer must be a material or a thickness, and this is %s", why)
		}
		return ply{layer: layer{thickness: b.layerThickness(v.Value, at)}}
	case *eval.Record:
		if v.Kind != "material" {
			break
		}
		p := ply{layer: layer{name: v.Name}, named: true}
		p.thickness, _ = v.Number("thickness")
		p.density, _ = v.Number("density")
		p.grained = grained(v)
		b.layerThickness(p.thickness, at)
		return p
	}
	b.Fail(eval.WrongValue, at, help, "a layer must be a material or a thickness, and this is %s", v.Type())
	return ply{}
}

func (b *Bench) layerThickness(t float64, at source.Span) float64 {
	const most = 1000 // mm; a slip of the pen, not a sheet
	if !(t > 0 && t <= most) {
		b.Fail(eval.WrongValue, at, "A sheet is some millimetres thick", "a layer cannot be %s thick", b.mm(t))
	}
	return t
}

// sumOf writes the thicknesses as a sum.
func (b *Bench) sumOf(plies []ply) string {
	var texts []string
	for _, p := range plies {
		texts = append(texts, b.mm(p.thickness))
	}
	return strings.Join(texts, " + ")
}

// grooveDepth is the depth of a groove cut through the outermost layers, with the next one left whole.
func (b *Bench) grooveDepth(plies []ply) float64 {
	n := int(b.Num("split", 0))
	if n >= len(plies) {
		b.Fail(eval.WrongValue, b.Where("split"), fmt.Sprintf("Split %d at most, so that a layer is left to hold the wall together", len(plies)-1),
			"a groove through %d of %d layers cuts the wall in two", n, len(plies))
	}
	depth := plies[n].depth
	numbers := b.sumOf(plies[:n])
	if n == 0 {
		numbers = ""
	}
	b.Give("groove", eval.Num(depth, unit.Length), "sum of the split layers", numbers)
	return depth
}

// weighed gives the weight of an area when every layer's density is known. Glue is left out.
func (b *Bench) weighed(plies []ply) {
	sum := 0.0
	var texts []string
	for _, p := range plies {
		if p.density == 0 {
			return
		}
		sum += p.thickness * p.density
		texts = append(texts, b.mm(p.thickness)+" · "+b.density(p.density))
	}
	b.Give("weight_per_area", eval.Num(sum, unit.Dim{Mass: 1, Length: -2}), "sum of thickness · density", strings.Join(texts, " + "))
}

// layerRecords is what other blocks read of the layers: Kind "layer", its material as Name.
func layerRecords(plies []ply) eval.List {
	var list eval.List
	for _, p := range plies {
		r := &eval.Record{Kind: "layer", Name: p.name, Fields: []eval.Result{
			{Name: "thickness", Value: eval.Num(p.thickness, unit.Length)},
			{Name: "depth", Value: eval.Num(p.depth, unit.Length)},
			{Name: "material", Value: eval.Text(p.name)},
		}}
		if p.grained {
			r.Fields = append(r.Fields, eval.Result{Name: "grain", Value: eval.Bool(true)})
		}
		if p.density > 0 {
			r.Fields = append(r.Fields, eval.Result{Name: "density", Value: eval.Num(p.density, unit.Dim{Mass: 1, Length: -3})})
		}
		list = append(list, r)
	}
	return list
}

func (b *Bench) layersTable(plies []ply) {
	t := Table{Title: "Layers, from the outside in", Head: []string{"layer", "sheet", "thickness", "depth"}}
	for i, p := range plies {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), b.sheet(p), b.mm(p.thickness), b.mm(p.depth)})
	}
	b.Table(t)
}

// wallOf reads the wall back from a stack's result.
func (b *Bench) wallOf(key string) wall {
	r := b.Record(key)
	if r.Kind != "stack" {
		b.Fail(eval.WrongValue, b.Where(key), "Name a `stack` block", "%s must be a stack, and this is %s", key, r.Type())
	}
	w := wall{name: r.Name}
	w.total, _ = r.Number("total")
	w.groove, _ = r.Number("groove")
	if f, ok := r.Field("worn"); ok {
		w.worn = f.Value == eval.Bool(true)
	}
	f, _ := r.Field("layers")
	items, _ := f.Value.(eval.List)
	for _, v := range items {
		rec := v.(*eval.Record)
		p := ply{layer: layer{name: rec.Name}, named: rec.Name != ""}
		p.thickness, _ = rec.Number("thickness")
		p.depth, _ = rec.Number("depth")
		p.density, _ = rec.Number("density")
		w.plies = append(w.plies, p)
	}
	return w
}

// alike is how near two walls are, in mm, to be called the same.
const alike = 1e-6

// matched works out the spacer that makes two walls look alike at their edges.
func (b *Bench) matched(s wall) {
	other := b.wallOf("match")
	spacer := math.Abs(s.total - other.total)
	thin := s
	if other.total < s.total {
		thin = other
	}
	if spacer <= alike {
		spacer, thin.name = 0, "neither"
	}
	b.Give("spacer", eval.Num(spacer, unit.Length), "|total − "+other.name+".total|", "|"+b.mm(s.total)+" − "+b.mm(other.total)+"|")
	b.Give("thinner", eval.Text(thin.name), "", "")
	if spacer > 0 {
		b.Give("made_of", eval.Text(b.madeOf(spacer, slices.Concat(s.plies, other.plies, b.readSpacer()))), "", "")
	}
	put := 0.0
	for _, p := range b.readSpacer() {
		put += p.thickness
	}
	b.Quiet("missing", eval.Num(math.Abs(spacer-put), unit.Length))
	b.matchFigure(s, other, spacer)
}

// readSpacer reads what the maker puts in to make the walls alike.
func (b *Bench) readSpacer() []ply {
	var list []ply
	for _, v := range b.Items("spacer") {
		list = append(list, b.ply(v, "spacer"))
	}
	return list
}

// madeOf finds the sheets, of those that the two walls are made of, that add up to the spacer: four
// at most, the nearest sum, then materials before bare thicknesses, which nobody can buy by name, then
// the fewest sheets.
func (b *Bench) madeOf(spacer float64, plies []ply) string {
	var sheets []ply
	for _, p := range plies {
		if !hasSheet(sheets, p) {
			sheets = append(sheets, p)
		}
	}
	const most = 4
	var best, now []int
	miss := math.Inf(1)
	cost := func(picked []int) int { // a bare sheet weighs more than any number of named ones
		n := len(picked)
		for _, i := range picked {
			if !sheets[i].named {
				n += most
			}
		}
		return n
	}
	var try func(from int, sum float64)
	try = func(from int, sum float64) {
		if off := math.Abs(sum - spacer); len(now) > 0 && (off < miss-alike || off < miss+alike && cost(now) < cost(best)) {
			miss, best = math.Min(miss, off), append(best[:0], now...)
		}
		if len(now) == most || sum >= spacer {
			return
		}
		for i := from; i < len(sheets); i++ {
			now = append(now, i)
			try(i, sum+sheets[i].thickness)
			now = now[:len(now)-1]
		}
	}
	try(0, 0)
	return b.pile(sheets, best, spacer)
}

// hasSheet tells whether a sheet of the same thickness is in the list; the first one known stays.
func hasSheet(list []ply, p ply) bool {
	for i, q := range list {
		if math.Abs(q.thickness-p.thickness) < alike {
			if p.named && !q.named {
				list[i] = p
			}
			return true
		}
	}
	return false
}

// pile writes "2 x foam4 + foam2", and by how much that misses.
func (b *Bench) pile(sheets []ply, picked []int, spacer float64) string {
	var texts []string
	sum := 0.0
	for i := 0; i < len(picked); {
		n := 0
		for j := i; j < len(picked) && picked[j] == picked[i]; j++ {
			n++
		}
		p := sheets[picked[i]]
		text := b.sheet(p)
		if n > 1 {
			text = fmt.Sprintf("%d x %s", n, text)
		}
		texts = append(texts, text)
		sum += float64(n) * p.thickness
		i += n
	}
	text := strings.Join(texts, " + ")
	switch off := sum - spacer; {
	case off > alike:
		text += ", " + b.mm(off) + " too thick"
	case off < -alike:
		text += ", " + b.mm(-off) + " too thin"
	}
	return text
}
