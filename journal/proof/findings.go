package proof

import (
	"iter"
	"maps"
	"reflect"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/journal"
)

// Findings are all findings of a snapshot, kept up to date with it: each check is made again where
// what it looks at has changed, and what it found elsewhere is kept.
type Findings struct {
	snap *journal.Snapshot
	shop *shop

	sheets  map[string]*sheet         // by page; "" for findings that are nowhere
	places  map[task]map[string]bool  // the pages on which a task found something
	looked  map[task][]*journal.Block // the blocks that a check of sections looks at
	had     []map[string]bool         // by check: the pages with blocks that it looks at
	index   index
	accepts acceptances

	redo  map[task]bool
	dirty map[string]bool // sheets to be put together again
}

// task is one check made at one place: a page, a section, or "" for the whole build.
type task struct {
	check int // in All
	where string
}

// sheet is what is found on one page.
type sheet struct {
	language []finding.Finding
	by       map[task][]finding.Finding
	all      []finding.Finding // together, the accepted ones marked, sorted
}

// Follow works through all findings of a snapshot, and keeps them up to date from then on.
func Follow(s *journal.Snapshot) *Findings {
	f := &Findings{snap: s}
	f.Update(journal.Change{All: true})
	return f
}

// Update brings the findings up to date after the snapshot was. It gives the paths of the pages whose
// findings are others now, sorted; all tells that any may be.
func (f *Findings) Update(c journal.Change) (pages []string, all bool) {
	f.redo, f.dirty = map[task]bool{}, map[string]bool{}
	if c.All {
		f.begin()
	} else {
		f.follow(c)
	}
	for _, u := range sortedTasks(f.redo) {
		f.make(u)
	}
	for len(f.dirty) > 0 { // an acceptance that meets something, or no longer does, is told on its own page
		dirty := f.dirty
		f.dirty = map[string]bool{}
		for _, path := range slices.Sorted(maps.Keys(dirty)) {
			if f.gather(path) {
				pages = append(pages, path)
			}
		}
	}
	slices.Sort(pages)
	return slices.Compact(pages), c.All
}

// begin has every check made.
func (f *Findings) begin() {
	f.sheets, f.places, f.looked = map[string]*sheet{"": {}}, map[task]map[string]bool{}, map[task][]*journal.Block{}
	f.had = make([]map[string]bool, len(All))
	f.index, f.accepts = newIndex(), newAcceptances()
	f.shop = shopOf(f.snap)
	for _, p := range f.snap.Pages {
		f.sheets[p.Path] = &sheet{language: p.Language()}
		f.dirty[p.Path] = true
		f.index.put(p)
		f.accepts.put(p)
	}
	f.dirty[""] = true
	for i := range All {
		c := &All[i]
		if c.looks != nil {
			f.had[i] = map[string]bool{}
			for _, p := range f.snap.Pages {
				if slices.ContainsFunc(p.Blocks, c.looks) {
					f.had[i][p.Path] = true
				}
			}
		}
		switch {
		case c.block != nil || c.page != nil:
			for _, p := range f.snap.Pages {
				f.make(task{i, p.Path})
			}
		case c.section != nil:
			for sec := range f.spaces() {
				u := task{i, sec.Name}
				for _, b := range sec.Blocks {
					if c.looks(b) {
						f.looked[u] = append(f.looked[u], b)
					}
				}
				f.make(u)
			}
		case c.build != nil:
			f.make(task{i, ""})
		}
	}
}

// follow has made again what a change touches.
func (f *Findings) follow(c journal.Change) {
	if c.Empty() {
		return
	}
	shop := f.shop.changed(f.snap, c)
	touched := make([]bool, len(All))
	for i := range All {
		touched[i] = f.seen(i, c)
	}
	for _, path := range c.Pages {
		p, there := f.snap.Page(path)
		if !there {
			f.remove(path)
			continue
		}
		if f.sheets[path] == nil {
			f.sheets[path] = &sheet{}
		}
		f.sheets[path].language = p.Language()
		f.dirty[path] = true
	}
	for _, path := range slices.Concat(c.Pages, c.Used) {
		f.again(path, func(c *Check) bool { return c.block != nil })
	}
	for i := range All {
		if c := &All[i]; c.block != nil && slices.ContainsFunc(c.reads, func(kind string) bool { return shop[kind] }) {
			for path := range f.had[i] {
				f.redo[task{i, path}] = true
			}
		}
	}
	for _, path := range f.index.touched(f.snap, c) {
		delete(f.index.missing, path)
		f.again(path, func(c *Check) bool { return c.page != nil })
	}
	for i := range All {
		switch {
		case All[i].section != nil:
			f.sections(i, c)
		case All[i].build != nil && touched[i]:
			f.redo[task{i, ""}] = true
		}
	}
	for _, path := range c.Texts {
		p, _ := f.snap.Page(path)
		for _, touched := range f.accepts.replace(path, p) {
			f.dirty[touched] = true
		}
	}
}

// again has the checks of one page made again.
func (f *Findings) again(path string, which func(*Check) bool) {
	if path == "" || f.sheets[path] == nil {
		return
	}
	for i := range All {
		if which(&All[i]) {
			f.redo[task{i, path}] = true
		}
	}
}

// sections has a check of sections made again where the blocks that it looks at, or the sides of the
// section, have changed.
func (f *Findings) sections(i int, c journal.Change) {
	check := &All[i]
	put := func(name, path string) {
		u := task{i, name}
		var with []*journal.Block
		if p, ok := f.snap.Page(path); ok && p.Section() == name {
			for _, b := range p.Blocks {
				if check.looks(b) {
					with = append(with, b)
				}
			}
		}
		list, before := journal.PutBlocks(f.looked[u], path, with)
		if f.looked[u] = list; len(list) == 0 {
			delete(f.looked, u)
		}
		if before+len(with) > 0 {
			f.redo[u] = true
		}
	}
	for _, path := range c.Pages {
		if p, ok := f.snap.Page(path); ok {
			put(p.Section(), path)
		}
	}
	for _, path := range c.Texts { // they may have stood in another section
		for _, name := range c.Sections {
			if p, ok := f.snap.Page(path); !ok || p.Section() != name {
				put(name, path)
			}
		}
	}
}

// seen tells whether a check looks at a block of the changed pages, as they were or are.
func (f *Findings) seen(i int, c journal.Change) bool {
	check := &All[i]
	if check.looks == nil {
		return true
	}
	seen := false
	for _, path := range c.Pages {
		has := false
		if p, ok := f.snap.Page(path); ok {
			has = slices.ContainsFunc(p.Blocks, check.looks)
		}
		if seen = seen || has || f.had[i][path]; has {
			f.had[i][path] = true
		} else {
			delete(f.had[i], path)
		}
	}
	return seen
}

// own is the journal's own space as a section.
func (f *Findings) own() *journal.Section { return &journal.Section{} }

// spaces goes through the sections and the journal's own space, with their blocks.
func (f *Findings) spaces() iter.Seq[*journal.Section] {
	return func(yield func(*journal.Section) bool) {
		own := f.own()
		for _, p := range f.snap.Pages {
			if p.Section() == "" {
				own.Pages, own.Blocks = append(own.Pages, p), append(own.Blocks, p.Blocks...)
			}
		}
		for _, sec := range append([]*journal.Section{own}, f.snap.Sections...) {
			if !yield(sec) {
				return
			}
		}
	}
}

// remove takes a page out.
func (f *Findings) remove(path string) {
	for i := range All {
		if All[i].block != nil || All[i].page != nil {
			f.clear(task{i, path})
		}
	}
	if sh := f.sheets[path]; sh != nil {
		f.accepts.met(path, nil)
		delete(f.sheets, path)
	}
	f.dirty[path] = true
}

// clear takes away what a task found.
func (f *Findings) clear(u task) {
	for path := range f.places[u] {
		if sh := f.sheets[path]; sh != nil {
			delete(sh.by, u)
			f.dirty[path] = true
		}
	}
	delete(f.places, u)
}

// make does a task.
func (f *Findings) make(u task) {
	f.clear(u)
	c := &All[u.check]
	r := &report{Snapshot: f.snap, shop: f.shop, check: c}
	switch {
	case c.build != nil:
		c.build(r)
	case c.section != nil:
		sec, ok := f.snap.Section(u.where)
		if u.where == "" {
			sec = f.own()
		} else if !ok {
			return
		}
		c.section(r, sec, f.looked[u])
	default:
		p, ok := f.snap.Page(u.where)
		if !ok {
			return
		}
		if c.page != nil {
			if c.page(r, p); len(r.found) > 0 {
				f.index.missing[p.Path] = true
			}
			break
		}
		for _, b := range p.Blocks {
			c.block(r, b)
		}
	}
	for _, g := range r.found {
		path := ""
		if g.At.File != nil {
			path = g.At.File.Name
		}
		sh := f.sheets[path]
		if sh == nil {
			continue // of a page that is gone
		}
		if sh.by == nil {
			sh.by = map[task][]finding.Finding{}
		}
		sh.by[u] = append(sh.by[u], g)
		if f.places[u] == nil {
			f.places[u] = map[string]bool{}
		}
		f.places[u][path] = true
		f.dirty[path] = true
	}
}

// gather puts together what is found on a page, and tells whether that is something else than before.
func (f *Findings) gather(path string) bool {
	sh := f.sheets[path]
	if sh == nil {
		return true
	}
	var list []finding.Finding
	list = append(list, sh.language...)
	for _, u := range sortedTasks(sh.by) {
		list = append(list, sh.by[u]...)
	}
	for _, turned := range f.accepts.met(path, f.accepts.mark(path, list)) {
		f.dirty[turned] = true
	}
	delete(f.dirty, path)
	list = append(list, f.accepts.idle(path)...)
	finding.Sort(list)
	was := sh.all
	sh.all = list
	return !sameFindings(was, list)
}

func sameFindings(a, b []finding.Finding) bool {
	return slices.EqualFunc(a, b, func(f, g finding.Finding) bool { return f.At == g.At && reflect.DeepEqual(f, g) })
}

// All lists the findings as Run does: the accepted ones marked, sorted by place.
func (f *Findings) All() []finding.Finding {
	var list []finding.Finding
	list = append(list, f.On("")...)
	for _, p := range f.snap.Pages {
		list = append(list, f.On(p.Path)...)
	}
	return list
}

// On lists those on one page; "" for those that are nowhere.
func (f *Findings) On(path string) []finding.Finding {
	if sh := f.sheets[path]; sh != nil {
		return sh.all
	}
	return nil
}

// Naming lists the pages whose links and pictures name a page or file.
func (f *Findings) Naming(name string) []string {
	return slices.Sorted(maps.Keys(f.index.namers[name]))
}

func sortedTasks[T any](set map[task]T) []task {
	list := make([]task, 0, len(set))
	for u := range set {
		list = append(list, u)
	}
	slices.SortFunc(list, func(a, b task) int {
		if a.check != b.check {
			return a.check - b.check
		}
		if a.where < b.where {
			return -1
		}
		return 1
	})
	return list
}

// shop is what checks of blocks hold them against, whatever page it stands on.
type shop struct {
	saws    []saw
	kept    []keptMeasure
	records []shopRecord
}

// shopRecord is a block of the shop as the checks read it.
type shopRecord struct {
	kind, section, name string
	private             bool
	record              *eval.Record
}

// shopKinds are the kinds of block that checks of other blocks read.
var shopKinds = []string{"limits", "material", "tool", "wearer"}

func shopOf(s *journal.Snapshot) *shop {
	sh := &shop{}
	sh.read(s)
	return sh
}

func (sh *shop) read(s *journal.Snapshot) {
	sh.saws, sh.kept, sh.records = saws(s), keptMeasures(s), nil
	for _, kind := range shopKinds {
		for _, b := range s.OfKind(kind) {
			sh.records = append(sh.records, shopRecord{kind, b.Page.Section(), b.Eval.Name, b.Private(), b.Record()})
		}
	}
}

// changed reads the shop again if a change can have touched it, and tells which kinds in it have.
func (sh *shop) changed(s *journal.Snapshot, c journal.Change) map[string]bool {
	kinds := map[string]bool{}
	if !slices.ContainsFunc(shopKinds, func(kind string) bool { return slices.Contains(c.Kinds, kind) }) {
		return kinds
	}
	was := sh.records
	sh.read(s)
	of := func(list []shopRecord, kind string) []shopRecord {
		from := slices.IndexFunc(list, func(r shopRecord) bool { return r.kind == kind })
		if from < 0 {
			return nil
		}
		to := from
		for to < len(list) && list[to].kind == kind {
			to++
		}
		return list[from:to]
	}
	for _, kind := range shopKinds {
		kinds[kind] = !slices.EqualFunc(of(was, kind), of(sh.records, kind), func(a, b shopRecord) bool {
			return a.section == b.section && a.name == b.name && a.private == b.private && eval.Same(a.record, b.record)
		})
	}
	return kinds
}
