package entry

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/yuin/goldmark/text"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// FuzzRead holds every page to: no panic, text that is UTF-8, spans inside the file, lines of a block
// that are the lines of the fence, and block and code nodes that render from Source.
func FuzzRead(f *testing.F) {
	cases, _ := filepath.Glob("testdata/*.txtar")
	pages, _ := filepath.Glob("../../sample-build/log/*.md")
	for _, name := range append(cases, pages...) {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		if _, page, found := strings.Cut(string(data), "-- page.md --\n"); found {
			data = []byte(page)
		}
		f.Add(string(data), false)
		f.Add(string(data), true)
		f.Add(strings.ReplaceAll(string(data), "\n", "\r\n"), false)
	}
	for _, s := range []string{"-\t```\n\n\ta\n", "> -\t~~~ x\n>\n> \tb", "---\na: \u2028b\nt", "\xff\xfe---\n", "[a]: b\n![![x](y)][a]", "`->\n>a`", "```\n0\r\r"} {
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, isJournal bool) {
		doc, faults := Read("log/page.md", s, isJournal)
		checkSpans(t, doc, faults)
		checkLines(t, doc)
		var page bytes.Buffer
		if err := Markdown.Renderer().Render(&page, doc.Source, doc.Root); err != nil {
			t.Error(err)
		}
	})
}

func checkSpans(t *testing.T, doc *Document, faults []finding.Finding) {
	t.Helper()
	if !utf8.ValidString(doc.File.Text) || doc.File.Text != string(doc.Source) {
		t.Error("the text is not UTF-8, or not what goldmark read")
	}
	inside := func(what string, at source.Span) {
		if at.File != doc.File || at.Start < 0 || at.Start > at.End || at.End > len(doc.File.Text) ||
			!utf8.ValidString(at.Text()) || !utf8.ValidString(doc.File.Text[:at.Start]) {
			t.Errorf("%s: span %d to %d of %d", what, at.Start, at.End, len(doc.File.Text))
		}
	}
	for key, at := range doc.Front.At {
		inside(key, at)
	}
	for _, a := range doc.Front.Accept {
		inside("accept", a.At)
	}
	for _, f := range faults {
		inside(f.Name, f.At)
	}
	end := doc.Body
	for _, b := range doc.Blocks {
		inside("info", b.Info)
		inside("fence", b.Fence)
		if b.Fence.Start < end {
			t.Errorf("block at %d begins before the end of the one above, %d", b.Fence.Start, end)
		}
		end = b.Fence.End
		for _, at := range b.Lines {
			inside("line", at)
			if strings.Contains(at.Text(), "\n") || at.Start < b.Fence.Start || at.End > b.Fence.End {
				t.Errorf("line %q is not a line of its block", at.Text())
			}
		}
	}
	for _, s := range doc.Spans {
		inside("span", s.At)
	}
	for _, h := range doc.Headings {
		inside("heading", h.At)
	}
	for _, l := range doc.Links {
		inside("link", l.At)
	}
	for _, i := range doc.Images {
		inside("image", i.At)
	}
}

// checkLines compares the lines of each block with what goldmark renders of it: the same but for the
// columns that a tab was cut to.
func checkLines(t *testing.T, doc *Document) {
	t.Helper()
	for _, b := range doc.Blocks {
		if mark := doc.File.Text[b.Fence.Start]; mark != '`' && mark != '~' {
			t.Errorf("the fence begins with %q", mark)
		}
		for i, at := range b.Lines {
			seg := b.Node.Lines().At(i)
			seg = text.NewSegmentPadding(seg.Start, seg.Stop, seg.Padding)
			want := strings.TrimRight(string(seg.Value(doc.Source)), "\r\n")
			if got := at.Text(); strings.TrimLeft(got, " \t") != strings.TrimLeft(strings.TrimRight(want, "\r\n"), " \t") && strings.TrimSpace(want) != "" {
				t.Errorf("line %d of the block is %q, rendered as %q", i, got, want)
			}
		}
	}
}
