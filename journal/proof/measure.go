package proof

import (
	"math"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

var measureShown = Check{
	Name: "measure-shown", Severity: finding.Mind,
	Doc: "a part whose published size is a private measurement as it stands",
	run: checkMeasureShown,
}

// checkMeasureShown compares the sizes of parts that were shaped by private measurements with those
// measurements: a template shows its sizes to everybody.
func checkMeasureShown(r *report) {
	kept := keptMeasures(r.Snapshot)
	if len(kept) == 0 {
		return
	}
	for _, b := range r.Blocks {
		if len(b.Out.Parts) == 0 || !b.Out.Parts[0].FromPrivate {
			continue
		}
		p := &b.Out.Parts[0]
		box := p.Show.Bounds()
		sizes := map[string]float64{"width": box.Max.X - box.Min.X, "height": box.Max.Y - box.Min.Y}
		for _, e := range p.Edges {
			sizes["edge "+e.Name] = e.Length
		}
		var named []string
		for _, m := range kept {
			for _, size := range sorted(sizes) {
				if math.Abs(sizes[size]-m.value) < measured {
					named = append(named, size+" is "+m.name)
				}
			}
		}
		if len(named) > 0 {
			r.part(p, "Add ease, round it up, or ask the wearer and say `share: yes`", "%s shows a private measurement: %s", p.Name, strings.Join(named, ", "))
		}
	}
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
