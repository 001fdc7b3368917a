package page

import "html/template"

// Table is a table of a ledger or a card. It scrolls in a box of its own where the page is narrow.
type Table struct {
	Caption string
	Columns []Column
	Rows    [][]Cell
	Foot    []Cell // totals, or nil
}

// Column is a heading; the cells of a number's column are set flush right.
type Column struct {
	Name   string
	Number bool
}

// Cell is words that may lead somewhere. A private cell shows only that it is one.
type Cell struct {
	Text, Href string
	Private    bool
}

// HTML writes the table in its box.
func (t Table) HTML() template.HTML {
	var w writer
	t.append(&w)
	return template.HTML(w.out)
}

func (t *Table) append(w *writer) {
	w.str(`<div class="scroll" role="region" tabindex="0" aria-label="`)
	if t.Caption == "" {
		w.str(`Table`)
	}
	w.text(t.Caption)
	w.str("\"><table class=\"ledger\">")
	w.wrapped(`<caption>`, t.Caption, `</caption>`)
	w.str("<thead><tr>")
	for _, c := range t.Columns {
		if c.Number {
			w.str(`<th scope="col" class="n">`)
		} else {
			w.str(`<th scope="col">`)
		}
		w.text(c.Name)
		w.str(`</th>`)
	}
	w.str("</tr></thead><tbody>\n")
	for _, row := range t.Rows {
		t.row(w, row)
	}
	w.str("</tbody>")
	if t.Foot != nil {
		w.str("<tfoot>")
		t.row(w, t.Foot)
		w.str("</tfoot>")
	}
	w.str("</table></div>\n")
}

// row heads each line by its first cell.
func (t *Table) row(w *writer, cells []Cell) {
	w.str(`<tr>`)
	for i, c := range cells {
		end := `</td>`
		switch {
		case i == 0:
			w.str(`<th scope="row">`)
			end = `</th>`
		case i < len(t.Columns) && t.Columns[i].Number:
			w.str(`<td class="n">`)
		default:
			w.str(`<td>`)
		}
		if c.Private {
			w.str(keptPrivate)
		} else {
			w.link(Link{c.Text, c.Href})
		}
		w.str(end)
	}
	w.str("</tr>\n")
}
