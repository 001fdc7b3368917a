package proof

import (
	"bevelbook/calc/finding"
	"bevelbook/journal"
)

// Findings are all findings of a snapshot, kept up to date with it.
type Findings struct {
	snap *journal.Snapshot
	all  []finding.Finding
	on   map[string][]finding.Finding // by page
}

// Follow works through all findings of a snapshot, and keeps them up to date from then on.
func Follow(s *journal.Snapshot) *Findings {
	f := &Findings{snap: s}
	f.Update(journal.Change{All: true})
	return f
}

// Update brings the findings up to date after the snapshot was. It gives the paths of the pages whose
// findings may be others now, sorted; all tells that any may be.
func (f *Findings) Update(c journal.Change) (pages []string, all bool) {
	f.all, f.on = Run(f.snap), map[string][]finding.Finding{}
	for _, g := range f.all {
		path := g.At.Place().File
		f.on[path] = append(f.on[path], g)
	}
	return nil, true
}

// All lists the findings as Run does: the accepted ones marked, sorted by place.
func (f *Findings) All() []finding.Finding { return f.all }

// On lists those on one page.
func (f *Findings) On(path string) []finding.Finding { return f.on[path] }
