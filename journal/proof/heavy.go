package proof

import (
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

var tooHeavy = Check{
	Name: "too-heavy", Severity: finding.Mind,
	Doc:   "all parts together weigh more than the limit `weight`, foam alone",
	build: checkTooHeavy,
	looks: func(b *journal.Block) bool { return len(b.Out.Parts) > 0 || b.Kind.Name == "limits" },
}

// checkTooHeavy adds up the parts whose density is known. Glue, paint, straps and lamps come on top, so
// a sum just below the limit is no promise.
func checkTooHeavy(r *report) {
	most, ok := r.Limit("", "weight")
	if !ok {
		return
	}
	sum := r.Weight()
	if sum <= most {
		return
	}
	for _, b := range r.OfKind("limits") {
		if b.Page.Section() != "" || b.Record() == nil {
			continue
		}
		if _, ok := b.Record().Number("weight"); ok {
			show := func(g float64) string { return eval.Num(g, unit.Mass).Show(r.Settings.Style) }
			r.page(b.Page, b.Entry.Info, "Thinner or lighter sheets where nobody sees it; a weight is carried by shoulders and hips, not by the neck: ask the wearer after ten minutes in it",
				"the parts weigh %s, and the limit is %s", show(sum), show(most))
			return
		}
	}
}
