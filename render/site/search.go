package site

import (
	"bytes"
	"encoding/json"
	"strings"
	"unicode/utf8"

	"bevelbook/journal"
	"bevelbook/render/page"
)

// mostWords is how much of a page's text the search looks through, in bytes.
const mostWords = 8 << 10

func (p *press) search() error {
	return p.draw(searchPath, "search", &page.Plain{Frame: p.frame(searchPath, "Search", "search")})
}

// searchIndex writes the rows that the search looks through as a script, which loads from a folder too.
func (p *press) searchIndex() error {
	var out bytes.Buffer
	out.WriteString("bookIndex=[")
	enc := json.NewEncoder(&out)
	row := func(f page.Found) error {
		if out.Len() > len("bookIndex=[") {
			out.WriteByte(',')
		}
		return enc.Encode(f)
	}
	for _, pg := range p.entries {
		line := p.told(pg)
		if err := row(page.Found{Title: line.Title, Href: page.Href("", line.Href), Kind: "entry", Under: line.Date, Text: cut(p.words(pg))}); err != nil {
			return err
		}
	}
	for _, pg := range p.others {
		line := p.told(pg)
		if err := row(page.Found{Title: line.Title, Href: page.Href("", line.Href), Kind: "page", Text: cut(p.words(pg))}); err != nil {
			return err
		}
	}
	for _, f := range append(p.foundSections(), p.foundParts()...) {
		if err := row(f); err != nil {
			return err
		}
	}
	out.WriteString("]\n")
	return p.to.Put(indexPath, out.Bytes())
}

func (p *press) foundSections() []page.Found {
	var list []page.Found
	for _, sec := range p.inOrder() {
		var titles []string
		for _, pg := range p.shown(sec) {
			titles = append(titles, pg.Title())
		}
		list = append(list, page.Found{Title: page.SectionTitle(sec.Name), Href: p.book.Sections[sec.Name], Kind: "section", Text: cut(strings.Join(titles, " · "))})
	}
	return list
}

func (p *press) foundParts() []page.Found {
	var list []page.Found
	var last *journal.Block
	for _, g := range p.groups {
		for _, r := range g.rows {
			if r.Block == last {
				continue
			}
			last = r.Block
			list = append(list, page.Found{
				Title: r.Part.Name, Href: page.Href("", p.book.Pages[r.Block.Page.Path]) + "#" + r.Block.Anchor(),
				Kind: "part", Under: page.SectionTitle(g.section), Text: p.book.Sheet(r.Part) + " " + edges(r),
			})
		}
	}
	return list
}

func edges(r journal.Row) string {
	var names []string
	for _, e := range r.Part.Edges {
		names = append(names, e.Name)
	}
	return strings.Join(names, " ")
}

// cut shortens a text to what the search looks through.
func cut(text string) string {
	if len(text) <= mostWords {
		return text
	}
	end := mostWords
	for !utf8.RuneStart(text[end]) {
		end--
	}
	return text[:end]
}
