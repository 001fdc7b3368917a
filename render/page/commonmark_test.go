package page

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
	"bevelbook/journal/entry"
)

// The examples of the CommonMark specification 0.31.2 (https://spec.commonmark.org/0.31.2/), as JSON
// (https://spec.commonmark.org/0.31.2/spec.json; CC BY-SA 4.0, John MacFarlane).
func commonMark(t *testing.T) []struct{ Markdown string } {
	t.Helper()
	data, err := os.ReadFile("testdata/commonmark-0.31.2.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []struct{ Markdown string }
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	return list
}

// coloured matches the colours that code of a known language gets; take them off, and the text is
// goldmark's. No example can hold one itself: raw HTML is left out.
var coloured = regexp.MustCompile(`<span class="tok-[a-z]+">|</span>`)

func TestCommonMarkGoesThroughOurPipelineAsThroughGoldmarkAlone(t *testing.T) {
	examples := commonMark(t)
	if len(examples) != 652 {
		t.Fatalf("%d examples, want 652", len(examples))
	}
	for i, x := range examples {
		text := "---\ntitle: an example of Markdown\n---\n" + x.Markdown
		s, err := journal.Load(fstest.MapFS{
			"journal.md":  {Data: []byte("---\ntitle: Examples\n---\n")},
			"log/page.md": {Data: []byte(text)},
		}, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		p, _ := s.Page("log/page.md")
		b := NewBook(s, nil, false)
		b.Pages["log/page.md"] = "log/page.html"
		got := string(b.Prose(p, "log/page.html"))
		var alone bytes.Buffer
		if err := entry.Markdown.Convert([]byte(x.Markdown), &alone); err != nil {
			t.Fatal(err)
		}
		if bare := coloured.ReplaceAllString(got, ""); quotes(bare) != quotes(alone.String()) {
			t.Errorf("example %d: %q\n got %s\nwant %s", i+1, x.Markdown, got, alone.String())
		}
	}
}

// quotes writes the two spellings of an escaped quotation mark alike.
func quotes(s string) string { return strings.ReplaceAll(s, "&#34;", "&quot;") }
