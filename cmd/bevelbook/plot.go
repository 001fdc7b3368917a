package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/spell"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/render/template"
)

var plot = command{
	name: "plot", usage: "[DIR] [PART…] [--out OUT] [--as pdf,svg,dxf] [--paper a4] [--hand left] [--material foam10] [--sheets]",
	doc: "writes cut templates at full size, and nothing else",
	long: "PART is forearm.cheek, cheek, or a whole section such as forearm; all parts if none is named. --hand and\n" +
		"--material keep those of one hand (a part that needs no hand serves both) and of one sheet. Print at\n" +
		"100 %, without fitting to the page, and measure the 50 mm square on every sheet before you cut.\n\n" +
		"--sheets lays the parts out on whole sheets and offcuts instead, as the journal's layout block over the build\n" +
		"asks: SVG and DXF at full size, PDF as a map with one sheet of foam a page.",
	run: runPlot,
}

// plotters write pieces in a format; each gets the paper asked for and tells which characters it could
// not write.
var plotters = map[string]func(w io.Writer, title string, pieces []draw.Drawing, paper template.Paper) ([]rune, error){
	"pdf": func(w io.Writer, title string, pieces []draw.Drawing, paper template.Paper) ([]rune, error) {
		return template.PDF(w, template.Set{Title: title, Paper: paper, Pieces: pieces})
	},
	"svg": func(w io.Writer, title string, pieces []draw.Drawing, _ template.Paper) ([]rune, error) {
		_, err := w.Write(template.SVG(title, pieces))
		return nil, err
	},
	"dxf": func(w io.Writer, _ string, pieces []draw.Drawing, _ template.Paper) ([]rune, error) {
		_, err := w.Write(template.DXF(pieces))
		return nil, err
	},
}

// pick narrows what is plotted.
type pick struct {
	hand, material string // "" for any
}

// hands that a maker may pick.
var hands = []string{string(part.Left), string(part.Right)}

// takes tells whether a row is wanted. A row without a hand serves both.
func (p pick) takes(r journal.Row) bool {
	return (p.hand == "" || r.Hand == "" || r.Hand == p.hand) && (p.material == "" || r.Part.Material == p.material)
}

// from keeps the wanted rows. A material of which nothing at all is cut is likely mistyped.
func (p pick) from(rows []journal.Row) ([]journal.Row, error) {
	var kept []journal.Row
	var materials []string
	for _, r := range rows {
		if r.Part.Material != "" && !slices.Contains(materials, r.Part.Material) {
			materials = append(materials, r.Part.Material)
		}
		if p.takes(r) {
			kept = append(kept, r)
		}
	}
	if p.material != "" && !slices.Contains(materials, p.material) {
		return nil, fmt.Errorf("none of these parts is cut from %s%s", p.material, didYouMean(p.material, materials))
	}
	return kept, nil
}

func runPlot(c *call) int {
	out := c.flags.String("out", "templates", "`folder` for the templates")
	as := c.flags.String("as", "pdf", "`formats`, separated by commas: pdf, svg, dxf")
	name := c.flags.String("paper", "a4", "`paper` for pdf: a4, a3, letter, tabloid, roll:914mm, …")
	onSheets := c.flags.Bool("sheets", false, "lay the parts out on their sheets of material")
	var only pick
	c.flags.StringVar(&only.hand, "hand", "", "`side` to keep, left or right; both if left out")
	c.flags.StringVar(&only.material, "material", "", "`sheet` to keep, by its name; all if left out")
	rest, code, ok := c.parse(-1)
	if !ok {
		return code
	}
	paper, err := template.ParsePaper(*name)
	if err != nil {
		return c.wrong("%v", err)
	}
	formats := strings.Split(*as, ",")
	for i, f := range formats {
		formats[i] = strings.TrimSpace(f)
		if plotters[formats[i]] == nil {
			return c.wrong("templates are written as pdf, svg or dxf, not %s", f)
		}
	}
	if only.hand != "" && !slices.Contains(hands, only.hand) {
		return c.wrong("a hand is left or right, not %s", only.hand)
	}
	dir, rest := journalAmong(rest)
	o, err := c.open(dir, "")
	if err != nil {
		return c.fault(err)
	}
	rows, err := chosen(o.snap, rest)
	if err == nil {
		rows, err = only.from(rows)
	}
	if err != nil {
		return c.wrong("%v", err)
	}
	c.short(o.found)
	if len(rows) == 0 {
		fmt.Fprintln(c.err, noParts)
		return exitOf(o.found)
	}
	plot := c.plotRows
	if *onSheets {
		plot = c.plotSheets
	}
	if err := plot(o.snap, rows, *out, formats, paper); err != nil {
		return c.fault(err)
	}
	return exitOf(o.found)
}

// journalAmong tells the journal's folder from the names of parts: the first argument is the folder
// if it is a journal, or if it must be one because this folder is none or a name has no slash.
func journalAmong(rest []string) (dir string, parts []string) {
	if len(rest) == 0 {
		return ".", nil
	}
	if isJournal(rest[0]) || strings.ContainsAny(rest[0], `/\`) || !isJournal(".") {
		return rest[0], rest[1:]
	}
	return ".", rest
}

func isJournal(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, journal.HomeName))
	return err == nil
}

// chosen picks the rows of the parts and sections that were named; all if none was.
func chosen(s *journal.Snapshot, names []string) ([]journal.Row, error) {
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
	space, part, dotted := strings.Cut(name, ".")
	var inside, all []string
	for _, r := range s.Ledger.Rows {
		all = append(all, r.Part.Name, r.Part.Section)
		if dotted && r.Part.Section == space {
			inside = append(inside, r.Part.Name)
		}
		if dotted && r.Part.Section != space {
			all = append(all, r.ID())
		}
	}
	near := spell.Nearest(name, all)
	if len(inside) > 0 { // the section is right: only the part can be mistyped
		if near = spell.Nearest(part, inside); near != "" {
			near = space + "." + near
		}
	}
	if near != "" {
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
	joined := s.Joined()
	var sections []string
	pieces := map[string][]draw.Drawing{}
	for _, r := range rows {
		name := r.Part.Section
		if !slices.Contains(sections, name) {
			sections = append(sections, name)
		}
		meta.Count = r.Count
		pieces[name] = append(pieces[name], template.Piece(joined.Part(r.Part), r.Hand, meta))
	}
	var missing []rune
	for _, name := range sections {
		for _, format := range formats {
			title, file := plotName(s.Settings.Title, name, format, paper)
			lacks, err := c.plotFile(filepath.Join(out, file), title, pieces[name], format, paper)
			if err != nil {
				return err
			}
			missing = append(missing, lacks...)
		}
	}
	c.unwritten(missing)
	return nil
}

// unwritten says once which characters the font of the templates lacks.
func (c *call) unwritten(missing []rune) {
	if len(missing) == 0 {
		return
	}
	slices.Sort(missing)
	var list []string
	for _, r := range slices.Compact(missing) {
		name := fmt.Sprintf("U+%04X", r)
		if unicode.IsPrint(r) {
			name = fmt.Sprintf("%c (%s)", r, name)
		}
		list = append(list, name)
	}
	fmt.Fprintf(c.err, "the templates' font has no %s; a box stands in its place\n", strings.Join(list, ", "))
}

// plotName is the title and the file of a section's templates; only pages of a PDF have a paper.
func plotName(build, section, format string, paper template.Paper) (title, file string) {
	title, file = build+": "+section, section
	if section == "" {
		title, file = build, "loose-parts" // no section has a hyphen in its name
	}
	if format == "pdf" {
		file += "-" + strings.ReplaceAll(paper.Name, ":", "-")
	}
	return title, file + "." + format
}

func (c *call) plotFile(path, title string, pieces []draw.Drawing, format string, paper template.Paper) (missing []rune, err error) {
	var buf bytes.Buffer
	if missing, err = plotters[format](&buf, title, pieces, paper); err != nil {
		return nil, err
	}
	written, err := writeChanged(path, buf.Bytes())
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(c.err, "%s: %s, %s\n", path, counted(len(pieces), "template"), states[written])
	return missing, nil
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// writeChanged writes a file through a neighbour and a rename, and only if its bytes differ.
func writeChanged(path string, data []byte) (written bool, err error) {
	if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, data) {
		return false, nil
	}
	tmp := path + ".part"
	if err := os.WriteFile(tmp, data, 0o644); err != nil {
		os.Remove(tmp)
		return false, err
	}
	return true, os.Rename(tmp, path)
}
