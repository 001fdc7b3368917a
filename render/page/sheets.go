package page

import (
	"fmt"
	"strconv"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/render/figure"
)

// mostSheets is how many sheets a card shows; `plot --sheets` writes all.
const mostSheets = 24

// sheets fills in what a layout block shows: a table of sheets, each sheet, and the list of its pieces.
func (b *Book) sheets(from string, blk *journal.Block, c *Card) {
	results, left, err := b.Lay(blk)
	if err != nil {
		c.Troubles = append(c.Troubles, Trouble{Message: "The parts cannot be laid out: " + err.Error()})
		return
	}
	c.Tables = append(c.Tables, b.sheetTable(from, results, left))
	shown := 0
	for i := range results {
		r := &results[i]
		for _, s := range r.Sheets() {
			if shown++; shown > mostSheets {
				break
			}
			d := r.Drawing(s, b.Snapshot.Settings.Style, true)
			svg := figure.SVG(d, figure.Options{ID: fmt.Sprintf("%s-sheet%d", c.ID, shown)})
			c.Figures = append(c.Figures, Figure{SVG: markup(svg), Caption: d.Title, Wide: true})
		}
		c.Tables = append(c.Tables, b.laidTable(from, r))
	}
}

// sheetTable counts the sheets of each material, and says what could not be laid out.
func (b *Book) sheetTable(from string, results []layout.Result, left []layout.Left) Table {
	t := Table{Caption: "Sheets", Columns: []Column{{"material", false}, {"sheets", true}, {"offcuts", true}, {"parts of their area", true}, {"waste", true}, {"not laid", false}}}
	style := b.Snapshot.Settings.Style
	for i := range results {
		r := &results[i]
		all, parts := 0.0, 0.0
		for _, u := range r.Layout.Sheets {
			s := r.Job.Sheets[u.Sheet]
			all += s.Width * s.Height
			parts += u.Area
		}
		waste := eval.Num(all-parts, unit.Area)
		missing := "–"
		for k, text := range r.Missing() {
			if k > 0 {
				missing += "; " + text
			} else {
				missing = text
			}
		}
		if r.Rough {
			missing = "being laid out; the better layout appears by itself"
		}
		t.Rows = append(t.Rows, []Cell{{Text: r.Material, Href: b.ToBlock(from, r.Block)}, {Text: strconv.Itoa(r.Whole())},
			{Text: strconv.Itoa(len(r.Layout.Sheets) - r.Whole())}, {Text: percent(r.Share())}, {Text: waste.Show(style)}, {Text: missing}})
	}
	for _, l := range left {
		name := l.Material
		if name == "" {
			name = "no material named"
		}
		t.Rows = append(t.Rows, []Cell{{Text: name}, {Text: "–"}, {Text: "–"}, {Text: "–"}, {Text: "–"}, {Text: l.Why}})
	}
	return t
}

// laidTable lists the pieces of one material by their numbers on the sheets.
func (b *Book) laidTable(from string, r *layout.Result) Table {
	t := Table{Caption: "On the sheets of " + r.Material, Columns: []Column{{"no.", true}, {"piece", false}, {"hand", false}, {"copies", true}, {"size", true}}}
	for i, row := range r.Rows {
		t.Rows = append(t.Rows, []Cell{{Text: strconv.Itoa(i + 1)}, {Text: b.called(row, listed{}), Href: b.ToBlock(from, row.Block)},
			{Text: dash(row.Hand)}, {Text: strconv.Itoa(row.Count)}, {Text: b.size(row)}})
	}
	return t
}
