package site

import (
	"bytes"
	"io/fs"
	"maps"
	"slices"
	"sync"

	"bevelbook/journal"
	"bevelbook/journal/proof"
	"bevelbook/render/page"
	"bevelbook/themes"
)

// State is a journal with its findings and its site in memory, kept up to date while the journal is
// written. Its files have the same bytes as those of a press.
//
// It may be used from several goroutines: a lock keeps readers out while an update changes the graph
// in place, which takes milliseconds. What Page gives stays as it is; what Read shows must not be
// kept beyond the call.
type State struct {
	fsys fs.FS
	opt  Options

	mu    sync.RWMutex // guards what follows
	snap  *journal.Snapshot
	found *proof.Findings
	press *press
	files map[string][]byte
}

// Change tells what an update did.
type Change struct {
	// All: any file of the site may have other bytes.
	All bool
	// Pages are the journal's pages whose place in the site may have other bytes: by site path, sorted;
	// new ones and ones that are gone among them. The pages that list others (home, log, parts,
	// materials, sections, findings, search, feed) and the data files are not told apart: when anything
	// changed, they may have.
	Pages []string
	// Journal is what changed in the journal itself.
	Journal journal.Change
}

// Open reads a journal and makes its site ready to be drawn. Options.Out and Root are without meaning.
func Open(fsys fs.FS, read journal.Options, opt Options) (*State, error) {
	snap, err := journal.Load(fsys, read)
	if err != nil {
		return nil, err
	}
	s := &State{fsys: fsys, opt: opt, snap: snap, found: proof.Follow(snap)}
	return s, s.ready()
}

// Update brings journal, findings and site up to date after files of the journal changed, were made
// or removed; the path of a folder stands for all below it. After an error all is as it was.
func (s *State) Update(changed ...string) (Change, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c, err := s.snap.Update(changed...)
	if err != nil {
		return Change{}, err
	}
	s.found.Update(c)
	old := s.files
	if err := s.ready(); err != nil {
		return Change{}, err
	}
	out := Change{Journal: c}
	for path, data := range s.files {
		if !bytes.Equal(data, old[path]) {
			out.Pages = append(out.Pages, path)
		}
	}
	for path := range old {
		if _, ok := s.files[path]; !ok {
			out.Pages = append(out.Pages, path)
		}
	}
	slices.Sort(out.Pages)
	return out, nil
}

// Page gives the bytes of a file of the site; the error is fs.ErrNotExist for a path that the site
// does not have.
func (s *State) Page(path string) ([]byte, error) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	data, ok := s.files[path]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	return data, nil
}

// Paths lists the files of the site, sorted.
func (s *State) Paths() []string {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return slices.Sorted(maps.Keys(s.files))
}

// Place is where the site has a page of the journal, false if it does not show it.
func (s *State) Place(path string) (string, bool) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	at, ok := s.press.book.Pages[path]
	return at, ok
}

// Read lets a function look at the journal and its findings while no update changes them. It must not
// keep anything of them, nor call the state.
func (s *State) Read(look func(*journal.Snapshot, *proof.Findings)) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	look(s.snap, s.found)
}

// Findings are all findings as a page at the site's root shows them: with their places in the site,
// and fit to be shown.
func (s *State) Findings() []page.Finding {
	s.mu.RLock()
	defer s.mu.RUnlock()
	var list []page.Finding
	for _, p := range s.snap.Pages {
		for _, f := range s.press.book.Found(p) {
			list = append(list, s.press.book.Finding(homePath, f))
		}
	}
	return list
}

// ready draws the site.
func (s *State) ready() error {
	theme, err := themes.Get(themeOf(s.snap, s.opt))
	if err != nil {
		return err
	}
	m := &memory{files: map[string][]byte{}}
	p := &press{
		Snapshot: s.snap, fsys: s.fsys, share: s.opt.Share, to: m,
		book: page.NewBook(s.snap, s.found.All(), s.opt.Share), look: page.NewLook(theme), taken: map[string]bool{},
	}
	if err := p.all(theme); err != nil {
		return err
	}
	s.press, s.files = p, m.files
	return nil
}

// memory is a shelf that keeps what is put.
type memory struct {
	mu    sync.Mutex
	files map[string][]byte
}

// Put keeps a copy: those who draw use their bytes again.
func (m *memory) Put(path string, data []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.files[path] = bytes.Clone(data)
	return nil
}

// Keep has nothing from before.
func (m *memory) Keep(string) (string, error) { return "", nil }
