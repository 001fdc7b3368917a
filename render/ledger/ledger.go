// Package ledger writes the list of parts to cut as text, CSV and JSON, with units in every header.
// Lengths are in mm, angles in degrees, weights in grams; curves are flattened to 0.01 mm. A row is
// one template in one hand; the outline of the other hand of a pair is the mirrored one.
package ledger

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

// Flatness is how far a flattened curve may lie from the true one, in mm.
const Flatness = 0.01

// Part is one row as JSON gives it.
type Part struct {
	Section   string       `json:"section"`
	Part      string       `json:"part"`
	Layer     string       `json:"layer"`
	Hand      string       `json:"hand"`
	Count     int          `json:"count"`
	Material  string       `json:"material"`
	Thickness float64      `json:"thickness_mm"`
	Outline   [][2]float64 `json:"outline"`
	Back      [][2]float64 `json:"back"`
	Edges     []Edge       `json:"edges"`
	Area      float64      `json:"area_mm2"`
	Weight    float64      `json:"weight_g"`
}

// Edge is one edge of a row.
type Edge struct {
	Name       string  `json:"name"`
	Length     float64 `json:"length_mm"`
	BackLength float64 `json:"back_length_mm"`
	Bevel      float64 `json:"bevel_deg"`
	Run        float64 `json:"run_mm"`
}

// Rows turns the ledger's rows into plain numbers.
func Rows(rows []journal.Row) []Part {
	list := make([]Part, 0, len(rows))
	for _, r := range rows {
		show, back := r.Outlines()
		p := Part{
			Section: r.Part.Section, Part: r.Part.Name, Layer: r.Part.Layer, Hand: r.Hand, Count: r.Count,
			Material: r.Part.Material, Thickness: tidy(r.Part.Thickness),
			Outline: points(show.Flatten(Flatness)), Back: points(back.Flatten(Flatness)),
			Area: tidy(r.Part.Area), Weight: tidy(r.Part.Weight), Edges: []Edge{},
		}
		for _, e := range r.Edges() {
			p.Edges = append(p.Edges, Edge{e.Name, tidy(e.Length), tidy(e.BackLength), tidy(e.Bevel * 180 / math.Pi), tidy(e.Run)})
		}
		list = append(list, p)
	}
	return list
}

func points(pts []r2.Vec) [][2]float64 {
	list := make([][2]float64, len(pts))
	for i, p := range pts {
		list[i] = [2]float64{tidy(p.X), tidy(p.Y)}
	}
	return list
}

// tidy takes off the last bits of a sum, a millionth of a millionth of a build's size.
func tidy(v float64) float64 {
	const digits = 1e9
	r := math.Round(v*digits) / digits
	if r == 0 {
		return 0 // no -0
	}
	return r
}

// JSON writes the rows as a list of objects, one a line.
func JSON(w io.Writer, rows []journal.Row) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	b.WriteByte('[')
	for i, p := range Rows(rows) {
		if i > 0 {
			b.Truncate(b.Len() - 1) // the encoder's line end
			b.WriteByte(',')
		}
		b.WriteByte('\n')
		if err := enc.Encode(p); err != nil {
			return err
		}
	}
	b.WriteString("]\n")
	_, err := w.Write(b.Bytes())
	return err
}

// CSV writes one line a row (RFC 4180), a header with units first.
func CSV(w io.Writer, rows []journal.Row) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	c.Write([]string{"section", "part", "layer", "hand", "count", "material", "thickness (mm)", "width (mm)", "height (mm)", "area (mm²)", "weight (g)", "bevels (deg)"})
	for _, r := range rows {
		box := r.Part.Show.Bounds()
		var bevels []string
		for _, e := range r.Edges() {
			bevels = append(bevels, e.Name+" "+number(e.Bevel*180/math.Pi, 2))
		}
		c.Write([]string{plain(r.Part.Section), plain(r.Part.Name), plain(r.Part.Layer), r.Hand, strconv.Itoa(r.Count), plain(r.Part.Material),
			number(r.Part.Thickness, 3), number(box.Max.X-box.Min.X, 3), number(box.Max.Y-box.Min.Y, 3),
			number(r.Part.Area, 1), number(r.Part.Weight, 1), strings.Join(bevels, "; ")})
	}
	c.Flush()
	return c.Error()
}

// plain keeps a spreadsheet from reading a name as a formula.
func plain(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

func number(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Text writes a table for a terminal in the journal's own units, with the totals of each material.
func Text(w io.Writer, rows []journal.Row, uses []journal.Use, style unit.Style) error {
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	fmt.Fprintln(t, "PART\tLAYER\tHAND\tCUT\tMATERIAL\tSIZE\tWEIGHT EACH")
	for _, r := range rows {
		box := r.Part.Show.Bounds()
		mm := func(v float64) string { return eval.Num(v, unit.Length).Show(style) }
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\t%s × %s\t%s\n", r.ID(), dash(r.Part.Layer), dash(r.Hand), r.Count, dash(r.Part.Material),
			mm(box.Max.X-box.Min.X), mm(box.Max.Y-box.Min.Y), weight(r.Part.Weight, style))
	}
	fmt.Fprintln(t)
	fmt.Fprintln(t, "MATERIAL\tPIECES\tAREA\tWEIGHT\tSHEETS AT LEAST\tPRICE")
	for _, u := range uses {
		price := "–"
		if u.Currency != "" {
			price = eval.Num(u.Price, unit.Money(u.Currency)).Show(style)
		}
		sheets := "–"
		if u.Sheets > 0 {
			sheets = strconv.Itoa(u.Sheets)
		}
		fmt.Fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s\n", dash(u.Name), u.Pieces, eval.Num(u.Area, unit.Area).Show(style), weight(u.Weight, style), sheets, price)
	}
	return t.Flush()
}

func weight(g float64, style unit.Style) string {
	if g == 0 {
		return "–"
	}
	return eval.Num(g, unit.Mass).Show(style)
}

func dash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
