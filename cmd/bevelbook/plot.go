package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/spell"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/render/template"
)

var plot = command{
	name: "plot", usage: "[DIR] [PART…] [--out OUT] [--as pdf,svg,dxf] [--paper a4]",
	doc: "writes cut templates at full size, and nothing else",
	long: "PART is forearm.cheek, cheek, or a whole section such as forearm; all parts if none is named. Print at\n" +
		"100 %, without fitting to the page, and measure the 50 mm square on every sheet before you cut.",
	run: runPlot,
}

// plotters write pieces in a format; each gets the papers asked for.
var plotters = map[string]func(w io.Writer, title string, pieces []draw.Drawing, paper template.Paper) error{
	"pdf": func(w io.Writer, title string, pieces []draw.Drawing, paper template.Paper) error {
		_, err := template.PDF(w, template.Set{Title: title, Paper: paper, Pieces: pieces})
		return err
	},
	"svg": func(w io.Writer, title string, pieces []draw.Drawing, _ template.Paper) error {
		_, err := w.Write(template.SVG(title, pieces))
		return err
	},
	"dxf": func(w io.Writer, _ string, pieces []draw.Drawing, _ template.Paper) error {
		_, err := w.Write(template.DXF(pieces))
		return err
	},
}

func runPlot(c *call) int {
	out := c.flags.String("out", "templates", "`folder` for the templates")
	as := c.flags.String("as", "pdf", "`formats`, separated by commas: pdf, svg, dxf")
	name := c.flags.String("paper", "a4", "`paper` for pdf: a4, a3, letter, tabloid, roll:914mm, …")
	rest, code, ok := c.parse(-1)
	if !ok {
		return code
	}
	paper, err := template.ParsePaper(*name)
	if err != nil {
		return c.wrong("%v", err)
	}
	formats := strings.Split(*as, ",")
	for _, f := range formats {
		if plotters[f] == nil {
			return c.wrong("templates are written as pdf, svg or dxf, not %s", f)
		}
	}
	dir := "."
	if len(rest) > 0 && isJournal(rest[0]) {
		dir, rest = rest[0], rest[1:]
	}
	o, err := c.open(dir, *out)
	if err != nil {
		return c.fault(err)
	}
	rows, err := chosen(o.snap, rest)
	if err != nil {
		return c.wrong("%v", err)
	}
	c.short(o.found)
	if err := c.plotRows(o.snap, rows, *out, formats, paper); err != nil {
		return c.fault(err)
	}
	return exitOf(o.found)
}

func isJournal(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, journal.HomeName))
	return err == nil
}

// chosen picks the rows of the parts and sections that were named; all if none was.
func chosen(s *journal.Snapshot, names []string) ([]journal.Row, error) {
	if len(s.Ledger.Rows) == 0 {
		return nil, fmt.Errorf("this journal has no parts yet")
	}
	if len(names) == 0 {
		return s.Ledger.Rows, nil
	}
	var rows []journal.Row
	for _, name := range names {
		before := len(rows)
		for _, r := range s.Ledger.Rows {
			if r.ID() == name || r.Part.Name == name || r.Part.Section == name {
				rows = append(rows, r)
			}
		}
		if len(rows) == before {
			return nil, noPart(s, name)
		}
	}
	return rows, nil
}

func noPart(s *journal.Snapshot, name string) error {
	var known []string
	for _, r := range s.Ledger.Rows {
		known = append(known, r.ID(), r.Part.Section)
	}
	if near := spell.Nearest(name, known); near != "" {
		return fmt.Errorf("no part is called %s; did you mean %s?", name, near)
	}
	return fmt.Errorf("no part is called %s; `bevelbook parts` lists them", name)
}

// plotRows writes one file a section and format.
func (c *call) plotRows(s *journal.Snapshot, rows []journal.Row, out string, formats []string, paper template.Paper) error {
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	meta := template.Meta{Length: func(v float64) string { return eval.Num(v, unit.Length).Show(s.Settings.Style) }}
	var sections []string
	bySection := map[string][]draw.Drawing{}
	for _, r := range rows {
		name := r.Part.Section
		if !slices.Contains(sections, name) {
			sections = append(sections, name)
		}
		meta.Count = r.Count
		bySection[name] = append(bySection[name], template.Piece(*r.Part, r.Hand, meta))
	}
	for _, name := range sections {
		title, file := s.Settings.Title+": "+name, name
		if name == "" {
			title, file = s.Settings.Title, "parts"
		}
		for _, f := range formats {
			if f == "pdf" {
				file += "-" + strings.ReplaceAll(paper.Name, ":", "-")
			}
			path := filepath.Join(out, file+"."+f)
			var buf bytes.Buffer
			if err := plotters[f](&buf, title, bySection[name], paper); err != nil {
				return err
			}
			if err := writeChanged(path, buf.Bytes()); err != nil {
				return err
			}
			fmt.Fprintf(c.err, "%s: %d pieces\n", path, len(bySection[name]))
			file = strings.TrimSuffix(file, "-"+strings.ReplaceAll(paper.Name, ":", "-"))
		}
	}
	return nil
}

// writeChanged writes a file through a neighbour and a rename, and only if its bytes differ.
func writeChanged(path string, data []byte) error {
	if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, data) {
		return nil
	}
	tmp := path + ".part"
	if err := os.WriteFile(tmp, data, 0o644); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}
