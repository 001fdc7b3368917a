package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/render/template"
)

// plotSheets lays rows out on their sheets and writes a file a material and format.
func (c *call) plotSheets(s *journal.Snapshot, rows []journal.Row, out string, formats []string, paper template.Paper) error {
	results, left, err := c.laid(s, layout.ForBuild(s), rows)
	if err != nil {
		return err
	}
	for _, l := range left {
		name := l.Material
		if name == "" {
			name = "no material named"
		}
		fmt.Fprintf(c.err, "%s is not laid out: %s\n", name, l.Why)
	}
	if len(results) == 0 {
		return fmt.Errorf("none of these parts is cut from a material with a sheet size")
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	for i := range results {
		r := &results[i]
		c.tellSheets(r, s.Settings.Style)
		for _, format := range formats {
			if err := c.plotLaid(s, r, out, format, paper); err != nil {
				return err
			}
		}
	}
	return nil
}

// tellSheets prints what a material takes.
func (c *call) tellSheets(r *layout.Result, style unit.Style) {
	waste := 0.0
	for _, u := range r.Layout.Sheets {
		size := r.Job.Sheets[u.Sheet]
		waste += size.Width*size.Height - u.Area
	}
	offcuts := len(r.Layout.Sheets) - r.Whole()
	text := counted(r.Whole(), "sheet")
	if offcuts > 0 {
		text += " and " + counted(offcuts, "offcut")
	}
	fmt.Fprintf(c.out, "%s: %s, %.0f %% of their area is parts, %s waste\n", r.Material, text, 100*r.Share(), eval.Num(waste, unit.Area).Show(style))
	for _, m := range r.Missing() {
		fmt.Fprintf(c.out, "%s: %s\n", r.Material, m)
	}
}

// plotLaid writes one material's sheets in a format.
func (c *call) plotLaid(s *journal.Snapshot, r *layout.Result, out, format string, paper template.Paper) error {
	var drawings []draw.Drawing
	for _, sheet := range r.Sheets() {
		drawings = append(drawings, r.Drawing(sheet, s.Settings.Style, false))
	}
	if len(drawings) == 0 {
		return nil
	}
	title, file := s.Settings.Title+": sheets of "+r.Material, "sheets-"+r.Material+"."+format
	var buf bytes.Buffer
	var missing []rune
	var err error
	switch format {
	case "pdf":
		file = "sheets-" + r.Material + "-" + strings.ReplaceAll(paper.Name, ":", "-") + ".pdf"
		missing, err = template.Overview(&buf, title, paper, drawings)
	default:
		missing, err = plotters[format](&buf, title, drawings, paper)
	}
	if err != nil {
		return err
	}
	written, err := writeChanged(filepath.Join(out, file), buf.Bytes())
	if err != nil {
		return err
	}
	fmt.Fprintf(c.err, "%s: %s, %s\n", filepath.Join(out, file), counted(len(drawings), "sheet"), states[written])
	c.unwritten(missing)
	return nil
}

// states say what became of a file.
var states = map[bool]string{true: "written", false: "as it was"}
