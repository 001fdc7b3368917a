package proof

import (
	"maps"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/journal"
)

var unused = Check{
	Name: "unused", Severity: finding.Note,
	Doc:   "a named value, a sheet material or a stack that nothing uses; an acceptance that meets no finding",
	block: checkUnused,
}

// checkUnused looks for values that no other block and no sentence uses. What a card shows counts as
// read by people only for results, not for inputs: an input that leads nowhere is mostly a misspelt one.
func checkUnused(r *report, b *journal.Block) {
	switch {
	case b.Kind.Name == "dims":
		for _, n := range b.Eval.Members {
			if !broken(n) && !used(n, b) {
				r.add(finding.Finding{At: n.At, Section: b.Page.Section(), Part: n.Key, Message: n.Key + " is set and never used", Help: "Use it, take it out, or check the name where you meant it"})
			}
		}
	case b.Kind.Name == "stack" || isSheet(b):
		if !broken(b.Eval.Node) && !used(b.Eval.Node, b) {
			r.add(finding.Finding{At: b.Entry.Info, Section: b.Page.Section(), Part: b.Eval.Name, Message: "the " + b.Kind.Name + " " + b.Eval.Name + " is never used", Help: "Use it in a panel, or take it out"})
		}
	}
}

// broken tells whether a node has a fault of its own already: it could not be worked out, or it is the
// second of its name, which nobody can reach.
func broken(n *eval.Node) bool {
	_, unknown := n.Cell.Value.(eval.Unknown)
	return unknown || slices.ContainsFunc(n.Findings, func(f finding.Finding) bool { return f.Severity == finding.Stop })
}

// used tells whether anything but the value's own block needs the node.
func used(n *eval.Node, b *journal.Block) bool {
	return slices.ContainsFunc(n.Users, func(u *eval.Node) bool { return u != b.Eval.Node || u.Expr != nil })
}

func isSheet(b *journal.Block) bool {
	if b.Kind.Name != "material" || b.Record() == nil {
		return false
	}
	f, ok := b.Record().Field("use")
	return !ok || f.Value == eval.Value(eval.Text("sheet"))
}

func sorted(m map[string]float64) []string { return slices.Sorted(maps.Keys(m)) }
