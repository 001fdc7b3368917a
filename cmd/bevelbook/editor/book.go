package editor

import (
	"maps"
	"os"
	"path/filepath"
	"slices"

	"bevelbook/calc/source"
	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// book is one journal as the editor has it: the folder on the disk with the open pages laid over it,
// worked out as far as somebody has asked.
type book struct {
	dir  string
	over overlay
	docs map[string]*document // open pages, by path within the journal
	kept bool                 // its folder is one of the client's

	snap   *journal.Snapshot // nil before it was read, or when it cannot be
	failed bool              // it cannot be read, before something changes
	found  *proof.Findings   // nil before they were looked for
	texts  map[string]counted

	changed  map[string]bool // files that are others than in the snapshot
	since    journal.Change  // what the snapshot has changed since the findings were looked for
	doubtful map[string]bool // pages whose findings may be others than the client knows
	untold   bool            // the client has not been told of a change
	edited   map[string]bool // open pages that have changed in the editor since it was told
	shown    map[string][]Diagnostic
}

// counted is the text of a page in the client's counting, with the file that it was made for.
type counted struct {
	*text
	file *source.File
}

func newBook(dir string) *book {
	return &book{
		dir: dir, over: overlay{os.DirFS(dir), map[string]string{}}, docs: map[string]*document{}, texts: map[string]counted{},
		changed: map[string]bool{}, doubtful: map[string]bool{}, edited: map[string]bool{}, untold: true, shown: map[string][]Diagnostic{},
	}
}

// within is the slash-separated path of a file in the journal's folder.
func (b *book) within(path string) string {
	rel, err := filepath.Rel(b.dir, path)
	if err != nil || !filepath.IsLocal(rel) {
		return ""
	}
	return filepath.ToSlash(rel)
}

// put lays the text of an open page over the disk.
func (b *book) put(d *document) {
	p := b.within(d.path)
	b.docs[p], b.over.texts[p], b.edited[p] = d, d.text, true
	b.touch(d.path)
}

// drop takes an open page away, so that the disk counts again.
func (b *book) drop(d *document) {
	p := b.within(d.path)
	delete(b.docs, p)
	delete(b.over.texts, p)
	b.touch(d.path)
}

// touch notes that a file, or anything in a folder, may be another than it was.
func (b *book) touch(path string) {
	if p := b.within(path); p != "" {
		b.changed[p], b.untold = true, true
	}
}

// ready brings the snapshot up to date; it is nil when the journal cannot be read.
func (b *book) ready() *journal.Snapshot {
	if len(b.changed) == 0 && (b.snap != nil || b.failed) {
		return b.snap
	}
	paths := slices.Sorted(maps.Keys(b.changed))
	clear(b.changed)
	if b.snap != nil {
		c, err := b.snap.Update(paths...)
		b.since = b.since.Then(c)
		b.failed = err != nil
	} else {
		snap, err := journal.Load(b.over, journal.Options{})
		b.snap, b.found, b.failed = snap, nil, err != nil
	}
	if b.failed {
		b.snap, b.found = nil, nil
	}
	return b.snap
}

// text is a page as the client counts in it.
func (b *book) text(page *journal.Page, unit encoding) *text {
	file := page.Doc.File
	if c := b.texts[page.Path]; c.file == file && c.unit == unit {
		return c.text
	}
	raw := file.Text
	if d := b.docs[page.Path]; d != nil {
		raw = d.text
	}
	c := counted{newText(raw, unit), file}
	b.texts[page.Path] = c
	return c.text
}

// spot is a place on a page of a journal.
type spot struct {
	book *book
	snap *journal.Snapshot
	page *journal.Page
	text *text
	at   int // byte offset in the page
}

// spot finds the place that a request is about; false if it is in no journal.
func (s *server) spot(uri string, p Position) (spot, bool) {
	path := pathOf(uri)
	b := s.bookOf(path)
	if b == nil {
		return spot{}, false
	}
	snap := b.ready()
	if snap == nil {
		return spot{}, false
	}
	page, ok := snap.Page(b.within(path))
	if !ok {
		return spot{}, false
	}
	t := b.text(page, s.client.unit)
	return spot{b, snap, page, t, t.offset(p)}, true
}

// location is where a span of the journal is, for the client; false for a span that is nowhere.
func (s *server) location(b *book, at source.Span) (Location, bool) {
	if at.File == nil {
		return Location{}, false
	}
	page, ok := b.snap.Page(at.File.Name)
	if !ok || page.Doc.File != at.File {
		return Location{}, false
	}
	return Location{s.uri(b, page.Path), b.text(page, s.client.unit).span(at)}, true
}
