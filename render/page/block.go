package page

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/kind"
	"bevelbook/calc/part"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/render/figure"
)

// heldBack is what the card of a block says whose sizes are measurements themselves.
const heldBack = "Kept at home: a size of it is a measurement of the wearer as it stands."

// keptAtHome is what a card of private measurements says instead of them.
const keptAtHome = "The wearer’s measurements stay with the wearer. The parts that follow from them are worked out all the same."

// mostResults is how many results a card lists before it folds the rest away.
const mostResults = 12

// card is what the page at from shows of a block.
func (b *Book) card(from string, blk *journal.Block) Card {
	c := Card{ID: b.anchor(blk), Kind: blk.Kind.Name, Name: blk.Name, Troubles: b.troubles(from, blk)}
	if blk.Private() {
		c.Private = keptAtHome
		c.Findings = b.atCard(from, blk)
		return c
	}
	if b.Withheld(blk) {
		c.Private = heldBack
		c.Findings = b.atCard(from, blk)
		return c
	}
	if blk.Kind.Values {
		c.Results = b.values(blk)
	} else if r := blk.Record(); r != nil {
		c.Results = b.results(r)
	}
	if len(c.Results) > mostResults {
		c.Results, c.More = c.Results[:mostResults:mostResults], c.Results[mostResults:]
	}
	c.Summary = b.summary(blk.Out.Parts)
	for i, d := range blk.Out.Drawings {
		svg := figure.SVG(d, figure.Options{ID: fmt.Sprintf("%s-fig%d", c.ID, i+1)})
		c.Figures = append(c.Figures, Figure{SVG: markup(svg), Caption: d.Title})
	}
	for _, t := range blk.Out.Tables {
		c.Tables = append(c.Tables, tableOf(t))
	}
	if blk.Out.Listing != nil {
		c.Tables = append(c.Tables, b.listing(from, blk))
	}
	if blk.Out.Sheets != nil && b.Lay != nil {
		b.sheets(from, blk, &c)
	}
	c.Downloads = b.downloads(from, blk)
	c.Findings = b.atCard(from, blk)
	c.Source, c.Place = sourceOf(blk), placeOf(blk)
	return c
}

// anchor is the block's id, another one for the second block of the same kind and name, so that no
// id stands twice on a page.
func (b *Book) anchor(blk *journal.Block) string {
	id, n := blk.Anchor(), 1
	for _, other := range blk.Page.Blocks {
		if other == blk {
			break
		}
		if other.Name != "" && other.Anchor() == id {
			n++
		}
	}
	for _, h := range blk.Page.Doc.Headings {
		if h.ID == id {
			n++ // the heading keeps its id
		}
	}
	if n > 1 {
		return fmt.Sprintf("%s.%d", id, n)
	}
	return id
}

func placeOf(blk *journal.Block) string {
	p := blk.Entry.Fence.Place()
	return fmt.Sprintf("%s:%d", p.File, p.Line)
}

// values are the lines of a block whose author names the values.
func (b *Book) values(blk *journal.Block) []Result {
	var list []Result
	for i, n := range blk.Eval.Members {
		v, ok := b.show(n.Cell)
		if !ok {
			continue
		}
		r := Result{Name: n.Key, Value: v, Private: n.Cell.Privacy == eval.Kept}
		if b.repeats(n.Cell, v) {
			r.Value, r.Private = "", true
		}
		if e := blk.Eval.Syntax.Entries[i]; e.Name() == n.Key {
			r.Note = remark(e)
		}
		if !r.Private {
			r.How = how(n.Working(b.Snapshot.Settings.Style))
		}
		list = append(list, r)
	}
	return list
}

// show is a value in the journal's style, false if it is not known.
func (b *Book) show(c eval.Cell) (string, bool) {
	if c.Value == nil {
		return "", false
	}
	if _, unknown := c.Value.(eval.Unknown); unknown {
		return "", false
	}
	if c.Privacy == eval.Kept {
		return "", true
	}
	return c.Value.Show(b.Snapshot.Settings.Style), true
}

// how is a working for a page, nil if there is nothing to tell.
func how(w eval.Working) *Working {
	if w.Formula == "" && w.Numbers == "" {
		return nil
	}
	return &Working{Formula: w.Formula, Numbers: w.Numbers, Value: w.Value}
}

// remark is what the maker wrote behind an entry.
func remark(e *syntax.Entry) string {
	text := e.At.File.Text[e.At.End:]
	if end := strings.IndexByte(text, '\n'); end >= 0 {
		text = text[:end]
	}
	_, text, ok := strings.Cut(text, "#")
	if !ok {
		return ""
	}
	return strings.TrimSpace(text)
}

// results are the named results of a block.
func (b *Book) results(rec *eval.Record) []Result {
	var list []Result
	for _, f := range rec.Fields {
		if f.Quiet {
			continue
		}
		v, ok := b.show(eval.Cell{Value: f.Value, Privacy: f.Privacy})
		if !ok {
			continue
		}
		r := Result{Name: f.Name, Value: v, Private: f.Privacy == eval.Kept}
		if !r.Private && f.Formula != "" {
			r.How = &Working{Formula: f.Formula, Numbers: f.Numbers, Value: v}
			if f.Privacy > eval.Open {
				r.How.Numbers = ""
			}
		}
		list = append(list, r)
	}
	return list
}

// summary is the line worth knowing of parts: what they are cut from, and in which hands.
func (b *Book) summary(parts []part.Part) string {
	if len(parts) == 0 {
		return ""
	}
	p := parts[0]
	text := b.Sheet(&p)
	switch {
	case len(parts) == 1:
	case p.Layer != "":
		text = fmt.Sprintf("%d layers", len(parts))
	default:
		text = fmt.Sprintf("%d pieces of %s", len(parts), text)
	}
	return text + ", " + b.hands(parts)
}

// Sheet is what a part is cut from: "10 mm foam10".
func (b *Book) Sheet(p *part.Part) string {
	return strings.TrimSpace(b.length(p.Thickness) + " " + p.Material)
}

func (b *Book) length(mm float64) string {
	return eval.Num(mm, unit.Length).Show(b.Snapshot.Settings.Style)
}

// hands says in words which hands of a part are made.
func (b *Book) hands(parts []part.Part) string {
	mirrored := true
	for _, p := range parts {
		mirrored = mirrored && p.SelfMirrored
	}
	switch h := parts[0].Hand; {
	case mirrored:
		return "its own mirror image"
	case h == part.Pair:
		return "left and right"
	case h == part.Auto:
		return "one hand, as drawn"
	default:
		return string(h) + " only"
	}
}

// downloads are the templates of a block's parts.
func (b *Book) downloads(from string, blk *journal.Block) []Download {
	var list []Download
	for _, t := range b.offered(blk) {
		list = append(list, Download{Href: Href(from, t.Path), Text: t.Text, Detail: t.Detail})
	}
	return list
}

// tableOf is a kind's table; a column whose cells all begin with a number is set as one.
func tableOf(t kind.Table) Table {
	table := Table{Caption: t.Title}
	for i, name := range t.Head {
		number := i > 0 && slices.ContainsFunc(t.Rows, func(row []string) bool { return i < len(row) && isNumber(row[i]) })
		for _, row := range t.Rows {
			number = number && i < len(row) && (isNumber(row[i]) || row[i] == "" || row[i] == "–")
		}
		table.Columns = append(table.Columns, Column{Name: name, Number: number})
	}
	for _, row := range t.Rows {
		cells := make([]Cell, len(row))
		for i, text := range row {
			cells[i].Text = text
		}
		table.Rows = append(table.Rows, cells)
	}
	return table
}

func isNumber(s string) bool {
	s = strings.TrimLeft(s, "-−")
	return s != "" && '0' <= s[0] && s[0] <= '9'
}

// inline is a value in the prose.
func (b *Book) inline(x *journal.Span) Inline {
	if x.Node == nil {
		for _, f := range x.Bad {
			return Inline{Trouble: untold(b.fit(f).Message)}
		}
		return Inline{Trouble: "there is nothing to work out"}
	}
	style := b.Snapshot.Settings.Style
	text, ok := b.show(x.Node.Cell)
	switch {
	case !ok:
		for _, f := range x.Node.Findings {
			return Inline{Trouble: untold(b.fit(f).Message)}
		}
		return Inline{Trouble: "it waits for something that cannot be worked out"}
	case x.Node.Cell.Privacy == eval.Kept || b.repeats(x.Node.Cell, text):
		return Inline{Private: true}
	}
	v := Inline{Text: text}
	w := x.Node.Working(style)
	v.Working = w.Formula
	if w.Numbers != "" && w.Numbers != w.Value {
		v.Working += " = " + w.Numbers
	}
	return v
}

// untold keeps an empty message from reading as no trouble at all.
func untold(message string) string {
	if message == "" {
		return "it cannot be worked out"
	}
	return message
}
