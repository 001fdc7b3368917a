package page

import (
	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// Book is what a page needs to know of the journal around it: where things stand in the site, and
// what was found. Whoever presses the site fills it; it is not changed while pages are drawn, so
// that many can be drawn at once. Paths of the site are slash-separated and relative to its root.
type Book struct {
	Snapshot *journal.Snapshot
	Share    bool // a copy for others: findings stay at home

	// Pages are the places in the site of the pages that it shows, by their path in the journal.
	Pages map[string]string
	// Files are the published copies of the journal's other files, by their path in the journal.
	Files map[string]File
	// Templates are the files that show a block's parts at full size.
	Templates map[*journal.Block][]Template
	// Sections are the pages of the sections, by name.
	Sections map[string]string

	found map[string][]finding.Finding // by file, fit to be published
	kept  []keptNumber                 // the private measurements as the journal shows them
	held  map[source.Span]bool         // the fences of blocks whose sizes are such measurements
}

// File is the published copy of a file. A picture has a size in pixels.
type File struct {
	Path          string
	Width, Height int
}

// Template is a file to cut by, at its place in the site.
type Template struct{ Path, Text, Detail string }

// NewBook begins a book with what was found in the snapshot. Messages that would spell a private
// measurement are taken out here, once.
func NewBook(s *journal.Snapshot, found []finding.Finding, share bool) *Book {
	b := &Book{
		Snapshot: s, Share: share,
		Pages: map[string]string{}, Files: map[string]File{}, Templates: map[*journal.Block][]Template{},
		Sections: map[string]string{},
		found:    map[string][]finding.Finding{},
		kept:     keptNumbers(s),
		held:     map[source.Span]bool{},
	}
	for _, f := range found {
		if f.Name == proof.MeasureShown && f.Accepted == "" {
			b.held[f.At] = true
		}
		file := f.At.Place().File
		b.found[file] = append(b.found[file], b.fit(f))
	}
	return b
}

// Shown tells whether the site shows a page.
func (b *Book) Shown(p *journal.Page) bool {
	_, ok := b.Pages[p.Path]
	return ok
}

// withheld tells whether a block's sizes are private measurements that no entry has accepted.
func (b *Book) withheld(blk *journal.Block) bool { return b.held[blk.Entry.Info] }

// Rows are the ledger's rows that the site shows: their pages are shown and their sizes are nobody's
// private measurements.
func (b *Book) Rows() []journal.Row {
	var rows []journal.Row
	for _, r := range b.Snapshot.Ledger.Rows {
		if b.Shown(r.Block.Page) && !b.withheld(r.Block) {
			rows = append(rows, r)
		}
	}
	return rows
}
