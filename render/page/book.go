package page

import (
	"slices"
	"sync"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/journal/proof"
	"bevelbook/journal/shopping"
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
	// Publish, when not nil, is asked for copies that Files does not have; false for none.
	Publish func(path string) (File, bool)
	// Templates are the files that show a block's parts at full size.
	Templates map[*journal.Block][]Template
	// Offer, when not nil, is asked in place of Templates.
	Offer func(*journal.Block) []Template
	// Sections are the pages of the sections, by name.
	Sections map[string]string

	// Lay lays out the parts of a layout block, or gives what is at hand; Shopping is what to buy.
	Lay      func(*journal.Block) ([]layout.Result, []layout.Left, error)
	Shopping func() shopping.List

	told func(path string) []finding.Finding // all that was found on a page
	kept []keptNumber                        // the private measurements as the journal shows them

	mu    sync.Mutex
	found map[string]*foundOn // by page; guarded by mu
}

// foundOn is what was found on a page, fit to be published.
type foundOn struct {
	list []finding.Finding
	held []source.Span // the fences of blocks whose sizes are private measurements
}

// File is the published copy of a file. A picture has a size in pixels.
type File struct {
	Path          string
	Width, Height int
}

// Template is a file to cut by, at its place in the site.
type Template struct{ Path, Text, Detail string }

// NewBook begins a book with what was found in the snapshot. Messages that would spell a private
// measurement are taken out, once.
func NewBook(s *journal.Snapshot, found []finding.Finding, share bool) *Book {
	by := map[string][]finding.Finding{}
	for _, f := range found {
		path := f.At.Place().File
		by[path] = append(by[path], f)
	}
	return OpenBook(s, func(path string) []finding.Finding { return by[path] }, share)
}

// OpenBook begins a book that asks for what was found on a page when it is drawn.
func OpenBook(s *journal.Snapshot, found func(path string) []finding.Finding, share bool) *Book {
	return &Book{
		Snapshot: s, Share: share,
		Pages: map[string]string{}, Files: map[string]File{}, Templates: map[*journal.Block][]Template{},
		Sections: map[string]string{},
		told:     found, found: map[string]*foundOn{},
		kept:     keptNumbers(s),
		Shopping: func() shopping.List { return shopping.Of(s, nil) },
	}
}

// Forget has the book ask again what was found on a page.
func (b *Book) Forget(path string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.found, path)
}

// Renew has the book ask again what was found anywhere, after private measurements changed.
func (b *Book) Renew() {
	b.mu.Lock()
	defer b.mu.Unlock()
	clear(b.found)
	b.kept = keptNumbers(b.Snapshot)
}

// on is what was found on a page.
func (b *Book) on(path string) *foundOn {
	b.mu.Lock()
	on := b.found[path]
	b.mu.Unlock()
	if on != nil {
		return on
	}
	on = &foundOn{}
	for _, f := range b.told(path) {
		if f.Name == proof.MeasureShown && f.Accepted == "" {
			on.held = append(on.held, f.At)
		}
		on.list = append(on.list, b.fit(f))
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.found[path] = on
	return on
}

// File is the published copy of a file, false if the site has none.
func (b *Book) File(path string) (File, bool) {
	f, ok := b.Files[path]
	if !ok && b.Publish != nil {
		return b.Publish(path)
	}
	return f, ok
}

// offered are the templates of a block's parts.
func (b *Book) offered(blk *journal.Block) []Template {
	if b.Offer != nil {
		return b.Offer(blk)
	}
	return b.Templates[blk]
}

// Shown tells whether the site shows a page.
func (b *Book) Shown(p *journal.Page) bool {
	_, ok := b.Pages[p.Path]
	return ok
}

// Withheld tells whether a block's sizes are private measurements that no entry has accepted.
func (b *Book) Withheld(blk *journal.Block) bool {
	return slices.Contains(b.on(blk.Page.Path).held, blk.Entry.Info)
}

// Rows are the ledger's rows that the site shows: their pages are shown and their sizes are nobody's
// private measurements.
func (b *Book) Rows() []journal.Row {
	var rows []journal.Row
	for _, r := range b.Snapshot.Ledger.Rows {
		if b.Shown(r.Block.Page) && !b.Withheld(r.Block) {
			rows = append(rows, r)
		}
	}
	return rows
}
