package proof

import (
	"fmt"

	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
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
				idle = append(idle, finding.Finding{
					Name: unused.Name, Severity: finding.Note, At: a.At, Section: p.Section(), Part: a.Part,
					Message: fmt.Sprintf("%s is accepted here, and nothing like it is found", a.Finding),
					Help:    "Take the line out, or check the names",
				})
			}
		}
	}
	return idle
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

// acceptable tells whether a finding's name is that of a check.
func acceptable(name string) bool {
	for _, c := range All {
		if c.Name == name {
			return true
		}
	}
	return name == kind.MeasureUnlikely || name == kind.OwnMeasure || name == kind.OffPart || name == journal.UnknownKind
}
