package desk

import (
	"cmp"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strings"

	"bevelbook/journal"
	"bevelbook/journal/proof"
	"bevelbook/render/page"
)

// strip is the author's strip as the page at one path shows it.
type strip struct {
	errors, html string // above the page, beside it
	mark         string // of both
	words        string // what is read out when it changes
}

// stripView is the data of a theme's template "desk".
type stripView struct {
	Fault   string // why the journal cannot be read at present
	Polling string // why it is not watched but looked through
	Errors  []item // what could not be worked out, those of this page first
	More    int    // errors that are not shown
	Counts  []tally
	Groups  []group
	Clean   bool // there is nothing to mend
	Hands   []hands
	Kept    int // findings on pages that are kept at home, which are not shown here
}

// item is one finding, with the way to its place.
type item struct {
	Severity, Name, Message, Help, Place, Href string
	Here                                       bool // on the page that is open
}

// group holds the findings of one severity.
type group struct {
	Severity, Title string
	Items           []item
	More            int // that the page of findings lists
}

type tally struct {
	Severity string
	Count    int
}

// hands counts the pieces of one section by hand.
type hands struct {
	Section            string
	Left, Right, Other int
	Uneven             bool // left and right are not as many
}

// The most that the strip lists.
const (
	mostErrors = 4
	mostItems  = 40
)

var groupTitles = []struct{ severity, title string }{
	{"stop", "Stop: do not cut"}, {"mind", "Mind: look before you cut"}, {"note", "Note: worth knowing"},
}

// notes are what the strips of all pages are made of, gathered once after each change.
type notes struct {
	found []page.Finding
	hands []hands
}

// gather reads findings and hands from the journal. The findings are those of the author's copy of
// the site: a message that would spell a private measurement does not, and so nothing of the wearer
// goes further over the network than the site itself does.
func (b *book) gather() *notes {
	n := &notes{found: b.Findings()}
	by := map[string]*hands{}
	b.Read(func(s *journal.Snapshot, _ *proof.Findings) {
		for _, r := range s.Ledger.Rows {
			h := by[r.Part.Section]
			if h == nil {
				h = &hands{Section: cmp.Or(page.SectionTitle(r.Part.Section), "The build")}
				by[r.Part.Section] = h
			}
			switch r.Hand {
			case "left":
				h.Left += r.Count
			case "right":
				h.Right += r.Count
			default:
				h.Other += r.Count
			}
		}
	})
	for _, name := range slices.Sorted(maps.Keys(by)) {
		h := by[name]
		h.Uneven = h.Left != h.Right
		n.hands = append(n.hands, *h)
	}
	return n
}

// isError tells whether a finding says that something could not be worked out: one of the language,
// not of a check.
func isError(f page.Finding) bool {
	return f.Severity == "stop" && f.Accepted == "" &&
		!slices.ContainsFunc(proof.All, func(c proof.Check) bool { return c.Name == f.Name })
}

// strip draws the strip for the page at a path.
func (d *Desk) strip(at string) *strip {
	if d.notes == nil {
		d.notes = d.book.gather()
	}
	v := &stripView{Fault: cmp.Or(d.fault, d.slip), Polling: d.polling, Hands: d.notes.hands}
	by := map[string][]item{}
	for _, f := range d.notes.found {
		if f.Accepted != "" {
			continue
		}
		if f.Href == "" && d.lan {
			v.Kept++ // its page is not in the site: it stays on the maker's own screen
			continue
		}
		it := item{Severity: f.Severity, Name: f.Name, Message: f.Message, Help: f.Help, Place: f.Place}
		if f.Href != "" {
			it.Href = "/" + f.Href
			to, _, _ := strings.Cut(f.Href, "#")
			it.Here = to == page.Href("", at) || to == "" && at == "index.html"
		}
		by[f.Severity] = append(by[f.Severity], it)
		if isError(f) {
			v.Errors = append(v.Errors, it)
		}
	}
	first := func(list []item, most int) ([]item, int) {
		slices.SortStableFunc(list, func(a, b item) int { return order(b.Here) - order(a.Here) })
		return list[:min(len(list), most)], max(0, len(list)-most)
	}
	words := []string{}
	v.Errors, v.More = first(v.Errors, mostErrors)
	for _, t := range groupTitles {
		n := len(by[t.severity])
		v.Counts = append(v.Counts, tally{t.severity, n})
		words = append(words, fmt.Sprintf("%d %s", n, t.severity))
		if n > 0 {
			g := group{Severity: t.severity, Title: t.title}
			g.Items, g.More = first(by[t.severity], mostItems)
			v.Groups = append(v.Groups, g)
		}
	}
	v.Clean = len(v.Groups) == 0 && v.Kept == 0
	st := &strip{errors: d.drawn("desk-errors", v), html: d.drawn("desk", v), words: strings.Join(words, ", ")}
	st.mark = markOf([]byte(st.errors + st.html))
	if v.Fault != "" {
		st.words = v.Fault
	} else if len(v.Errors) > 0 {
		st.words = "Not worked out: " + v.Errors[0].Place + ". " + st.words
	}
	return st
}

func (d *Desk) drawn(name string, v *stripView) string {
	var b strings.Builder
	if err := d.look.Pages.ExecuteTemplate(&b, name, v); err != nil {
		return `<aside id="` + name + `">` + template.HTMLEscapeString(err.Error()) + `</aside>`
	}
	return b.String()
}

func order(b bool) int {
	if b {
		return 1
	}
	return 0
}
