package proof

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/journal"
)

var miscounted = Check{
	Name: "miscounted", Severity: finding.Stop,
	Doc:     "a tally that does not agree with what is needed: too many of one hand, glued before it is cut, a part that is none",
	section: checkMiscounted,
	looks:   func(b *journal.Block) bool { return len(b.Out.Parts) > 0 || b.Kind.Name == "tally" },
}

// checkMiscounted holds what has been made to what is needed, in one section.
func checkMiscounted(r *report, sec *journal.Section, _ []*journal.Block) {
	done := r.Done(sec.Name)
	if len(done) == 0 {
		return
	}
	needs := r.Needs(sec.Name)
	for _, n := range needs {
		if stages := done[n.Part]; stages != nil {
			r.counted(sec.Name, n, stages)
			delete(done, n.Part)
		}
	}
	r.strange(sec.Name, done, needs)
}

// counted compares the stages of one part: with what is needed, and with each other.
func (r *report) counted(section string, n *journal.Need, stages map[string]kind.Tallied) {
	cut, isCut := stages["cut"]
	for i, stage := range kind.Stages {
		t, ok := stages[stage]
		if !ok {
			continue
		}
		switch {
		case n.Handed() && !t.Handed:
			r.tallied(section, t, finding.Mind, "Write the left ones, a comma and the right ones, as in "+stage+" "+spoken(n.Part)+": 2, 1",
				"%s is made left and right, and its tally says only %d %s", n.Part, t.One, stage)
		case !n.Handed() && t.Handed && t.Left != t.Right && n.One%2 == 0:
			r.tallied(section, t, finding.Mind, "Count them as one number: "+stage+" "+spoken(n.Part)+": "+fmt.Sprint(t.Left+t.Right),
				"%s needs no hands, and its tally counts %s", n.Part, t)
		case i == 0:
			r.tooMany(section, n, t)
		case isCut && t.Handed == cut.Handed && (t.One > cut.One || t.Left > cut.Left || t.Right > cut.Right):
			r.tallied(section, t, finding.Mind, "Count again, or add what was cut since to a tally", "of %s %s are %s and only %s cut", n.Part, t, stage, cut)
		}
	}
}

// tooMany reports pieces past the need. One hand too often while the other is missing is the mistake
// that costs the day.
func (r *report) tooMany(section string, n *journal.Need, cut kind.Tallied) {
	switch {
	case !n.Handed() && cut.Count("") <= n.One, n.Handed() && cut.Left <= n.Left && cut.Right <= n.Right:
	case n.Handed() && (cut.Left > n.Left && cut.Right < n.Right || cut.Right > n.Right && cut.Left < n.Left):
		r.tallied(section, cut, finding.Stop, "Stop cutting this hand: turn the template over, and see whether one that is too many can become the other part",
			"of %s %s are cut, and %d left and %d right are needed", n.Part, cut, n.Left, n.Right)
	default:
		r.tallied(section, cut, finding.Mind, "Keep it as a spare and accept this finding, or correct the count", "of %s %s are cut, and %s needed", n.Part, cut, needed(n))
	}
}

func needed(n *journal.Need) string {
	if n.Handed() {
		return fmt.Sprintf("%d left and %d right are", n.Left, n.Right)
	}
	if n.One == 1 {
		return "1 is"
	}
	return fmt.Sprintf("%d are", n.One)
}

// strange reports tallied parts that the section does not have, in the order of the text.
func (r *report) strange(section string, done map[string]map[string]kind.Tallied, needs []*journal.Need) {
	var names []string
	for _, n := range needs {
		names = append(names, n.Part)
	}
	var list []kind.Tallied
	for _, stages := range done {
		for _, t := range stages {
			list = append(list, t)
		}
	}
	slices.SortFunc(list, func(a, b kind.Tallied) int { return a.At.Start - b.At.Start })
	where := section
	if where == "" {
		where = "the journal's own space"
	}
	for _, t := range list {
		help := "A tally counts the parts of its own section"
		if near := kind.NearestPart(t.Part, names); near != "" {
			help = "Did you mean " + near + "?"
		}
		r.tallied(section, t, finding.Stop, help, "no part of %s is called %s", where, t.Part)
	}
}

// spoken is a part's name as a tally writes it.
func spoken(name string) string { return strings.ReplaceAll(name, ".", " ") }

// tallied reports a finding at a count.
func (r *report) tallied(section string, t kind.Tallied, severity finding.Severity, help, format string, args ...any) {
	r.found = append(r.found, finding.Finding{Name: r.check.Name, Severity: severity, At: t.At, Section: section, Part: t.Part,
		Message: fmt.Sprintf(format, args...), Help: help})
}
