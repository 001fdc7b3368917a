package entry

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// Markdown is the Markdown of journals: CommonMark with tables, struck-out text, task lists, bare
// addresses (GFM) and footnotes; headings get an id; raw HTML is left out.
var Markdown = NewMarkdown()

// NewMarkdown is Markdown with more options, for a renderer that shows the same tree its own way.
func NewMarkdown(more ...goldmark.Option) goldmark.Markdown {
	options := []goldmark.Option{
		goldmark.WithExtensions(extension.GFM, extension.Footnote),
		goldmark.WithParserOptions(parser.WithAutoHeadingID()),
	}
	return goldmark.New(append(options, more...)...)
}

// Read reads the file called name, a slash-separated path relative to the journal's folder.
// isJournal tells journal.md, whose front matter holds the settings, from all other pages. The
// document is never nil; the findings are in the order of the text.
func Read(name, text string, isJournal bool) (*Document, []finding.Finding) {
	text = strings.TrimPrefix(text, "\uFEFF")
	broken := firstBroken(text)
	if broken >= 0 {
		text = strings.ToValidUTF8(text, string(utf8.RuneError))
	}
	doc := &Document{File: source.NewFile(name, text), Source: []byte(text)}
	var faults []finding.Finding
	if broken >= 0 {
		at := doc.File.Span(broken, broken+utf8.RuneLen(utf8.RuneError))
		faults = append(faults, fault(NotUTF8, at, "from here on there are bytes that are not UTF-8 text; they show as \uFFFD",
			"Save the file with the encoding UTF-8"))
	}
	front := splitFront(doc.File)
	doc.Body = front.body
	faults = append(faults, doc.readFront(front, isJournal)...)
	if over := overLimit(text[doc.Body:]); over != nil {
		at := doc.File.Span(doc.Body+over.start, doc.Body+over.end)
		doc.Root = verbatim(doc.Source, doc.Body)
		faults = append(faults, fault(over.name, at, over.message, over.help))
	} else {
		doc.Root = Parse(doc.Source, doc.Body, Markdown)
		doc.collect()
	}
	finding.Sort(faults)
	return doc, faults
}

// Parse reads the Markdown that begins at offset body of text. The tree's segments are offsets in the
// whole text, so text, not a part of it, goes to the renderer. Anything before body is not looked at.
// It does not check the limits that Read does.
func Parse(src []byte, body int, md goldmark.Markdown) ast.Node {
	reader := text.NewReader(src)
	for {
		_, at := reader.Position()
		if at.Start >= body || at.Start >= len(src) {
			return md.Parser().Parse(reader)
		}
		reader.AdvanceLine()
	}
}

// verbatim is a document that shows the text from body on as it stands.
func verbatim(src []byte, body int) ast.Node {
	root, code := ast.NewDocument(), ast.NewCodeBlock()
	if body < len(src) {
		code.Lines().Append(text.NewSegment(body, len(src)))
	}
	root.AppendChild(root, code)
	return root
}

// firstBroken is the offset of the first byte that is not part of UTF-8 text, or -1.
func firstBroken(s string) int {
	if utf8.ValidString(s) {
		return -1
	}
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return -1
}

func fault(name Fault, at source.Span, message, help string) finding.Finding {
	return finding.Finding{Name: string(name), Severity: finding.Stop, At: at, Message: message, Help: help}
}

func faultf(name Fault, at source.Span, help, format string, args ...any) finding.Finding {
	return fault(name, at, fmt.Sprintf(format, args...), help)
}
