package site

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sort"
	"strings"
	"sync"

	"bevelbook/journal"
	"bevelbook/render/page"
	"bevelbook/render/template"
)

// item is what stands at a path of the site.
type item struct {
	draw    func(*press) error
	page    string // a page of the journal, by its path there
	section string // the page of a section
	group   *group // a template: a row, or with row -1 a print
	row     int
	set     int
}

// index tells what stands at each path, published files apart: their names are known when they are made.
func (p *plan) index() map[string]item {
	index := map[string]item{
		partsPath: {draw: (*press).parts}, partsJSONPath: {draw: (*press).partsData}, partsCSVPath: {draw: (*press).partsData},
		searchPath: {draw: (*press).search}, indexPath: {draw: (*press).searchIndex}, homePath: {draw: (*press).home},
		logPath: {draw: (*press).log}, materialsPath: {draw: (*press).materials}, lostPath: {draw: (*press).lost},
	}
	for i, path := range []string{stylePath, scriptPath, iconPath} {
		index[path] = item{draw: func(p *press) error { return p.assets()[i]() }}
	}
	if !p.share {
		index[findingsPath] = item{draw: (*press).findings}
	}
	if p.hasFeed() {
		index[feedPath] = item{draw: (*press).feed}
	}
	for _, list := range [][]*journal.Page{p.entries, p.others} {
		for _, pg := range list {
			index[p.book.Pages[pg.Path]] = item{page: pg.Path}
		}
	}
	for name, path := range p.book.Sections {
		index[path] = item{section: name}
	}
	for _, g := range p.groups {
		for i, path := range g.paths {
			index[path] = item{group: g, row: i}
		}
		for i, set := range g.sets {
			index[set.path] = item{group: g, row: -1, set: i}
		}
	}
	return index
}

// draw draws what stands at a path.
func (s *State) draw(p *press, path string) error {
	missing := &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	it, ok := s.index[path]
	switch {
	case !ok:
		return s.copies.make(s, p, path)
	case it.draw != nil:
		return it.draw(p)
	case it.section != "":
		sec, ok := s.snap.Section(it.section)
		if !ok {
			return missing
		}
		return p.section(sec)
	case it.group != nil && it.row >= 0:
		return p.sheet(it.group, it.row, p.fullSize(it.group, it.row))
	}
	pg, ok := s.snap.Page(it.page)
	if !ok {
		return missing
	}
	if !pg.Dated() {
		return p.plain(pg)
	}
	i, ok := p.entryAt(pg)
	if !ok {
		return missing
	}
	return p.entry(i)
}

// entryAt finds an entry among the others.
func (p *plan) entryAt(pg *journal.Page) (int, bool) {
	return slices.BinarySearchFunc(p.entries, pg, byDate)
}

// replace puts a page that was read again in the place of what it was, and gives the pages that name it.
func (p *plan) replace(pg *journal.Page) (neighbours []*journal.Page) {
	if !pg.Dated() {
		if i, ok := slices.BinarySearchFunc(p.others, pg.Path, func(q *journal.Page, path string) int { return strings.Compare(q.Path, path) }); ok {
			p.others[i] = pg
		}
		return nil
	}
	i, ok := p.entryAt(pg)
	if !ok {
		return nil
	}
	was := p.entries[i]
	if p.entries[i] = pg; was.Title() == pg.Title() {
		return nil
	}
	if i > 0 {
		neighbours = append(neighbours, p.entries[i-1])
	}
	if i+1 < len(p.entries) {
		neighbours = append(neighbours, p.entries[i+1])
	}
	return neighbours
}

// looks is what the plan depends on of a page: where it stands, which files it refers to, and how its
// parts are called. As long as that stays, everything keeps its place.
func (p *plan) looks(pg *journal.Page) string {
	var b strings.Builder
	f := &pg.Doc.Front
	fmt.Fprintf(&b, "%v %s %s", f.Share, f.Date, f.Section)
	if !p.book.Shown(pg) {
		return b.String()
	}
	uses := map[string]use{}
	p.usesOf(pg, uses)
	for _, name := range slices.Sorted(maps.Keys(uses)) {
		fmt.Fprintf(&b, "\n%s %v", name, uses[name].thumb)
	}
	for _, r := range p.shownRows(pg) {
		fmt.Fprintf(&b, "\n%s %s %s", r.ID(), r.Hand, r.Part.Layer)
	}
	return b.String()
}

// shownRows are the rows of a page that the site shows.
func (p *plan) shownRows(pg *journal.Page) []journal.Row {
	var list []journal.Row
	for _, r := range p.Rows(pg) {
		if !p.book.Withheld(r.Block) {
			list = append(list, r)
		}
	}
	return list
}

// rowsOf finds the rows of a page in its group, nil if it has none there.
func (p *plan) rowsOf(pg *journal.Page) (*group, int) {
	g := p.groupOf[pg.Section()]
	if g == nil {
		return nil, 0
	}
	i := sort.Search(len(g.rows), func(i int) bool { return g.rows[i].Block.Page.Path >= pg.Path })
	if i == len(g.rows) || g.rows[i].Block.Page.Path != pg.Path {
		return nil, 0
	}
	return g, i
}

// lists tells whether a page holds a table that is drawn from the whole journal.
func lists(p *journal.Page) bool {
	return slices.ContainsFunc(p.Blocks, func(b *journal.Block) bool { return b.Out.Listing != nil || b.Out.Sheets != nil })
}

// offer are the templates of a block's parts.
func (s *State) offer(blk *journal.Block) []page.Template {
	g, i := s.plan.rowsOf(blk.Page)
	if g == nil {
		return nil
	}
	for i < len(g.rows) && g.rows[i].Block.Page == blk.Page && g.rows[i].Block != blk {
		i++
	}
	if i == len(g.rows) || g.rows[i].Block != blk {
		return nil
	}
	var sets []set
	for k, set := range g.sets {
		set.absent = s.absent(g, k)
		sets = append(sets, set)
	}
	with := group{rows: g.rows, paths: g.paths, sets: sets}
	return with.offers(i, g.behind(i))
}

// uncounted and unprintable stand in the place of a row's sheets.
const (
	uncounted   = -1
	unprintable = -2
)

// counting guards the counts of all groups: pages are drawn side by side.
var counting sync.Mutex

// absent tells whether a group cannot be printed on a paper. A print that fails for another reason, which
// none is known to do, is missed when it is asked for.
func (s *State) absent(g *group, set int) bool {
	counting.Lock()
	defer counting.Unlock()
	if g.counts == nil {
		g.counts = make([][]int, len(g.sets))
		for k := range g.counts {
			g.counts[k] = make([]int, len(g.rows))
			for i := range g.rows {
				g.counts[k][i] = uncounted
			}
		}
	}
	sum := 0
	for i := range g.rows {
		n := g.counts[set][i]
		if n == uncounted {
			s.countSheets(g, i)
			n = g.counts[set][i]
		}
		if n == unprintable {
			return true
		}
		sum += n
	}
	return sum > template.MostSheets
}

func (s *State) countSheets(g *group, i int) {
	d := s.plan.fullSize(g, i)
	for k := range g.sets {
		n, err := template.Sheets(d, g.sets[k].paper)
		if err != nil {
			n = unprintable
		}
		g.counts[k][i] = n
	}
}
