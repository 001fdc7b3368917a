package proof

import (
	"fmt"
	"slices"

	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/spell"
	"bevelbook/journal"
	"bevelbook/journal/entry"
)

// accept marks the findings that an entry accepts by name with a reason. An entry speaks for its own
// page and for its section. An acceptance that meets no finding is reported, since it would hide the
// next one. Faults of the language cannot be accepted: nothing is worked out behind them.
func accept(s *journal.Snapshot, list []finding.Finding) []finding.Finding {
	var idle []finding.Finding
	for _, p := range s.Pages {
		for _, a := range p.Doc.Front.Accept {
			if !apply(p, a, list) {
				idle = append(idle, idleAcceptance(p, a))
			}
		}
	}
	return idle
}

// idleAcceptance tells why an acceptance meets no finding.
func idleAcceptance(p *journal.Page, a entry.Accept) finding.Finding {
	f := finding.Finding{
		Name: unused.Name, Severity: finding.Note, At: a.At, Section: p.Section(), Part: a.Part,
		Message: fmt.Sprintf("%s is accepted here, and nothing like it is found", a.Finding),
		Help:    "Take the line out, or check the names",
	}
	if !acceptable(a.Finding) {
		f.Message = fmt.Sprintf("%s is accepted here, and no check has that name", a.Finding)
		if near := spell.Nearest(a.Finding, acceptables()); near != "" {
			f.Help = "Did you mean " + near + "?"
		}
	}
	return f
}

// apply marks the findings that one acceptance meets.
func apply(p *journal.Page, a entry.Accept, list []finding.Finding) bool {
	met := false
	for i := range list {
		f := &list[i]
		if f.Name != a.Finding || !acceptable(f.Name) || a.Part != "" && a.Part != f.Part && a.Part != f.Section+"."+f.Part {
			continue
		}
		mine := f.At.File == p.Doc.File || f.Section != "" && f.Section == p.Section() || a.Part != "" && a.Part == f.Section+"."+f.Part
		if mine {
			f.Accepted = a.Reason
			met = true
		}
	}
	return met
}

// acceptable tells whether a finding of this name can be accepted.
func acceptable(name string) bool { return slices.Contains(acceptables(), name) }

// acceptables are the names of the checks, and of the findings that do not stop a block from being
// worked out.
func acceptables() []string {
	names := []string{kind.MeasureUnlikely, kind.OwnMeasure, kind.OffPart, journal.UnknownKind}
	for _, c := range All {
		names = append(names, c.Name)
	}
	return names
}
