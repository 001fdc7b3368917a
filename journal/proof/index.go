package proof

import (
	"maps"
	"slices"

	"bevelbook/journal"
)

// index knows which pages name other pages and files, so that they are checked again when those come, go
// or change the places that links lead to.
type index struct {
	names   map[string][]string        // by page: what it names
	namers  map[string]map[string]bool // by what is named: the pages
	missing map[string]bool            // pages that name something which is not there
	places  map[string][]string        // by page: the places on it that links can name
}

func newIndex() index {
	return index{map[string][]string{}, map[string]map[string]bool{}, map[string]bool{}, map[string][]string{}}
}

// put notes what a page names.
func (x *index) put(p *journal.Page) {
	var names []string
	note := func(target string) {
		if t := p.Resolve(target); !t.Outside && !t.Escapes && t.Path != "" && !slices.Contains(names, t.Path) {
			names = append(names, t.Path)
		}
	}
	for _, i := range p.Doc.Images {
		note(i.Target)
	}
	for _, l := range p.Doc.Links {
		note(l.Target)
	}
	if cover := p.Doc.Front.Cover; cover != "" && !slices.Contains(names, cover) {
		names = append(names, cover)
	}
	for _, name := range names {
		if x.namers[name] == nil {
			x.namers[name] = map[string]bool{}
		}
		x.namers[name][p.Path] = true
	}
	if len(names) > 0 {
		x.names[p.Path] = names
	}
	x.places[p.Path] = places(p)
}

// remove forgets a page.
func (x *index) remove(path string) {
	for _, name := range x.names[path] {
		if delete(x.namers[name], path); len(x.namers[name]) == 0 {
			delete(x.namers, name)
		}
	}
	delete(x.names, path)
	delete(x.places, path)
	delete(x.missing, path)
}

// touched lists the pages whose links and pictures are to be looked at again after a change.
func (x *index) touched(s *journal.Snapshot, c journal.Change) []string {
	list := map[string]bool{}
	namers := func(path string) {
		for page := range x.namers[path] {
			list[page] = true
		}
	}
	for _, path := range c.Texts {
		list[path] = true
		was, known := x.places[path]
		p, there := s.Page(path)
		if x.remove(path); there {
			x.put(p)
		}
		if known != there || !slices.Equal(was, x.places[path]) {
			namers(path)
		}
	}
	if c.Listed {
		for _, path := range c.Files {
			namers(path)
		}
	}
	if c.Listed || c.Paged { // what is not there is told with the nearest name
		for page := range x.missing {
			list[page] = true
		}
	}
	return slices.Sorted(maps.Keys(list))
}

// places are the names on a page that links can lead to.
func places(p *journal.Page) []string {
	var list []string
	for _, h := range p.Doc.Headings {
		list = append(list, h.ID)
	}
	for _, b := range p.Blocks {
		list = append(list, b.Anchor())
	}
	return list
}
