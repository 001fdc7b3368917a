package site

import (
	"bytes"
	"fmt"
	"html/template"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/journal/shopping"
	"bevelbook/render/figure"
	"bevelbook/render/ledger"
	"bevelbook/render/page"
)

// mostPieces is how many parts stand on one page before the catalogue only names them.
const mostPieces = 200

// pieces are the parts of a group for the page at from: one for each part, whatever its hands and
// layers.
func (p *press) pieces(from string, g *group) []page.Piece {
	var list []page.Piece
	for i := 0; i < len(g.rows); {
		first := i
		for i < len(g.rows) && g.rows[i].Block == g.rows[first].Block && g.rows[i].Part.Name == g.rows[first].Part.Name {
			i++
		}
		list = append(list, p.piece(from, g, first, i))
	}
	return list
}

// piece is the part of the rows from first to end.
func (p *press) piece(from string, g *group, first, end int) page.Piece {
	rows := g.rows[first:end]
	pt := rows[0].Part
	v := page.Piece{
		ID: journal.PartID(pt), Name: pt.Name, Hand: p.hands(rows), Figure: thumbnail(pt),
		WorkedOut: page.Link{Text: "worked out in " + rows[0].Block.Page.Title(), Href: p.book.ToBlock(from, rows[0].Block)},
	}
	count, weight, layers := 0, 0.0, map[string]bool{}
	for i, r := range rows {
		layers[r.Part.Layer] = true
		weight += r.Part.Weight * float64(r.Count)
		count += r.Count
		text := r.Hand + " " + r.Part.Layer
		if text == " " {
			text = "template"
		}
		v.Downloads = append(v.Downloads, page.Download{Href: page.Href(from, g.paths[first+i]), Text: text, Detail: "SVG"})
	}
	box := pt.Show.Bounds()
	add := func(name, value string) { v.Facts = append(v.Facts, page.Fact{Name: name, Value: value}) }
	add("Cut", fmt.Sprint(count))
	if len(layers) > 1 {
		add("Layers", fmt.Sprint(len(layers)))
	} else {
		add("Sheet", p.book.Sheet(pt))
	}
	add("Size", p.length(box.Max.X-box.Min.X)+" × "+p.length(box.Max.Y-box.Min.Y))
	if weight > 0 {
		add("Weight of all", p.weight(weight))
	}
	return v
}

// hands says which hands of a part there are.
func (p *press) hands(rows []journal.Row) string {
	mirrored, two := true, false
	for _, r := range rows {
		mirrored = mirrored && r.Part.SelfMirrored
		two = two || r.Hand == string(part.Right) && rows[0].Part.Hand == part.Pair
	}
	switch {
	case mirrored:
		return "its own mirror image"
	case two:
		return "left and right"
	case rows[0].Hand != "":
		return rows[0].Hand + " only"
	}
	return "as drawn"
}

// thumbnail is a part's show face with its back face, without words.
func thumbnail(pt *part.Part) template.HTML {
	var d draw.Drawing
	d.Title = pt.Name
	d.Add(draw.Area{Role: draw.Body, Outline: pt.Show, Fill: true}, draw.Area{Role: draw.Cut, Outline: pt.Show})
	for _, e := range pt.Edges {
		if e.Bevel != 0 {
			d.Add(draw.Area{Role: draw.Back, Outline: pt.Back})
			break
		}
	}
	for _, h := range pt.Holes {
		d.Add(draw.Area{Role: draw.Hole, Outline: h.Shape})
	}
	for _, l := range pt.Lines {
		d.Add(draw.Stroke{Role: draw.Mark, Path: l.Path})
	}
	return template.HTML(figure.SVG(d, figure.Options{Bare: true}))
}

func (p *press) weight(g float64) string {
	return eval.Num(g, unit.Mass).Show(p.Settings.Style)
}

// parts draws the catalogue. Where there are too many parts for one page, it names them and the
// sections' pages show them.
func (p *press) parts() error {
	total, pieces := 0, 0
	names := map[*group]map[string]bool{}
	for _, g := range p.groups {
		names[g] = map[string]bool{}
		for _, r := range g.rows {
			names[g][journal.PartID(r.Part)] = true
			pieces += r.Count
		}
		total += len(names[g])
	}
	v := page.Parts{Frame: p.frame(partsPath, "Parts", "parts")}
	v.Description = "Every part with its templates at full size. A part that is its own mirror image needs no left and right."
	v.Facts = page.Facts{{Name: "Parts", Value: fmt.Sprint(total)}, {Name: "Pieces to cut", Value: fmt.Sprint(pieces)},
		{Name: "As data", Value: "CSV", Href: partsCSVPath}, {Name: "With outlines", Value: "JSON", Href: partsJSONPath}}
	if total == 0 {
		v.Description = "No part has been drawn yet."
	}
	for _, g := range p.groups {
		group := page.Group{ID: "of." + g.section, Title: "For the whole build"}
		if g.section != "" {
			group.Title, group.Href = page.SectionTitle(g.section), p.book.Sections[g.section]
		}
		if total > mostPieces && g.section != "" {
			group.Links = p.links(g)
		} else {
			group.Pieces = p.pieces(partsPath, g)
		}
		v.Groups = append(v.Groups, group)
	}
	return p.draw(partsPath, "parts", &v)
}

// links name the parts of a group and lead to them on the section's page.
func (p *press) links(g *group) []page.Link {
	var list []page.Link
	last := ""
	for _, r := range g.rows {
		id := journal.PartID(r.Part)
		if id == last {
			continue
		}
		last = id
		list = append(list, page.Link{Text: r.Part.Name, Href: p.book.Sections[g.section] + "#" + id})
	}
	return list
}

// partsData writes the ledger for machines.
func (p *press) partsData() error {
	rows := p.book.Rows()
	var data bytes.Buffer
	if err := ledger.JSON(&data, rows); err != nil {
		return err
	}
	if err := p.to.Put(partsJSONPath, data.Bytes()); err != nil {
		return err
	}
	data.Reset()
	if err := ledger.CSV(&data, rows); err != nil {
		return err
	}
	return p.to.Put(partsCSVPath, data.Bytes())
}

// section draws the page of one section.
func (p *press) section(sec *journal.Section) error {
	at := p.book.Sections[sec.Name]
	v := page.Section{Frame: p.frame(at, page.SectionTitle(sec.Name), "")}
	for _, pg := range p.shown(sec) {
		l := p.line(at, pg)
		l.Section = ""
		v.Entries = append(v.Entries, l)
		if p.share {
			continue
		}
		for _, f := range p.book.Found(pg) {
			if f.Severity > finding.Note {
				v.Findings = append(v.Findings, p.book.Finding(at, f))
			}
		}
	}
	v.Block = page.Facts{{Name: "Section", Value: page.SectionTitle(sec.Name)}, {Name: "Made", Value: made(sec)}}
	add := func(name, value, href string) {
		v.Block = append(v.Block, page.Fact{Name: name, Value: value, Href: href})
	}
	add("Entries", fmt.Sprint(len(v.Entries)), "")
	if sec.Minutes > 0 {
		add("Time", p.book.Time(sec.Minutes), "")
	}
	for _, g := range p.groups {
		if g.section != sec.Name {
			continue
		}
		v.Parts = p.pieces(at, g)
		count, weight := 0, 0.0
		for _, r := range g.rows {
			count += r.Count
			weight += r.Part.Weight * float64(r.Count)
		}
		add("Pieces to cut", fmt.Sprint(count), "#parts")
		if weight > 0 {
			add("Foam", p.weight(weight), "")
		}
		for _, s := range g.sets {
			if !s.absent {
				add("All templates, "+s.name, "PDF", page.Href(at, s.path))
			}
		}
	}
	return p.draw(at, "section", &v)
}

// materials draws what to buy and where the hours went.
func (p *press) materials() error {
	v := page.Materials{Frame: p.frame(materialsPath, "Materials and hours", "materials")}
	v.Description = "What the parts add up to. The part that goes wrong comes on top."
	list := p.shopping()
	if len(p.Materials()) > 0 {
		v.Tables = p.materialTables(list)
		v.Facts = p.book.CostFacts(list)
	} else {
		v.Description = "No part has been drawn yet."
	}
	rest, most := p.Minutes(), 1.0
	for _, sec := range p.inOrder() {
		rest -= sec.Minutes
		most = max(most, sec.Minutes)
	}
	most = max(most, rest)
	for _, sec := range p.inOrder() {
		if sec.Minutes > 0 {
			v.Hours = append(v.Hours, page.Bar{Name: page.SectionTitle(sec.Name), Href: p.book.Sections[sec.Name], Value: p.book.Time(sec.Minutes), Share: int(100 * sec.Minutes / most)})
		}
	}
	if rest > 0 {
		v.Hours = append(v.Hours, page.Bar{Name: "Everything else", Value: p.book.Time(rest), Share: int(100 * rest / most)})
	}
	if p.Minutes() > 0 {
		v.Facts = append(v.Facts, page.Fact{Name: "Time in all", Value: p.book.Time(p.Minutes())})
	}
	return p.draw(materialsPath, "materials", &v)
}

// materialTables are the shopping list, the sheets, and what it all weighs, each under its own heading.
func (p *press) materialTables(list shopping.List) []page.Titled {
	tables := []page.Titled{
		{ID: "shopping", Title: "To buy", Table: p.book.ShoppingTable(materialsPath, list),
			Words: "Glue is counted for both faces of each seam and of each pair of layers, primer and paint for the show faces; edges, and what stays in the brush, are what the spare of a material is for."},
		{ID: "sheets", Title: "Sheets", Table: p.book.MaterialTable(materialsPath, p.Materials())},
	}
	if list.Foam > 0 {
		tables = append(tables, page.Titled{ID: "weight", Title: "Weight", Table: p.book.WeightTable(materialsPath, list),
			Words: "Foam alone: glue, paint, straps and lamps come on top, so weigh the finished sections too."})
	}
	for i := range tables {
		tables[i].Table.Caption = ""
	}
	return tables
}
