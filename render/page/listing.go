package page

import (
	"strconv"
	"time"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/journal/shopping"
)

// listings draw the tables that a block may ask of the ledger, by what it lists.
var listings = map[string]func(*Book, listed) Table{
	"parts":     (*Book).listParts,
	"materials": (*Book).listMaterials,
	"shopping":  (*Book).listShopping,
	"hours":     (*Book).listHours,
	"findings":  (*Book).listFindings,
	"templates": (*Book).listTemplates,
}

// listed is the part of the build that a table is about.
type listed struct {
	from    string
	section *journal.Section // nil for the whole build
}

func (b *Book) listing(from string, blk *journal.Block) Table {
	l := listed{from: from}
	if !blk.Out.Listing.Build {
		l.section, _ = b.Snapshot.Section(blk.Page.Section())
	}
	draw := listings[blk.Out.Listing.Of]
	if draw == nil {
		return Table{}
	}
	return draw(b, l)
}

// holds tells whether a row belongs to what is listed.
func (l listed) holds(section string) bool { return l.section == nil || l.section.Name == section }

func (b *Book) listParts(l listed) Table {
	t := Table{Caption: "Parts to cut", Columns: []Column{{"part", false}, {"hand", false}, {"cut", true}, {"sheet", false}, {"size", true}, {"weight each", true}}}
	pieces, weight := 0, 0.0
	for _, r := range b.Rows() {
		if !l.holds(r.Part.Section) {
			continue
		}
		pieces += r.Count
		weight += r.Part.Weight * float64(r.Count)
		t.Rows = append(t.Rows, []Cell{
			{Text: b.called(r, l), Href: b.ToBlock(l.from, r.Block)}, {Text: dash(r.Hand)}, {Text: strconv.Itoa(r.Count)},
			{Text: b.Sheet(r.Part)}, {Text: b.size(r)}, {Text: b.weight(r.Part.Weight)},
		})
	}
	t.Foot = []Cell{{Text: "all"}, {}, {Text: strconv.Itoa(pieces)}, {}, {}, {Text: b.weight(weight)}}
	return t
}

// called is a row's name, with its section where several are listed, and its layer.
func (b *Book) called(r journal.Row, l listed) string {
	name := r.Part.Name
	if l.section == nil && r.Part.Section != "" {
		name = r.Part.Section + "." + name
	}
	if r.Part.Layer != "" {
		name += " · " + r.Part.Layer
	}
	return name
}

// size is the box of the show face.
func (b *Book) size(r journal.Row) string {
	box := r.Part.Show.Bounds()
	return b.length(box.Max.X-box.Min.X) + " × " + b.length(box.Max.Y-box.Min.Y)
}

func (b *Book) weight(g float64) string {
	if g == 0 {
		return "–"
	}
	return eval.Num(g, unit.Mass).Show(b.Snapshot.Settings.Style)
}

func dash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

func (b *Book) listMaterials(l listed) Table {
	if l.section == nil {
		return b.MaterialTable(l.from, b.Snapshot.Materials())
	}
	var rows []journal.Row
	for _, r := range b.Snapshot.Ledger.Rows {
		if l.holds(r.Part.Section) {
			rows = append(rows, r)
		}
	}
	return b.MaterialTable(l.from, b.Snapshot.Uses(rows))
}

// MaterialTable is what a build, or a part of it, takes.
func (b *Book) MaterialTable(from string, uses []journal.Use) Table {
	t := Table{Caption: "Material", Columns: []Column{{"material", false}, {"pieces", true}, {"area", true}, {"weight", true}, {"sheets at least", true}, {"price of those", true}}}
	style := b.Snapshot.Settings.Style
	pieces, weight, sums := 0, 0.0, map[string]float64{}
	for _, u := range uses {
		row := []Cell{{Text: "no material named"}, {Text: strconv.Itoa(u.Pieces)}, {Text: shopping.Area(u.Area, style)},
			{Text: b.weight(u.Weight)}, {Text: "–"}, {Text: "–"}}
		if u.Name != "" {
			row[0].Text = u.Name
		}
		if u.Block != nil {
			row[0].Href = b.ToBlock(from, u.Block)
		}
		if u.Sheets > 0 {
			row[4].Text = strconv.Itoa(u.Sheets)
		}
		if u.Currency != "" {
			row[5].Text = eval.Num(u.Price, unit.Money(u.Currency)).Show(style)
			sums[u.Currency] += u.Price
		}
		t.Rows = append(t.Rows, row)
		pieces += u.Pieces
		weight += u.Weight
	}
	t.Foot = []Cell{{Text: "all"}, {Text: strconv.Itoa(pieces)}, {}, {Text: b.weight(weight)}, {}, {}}
	if len(sums) == 1 {
		for currency, sum := range sums {
			t.Foot[5].Text = eval.Num(sum, unit.Money(currency)).Show(style)
		}
	}
	return t
}

func (b *Book) listHours(l listed) Table {
	if l.section == nil {
		return b.sectionHours(l)
	}
	t := Table{Caption: "Time spent", Columns: []Column{{"entry", false}, {"date", false}, {"time", true}}}
	for _, p := range l.section.Pages {
		if p.Doc.Front.Minutes == 0 || !b.Shown(p) {
			continue
		}
		t.Rows = append(t.Rows, []Cell{{Text: p.Title(), Href: Href(l.from, b.Pages[p.Path])}, {Text: Date(p.Doc.Front.Date)}, {Text: b.Time(p.Doc.Front.Minutes)}})
	}
	t.Foot = []Cell{{Text: "all"}, {}, {Text: b.Time(l.section.Minutes)}}
	return t
}

func (b *Book) sectionHours(l listed) Table {
	t := Table{Caption: "Time spent", Columns: []Column{{"section", false}, {"time", true}}}
	rest := b.Snapshot.Minutes()
	for _, sec := range b.Snapshot.Sections {
		rest -= sec.Minutes
		t.Rows = append(t.Rows, []Cell{{Text: SectionTitle(sec.Name), Href: b.toSection(l.from, sec.Name)}, {Text: b.Time(sec.Minutes)}})
	}
	if rest > 0 {
		t.Rows = append(t.Rows, []Cell{{Text: "without a section"}, {Text: b.Time(rest)}})
	}
	t.Foot = []Cell{{Text: "all"}, {Text: b.Time(b.Snapshot.Minutes())}}
	return t
}

func (b *Book) listFindings(l listed) Table {
	t := Table{Caption: "Findings", Columns: []Column{{"severity", false}, {"what", false}, {"where", false}, {"accepted", false}}}
	if b.Share {
		t.Caption = "Findings are in the maker’s own copy"
		return t
	}
	for _, p := range b.Snapshot.Pages {
		if !b.Shown(p) || !l.holds(p.Section()) {
			continue
		}
		for _, f := range b.on(p.Path).list {
			if f.Severity == finding.Note && l.section == nil {
				continue
			}
			t.Rows = append(t.Rows, []Cell{{Text: f.Severity.String()}, {Text: f.Message}, {Text: place(f.At), Href: b.toPlace(l.from, f.At)}, {Text: dash(f.Accepted)}})
		}
	}
	return t
}

func (b *Book) listTemplates(l listed) Table {
	t := Table{Caption: "Templates at full size", Columns: []Column{{"part", false}, {"file", false}}}
	var last *journal.Block
	for _, r := range b.Rows() {
		if r.Block == last || !l.holds(r.Part.Section) {
			continue
		}
		last = r.Block
		for _, f := range b.offered(r.Block) {
			t.Rows = append(t.Rows, []Cell{{Text: journal.PartID(r.Part), Href: b.ToBlock(l.from, r.Block)}, {Text: f.Text, Href: Href(l.from, f.Path)}})
		}
	}
	return t
}

// Time shows minutes as people say them.
func (b *Book) Time(minutes float64) string {
	if minutes == 0 {
		return "–"
	}
	return eval.Num(minutes, unit.Time).Show(b.Snapshot.Settings.Style)
}

// Date writes 2026-09-05 as 5 Sep 2026.
func Date(iso string) string {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return t.Format("2 Jan 2006")
}
