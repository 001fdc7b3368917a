package proof

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/shape"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

// MeasureShown is the name of the check for private measurements in published sizes. A site leaves
// out what it finds until an entry accepts it, with the wearer's consent.
const MeasureShown = "measure-shown"

var measureShown = Check{
	Name: MeasureShown, Severity: finding.Mind,
	Doc:   "a part or wall whose size is a private measurement as it stands; the site leaves it out until an entry accepts it",
	block: checkMeasureShown, reads: []string{"wearer"},
	looks: func(b *journal.Block) bool { return !b.Private() && b.Eval.Node.Cell.Privacy != eval.Open },
}

// checkMeasureShown compares the sizes of what private measurements have shaped with those
// measurements: a template shows its sizes to everybody.
func checkMeasureShown(r *report, b *journal.Block) {
	if len(r.kept) == 0 || b.Private() || b.Eval.Node.Cell.Privacy == eval.Open {
		return
	}
	sizes := sizesOf(b)
	var named []string
	for _, m := range r.kept {
		for _, size := range sorted(sizes) {
			if math.Abs(sizes[size]-m.value) < measured {
				named = append(named, size+" is "+m.name)
			}
		}
	}
	if len(named) > 0 {
		r.add(finding.Finding{
			At: b.Entry.Info, Section: b.Page.Section(), Part: b.Eval.Name,
			Message: b.Eval.Name + " shows a private measurement: " + strings.Join(named, ", "),
			Help:    "Add ease or round it up; or ask the wearer, and say `share: yes` or accept this. The site leaves it out until then",
		})
	}
}

// sizesOf names the sizes that the card and the templates of a block show.
func sizesOf(b *journal.Block) map[string]float64 {
	sizes := map[string]float64{}
	for i := range b.Out.Parts {
		p := &b.Out.Parts[i]
		// A shell has many parts, each with a width of its own.
		panel := strings.TrimPrefix(strings.TrimPrefix(p.Name, p.Block), ".")
		both := func(name string, show, back float64) {
			name = strings.TrimSpace(panel + " " + name)
			sizes[name] = show
			if math.Abs(show-back) > measured {
				sizes[name+" of the back"] = back
			}
		}
		show, back := extentOf(p.Show), extentOf(p.Back)
		both("width", show.X, back.X)
		both("height", show.Y, back.Y)
		for _, e := range p.Edges {
			both("edge "+e.Name, e.Length, e.BackLength)
		}
		sizes[strings.TrimSpace(p.Layer+" thickness")] = p.Thickness
	}
	if rec := b.Record(); rec != nil && (b.Kind.Name == "stack" || b.Out.Shell != nil) {
		for _, f := range rec.Fields {
			if v, ok := rec.Number(f.Name); ok {
				sizes[f.Name] = v
			}
		}
		layers, _ := rec.Field("layers")
		list, _ := layers.Value.(eval.List)
		for i, l := range list {
			if layer, ok := l.(*eval.Record); ok {
				sizes[fmt.Sprintf("layer %d", i+1)], _ = layer.Number("thickness")
			}
		}
	}
	return sizes
}

func extentOf(o shape.Outline) r2.Vec {
	box := o.Bounds()
	return r2.Sub(box.Max, box.Min)
}

type keptMeasure struct {
	name  string
	value float64
}

// keptMeasures are the lengths of private wearer blocks.
func keptMeasures(s *journal.Snapshot) []keptMeasure {
	var list []keptMeasure
	for _, b := range s.OfKind("wearer") {
		if !b.Private() {
			continue
		}
		for _, n := range b.Eval.Members {
			if q, ok := n.Cell.Value.(eval.Quantity); ok && q.Dim == unit.Length {
				list = append(list, keptMeasure{n.Key, q.Value})
			}
		}
	}
	return list
}
