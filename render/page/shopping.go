package page

import (
	"math"
	"strconv"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal/shopping"
)

// listShopping is the shopping list as a block shows it; it is always that of the whole build.
func (b *Book) listShopping(l listed) Table {
	return b.ShoppingTable(l.from, b.Shopping())
}

// ShoppingTable is what to buy, with its price.
func (b *Book) ShoppingTable(from string, list shopping.List) Table {
	t := Table{Caption: "What to buy for the whole build", Columns: []Column{{"what", false}, {"for", false}, {"it covers", true}, {"takes", true}, {"buy", true}, {"price", true}}}
	if list.Tallied {
		t.Columns = append(t.Columns, Column{"used up", true})
	}
	for _, line := range list.Lines {
		row := []Cell{{Text: line.Name}, {Text: purpose(line)}, {Text: shopping.Area(line.Faces, b.Snapshot.Settings.Style)}, {Text: b.taken(line)}, {Text: bought(line)}, {Text: b.money(line.Price, line.Currency)}}
		if line.Name == "" {
			row[0].Text = "no material named"
		}
		if line.Block != nil {
			row[0].Href = b.ToBlock(from, line.Block)
		}
		if list.Tallied {
			row = append(row, Cell{Text: percent(line.Done)})
		}
		t.Rows = append(t.Rows, row)
	}
	if len(list.Totals) == 1 {
		t.Foot = make([]Cell, len(t.Columns))
		t.Foot[0].Text, t.Foot[5].Text = "all", b.money(list.Totals[0].Price, list.Totals[0].Currency)
	}
	return t
}

// purpose says what a line is for, and how often it goes on.
func purpose(l shopping.Line) string {
	switch {
	case l.Use == "sheet":
		return "parts"
	case l.Coats > 1:
		return l.Use + ", " + strconv.Itoa(l.Coats) + " coats"
	}
	return l.Use
}

// taken is how much of it the build takes: of sheets, how well they are used.
func (b *Book) taken(l shopping.Line) string {
	switch {
	case l.Use == "sheet" && l.Used > 0:
		return percent(l.Used) + " of its sheets"
	case l.Volume > 0:
		return shopping.Volume(l.Volume, b.Snapshot.Settings.Style)
	}
	return "–"
}

// bought is what to ask for in the shop.
func bought(l shopping.Line) string {
	switch {
	case l.Whole == 0:
		return "–"
	case l.Use != "sheet":
		return many(l.Whole, "pack")
	case l.Laid:
		return many(l.Whole, "sheet")
	}
	return "at least " + many(l.Whole, "sheet")
}

func many(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

func (b *Book) money(v float64, currency string) string {
	if currency == "" {
		return "–"
	}
	return eval.Num(v, unit.Money(currency)).Show(b.Snapshot.Settings.Style)
}

func percent(share float64) string { return strconv.Itoa(int(math.Round(100*share))) + " %" }

// WeightTable is what each section weighs.
func (b *Book) WeightTable(from string, list shopping.List) Table {
	t := Table{Caption: "What the foam weighs", Columns: []Column{{"section", false}, {"foam", true}, {"of it against the body", true}}}
	if list.Tallied {
		t.Columns = append(t.Columns, Column{"cut", true}, Column{"painted", true})
	}
	for _, w := range list.Weights {
		if w.Foam == 0 {
			continue
		}
		row := []Cell{{Text: "without a section"}, {Text: b.weight(w.Foam)}, {Text: b.weight(w.Facing)}}
		if w.Section != "" {
			row[0] = Cell{Text: SectionTitle(w.Section), Href: b.toSection(from, w.Section)}
		}
		if list.Tallied {
			row = append(row, Cell{Text: percent(w.Done)}, Cell{Text: percent(w.Finished)})
		}
		t.Rows = append(t.Rows, row)
	}
	t.Foot = make([]Cell, len(t.Columns))
	t.Foot[0].Text, t.Foot[1].Text = "worn at once", b.weight(list.Foam)
	return t
}

// CostFacts are what the build costs, and how much of it is worked up where tallies say so.
func (b *Book) CostFacts(list shopping.List) Facts {
	var facts Facts
	for _, t := range list.Totals {
		facts = append(facts, Fact{Name: "To buy", Value: b.money(t.Price, t.Currency)})
		if list.Tallied {
			facts = append(facts, Fact{Name: "Worked up so far", Value: b.money(t.SoFar, t.Currency)},
				Fact{Name: "Still to work up", Value: b.money(t.Price-t.SoFar, t.Currency)})
		}
	}
	return facts
}
