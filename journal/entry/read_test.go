package entry

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestPagesReadAsTheirCasesSay reads each testdata/*.txtar: a page.md or journal.md, and what is
// read from it as text under `want`.
func TestPagesReadAsTheirCasesSay(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			ar, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			page := ar.Files[0]
			doc, faults := Read(page.Name, string(page.Data), page.Name == "journal.md")
			got := describe(doc, faults)
			if *update {
				ar.Files = []txtar.File{page, {Name: "want", Data: []byte(got)}}
				if err := os.WriteFile(name, txtar.Format(ar), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if want := string(ar.Files[1].Data); got != want {
				t.Errorf("got:\n%s\nwant:\n%s", got, want)
			}
		})
	}
}

// describe writes what was read, one thing a line: place, what it is, the text that its span covers.
func describe(doc *Document, faults []finding.Finding) string {
	var b strings.Builder
	line := func(at source.Span, format string, args ...any) {
		p := at.Place()
		fmt.Fprintf(&b, "%d:%d %s <%s>\n", p.Line, p.Column, fmt.Sprintf(format, args...), strings.ReplaceAll(at.Text(), "\n", "⏎"))
	}
	for _, k := range keys {
		if at, read := doc.Front.At[k.name]; read {
			line(at, "%s", k.name)
		}
	}
	fmt.Fprintf(&b, "share %v, minutes %v, sides %v\n", doc.Front.Share, doc.Front.Minutes, doc.Front.Sides)
	for _, a := range doc.Front.Accept {
		line(a.At, "accepts %q of %q: %s", a.Finding, a.Part, a.Reason)
	}
	for _, block := range doc.Blocks {
		line(block.Info, "block %q %q", block.Kind, block.Name)
		line(block.Fence, "  fence")
		for _, at := range block.Lines {
			line(at, "  line")
		}
	}
	for _, s := range doc.Spans {
		line(s.At, "span")
	}
	for _, h := range doc.Headings {
		line(h.At, "heading %d %q #%s", h.Level, h.Text, h.ID)
	}
	for _, l := range doc.Links {
		line(l.At, "link %q", l.Target)
	}
	for _, i := range doc.Images {
		line(i.At, "image %q %q", i.Target, i.Alt)
	}
	for _, f := range faults {
		line(f.At, "%v %s: %s; %s", f.Severity, f.Name, f.Message, f.Help)
	}
	return b.String()
}
