package site

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"

	"bevelbook/journal"
	"bevelbook/render/page"
)

// pages are the jobs that draw the journal's own pages, and gather what others tell of them.
func (p *press) pages() []job {
	var jobs []job
	for i, pg := range p.entries {
		jobs = append(jobs, func() error {
			p.words(pg)
			return p.entry(i)
		})
	}
	for _, pg := range p.others {
		jobs = append(jobs, func() error {
			p.words(pg)
			return p.plain(pg)
		})
	}
	return jobs
}

// digest is what lists and the search tell of a page.
func (p *plan) digest(pg *journal.Page) *digest {
	p.mu.Lock()
	defer p.mu.Unlock()
	d := p.digests[pg.Path]
	if d == nil {
		d = &digest{}
		p.digests[pg.Path] = d
	}
	return d
}

// forget has a page told anew.
func (p *plan) forget(path string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.digests, path)
}

// renew has all pages told anew.
func (p *plan) renew() {
	p.mu.Lock()
	defer p.mu.Unlock()
	clear(p.digests)
}

// words are a page's text for the search.
func (p *plan) words(pg *journal.Page) string {
	d := p.digest(pg)
	d.read.Do(func() { d.words = p.book.Words(pg) })
	return d.words
}

// told is a page in one line, as seen from the root.
func (p *plan) told(pg *journal.Page) page.Line {
	d := p.digest(pg)
	d.told.Do(func() {
		f := &pg.Doc.Front
		d.line = page.Line{
			Title: pg.Title(), Href: p.book.Pages[pg.Path], Summary: p.book.Summary(pg),
			Date: page.Date(f.Date), ISO: f.Date, Section: page.SectionTitle(pg.Section()),
		}
		if f.Minutes > 0 {
			d.line.Minutes = p.book.Time(f.Minutes)
		}
		d.line.Stops, d.line.Minds = p.book.Count(pg)
	})
	return d.line
}

// line is a page as a list on the page at from shows it.
func (p *press) line(from string, pg *journal.Page) page.Line {
	l := p.told(pg)
	l.Href = page.Href(from, l.Href)
	return l
}

// entry draws the i-th entry.
func (p *press) entry(i int) error {
	pg := p.entries[i]
	line := p.told(pg)
	at := p.book.Pages[pg.Path]
	v := page.Entry{
		Frame: p.frame(at, line.Title, "log"), Block: p.block(i), Cover: p.cover(at, pg),
		Body: p.book.Prose(pg, at), Stops: line.Stops, Minds: line.Minds,
	}
	if list := p.book.Contents(pg); len(list) > 2 {
		v.Contents = list
	}
	if i > 0 {
		v.Previous = p.turn(at, p.entries[i-1])
	}
	if i+1 < len(p.entries) {
		v.Next = p.turn(at, p.entries[i+1])
	}
	return p.draw(at, "entry", &v)
}

func (p *press) turn(from string, to *journal.Page) page.Link {
	return page.Link{Text: to.Title(), Href: page.Href(from, p.book.Pages[to.Path])}
}

// block is the title block of an entry.
func (p *press) block(i int) page.Facts {
	pg := p.entries[i]
	f := &pg.Doc.Front
	at := p.book.Pages[pg.Path]
	facts := page.Facts{{Name: "Journal", Value: p.Settings.Title}}
	if sec, ok := p.Section(pg.Section()); ok {
		facts = page.Facts{{Name: "Section", Value: page.SectionTitle(sec.Name), Href: page.Href(at, p.book.Sections[sec.Name])}}
		facts = append(facts, page.Fact{Name: "Made", Value: made(sec)})
	}
	facts = append(facts, page.Fact{Name: "Date", Value: page.Date(f.Date)})
	if f.Minutes > 0 {
		facts = append(facts, page.Fact{Name: "Time", Value: p.book.Time(f.Minutes)})
	}
	return append(facts, page.Fact{Name: "Entry", Value: fmt.Sprintf("%d of %d", i+1, len(p.entries))})
}

// made says how often a section is made.
func made(sec *journal.Section) string {
	if len(sec.Sides) == 2 {
		return "left and right"
	}
	return "once"
}

// cover is the picture above an entry, unless the text shows it anyway.
func (p *press) cover(at string, pg *journal.Page) template.HTML {
	cover := pg.Doc.Front.Cover
	f, ok := p.book.File(cover)
	if !ok || f.Width == 0 {
		return ""
	}
	for _, i := range pg.Doc.Images {
		if t := pg.Resolve(i.Target); !t.Outside && t.Path == cover {
			return ""
		}
	}
	return `<figure class="photo cover">` + page.Picture(at, f, "", false) + `</figure>`
}

// plain draws a page without a date.
func (p *press) plain(pg *journal.Page) error {
	at := p.book.Pages[pg.Path]
	return p.draw(at, "plain", &page.Plain{Frame: p.frame(at, pg.Title(), ""), Body: p.book.Prose(pg, at)})
}

// indexes are the jobs that draw the pages about pages.
func (p *press) indexes() []job {
	jobs := []job{p.parts, p.partsData, p.search, p.searchIndex, p.home, p.log, p.materials, p.lost}
	if !p.share {
		jobs = append(jobs, p.findings)
	}
	if p.hasFeed() {
		jobs = append(jobs, p.feed)
	}
	for _, sec := range p.Sections {
		if _, ok := p.book.Sections[sec.Name]; ok {
			jobs = append(jobs, func() error { return p.section(sec) })
		}
	}
	return jobs
}

// mostLatest is how many entries the home page lists.
const mostLatest = 6

func (p *press) home() error {
	home, _ := p.Page(journal.HomeName)
	v := page.Home{Frame: p.frame(homePath, "", ""), Facts: p.build(), Welcome: p.book.Prose(home, homePath), Sections: p.plates()}
	v.Description = p.Settings.Description
	for i := len(p.entries) - 1; i >= 0 && len(v.Latest) < mostLatest; i-- {
		v.Latest = append(v.Latest, p.line(homePath, p.entries[i]))
	}
	v.More = len(p.entries) - len(v.Latest)
	return p.draw(homePath, "home", &v)
}

// build is the build in numbers.
func (p *press) build() page.Facts {
	pieces, weight := 0, 0.0
	for _, r := range p.Ledger.Rows {
		pieces += r.Count
		weight += r.Part.Weight * float64(r.Count)
	}
	facts := page.Facts{{Name: "Build", Value: p.Settings.Title}}
	add := func(name, value, href string) { facts = append(facts, page.Fact{Name: name, Value: value, Href: href}) }
	add("Entries", fmt.Sprint(len(p.entries)), logPath)
	add("Pieces to cut", fmt.Sprint(pieces), partsPath)
	if p.Minutes() > 0 {
		add("Time", p.book.Time(p.Minutes()), materialsPath)
	}
	if weight > 0 {
		add("Foam", p.weight(weight), materialsPath)
	}
	if n := len(p.entries); n > 0 {
		first, last := p.entries[0].Doc.Front.Date, p.entries[n-1].Doc.Front.Date
		add("Begun", page.Date(first), "")
		if first != last {
			add("Latest entry", page.Date(last), "")
		}
	}
	return facts
}

// plates show the sections.
func (p *press) plates() []page.Plate {
	most := 1.0
	for _, sec := range p.Sections {
		most = max(most, sec.Minutes)
	}
	pieces := map[string]int{}
	for _, g := range p.groups {
		for _, r := range g.rows {
			pieces[g.section] += r.Count
		}
	}
	var list []page.Plate
	for _, sec := range p.inOrder() {
		href := p.book.Sections[sec.Name]
		v := page.Plate{Title: page.SectionTitle(sec.Name), Href: href, Sides: "made " + made(sec), Picture: p.thumb(sec)}
		v.Facts = append(v.Facts, page.Fact{Name: "Entries", Value: fmt.Sprint(len(p.shown(sec)))})
		if n := pieces[sec.Name]; n > 0 {
			v.Facts = append(v.Facts, page.Fact{Name: "Pieces", Value: fmt.Sprint(n)})
		}
		if sec.Minutes > 0 {
			v.Hours, v.Share = p.book.Time(sec.Minutes), int(100*sec.Minutes/most)
		}
		list = append(list, v)
	}
	return list
}

// inOrder are the shown sections in the order in which they were begun.
func (p *plan) inOrder() []*journal.Section {
	var list []*journal.Section
	for _, sec := range p.Sections {
		if _, ok := p.book.Sections[sec.Name]; ok {
			list = append(list, sec)
		}
	}
	begun := func(sec *journal.Section) string {
		first := "9999"
		for _, pg := range sec.Pages {
			if pg.Dated() {
				first = min(first, pg.Doc.Front.Date)
			}
		}
		return first
	}
	slices.SortStableFunc(list, func(a, b *journal.Section) int { return cmp.Compare(begun(a), begun(b)) })
	return list
}

// shown are the pages of a section that the site shows, oldest first, those without a date before.
func (p *plan) shown(sec *journal.Section) []*journal.Page {
	var list []*journal.Page
	for _, pg := range sec.Pages {
		if p.book.Shown(pg) {
			list = append(list, pg)
		}
	}
	slices.SortStableFunc(list, byDate)
	return list
}

// thumb is the first cover among a section's entries, small.
func (p *press) thumb(sec *journal.Section) template.HTML {
	for _, pg := range p.shown(sec) {
		if f, ok := p.book.File(thumbOf(pg.Doc.Front.Cover)); ok {
			return page.Picture(homePath, f, "", true)
		}
	}
	return ""
}

func (p *press) log() error {
	v := page.Log{Frame: p.frame(logPath, "Log", "log")}
	for _, pg := range p.entries {
		v.Entries = append(v.Entries, p.line(logPath, pg))
	}
	for _, pg := range p.others {
		v.Pages = append(v.Pages, p.line(logPath, pg))
	}
	if len(p.entries) > 0 {
		v.Description = "Every entry, the first one first."
	} else {
		v.Description = "No entry has a date yet. A page with a date in its front matter stands here."
	}
	return p.draw(logPath, "log", &v)
}

// lost is the page for an address that leads nowhere. A server shows it at any depth, so its links
// start at the site's address where that is known.
func (p *press) lost() error {
	v := page.Plain{Frame: p.frame(lostPath, "No such page", "")}
	v.Root = sitePath(p.Settings.BaseURL)
	v.Body = template.HTML(`<p class="lede">Nothing is filed under this address. It may have been renamed since.</p>
<p>The log lists every entry, the catalogue every part, and the search looks through both.</p>`)
	return p.draw(lostPath, "plain", &v)
}
