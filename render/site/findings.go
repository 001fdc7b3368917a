package site

import (
	"fmt"

	"bevelbook/calc/finding"
	"bevelbook/render/page"
)

// grades are the groups of the page of findings, the gravest first.
var grades = []struct {
	title string
	holds func(finding.Finding) bool
}{
	{"Stop: do not cut", func(f finding.Finding) bool { return f.Accepted == "" && f.Severity == finding.Stop }},
	{"Mind: look before you cut", func(f finding.Finding) bool { return f.Accepted == "" && f.Severity == finding.Mind }},
	{"Note: worth knowing", func(f finding.Finding) bool { return f.Accepted == "" && f.Severity == finding.Note }},
	{"Accepted, with the reason", func(f finding.Finding) bool { return f.Accepted != "" }},
}

// findings draws the author's page of all findings of the shown pages.
func (p *press) findings() error {
	v := page.Findings{Frame: p.frame(findingsPath, "Findings", "findings")}
	hidden := 0
	groups := make([]page.FindingGroup, len(grades))
	for _, pg := range p.Pages {
		list := p.book.Found(pg)
		if !p.book.Shown(pg) {
			hidden += len(list)
			continue
		}
		for _, f := range list {
			for i, g := range grades {
				if g.holds(f) {
					groups[i].Findings = append(groups[i].Findings, p.book.Finding(findingsPath, f))
				}
			}
		}
	}
	for i, g := range grades {
		if groups[i].Title = g.title; len(groups[i].Findings) > 0 {
			v.Groups = append(v.Groups, groups[i])
		}
	}
	v.Stops, v.Minds, v.Notes, v.Accepted = len(groups[0].Findings), len(groups[1].Findings), len(groups[2].Findings), len(groups[3].Findings)
	if hidden > 0 {
		v.Description = fmt.Sprintf("There are %d more on pages that are not shared; `bevelbook proof` tells them.", hidden)
	}
	return p.draw(findingsPath, "findings", &v)
}
