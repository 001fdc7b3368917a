package editor

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal/proof"
)

// hover tells of what stands at a place: of a name its value and how that came about; of a key, a kind
// or a function what it is for; of a number what it is in the journal's units. The editor is the
// author's own, so private measurements are told here, where somebody asks for them.
func (s *server) hover(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok {
		return nil, nil
	}
	c := card{markdown: markup(s.client.Capabilities.TextDocument.Hover.ContentFormat) == "markdown"}
	sp.tell(&c, t)
	if c.empty() {
		return nil, nil
	}
	at := sp.text.span(t.at)
	return Hover{c.content(), &at}, nil
}

// tell writes what there is to say of a thing.
func (sp spot) tell(c *card, t thing) {
	style := sp.snap.Settings.Style
	switch {
	case t.node != nil:
		sp.tellNode(c, t)
	case t.section != "":
		sp.tellSection(c, t.section)
	case t.function != "":
		tellFunction(c, t.function)
	case t.check != "":
		for _, known := range proof.All {
			if known.Name == t.check {
				c.head(known.Name, known.Severity.String())
				c.line(known.Doc)
			}
		}
	case t.literal != nil:
		tellLiteral(c, t.literal, style)
	case t.key != nil:
		c.head(t.key.Usage(), t.block.Kind.Name)
		c.line(t.key.Help())
		if v, ok := sp.worth(t); ok {
			c.line(v)
		}
	case t.entry != nil:
		c.line("A " + t.block.Kind.Name + " has no key " + t.entry.Name())
	case t.block != nil:
		tellKind(c, t.block.Kind)
	}
}

// worth is the value of a key, where it is worked out and says more than is written.
func (sp spot) worth(t thing) (string, bool) {
	e := t.entry.Value
	switch e.(type) {
	case nil, *syntax.Literal, *syntax.Words, *syntax.Truth:
		return "", false
	}
	n := sp.snap.Program.AskAs(t.block.Eval.Node, e)
	if len(n.Findings) > 0 || n.Cell.Value == nil {
		return "", false
	}
	return "= " + n.Cell.Value.Show(sp.snap.Settings.Style), true
}

// tellNode tells the value of a name, and the working below it.
func (sp spot) tellNode(c *card, t thing) {
	style := sp.snap.Settings.Style
	v := sp.valueOf(t)
	name := called(t.node, t.result)
	if name == "" {
		name = sp.page.Doc.File.Text[t.at.Start:t.at.End]
	}
	b := sp.book.blockOf(t.node)
	switch _, isBlock := v.(*eval.Record); {
	case v == nil:
		c.head(name, "")
		c.line("nothing of this name is worked out")
	case isUnknown(v):
		c.head(name, "not known yet")
		for _, f := range faults(t.node) {
			c.line(f)
		}
	case isBlock && t.result == "" && b != nil:
		c.head(name, b.Kind.Name)
		c.line(b.Kind.Doc)
	default:
		c.head(name, v.Type())
		c.line("= " + v.Show(style))
	}
	const most = 12 // lines: a hover is looked at, not read
	lines := eval.ChainOf(t.node, t.result, style)
	if _, isBlock := v.(*eval.Record); isBlock && t.result == "" {
		for i, line := range lines { // all of one place
			lines[i], _, _ = strings.Cut(line, "   (")
		}
	}
	if len(lines) > most {
		lines = append(lines[:most:most], "…")
	}
	c.code(lines)
}

// faults lists what is wrong with a node.
func faults(n *eval.Node) []string {
	var list []string
	for _, f := range n.Findings {
		if f.Severity == finding.Stop || f.Name == string(eval.Waiting) {
			list = append(list, f.Message)
		}
	}
	return list
}

// valueOf is the value of a name, nil if there is none. A result may be a part of a part, as an edge of
// an outline, so the whole chain is worked out.
func (sp spot) valueOf(t thing) eval.Value {
	if t.result == "" {
		return t.node.Cell.Value
	}
	n := sp.snap.Program.AskAs(t.asker, t.chain)
	if isUnknown(n.Cell.Value) {
		return nil
	}
	return n.Cell.Value
}

func isUnknown(v eval.Value) bool {
	_, unknown := v.(eval.Unknown)
	return unknown
}

// tellSection tells what a section holds.
func (sp spot) tellSection(c *card, name string) {
	c.head(name, "section")
	sec, ok := sp.snap.Section(name)
	if !ok {
		return
	}
	var pages []string
	for _, p := range sec.Pages {
		pages = append(pages, p.Path)
	}
	if len(sec.Sides) > 0 {
		c.line("made for " + strings.Join(sec.Sides, " and "))
	}
	c.code(pages)
}

// chooseUsage stands for the one function without a row of its own.
const chooseName, chooseUsage, chooseDoc = "if", "if(condition, then, else)", "one of two values"

func tellFunction(c *card, name string) {
	for _, f := range callable() {
		if f.name == name {
			c.head(f.usage, "")
			c.line(f.doc)
		}
	}
}

// tellLiteral tells a number in the journal's units, and what its unit is.
func tellLiteral(c *card, l *syntax.Literal, style unit.Style) {
	c.head(l.Text, l.Q.Dim.String())
	if shown := style.Format(l.Q); shown != l.Text {
		c.line("= " + shown)
	}
	if u, ok := unit.Lookup(l.Unit.Name); ok {
		c.line(u.Name + ": " + u.Doc)
	}
}

func tellKind(c *card, k *kind.Kind) {
	c.head(k.Name, "kind of block")
	c.line(k.Doc)
	var rows []string
	width := 0
	for _, key := range k.Keys {
		width = max(width, len(key.Usage()))
	}
	for _, key := range k.Keys {
		rows = append(rows, fmt.Sprintf("%-*s  %s", width, key.Usage(), key.Help()))
	}
	c.code(rows)
}

// card is a small text for people, in Markdown or plain.
type card struct {
	markdown bool
	parts    []string
}

func (c *card) empty() bool { return len(c.parts) == 0 }

// head is the first line: a name as it is written in the journal, and what it is.
func (c *card) head(name, what string) {
	if c.markdown {
		name = "**`" + strings.ReplaceAll(oneLine(name), "`", "'") + "`**"
	}
	if what != "" {
		name += " · " + what
	}
	c.parts = append(c.parts, name)
}

// line is a paragraph.
func (c *card) line(text string) {
	if c.markdown {
		text = escaper.Replace(text)
	}
	c.parts = append(c.parts, text)
}

// escaper keeps the signs of a text from being read as Markdown or HTML.
var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, "|", `\|`, "#", `\#`, "&", `\&`, "!", `\!`)

// code is lines that keep their shape.
func (c *card) code(lines []string) {
	if len(lines) == 0 {
		return
	}
	text := strings.Join(lines, "\n")
	if c.markdown {
		fence := "```"
		for strings.Contains(text, fence) {
			fence += "`"
		}
		text = fence + "text\n" + text + "\n" + fence
	}
	c.parts = append(c.parts, text)
}

func (c *card) content() MarkupContent {
	kind := "plaintext"
	if c.markdown {
		kind = "markdown"
	}
	return MarkupContent{kind, strings.Join(slices.Compact(c.parts), "\n\n")}
}
