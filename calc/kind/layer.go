package kind

import (
	"fmt"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// layering is what a panel is made of.
type layering struct {
	material       string
	total, density float64
	worn           bool
	grained        bool    // the sheet has a grain
	layers         []layer // nil for a single sheet
}

type layer struct {
	name             string // of its material
	thickness, depth float64
	density          float64
	grained          bool
}

// panelLayers reads material, thickness or stack: exactly one of them.
func (b *Bench) panelLayers() layering {
	var given []string
	for _, key := range []string{"material", "stack", "thickness"} {
		if b.Has(key) {
			given = append(given, key)
		}
	}
	if len(given) != 1 {
		at := b.At
		if len(given) > 1 {
			at = b.Where(given[1])
		}
		b.Fail(NeedsKey, at, "Say `material: foam10`, or `stack: wall`, or `thickness: 10 mm`, and only one of them",
			"%s needs to know what it is cut from", b.Kind.called(b.Name))
	}
	switch given[0] {
	case "thickness":
		return layering{total: b.thick("thickness", b.Num("thickness", 0))}
	case "material":
		r := b.Record("material")
		t, _ := r.Number("thickness")
		d, _ := r.Number("density")
		return layering{material: r.Name, total: b.thick("material", t), density: d, grained: grained(r)}
	}
	return b.stackLayers(b.Record("stack"))
}

// grained tells whether a material's or layer's record says where its grain runs.
func grained(r *eval.Record) bool {
	_, ok := r.Field("grain")
	return ok
}

func (b *Bench) thick(key string, t float64) float64 {
	if !(t > 0) {
		b.Fail(eval.WrongValue, b.Where(key), "Give it a thickness above zero", "a panel needs a thickness")
	}
	return t
}

// stackLayers reads the result of a stack.
func (b *Bench) stackLayers(r *eval.Record) layering {
	if r.Kind != "stack" {
		b.Fail(eval.WrongValue, b.Where("stack"), "Name a `stack` block", "%s is %s, not a stack", r.Name, r.Type())
	}
	total, _ := r.Number("total")
	l := layering{material: r.Name, total: total}
	if f, ok := r.Field("worn"); ok {
		worn, _ := f.Value.(eval.Bool)
		l.worn = bool(worn)
	}
	f, _ := r.Field("layers")
	items, _ := f.Value.(eval.List)
	for _, v := range items {
		rec, ok := v.(*eval.Record)
		if !ok {
			continue
		}
		var y layer
		y.thickness, _ = rec.Number("thickness")
		y.depth, _ = rec.Number("depth")
		y.density, _ = rec.Number("density")
		y.name, y.grained = rec.Name, grained(rec)
		l.layers = append(l.layers, y)
		l.density += y.density * y.thickness / total
	}
	return l
}

// cutter is how a panel is cut: its outline at a depth below the show face, and how a piece between two
// depths is measured.
type cutter struct {
	at      func(depth float64) shape.Outline
	measure func(p *part.Part, bevels []float64)
}

// pieces are what is cut: the panel itself, or one piece a layer at its depth.
func (b *Bench) pieces(whole part.Part, l layering, bevels []float64, cut cutter) []part.Part {
	if l.layers == nil {
		return []part.Part{whole}
	}
	var list []part.Part
	for i, y := range l.layers {
		p := whole
		p.Layer = layerName(l.layers, i)
		p.Material, p.Thickness, p.Density, p.Depth = y.name, y.thickness, y.density, y.depth
		p.Grained = y.grained
		p.Show, p.Back = cut.at(y.depth), cut.at(y.depth+y.thickness)
		cuts := bevels
		if trim := b.Num("trim", 0); trim > 0 && i > 0 {
			p, cuts = b.oversize(p, bevels, trim)
		}
		if i > 0 {
			p.Lines, p.Marks = nil, nil
		}
		p.Worn = whole.Worn && i == len(l.layers)-1
		cut.measure(&p, cuts)
		p.MoveMatches(whole.Show)
		list = append(list, p)
	}
	return list
}

// layerName is "1 foam6", unique among the layers.
func layerName(layers []layer, i int) string {
	if layers[i].name == "" {
		return fmt.Sprintf("layer%d", i+1)
	}
	return fmt.Sprintf("layer%d %s", i+1, layers[i].name)
}

// oversize makes a layer that is cut square and larger all round than both its faces, to be trimmed
// to the layer above after gluing. Common practice, no source. Each edge counts for itself: with
// bevels of both signs neither face covers the other.
func (b *Bench) oversize(p part.Part, bevels []float64, trim float64) (part.Part, []float64) {
	outwards := runs(bevels, p.Thickness)
	for i, r := range outwards {
		outwards[i] = min(r, 0) - trim
	}
	grown, err := p.Show.OffsetEdges(outwards)
	if err != nil {
		b.Fail(eval.BadShape, b.Where("trim"), "Trim less", "the layer %s cannot be cut larger: %v", p.Layer, err)
	}
	p.Show, p.Back, p.Trim = grown, grown, trim
	return p, make([]float64, len(grown.Edges))
}
