package entry

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
)

// TestReadingGivesThePageThatGoldmarkAloneGives renders pages with and without what Read does around
// goldmark: skipping front matter, spans, blocks. The judge is goldmark set up by itself.
func TestReadingGivesThePageThatGoldmarkAloneGives(t *testing.T) {
	alone := goldmark.New(goldmark.WithExtensions(extension.GFM, extension.Footnote), goldmark.WithParserOptions(parser.WithAutoHeadingID()))
	pages := []string{
		"", "\n", "a", "a\n===\n\nb\n---\n", "    code\n\n\tcode", "> - a\n>   b\n\n1. c\n", "[a]: /b 'c'\n\n[a] ![a]\n",
		"a[^1] b[^2]\n\n[^2]: two\n[^1]: one\n", "|a|b|\n|-|:-:|\n|c|`|`|\n", "- [x] done\n- [ ] not\n", "<b>raw</b> &amp; \\* ~~no~~ https://a.example/ \n",
		"*a **b*** `c` ``d ` e``  \nf\\\ng\n", "# a\n# a\n## ä\n", "```go x\na\n\n  b\n```\n~~~\nc\n", "\"a\" -- 'b' ...\n", "a\r\nb\r\n\r\n```\r\nc\r\n```\r\n",
	}
	files, err := filepath.Glob("../../sample-build/log/*.md")
	if err != nil || len(files) == 0 {
		t.Fatalf("the demo journal has no entries: %v", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		_, body, _ := strings.Cut(string(data), "\n---\n")
		pages = append(pages, body)
	}
	for _, page := range pages {
		var want bytes.Buffer
		if err := alone.Convert([]byte(page), &want); err != nil {
			t.Fatal(err)
		}
		for _, front := range []string{"", "---\ntitle: \"Größe | `a` [b](c)\"\n---\n", "\uFEFF---\r\ntitle: a\r\n---\r\n"} {
			doc, faults := Read("a.md", front+page, false)
			var got bytes.Buffer
			if err := Markdown.Renderer().Render(&got, doc.Source, doc.Root); err != nil {
				t.Fatal(err)
			}
			if len(faults) > 0 || got.String() != want.String() {
				t.Errorf("front matter %q, page %.60q: %v\ngot  %.300q\nwant %.300q", front, page, faults, got.String(), want.String())
			}
		}
	}
}

func TestOtherMarkdownCanReadTheSameText(t *testing.T) {
	src := "---\ntitle: a\n---\n~~a~~ [^1]\n"
	plain := goldmark.New()
	var got bytes.Buffer
	if err := plain.Renderer().Render(&got, []byte(src), Parse([]byte(src), strings.Index(src, "~~"), plain)); err != nil {
		t.Fatal(err)
	}
	if want := "<p>~~a~~ [^1]</p>\n"; got.String() != want { // CommonMark has neither
		t.Errorf("got %q, want %q", got.String(), want)
	}
}

func TestPlacesCountLinesAndColumnsOfAnyFile(t *testing.T) {
	for _, c := range []struct {
		name, text   string
		line, column int
	}{
		{"unix", "---\ntitle: a\n---\nGrün: `-> wall`\n", 4, 11},
		{"windows", "---\r\ntitle: a\r\n---\r\nGrün: `-> wall`\r\n", 4, 11},
		{"byte order mark", "\uFEFF`-> wall`", 1, 5},
		{"byte order mark and front matter", "\uFEFF---\ntitle: a\n---\n`-> wall`", 4, 5},
		{"no front matter", "a\n\n> - `-> wall`", 3, 9},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc, faults := Read("a.md", c.text, false)
			if len(faults) != 0 || len(doc.Spans) != 1 {
				t.Fatalf("faults %v, spans %v", faults, doc.Spans)
			}
			at := doc.Spans[0].At
			if p := at.Place(); at.Text() != "wall" || p.Line != c.line || p.Column != c.column {
				t.Errorf("%q at %d:%d, want %d:%d", at.Text(), p.Line, p.Column, c.line, c.column)
			}
		})
	}
}

func TestBytesThatAreNoTextAreAFaultAndThePageIsRead(t *testing.T) {
	doc, faults := Read("a.md", "# Gr\xfcn\n\n`-> wall`\n", false)
	if len(faults) != 1 || faults[0].Name != string(NotUTF8) || faults[0].At.Text() != "\uFFFD" {
		t.Fatalf("got %v", faults)
	}
	if doc.Headings[0].Text != "Gr\uFFFDn" || len(doc.Spans) != 1 {
		t.Errorf("read %q", doc.Headings[0].Text)
	}
}

// page is an entry as long as most are: 600 words, four blocks, ten values.
func page(tb testing.TB) string {
	data, err := os.ReadFile("../../sample-build/log/2026-10-03-eight-sides-that-lean.md")
	if err != nil {
		files, _ := filepath.Glob("../../sample-build/log/*.md")
		if len(files) == 0 {
			tb.Fatal(err)
		}
		if data, err = os.ReadFile(files[len(files)/2]); err != nil {
			tb.Fatal(err)
		}
	}
	return string(data)
}

// BenchmarkRead against BenchmarkGoldmark shows what Read adds to goldmark.
func BenchmarkRead(b *testing.B) {
	text := page(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		Read("a.md", text, false)
	}
}

func BenchmarkGoldmark(b *testing.B) {
	text := page(b)
	doc, _ := Read("a.md", text, false)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		Parse(doc.Source, doc.Body, Markdown)
	}
}

func BenchmarkFront(b *testing.B) {
	doc, _ := Read("a.md", page(b), false)
	b.ReportAllocs()
	for b.Loop() {
		doc.readFront(splitFront(doc.File), false)
	}
}

func BenchmarkLimits(b *testing.B) {
	text := page(b)
	for b.Loop() {
		overLimit(text)
	}
}
