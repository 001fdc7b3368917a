package proof

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/spell"
	"bevelbook/journal"
	"bevelbook/journal/entry"
)

// acceptances are those of all entries. An entry accepts findings by name with a reason, and speaks for
// its own page and for its section. An acceptance that meets no finding is reported, since it would hide
// the next one. Faults of the language cannot be accepted: nothing is worked out behind them.
type acceptances struct {
	by    map[string]*accepts             // by page
	near  map[reach]map[*accepts]bool     // pages that accept a finding of this name, by what they speak for
	marks map[string]map[*acceptance]bool // what was met on a page
	found map[string]map[string]bool      // pages with findings of a name
	names map[string][]string             // names of what is found on a page
}

// accepts are the acceptances of one page.
type accepts struct {
	page *journal.Page
	list []*acceptance
}

// acceptance is one of them, and how many pages hold a finding that it meets.
type acceptance struct {
	entry.Accept
	of  *accepts
	met int
}

// reach is a name of findings and what an acceptance of it speaks for: a page, a section, or a part by
// its whole name.
type reach struct{ name, what, of string }

func newAcceptances() acceptances {
	return acceptances{map[string]*accepts{}, map[reach]map[*accepts]bool{}, map[string]map[*acceptance]bool{}, map[string]map[string]bool{}, map[string][]string{}}
}

// reaches lists where a page's acceptance can meet findings.
func (a *acceptance) reaches() []reach {
	list := []reach{{a.Finding, "page", a.of.page.Path}}
	if s := a.of.page.Section(); s != "" {
		list = append(list, reach{a.Finding, "section", s})
	}
	if a.Part != "" {
		list = append(list, reach{a.Finding, "part", a.Part})
	}
	return list
}

func (x *acceptances) put(p *journal.Page) {
	if len(p.Doc.Front.Accept) == 0 {
		return
	}
	of := &accepts{page: p}
	x.by[p.Path] = of
	for _, e := range p.Doc.Front.Accept {
		a := &acceptance{Accept: e, of: of}
		of.list = append(of.list, a)
		for _, r := range a.reaches() {
			if x.near[r] == nil {
				x.near[r] = map[*accepts]bool{}
			}
			x.near[r][of] = true
		}
	}
}

// replace puts what a page accepts in the place of what it accepted before; p is nil for a page that is
// gone. It gives the pages on which that can make a difference.
func (x *acceptances) replace(path string, p *journal.Page) []string {
	was := x.by[path]
	if was == nil && (p == nil || len(p.Doc.Front.Accept) == 0) {
		return nil
	}
	if was != nil && p != nil && was.page.Section() == p.Section() && slices.EqualFunc(was.list, p.Doc.Front.Accept, func(a *acceptance, e entry.Accept) bool {
		return a.Finding == e.Finding && a.Part == e.Part && a.Reason == e.Reason
	}) {
		was.page = p
		for i, a := range was.list {
			a.Accept = p.Doc.Front.Accept[i] // its place
		}
		return nil
	}
	touched := map[string]bool{path: true}
	if was != nil {
		for _, a := range was.list {
			for _, r := range a.reaches() {
				if delete(x.near[r], was); len(x.near[r]) == 0 {
					delete(x.near, r)
				}
			}
			for page := range x.found[a.Finding] {
				if x.marks[page][a] {
					touched[page] = true
				}
			}
		}
		delete(x.by, path)
	}
	if p != nil {
		x.put(p)
	}
	if is := x.by[path]; is != nil {
		for _, a := range is.list {
			for page := range x.found[a.Finding] {
				touched[page] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(touched))
}

// mark marks the findings of a page that are accepted, and gives the acceptances that meet one. Of several
// the last in the order of pages gives its reason.
func (x *acceptances) mark(path string, list []finding.Finding) map[*acceptance]bool {
	x.name(path, list)
	var met map[*acceptance]bool
	for i := range list {
		f := &list[i]
		var near []*accepts
		whole := f.Section + "." + f.Part
		for _, r := range []reach{{f.Name, "page", path}, {f.Name, "section", f.Section}, {f.Name, "part", whole}} {
			for of := range x.near[r] {
				if !slices.Contains(near, of) {
					near = append(near, of)
				}
			}
		}
		slices.SortFunc(near, func(a, b *accepts) int { return strings.Compare(a.page.Path, b.page.Path) })
		for _, of := range near {
			for _, a := range of.list {
				if a.meets(f, path) {
					f.Accepted = a.Reason
					if met == nil {
						met = map[*acceptance]bool{}
					}
					met[a] = true
				}
			}
		}
	}
	return met
}

// meets tells whether an acceptance speaks of a finding on a page.
func (a *acceptance) meets(f *finding.Finding, path string) bool {
	whole := f.Section + "." + f.Part
	if f.Name != a.Finding || !acceptable(f.Name) || a.Part != "" && a.Part != f.Part && a.Part != whole {
		return false
	}
	p := a.of.page
	return path == p.Path || f.Section != "" && f.Section == p.Section() || a.Part != "" && a.Part == whole
}

// name notes what is found on a page.
func (x *acceptances) name(path string, list []finding.Finding) {
	for _, name := range x.names[path] {
		if delete(x.found[name], path); len(x.found[name]) == 0 {
			delete(x.found, name)
		}
	}
	var names []string
	for i := range list {
		name := list[i].Name
		if slices.Contains(names, name) || !acceptable(name) {
			continue
		}
		names = append(names, name)
		if x.found[name] == nil {
			x.found[name] = map[string]bool{}
		}
		x.found[name][path] = true
	}
	if x.names[path] = names; names == nil {
		delete(x.names, path)
	}
}

// met notes which acceptances meet findings of a page, and gives the pages of those that begin to meet
// something or no longer do.
func (x *acceptances) met(path string, now map[*acceptance]bool) (turned []string) {
	was := x.marks[path]
	for a := range now {
		if !was[a] {
			if a.met++; a.met == 1 {
				turned = append(turned, a.of.page.Path)
			}
		}
	}
	for a := range was {
		if !now[a] {
			if a.met--; a.met == 0 {
				turned = append(turned, a.of.page.Path)
			}
		}
	}
	if x.marks[path] = now; now == nil {
		delete(x.marks, path)
	}
	return turned
}

// idle are the findings of a page's acceptances that meet nothing.
func (x *acceptances) idle(path string) []finding.Finding {
	of := x.by[path]
	if of == nil {
		return nil
	}
	var list []finding.Finding
	for _, a := range of.list {
		if a.met == 0 {
			list = append(list, idleAcceptance(of.page, a.Accept))
		}
	}
	return list
}

// idleAcceptance tells why an acceptance meets no finding.
func idleAcceptance(p *journal.Page, a entry.Accept) finding.Finding {
	f := finding.Finding{
		Name: unused.Name, Severity: finding.Note, At: a.At, Section: p.Section(), Part: a.Part,
		Message: fmt.Sprintf("%s is accepted here, and nothing like it is found", a.Finding),
		Help:    "Take the line out, or check the names",
	}
	if !acceptable(a.Finding) {
		f.Message = fmt.Sprintf("%s is accepted here, and no check has that name", a.Finding)
		if near := spell.Nearest(a.Finding, acceptables()); near != "" {
			f.Help = "Did you mean " + near + "?"
		}
	}
	return f
}

// acceptable tells whether a finding of this name can be accepted.
func acceptable(name string) bool { return slices.Contains(acceptables(), name) }

// acceptables are the names of the checks, and of the findings that do not stop a block from being
// worked out.
func acceptables() []string {
	names := []string{kind.MeasureUnlikely, kind.OwnMeasure, kind.OffPart, journal.UnknownKind}
	for _, c := range All {
		names = append(names, c.Name)
	}
	return names
}
