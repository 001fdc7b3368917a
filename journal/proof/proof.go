// Package proof checks a whole build for the mistakes that cost a day. Each check is one file and
// one row of All; it reads a snapshot and reports findings. The package never imports render.
package proof

import (
	"fmt"
	"slices"

	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/source"
	"bevelbook/journal"
)

// Check is one row of the table of checks; help and the reference read it too.
type Check struct {
	Name     string
	Severity finding.Severity
	Doc      string // one sentence: what it finds
	run      func(*report)
}

// All lists the checks. A new check is one file and one line.
var All = []Check{
	unmirrored,
	miscounted,
	wallTooThick,
	wallsUnlike,
	bevelsCollide,
	beyondSaw,
	tooSmallToHold,
	offSheet,
	tightBend,
	tooHeavy,
	measureShown,
	unused,
	photoMissing,
	noAltText,
	linkBroken,
}

// report is what a check works with.
type report struct {
	*journal.Snapshot
	check Check
	found []finding.Finding
}

// add reports a finding of the check at a place.
func (r *report) add(f finding.Finding) {
	f.Name, f.Severity = r.check.Name, r.check.Severity
	r.found = append(r.found, f)
}

// part reports a finding about one part.
func (r *report) part(p *part.Part, help, format string, args ...any) {
	r.add(finding.Finding{At: p.At, Section: p.Section, Part: p.Name, Message: fmt.Sprintf(format, args...), Help: help})
}

// page reports a finding about a place on a page.
func (r *report) page(p *journal.Page, at source.Span, help, format string, args ...any) {
	r.add(finding.Finding{At: at, Section: p.Section(), Message: fmt.Sprintf(format, args...), Help: help})
}

// Run works through all findings of a snapshot: those of the texts and those of the checks, the
// accepted ones marked, sorted by place.
func Run(s *journal.Snapshot) []finding.Finding {
	list := s.Language()
	for _, c := range All {
		if c.run == nil {
			continue // found while a block is worked out
		}
		r := &report{Snapshot: s, check: c}
		c.run(r)
		list = append(list, r.found...)
	}
	list = append(list, accept(s, list)...)
	finding.Sort(list)
	return list
}

// Stops tells whether any finding stops the build.
func Stops(list []finding.Finding) bool {
	return slices.ContainsFunc(list, finding.Finding.Stops)
}
