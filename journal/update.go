package journal

import (
	"errors"
	"io/fs"
	"maps"
	"path"
	"slices"
	"sort"
	"strings"

	"bevelbook/calc/eval"
)

// Change tells what an Update did. Lists are sorted.
type Change struct {
	// All: the settings changed, so that every page is worked out and shown anew. What else is said
	// here has no meaning then.
	All bool
	// Texts are the pages that were read again, new and removed ones among them.
	Texts []string
	// Pages are those whose results or findings of the language may be others now: Texts, and the
	// pages that a changed value reached, however far.
	Pages []string
	// Used are pages with a value that others began to use, or use no more.
	Used []string
	// Files are the journal's other files that changed, are new or gone; Listed tells that some are
	// new or gone.
	Files  []string
	Listed bool
	// Paged tells that pages are new or gone.
	Paged bool
	// Sections are those that Pages belong to, or belonged to before.
	Sections []string
	// Kinds are the kinds of block that Pages hold, or held before.
	Kinds []string
	// Kept tells that the private measurements are others than before.
	Kept bool
}

// Empty tells that an Update found nothing new.
func (c Change) Empty() bool { return !c.All && len(c.Pages)+len(c.Files) == 0 }

// Then is one change after another.
func (c Change) Then(next Change) Change {
	union := func(a, b []string) []string {
		list := slices.Concat(a, b)
		slices.Sort(list)
		return slices.Compact(list)
	}
	return Change{
		All: c.All || next.All, Listed: c.Listed || next.Listed, Paged: c.Paged || next.Paged, Kept: c.Kept || next.Kept,
		Texts: union(c.Texts, next.Texts), Pages: union(c.Pages, next.Pages), Used: union(c.Used, next.Used),
		Files: union(c.Files, next.Files), Sections: union(c.Sections, next.Sections), Kinds: union(c.Kinds, next.Kinds),
	}
}

// Update brings the snapshot up to date after the named files changed, were made or removed: pages,
// pictures, traces, models; the path of a folder stands for all below it. Names that are no part of a
// journal do no harm. What it costs goes with what is changed and with what hangs on that, not with
// the journal's size. Nobody may read the snapshot meanwhile: whoever shares it holds a lock, as
// site.State does. After an error, ErrNoJournal or one of reading, the snapshot is as it was.
func (s *Snapshot) Update(changed ...string) (Change, error) {
	now, gone, err := s.scan(changed)
	if err != nil {
		return Change{}, err
	}
	texts, err := readAll(s.fsys, now.pages)
	if err != nil {
		return Change{}, err
	}
	texts = slices.DeleteFunc(texts, func(t text) bool {
		p, known := s.byPath[t.path]
		return known && strings.TrimPrefix(t.text, "\uFEFF") == p.Doc.File.Text
	})
	u := updating{s: s, fresh: parsePages(texts), files: now.files, gone: gone}
	if home := u.home(); home != nil && settingsOf(home) != s.Settings {
		fresh, err := Load(s.fsys, s.opt)
		if err != nil {
			return Change{}, err
		}
		*s = *fresh
		s.Program.Files = s.reader()
		return Change{All: true}, nil
	}
	return u.run(), nil
}

// scan looks at the named files and folders: what lies there now, and what of the journal is gone.
func (s *Snapshot) scan(changed []string) (now listing, gone []string, err error) {
	now = listing{fsys: s.fsys, opt: s.opt, files: map[string]int64{}}
	var known []string
	for _, p := range changed {
		if p = path.Clean(p); !fs.ValidPath(p) {
			continue
		}
		known = append(known, s.below(p)...)
		if err := now.look(p); err != nil {
			return now, nil, err
		}
	}
	slices.Sort(now.pages)
	now.pages = slices.Compact(now.pages)
	for _, p := range known {
		_, file := now.files[p]
		if _, page := slices.BinarySearch(now.pages, p); !page && !file {
			gone = append(gone, p)
		}
	}
	slices.Sort(gone)
	gone = slices.Compact(gone)
	if slices.Contains(gone, HomeName) {
		return now, nil, ErrNoJournal
	}
	if len(s.Pages)+len(now.pages) > maxPages && len(s.Pages)+len(now.pages)-len(known) > maxPages {
		return now, nil, errTooMany
	}
	return now, gone, nil
}

// below lists the pages and files of the journal at a path and below it.
func (s *Snapshot) below(p string) []string {
	if s.Has(p) {
		return []string{p}
	}
	if p != "." && s.folders[p] == 0 {
		return nil
	}
	var list []string
	under := func(name string) bool { return p == "." || strings.HasPrefix(name, p+"/") }
	for name := range s.byPath {
		if under(name) {
			list = append(list, name)
		}
	}
	for name := range s.Files {
		if under(name) {
			list = append(list, name)
		}
	}
	return list
}

// look adds what lies at a path, if a walk through the journal would come there: not by way of a link
// or of a folder that is left out.
func (l *listing) look(p string) error {
	for i, c := range p {
		if c != '/' {
			continue
		}
		if dir, err := fs.Lstat(l.fsys, p[:i]); err != nil || !dir.IsDir() || enter(p[:i], l.opt) != nil {
			return nil
		}
	}
	info, err := fs.Lstat(l.fsys, p)
	if err == nil && info.IsDir() {
		err = fs.WalkDir(l.fsys, p, l.visit)
	} else if err == nil {
		err = l.visit(p, fs.FileInfoToDirEntry(info), nil)
	}
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.SkipDir) || errors.Is(err, fs.ErrInvalid) {
		return nil
	}
	return err
}

// updating is one update, after all that it needs was read.
type updating struct {
	s     *Snapshot
	fresh []*Page          // by path
	files map[string]int64 // as they are now
	gone  []string         // pages and files

	c        Change
	swaps    []eval.Swap
	sections map[string]bool // of pages that were replaced, before and now
	kinds    map[string]bool
	pages    map[string]bool
}

// home is journal.md, if it was read again.
func (u *updating) home() *Page {
	for _, p := range u.fresh {
		if p.IsHome() {
			return p
		}
	}
	return nil
}

func (u *updating) run() Change {
	s := u.s
	u.sections, u.kinds, u.pages = map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, name := range u.gone {
		if p, ok := s.byPath[name]; ok {
			u.swap(p, nil)
			continue
		}
		delete(s.Files, name)
		s.count(name, -1)
		u.c.Files = append(u.c.Files, name)
		u.c.Listed = true
	}
	for name, size := range u.files {
		if _, known := s.Files[name]; !known {
			s.count(name, 1)
			u.c.Listed = true
		}
		s.Files[name] = size
		u.c.Files = append(u.c.Files, name)
	}
	for _, p := range u.fresh {
		u.swap(s.byPath[p.Path], p)
	}
	out := s.Program.Update(u.swaps, u.c.Files)
	for _, p := range u.fresh {
		p.linked()
	}
	for _, n := range out.Shown {
		u.pages[n.Page()] = true
	}
	used := map[string]bool{}
	for _, n := range out.Users {
		if page := n.Page(); s.byPath[page] != nil {
			used[page] = true
		}
	}
	u.c.Kept = out.Kept
	u.ledger()
	u.tell(used)
	return u.c
}

// swap puts a page in the place of another; either may be nil.
func (u *updating) swap(old, new *Page) {
	s := u.s
	var is eval.Swap
	path := ""
	before := section{}
	if old != nil {
		path, is.Old, before = old.Path, old.passage, sectionOf(old)
		u.holds(old)
	}
	after := section{}
	if new != nil {
		path = new.Path
		if new.IsHome() {
			s.settle(new)
		}
		is.New, after = s.declare(new), sectionOf(new)
		if old != nil {
			takeOver(old, new)
		}
		u.holds(new)
	}
	u.swaps = append(u.swaps, is)
	u.pages[path] = true
	u.c.Texts = append(u.c.Texts, path)
	u.c.Paged = u.c.Paged || old == nil || new == nil
	s.Pages = put(s.Pages, path, pagesOf(new), pagePath)
	s.Blocks = put(s.Blocks, path, blocksOf(new), blockPath)
	u.sort(old, new)
	switch {
	case new == nil:
		delete(s.byPath, path)
		s.count(path, -1)
	case old == nil:
		s.byPath[path] = new
		s.count(path, 1)
	default:
		s.byPath[path] = new
	}
	if before.name != after.name && before.name != "" {
		u.regroup(before.name, path, nil, true)
	}
	if after.name != "" {
		u.regroup(after.name, path, new, before != after)
	}
}

// takeOver hands what blocks gave to those that read the same on the page as it is now: prose is written
// beside blocks that take long to work out.
func takeOver(old, new *Page) {
	if old.Section() != new.Section() {
		return
	}
	was := map[string][]*Block{}
	for _, b := range old.Blocks {
		if text := b.Entry.Fence.Text(); !b.Kind.Values {
			was[text] = append(was[text], b)
		}
	}
	for _, b := range new.Blocks {
		text := b.Entry.Fence.Text()
		list := was[text]
		if len(list) == 0 || list[0].Kind != b.Kind || len(b.Found) > 0 {
			continue
		}
		from := list[0]
		was[text] = list[1:]
		b.Eval.Was = from.Eval
		*b.Out = *from.Out
		b.Out.Moved(from.Page.Doc.File, b.Page.Doc.File, b.Entry.Fence.Start-from.Entry.Fence.Start)
	}
}

// section is what a page tells of its section.
type section struct {
	name        string
	minutes     float64
	left, right bool
}

func sectionOf(p *Page) section {
	f := &p.Doc.Front
	return section{f.Section, f.Minutes, slices.Contains(f.Sides, "left"), slices.Contains(f.Sides, "right")}
}

// holds notes where a page belongs and what it holds.
func (u *updating) holds(p *Page) {
	u.sections[p.Section()] = true
	for _, b := range p.Blocks {
		u.kinds[b.Kind.Name] = true
	}
}

// sort puts the blocks of a page among those of their kinds.
func (u *updating) sort(old, new *Page) {
	kinds := map[string]bool{}
	path := ""
	for _, p := range []*Page{old, new} {
		if p == nil {
			continue
		}
		path = p.Path
		for _, b := range p.Blocks {
			kinds[b.Kind.Name] = true
		}
	}
	for kind := range kinds {
		var list []*Block
		for _, b := range blocksOf(new) {
			if b.Kind.Name == kind {
				list = append(list, b)
			}
		}
		u.s.byKind[kind] = put(u.s.byKind[kind], path, list, blockPath)
	}
}

// regroup puts a page into a section, or takes it out. A section without pages is none.
func (u *updating) regroup(name, path string, p *Page, sum bool) {
	s := u.s
	sec := s.bySection[name]
	if sec == nil {
		sec = &Section{Name: name}
		s.bySection[name] = sec
		i, _ := slices.BinarySearchFunc(s.Sections, name, func(sec *Section, name string) int { return strings.Compare(sec.Name, name) })
		s.Sections = slices.Insert(s.Sections, i, sec)
	}
	sec.Pages = put(sec.Pages, path, pagesOf(p), pagePath)
	sec.Blocks = put(sec.Blocks, path, blocksOf(p), blockPath)
	if len(sec.Pages) == 0 {
		delete(s.bySection, name)
		s.Sections = slices.DeleteFunc(s.Sections, func(other *Section) bool { return other == sec })
		return
	}
	if !sum {
		return
	}
	sides := len(sec.Sides)
	if sec.sum(); (sides == 2) != (len(sec.Sides) == 2) {
		for _, other := range sec.Pages { // their parts are counted, and they say how often the section is made
			u.pages[other.Path] = true
		}
	}
}

// ledger puts anew what changed pages give to the ledger.
func (u *updating) ledger() {
	s := u.s
	for path := range u.pages {
		var l Ledger
		if p := s.byPath[path]; p != nil {
			l = s.share(p)
		}
		s.weight += weigh(l.Rows) - weigh(s.rowsOn(path))
		s.Ledger.Rows = put(s.Ledger.Rows, path, l.Rows, func(r Row) string { return r.Block.Page.Path })
		s.Ledger.Seams = put(s.Ledger.Seams, path, l.Seams, func(j Joint) string { return j.Block.Page.Path })
	}
}

// tell makes lists of what was gathered.
func (u *updating) tell(used map[string]bool) {
	for path := range u.pages {
		if p := u.s.byPath[path]; p != nil {
			u.holds(p)
		}
	}
	slices.Sort(u.c.Texts)
	slices.Sort(u.c.Files)
	u.c.Pages = slices.Sorted(maps.Keys(u.pages))
	u.c.Used = slices.Sorted(maps.Keys(used))
	u.c.Sections = slices.Sorted(maps.Keys(u.sections))
	u.c.Kinds = slices.Sorted(maps.Keys(u.kinds))
}

func pagePath(p *Page) string   { return p.Path }
func blockPath(b *Block) string { return b.Page.Path }

func pagesOf(p *Page) []*Page {
	if p == nil {
		return nil
	}
	return []*Page{p}
}

func blocksOf(p *Page) []*Block {
	if p == nil {
		return nil
	}
	return p.Blocks
}

// PutBlocks replaces a page's blocks in a list that is in the order of pages; before is how many it had.
func PutBlocks(list []*Block, path string, with []*Block) (now []*Block, before int) {
	n := len(list)
	now = put(list, path, with, blockPath)
	return now, n + len(with) - len(now)
}

// put replaces what a page has in a list that is sorted by pages.
func put[T any](list []T, path string, with []T, of func(T) string) []T {
	from := sort.Search(len(list), func(i int) bool { return of(list[i]) >= path })
	to := from
	for to < len(list) && of(list[to]) == path {
		to++
	}
	return slices.Replace(list, from, to, with...)
}

// count notes that a file lies in its folders, or no longer does.
func (s *Snapshot) count(name string, by int) {
	for i, c := range name {
		if c == '/' {
			if s.folders[name[:i]] += by; s.folders[name[:i]] == 0 {
				delete(s.folders, name[:i])
			}
		}
	}
}

func (s *Snapshot) countFolders() {
	s.folders = map[string]int{}
	for _, p := range s.Pages {
		s.count(p.Path, 1)
	}
	for name := range s.Files {
		s.count(name, 1)
	}
}
