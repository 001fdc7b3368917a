package ledger

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"text/tabwriter"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal/shopping"
)

// Bought is one line of the shopping list as JSON gives it.
type Bought struct {
	Name     string  `json:"name"`
	Use      string  `json:"use"`
	Area     float64 `json:"area_mm2"`
	Coats    int     `json:"coats"`
	Volume   float64 `json:"volume_mm3"`
	Spare    float64 `json:"spare_share"`
	Whole    int     `json:"sheets_or_packs"`
	Laid     bool    `json:"laid_out"`
	Used     float64 `json:"sheet_use_share"`
	Price    float64 `json:"price"`
	Currency string  `json:"currency"`
	Done     float64 `json:"used_up_share"`
}

// ShoppingJSON writes the list as an array of objects.
func ShoppingJSON(w io.Writer, list shopping.List) error {
	rows := []Bought{}
	for _, l := range list.Lines {
		rows = append(rows, Bought{l.Name, l.Use, tidy(l.Faces), l.Coats, tidy(l.Volume), l.Spare, l.Whole, l.Laid, tidy(l.Used), tidy(l.Price), l.Currency, tidy(l.Done)})
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(rows)
}

// ShoppingCSV writes one line a thing (RFC 4180), a header with units first.
func ShoppingCSV(w io.Writer, list shopping.List) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	c.Write([]string{"name", "use", "area (mm²)", "coats", "volume (ml)", "spare (%)", "sheets or packs", "sheet use (%)", "price", "currency", "used up (%)"})
	for _, l := range list.Lines {
		c.Write([]string{plain(l.Name), l.Use, number(l.Faces, 1), strconv.Itoa(l.Coats), number(l.Volume/1000, 1), number(100*l.Spare, 1),
			strconv.Itoa(l.Whole), number(100*l.Used, 1), number(l.Price, 2), plain(l.Currency), number(100*l.Done, 1)})
	}
	c.Flush()
	return c.Error()
}

// ShoppingText writes the list for a terminal, with totals and the weight of each section.
func ShoppingText(w io.Writer, list shopping.List, style unit.Style) error {
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	fmt.Fprintln(t, "WHAT\tFOR\tCOVERS\tTAKES\tBUY\tPRICE\tUSED UP")
	for _, l := range list.Lines {
		takes, buy := "–", "–"
		if l.Volume > 0 {
			takes = shopping.Volume(l.Volume, style)
		}
		if l.Whole > 0 {
			buy = strconv.Itoa(l.Whole)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", dash(l.Name), l.Use, shopping.Area(l.Faces, style), takes, buy, money(l.Price, l.Currency, style), done(l.Done, list.Tallied))
	}
	fmt.Fprintln(t)
	for _, total := range list.Totals {
		fmt.Fprintf(t, "ALL\t%s\n", money(total.Price, total.Currency, style))
		if list.Tallied {
			fmt.Fprintf(t, "SO FAR\t%s\nTO FINISH\t%s\n", money(total.SoFar, total.Currency, style), money(total.Price-total.SoFar, total.Currency, style))
		}
	}
	fmt.Fprintln(t)
	fmt.Fprintln(t, "SECTION\tFOAM\tAGAINST THE BODY")
	for _, s := range list.Weights {
		fmt.Fprintf(t, "%s\t%s\t%s\n", dash(s.Section), weight(s.Foam, style), weight(s.Facing, style))
	}
	fmt.Fprintf(t, "worn at once\t%s\n", weight(list.Foam, style))
	return t.Flush()
}

func money(v float64, currency string, style unit.Style) string {
	if currency == "" {
		return "–"
	}
	return eval.Num(v, unit.Money(currency)).Show(style)
}

func done(share float64, tallied bool) string {
	if !tallied {
		return "–"
	}
	return strconv.Itoa(int(math.Round(100*share))) + " %"
}
