package site

import (
	"io/fs"
	"maps"
	"slices"
	"sync"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/journal/proof"
	"bevelbook/render/page"
	"bevelbook/themes"
)

// State is a journal with its findings and its site in memory, kept up to date while the journal is
// written. A file of the site is drawn when it is asked for and kept until it may have changed; it has
// the same bytes as that of a press.
//
// It may be used from several goroutines: a lock keeps readers out while an update changes the graph
// in place, which takes milliseconds, and an update waits for pages that are being drawn. What Page
// gives stays as it is; what Read shows must not be kept beyond the call.
type State struct {
	fsys     fs.FS
	opt      Options
	layouts  *layout.Solver
	drawn    *store // pages and templates; has a lock of its own
	pictures *store // published files; has a lock of its own

	mu      sync.RWMutex // guards what follows
	snap    *journal.Snapshot
	found   *proof.Findings
	plan    *plan
	index   map[string]item   // what stands at a path of the site
	looks   map[string]string // of each page, what the plan depends on
	listing map[string]bool   // pages with a table drawn from the whole journal
	round   int               // counts the updates that changed something
	fault   error             // why the site is drawn in another theme than the journal's
	copies  copies            // has a lock of its own
	told    told              // has a lock of its own
}

// Change tells what an update did.
type Change struct {
	// All: any file of the site may have other bytes.
	All bool
	// Pages are the paths in the site of those of the journal's pages that may have other bytes, sorted.
	// The pages that list others (home, log, parts, materials, sections, findings, search, feed) and the
	// data files are not told apart: when anything changed, they may have.
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
	s := &State{fsys: fsys, opt: opt, layouts: layout.NewSolver(nil), drawn: newStore(), pictures: newStore(), snap: snap, found: proof.Follow(snap)}
	if err := s.begin(); err != nil {
		return nil, err
	}
	return s, nil
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
	pages, _ := s.found.Update(c)
	if c.Empty() && len(pages) == 0 {
		return Change{Journal: c}, nil
	}
	return s.follow(c, pages), nil
}

// Fault tells why the site is not drawn as the journal asks: it names a theme that is not there. Nil if
// all is well.
func (s *State) Fault() error {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.fault
}

// Page gives the bytes of a file of the site, which must not be changed; the error is fs.ErrNotExist for
// a path that the site does not have.
func (s *State) Page(path string) ([]byte, error) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if it, ok := s.index[path]; ok && it.group != nil && it.row < 0 {
		return s.print(path, it)
	}
	to := s.pictures
	if _, ok := s.index[path]; ok {
		to = s.drawn
	}
	if data, ok := to.get(path); ok {
		return data, nil
	}
	shelf := &memory{files: map[string][]byte{}}
	err := s.draw(&press{s.plan, shelf}, path)
	if err != nil {
		return nil, err
	}
	data, ok := shelf.files[path]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	for at, data := range shelf.files {
		to.put(at, data)
	}
	return data, nil
}

// print draws all templates of a group for one paper. That takes long, so the lock, which the caller holds
// for reading, is not held meanwhile: parts are not changed once they are worked out.
func (s *State) print(path string, it item) ([]byte, error) {
	if data, ok := s.drawn.get(path); ok {
		return data, nil
	}
	shelf := &memory{files: map[string][]byte{}}
	p, round := &press{s.plan, shelf}, s.round
	pieces, title, set := p.allFullSize(it.group), p.titleOf(it.group), it.group.sets[it.set]
	s.mu.RUnlock()
	err := p.print(title, pieces, &set)
	s.mu.RLock()
	if err != nil {
		return nil, err
	}
	data, ok := shelf.files[path]
	if !ok { // it cannot be printed, and no page offers it
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	if s.round == round {
		s.drawn.put(path, data)
	}
	return data, nil
}

// Paths lists the files of the site, sorted. Pictures are made for that, and prints tried.
func (s *State) Paths() []string {
	s.mu.RLock()
	defer s.mu.RUnlock()
	paths := map[string]bool{}
	for path, it := range s.index {
		if it.group == nil || it.row >= 0 || !s.absent(it.group, it.set) {
			paths[path] = true
		}
	}
	for _, f := range s.copies.all(s) {
		paths[f.Path] = true
	}
	return slices.Sorted(maps.Keys(paths))
}

// Place is where the site has a page of the journal, false if it does not show it.
func (s *State) Place(path string) (string, bool) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	at, ok := s.plan.book.Pages[path]
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
		list = append(list, s.told.on(p, s.plan.book)...)
	}
	return list
}

// told are the findings of each page as the site's root shows them, until they may be others.
type told struct {
	mu sync.Mutex
	by map[string][]page.Finding
}

func (t *told) on(p *journal.Page, book *page.Book) []page.Finding {
	t.mu.Lock()
	defer t.mu.Unlock()
	list, ok := t.by[p.Path]
	if !ok {
		for _, f := range book.Found(p) {
			list = append(list, book.Finding(homePath, f))
		}
		if t.by == nil {
			t.by = map[string][]page.Finding{}
		}
		t.by[p.Path] = list
	}
	return list
}

func (t *told) forget(path string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	delete(t.by, path)
}

func (t *told) clear() {
	t.mu.Lock()
	defer t.mu.Unlock()
	clear(t.by)
}

// begin plans the whole site anew. Of what was drawn only pictures that keep their place count on.
func (s *State) begin() error {
	theme, err := themes.Get(themeOf(s.snap, s.opt))
	if s.fault = err; err != nil {
		if s.plan == nil {
			return err
		}
		theme = s.plan.theme // as it was before the slip
	}
	var was map[string]use
	if s.plan != nil {
		was = s.plan.uses
	}
	book := page.OpenBook(s.snap, func(path string) []finding.Finding { return s.found.On(path) }, s.opt.Share)
	s.plan = newPlan(s.snap, s.fsys, book, theme)
	s.plan.laid(s.laidLater())
	book.Publish = s.publish
	book.Offer = s.offer
	s.plan.published = func(name string, f page.File) { s.copies.put(name, f) }
	s.index, s.looks, s.listing = s.plan.index(), map[string]string{}, map[string]bool{}
	for _, p := range s.snap.Pages {
		s.looks[p.Path] = s.plan.looks(p)
		if lists(p) {
			s.listing[p.Path] = true
		}
	}
	s.drawn.clear()
	s.told.clear()
	s.copies.keep(was, s.plan.uses)
	return nil
}

// laidLater are the options for layouts: when a better one is there, the pages that show it are stale.
func (s *State) laidLater() Options {
	opt := s.opt
	if opt.Layouts == nil {
		opt.Layouts = s.layouts
	}
	if later := opt.Later; later != nil {
		opt.Later = func() {
			s.mu.Lock()
			for path := range s.listing {
				s.drawn.drop(s.plan.book.Pages[path])
			}
			s.drawn.dropLists()
			s.mu.Unlock()
			later()
		}
	}
	return opt
}

// follow brings the site up to date. An edit that leaves everything in its place costs what it touches;
// one that moves anything (a page, a part, a picture comes, goes or has another name) has the plan made
// anew, which draws nothing.
func (s *State) follow(c journal.Change, found []string) Change {
	s.round++
	out := Change{Journal: c}
	touched := map[string]bool{}
	for _, list := range [][]string{c.Pages, found} {
		for _, path := range list {
			touched[path] = true
		}
	}
	for _, name := range c.Files {
		s.copies.drop(name)
		for _, path := range s.found.Naming(name) {
			touched[path] = true
		}
	}
	moved := c.All || c.Paged
	for path := range touched {
		s.plan.book.Forget(path)
		s.plan.forget(path)
		s.told.forget(path)
	}
	if c.Kept {
		s.told.clear()
		s.plan.book.Renew()
		s.plan.renew()
		s.drawn.clear()
		out.All = true
	}
	for path := range touched {
		if moved {
			break
		}
		p, ok := s.snap.Page(path)
		moved = ok && s.plan.looks(p) != s.looks[path]
	}
	if moved {
		s.begin() // a theme that is not there is told by Fault
		return Change{All: true, Journal: c}
	}
	stale := map[string]bool{}
	for path := range touched {
		if p, ok := s.snap.Page(path); ok {
			out.All = s.touch(p, stale) || out.All
		}
	}
	if s.joins(c, touched) {
		out.All = s.rejoin() || out.All
	}
	for path := range s.listing {
		if at, ok := s.plan.book.Pages[path]; ok {
			stale[at] = true
		}
	}
	for at := range stale {
		s.drawn.drop(at)
	}
	s.drawn.dropLists()
	if out.All {
		s.drawn.clear()
	}
	out.Pages = slices.Sorted(maps.Keys(stale))
	return out
}

// joins tells whether a change can touch what seam blocks say of edges.
func (s *State) joins(c journal.Change, touched map[string]bool) bool {
	if slices.Contains(c.Kinds, "seam") {
		return true
	}
	for path := range touched {
		if p, ok := s.snap.Page(path); ok && s.plan.joined.Names(s.snap.Rows(p)) {
			return true
		}
	}
	return false
}

// rejoin brings up to date what seam blocks say of edges, and drops the templates of parts of which they
// say something else than before. It tells whether anything may look different.
func (s *State) rejoin() (all bool) {
	was := s.plan.joined
	s.plan.joined = s.snap.Joined()
	sections := was.Sections()
	maps.Copy(sections, s.plan.joined.Sections())
	for section := range sections {
		g := s.plan.groupOf[section]
		if g == nil {
			continue
		}
		var other []int
		for i, r := range g.rows {
			if id := r.ID(); !was.Same(s.plan.joined, id) {
				other = append(other, i)
				s.drawn.drop(g.paths[i])
			}
		}
		all = s.recount(g, other) || all
	}
	return all
}

// recount drops a group's prints after some of its rows changed, and tells whether others can be printed now.
func (s *State) recount(g *group, other []int) (all bool) {
	if len(other) == 0 {
		return false
	}
	for k := range g.sets {
		s.drawn.drop(g.sets[k].path)
		if g.counts == nil {
			continue
		}
		was := s.absent(g, k)
		for _, i := range other {
			g.counts[k][i] = uncounted
		}
		all = all || s.absent(g, k) != was
	}
	return all
}

// touch notes what of the site shows a page that changed in its place, and tells whether anything may.
func (s *State) touch(p *journal.Page, stale map[string]bool) (all bool) {
	if lists(p) {
		s.listing[p.Path] = true
	} else {
		delete(s.listing, p.Path)
	}
	at, shown := s.plan.book.Pages[p.Path]
	if !shown {
		return false
	}
	stale[at] = true
	for _, n := range s.plan.replace(p) {
		stale[s.plan.book.Pages[n.Path]] = true
	}
	g, from := s.plan.rowsOf(p)
	if g == nil {
		return false
	}
	var other []int // rows with another part than before
	for i, r := range s.plan.shownRows(p) {
		if was := g.rows[from+i]; was.Part != r.Part || was.Count != r.Count {
			other = append(other, from+i)
			s.drawn.drop(g.paths[from+i])
		}
		g.rows[from+i] = r
	}
	return s.recount(g, other)
}
