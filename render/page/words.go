package page

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"bevelbook/journal"
)

// Words is a page's text without marks, blocks left out and values put in, for the search.
func (b *Book) Words(p *journal.Page) string {
	w := wording{book: b, page: p, out: make([]byte, 0, len(p.Doc.Source)-p.Doc.Body)}
	for n := p.Doc.Root.FirstChild(); n != nil; n = n.NextSibling() {
		w.node(n)
		if n.Kind() == ast.KindHeading {
			w.out = append(w.out, " ·"...)
		}
		w.space()
	}
	return strings.TrimSpace(string(w.out))
}

// Summary is the beginning of a page's first paragraph.
func (b *Book) Summary(p *journal.Page) string {
	for n := p.Doc.Root.FirstChild(); n != nil; n = n.NextSibling() {
		if n.Kind() != ast.KindParagraph || onlyImage(n) != nil {
			continue
		}
		w := wording{book: b, page: p}
		w.node(n)
		if text := strings.TrimSpace(string(w.out)); text != "" {
			return shortened(text, 180)
		}
	}
	return ""
}

// shortened cuts a text behind a sentence, or else behind a word.
func shortened(text string, most int) string {
	if len(text) <= most {
		return text
	}
	for _, end := range []string{". ", "? ", "! "} {
		if i := strings.LastIndex(text[:most], end); i > most/3 {
			return text[:i+1]
		}
	}
	cut := strings.LastIndexByte(text[:most], ' ')
	if cut < most/2 {
		for cut = most; !utf8.RuneStart(text[cut]); cut-- {
		}
	}
	return strings.TrimRight(text[:cut], " ,;:–-") + " …"
}

// Contents are the page's headings of the second level, values put in.
func (b *Book) Contents(p *journal.Page) Headings {
	var list Headings
	for n := p.Doc.Root.FirstChild(); n != nil; n = n.NextSibling() {
		h, ok := n.(*ast.Heading)
		if !ok || h.Level != 2 {
			continue
		}
		id, _ := h.AttributeString("id")
		name, _ := id.([]byte)
		w := wording{book: b, page: p}
		w.inside(h)
		list = append(list, Heading{ID: string(name), Text: strings.TrimSpace(string(w.out))})
	}
	return list
}

// wording gathers the words below a node.
type wording struct {
	book *Book
	page *journal.Page
	out  []byte
}

// text appends a text, escapes and entities resolved.
func (w *wording) text(value []byte, raw bool) {
	if !raw && bytes.ContainsAny(value, `\&`) {
		value = util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(value)))
	}
	w.out = append(w.out, value...)
}

func (w *wording) space() {
	if n := len(w.out); n > 0 && w.out[n-1] != ' ' {
		w.out = append(w.out, ' ')
	}
}

func (w *wording) inside(n ast.Node) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		w.node(c)
		if c.Type() == ast.TypeBlock {
			w.space()
		}
	}
}

func (w *wording) node(n ast.Node) {
	src := w.page.Doc.Source
	switch n := n.(type) {
	case *ast.FencedCodeBlock, *ast.CodeBlock, *ast.HTMLBlock, *ast.RawHTML:
	case *ast.Text:
		w.text(n.Segment.Value(src), n.IsRaw())
		if n.SoftLineBreak() || n.HardLineBreak() {
			w.space()
		}
	case *ast.String:
		w.out = append(w.out, n.Value...)
	case *ast.AutoLink:
		w.out = append(w.out, n.Label(src)...)
	case *ast.CodeSpan:
		if x := spanOf(w.page, n, nil); x != nil {
			v := w.book.inline(x)
			if !v.Private && v.Trouble == "" {
				w.out = append(w.out, v.Text...)
			}
			return
		}
		w.inside(n)
	default:
		w.inside(n)
	}
}
