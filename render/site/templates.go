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
func (p *press) group() {
	by := map[string]*group{}
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
func (p *press) name(g *group) {
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
	p.group()
	var jobs []job
	for _, g := range p.groups {
		jobs = append(jobs, func() error { return p.write(g) })
	}
	return jobs
}

// write writes the templates of a group: each row as SVG, all of them as PDF for each paper.
func (p *press) write(g *group) error {
	pieces := make([]draw.Drawing, len(g.rows))
	for i, r := range g.rows {
		pieces[i] = template.Piece(*r.Part, r.Hand, template.Meta{Count: r.Count, Length: p.length})
		if err := p.to.Put(g.paths[i], template.SVG(pieces[i].Title, pieces[i:i+1])); err != nil {
			return err
		}
	}
	for i := range g.sets {
		if err := p.print(p.titleOf(g), pieces, &g.sets[i]); err != nil {
			return err
		}
	}
	p.offer(g)
	return nil
}

// titleOf is what a group's prints are called.
func (p *press) titleOf(g *group) string {
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

// offer tells the pages which templates there are of each block: those in mm, and the section's
// prints.
func (p *press) offer(g *group) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for i, r := range g.rows {
		text := strings.TrimSpace(r.Hand + " " + r.Part.Layer)
		if text == "" {
			text = r.Part.Name
		}
		detail := "SVG"
		if r.Count > 1 {
			detail = fmt.Sprintf("SVG, cut %d", r.Count)
		}
		p.book.Templates[r.Block] = append(p.book.Templates[r.Block], page.Template{Path: g.paths[i], Text: text, Detail: detail})
	}
	done := map[*journal.Block]bool{}
	for _, r := range g.rows {
		if done[r.Block] {
			continue
		}
		done[r.Block] = true
		for _, s := range g.sets {
			if !s.absent {
				p.book.Templates[r.Block] = append(p.book.Templates[r.Block], page.Template{Path: s.path, Text: "whole section", Detail: "PDF, " + s.name})
			}
		}
	}
}

func (p *press) length(mm float64) string {
	return eval.Num(mm, unit.Length).Show(p.Settings.Style)
}
