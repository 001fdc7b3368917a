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

// Check is one row of the table of checks; help and the reference read it too. What it looks at says
// when it is made again while the journal is edited: a narrow view is a quick one. A check without any
// is found while a block is worked out.
type Check struct {
	Name     string
	Severity finding.Severity
	Doc      string // one sentence: what it finds

	// block looks at one block, with its part of the ledger, and holds it against blocks of the kinds in
	// reads, which are some of shopKinds. It reads nothing else.
	block func(*report, *journal.Block)
	reads []string
	// page looks at one page's text, and at which other pages, places on them and files there are.
	page func(*report, *journal.Page)
	// section looks at blocks of one section, or of the journal's own space: a section without a name.
	section func(*report, *journal.Section, []*journal.Block)
	// build looks at anything.
	build func(*report)
	// looks tells which blocks a check looks at. When what a check of blocks reads has changed, it is made
	// again for these; checks of a section or the build when one of these may have changed. Without it a
	// check looks at all.
	looks func(*journal.Block) bool
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
	seamUneven,
	bevelUnlike,
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
	*shop
	check *Check
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

// reading holds a check of blocks to what it says it reads: else an edit of that would go unnoticed.
func (r *report) reading(kind string) {
	if r.check.block != nil && !slices.Contains(r.check.reads, kind) {
		panic(r.check.Name + " looks at blocks and reads " + kind + " blocks, which its row does not say")
	}
}

// Limit is the snapshot's.
func (r *report) Limit(section, key string) (float64, bool) {
	r.reading("limits")
	return r.Snapshot.Limit(section, key)
}

// Material is the snapshot's.
func (r *report) Material(name string) *journal.Block {
	r.reading("material")
	return r.Snapshot.Material(name)
}

// OfKind is the snapshot's.
func (r *report) OfKind(kind string) []*journal.Block {
	r.reading(kind)
	return r.Snapshot.OfKind(kind)
}

// hasParts tells whether a block gives parts.
func hasParts(b *journal.Block) bool { return len(b.Out.Parts) > 0 }

// drawn are the rows of a block as drawn: the other hand of a pair is left out.
func (r *report) drawn(b *journal.Block) []journal.Row {
	var list []journal.Row
	for _, row := range r.Rows(b.Page) {
		if row.Block == b && !row.Mirrored() {
			list = append(list, row)
		}
	}
	return list
}

// Run works through all findings of a snapshot: those of the texts and those of the checks, the
// accepted ones marked, sorted by place.
func Run(s *journal.Snapshot) []finding.Finding { return Follow(s).All() }

// Stops tells whether any finding stops the build.
func Stops(list []finding.Finding) bool {
	return slices.ContainsFunc(list, finding.Finding.Stops)
}
