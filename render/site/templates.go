package site

import (
	"bytes"
	"fmt"
	"strings"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/render/page"
	"bevelbook/render/template"
)

// group is what a section has to cut, and where its templates stand.
type group struct {
	section string // "" for the journal's own space
	rows    []journal.Row
	paths   []string // of each row's template
	sets    []set
	counts  [][]int // by set, of each row: the sheets that it takes by itself, counted when asked
}

// set is one printed file of all of a group's templates.
type set struct {
	paper  template.Paper
	name   string // of the paper, for people
	path   string
	absent bool // it could not be printed
}

// papers are those that a site offers.
var papers = []struct{ name, title string }{{"a4", "A4"}, {"letter", "Letter"}}

// group gathers the shown rows by section, in the order of the sections, and names their files.
func (p *plan) group() {
	by := map[string]*group{}
	p.groupOf = by
	p.joined = p.Joined()
	for _, r := range p.book.Rows() {
		g := by[r.Part.Section]
		if g == nil {
			g = &group{section: r.Part.Section}
			by[r.Part.Section] = g
		}
		g.rows = append(g.rows, r)
	}
	var names []string
	for _, sec := range p.inOrder() {
		names = append(names, sec.Name)
	}
	for _, name := range append(names, "") {
		if g := by[name]; g != nil {
			p.groups = append(p.groups, g)
			p.name(g)
		}
	}
}

// name gives every template of a group its path.
func (p *plan) name(g *group) {
	dir, all := "templates/", "templates/build"
	if g.section != "" {
		dir, all = "templates/"+g.section+"/", "templates/"+g.section
	}
	for _, r := range g.rows {
		stem := dir + r.Part.Name
		for _, more := range []string{r.Hand, r.Part.Layer} {
			if more != "" {
				stem += "-" + strings.ReplaceAll(more, " ", "-")
			}
		}
		g.paths = append(g.paths, p.claim(stem+".svg"))
	}
	for _, of := range papers {
		paper, err := template.ParsePaper(of.name)
		if err != nil {
			panic(err) // the names stand in the table of papers
		}
		g.sets = append(g.sets, set{paper: paper, name: of.title, path: p.claim(all + "-" + of.name + ".pdf")})
	}
}

// templates are the jobs that write every part at full size, a section at a time.
func (p *press) templates() []job {
	var jobs []job
	for _, g := range p.groups {
		jobs = append(jobs, func() error { return p.write(g) })
	}
	return jobs
}

// write writes the templates of a group: each row as SVG, all of them as PDF for each paper.
func (p *press) write(g *group) error {
	pieces := p.allFullSize(g)
	for i := range g.rows {
		if err := p.sheet(g, i, pieces[i]); err != nil {
			return err
		}
	}
	for i := range g.sets {
		if err := p.print(p.titleOf(g), pieces, &g.sets[i]); err != nil {
			return err
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for from := 0; from < len(g.rows); {
		to := g.behind(from)
		p.book.Templates[g.rows[from].Block] = g.offers(from, to)
		from = to
	}
	return nil
}

// behind is the index behind the rows of the block of row i.
func (g *group) behind(i int) int {
	blk := g.rows[i].Block
	for i < len(g.rows) && g.rows[i].Block == blk {
		i++
	}
	return i
}

// fullSize is a row at full size.
func (p *plan) fullSize(g *group, i int) draw.Drawing {
	r := g.rows[i]
	return template.Piece(p.joined.Part(r.Part), r.Hand, template.Meta{Count: r.Count, Length: p.length})
}

func (p *plan) allFullSize(g *group) []draw.Drawing {
	pieces := make([]draw.Drawing, len(g.rows))
	for i := range g.rows {
		pieces[i] = p.fullSize(g, i)
	}
	return pieces
}

// sheet writes the template of a row.
func (p *press) sheet(g *group, i int, d draw.Drawing) error {
	return p.to.Put(g.paths[i], template.SVG(d.Title, []draw.Drawing{d}))
}

// titleOf is what a group's prints are called.
func (p *plan) titleOf(g *group) string {
	if g.section == "" {
		return p.Settings.Title
	}
	return p.Settings.Title + ": " + page.SectionTitle(g.section)
}

func (p *press) print(title string, pieces []draw.Drawing, s *set) error {
	buf := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(buf)
	buf.Reset()
	if _, err := template.PDF(buf, template.Set{Title: title, Paper: s.paper, Pieces: pieces, Plain: true}); err != nil {
		s.absent = true
		p.leave(s.path, err)
		return nil
	}
	return p.to.Put(s.path, buf.Bytes())
}

// offers are the templates there are of the block of some rows: those in mm, and the section's prints.
func (g *group) offers(from, to int) []page.Template {
	var list []page.Template
	several := g.rows[from].Part.Name != g.rows[to-1].Part.Name // parts, as of a shell
	for i := from; i < to; i++ {
		r := g.rows[i]
		text := strings.TrimSpace(r.Hand + " " + r.Part.Layer)
		if several {
			text = strings.TrimSpace(strings.TrimPrefix(r.Part.Name, r.Part.Block+".") + " " + text)
		} else if text == "" {
			text = r.Part.Name
		}
		detail := "SVG"
		if r.Count > 1 {
			detail = fmt.Sprintf("SVG, cut %d", r.Count)
		}
		list = append(list, page.Template{Path: g.paths[i], Text: text, Detail: detail})
	}
	for _, s := range g.sets {
		if !s.absent {
			list = append(list, page.Template{Path: s.path, Text: "whole section", Detail: "PDF, " + s.name})
		}
	}
	return list
}

func (p *plan) length(mm float64) string {
	return eval.Num(mm, unit.Length).Show(p.Settings.Style)
}
