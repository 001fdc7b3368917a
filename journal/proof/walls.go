package proof

import (
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

var wallTooThick = Check{
	Name: "wall-too-thick", Severity: finding.Stop,
	Doc:   "a wall that faces the body is thicker than `worn_wall` allows",
	block: checkWallTooThick, reads: []string{"limits"},
	looks: func(b *journal.Block) bool { return b.Kind.Name == "stack" || hasParts(b) },
}

// measured are sizes nearer than this the same, in mm: foam is not cut finer.
const measured = 0.05

// checkWallTooThick holds worn stacks and worn panels to the limit. A panel cut from a stack counts
// with all its layers; a stack that says itself that it is worn is reported once, at the stack.
func checkWallTooThick(r *report, b *journal.Block) {
	thick := wornWall(b)
	limit, ok := r.Limit(b.Page.Section(), "worn_wall")
	if !ok || thick <= limit+measured {
		return
	}
	r.add(finding.Finding{
		At: b.Entry.Info, Section: b.Page.Section(), Part: b.Eval.Name,
		Message: b.Eval.Name + " is " + r.mm(thick) + " thick where it faces the body; the limit is " + r.mm(limit),
		Help:    "Use thinner layers inside and make up the look with a spacer outside the worn wall (`match:` in a stack)",
	})
}

// wornWall is the thickness of a block's wall that faces the body, 0 if it has none.
func wornWall(b *journal.Block) float64 {
	rec := b.Record()
	if rec == nil {
		return 0
	}
	if b.Kind.Name == "stack" {
		f, ok := rec.Field("worn")
		worn, _ := f.Value.(eval.Bool)
		total, _ := rec.Number("total")
		if ok && bool(worn) {
			return total
		}
		return 0
	}
	thick := 0.0
	for _, p := range b.Out.Parts {
		if p.Worn && !p.StackWorn {
			thick = max(thick, p.Depth+p.Thickness)
		}
	}
	return thick
}

func (r *report) mm(v float64) string  { return eval.Num(v, unit.Length).Show(r.Settings.Style) }
func (r *report) deg(v float64) string { return eval.Num(v, unit.Angle).Show(r.Settings.Style) }

var wallsUnlike = Check{
	Name: "walls-unlike", Severity: finding.Mind,
	Doc:   "a stack that is to match another is not as thick, even with its spacer",
	block: checkWallsUnlike,
}

// checkWallsUnlike compares each stack that says `match:` with the one it names.
func checkWallsUnlike(r *report, b *journal.Block) {
	rec := b.Record()
	if rec == nil || b.Kind.Name != "stack" {
		return
	}
	missing, ok := rec.Number("missing")
	if !ok || missing <= measured {
		return
	}
	help := "Say in `spacer:` what makes up the difference"
	if f, ok := rec.Field("made_of"); ok {
		help += ", here " + f.Value.Show(r.Settings.Style)
	}
	r.add(finding.Finding{
		At: b.Entry.Info, Section: b.Page.Section(), Part: b.Eval.Name,
		Message: b.Eval.Name + " and the stack it is to match differ by " + r.mm(missing) + ", which shows from outside",
		Help:    help,
	})
}
