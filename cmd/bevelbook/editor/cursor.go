package editor

import (
	"strings"

	"bevelbook/calc/kind"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/journal"
	"bevelbook/journal/entry"
)

// cursor is a place at which something is being written. What stands there need not be whole, so it is
// read from the words before it, not from the tree.
type cursor struct {
	spot
	where where
	block *journal.Block // in a block
	key   *kind.Key      // the key whose value is written, nil if it is not known
	sets  string         // the same as it is written, or the name that is set
	words []syntax.Token // of a key, before the one that is written
	value []syntax.Token // of an expression, before the word that is written
	start int            // where the word begins that is written
}

// where is what is written at a cursor.
type where uint8

const (
	nowhere   where = iota // prose, a remark, a text
	atFence                // the kind, behind the marks of a fence
	atKey                  // a key of a block
	atValue                // an expression
	atArrow                // a code span that may become an inline value
	atFront                // a key of front matter
	atSection              // a section in front matter
	atAccept               // the name of a finding that is accepted
)

// word is what is written of the word so far.
func (c *cursor) word() string { return c.page.Doc.File.Text[c.start:c.at] }

// cursor tells what is being written at the place.
func (sp spot) cursor() cursor {
	c := cursor{spot: sp, start: sp.at}
	s := sp.page.Doc.File.Text
	line := s[strings.LastIndexByte(s[:sp.at], '\n')+1 : sp.at]
	switch {
	case sp.at < sp.page.Doc.Body:
		c.front(line)
	case c.fence(line):
	case c.within():
		c.entry()
	default:
		c.inline(line)
	}
	return c
}

// front looks at a line of front matter.
func (c *cursor) front(line string) {
	key, rest, colon := strings.Cut(line, ":")
	word := strings.TrimLeft(rest, " ")
	switch {
	case !colon && isWord(line):
		c.where, c.start = atFront, c.at-len(line)
	case colon && key == "section" && isWord(word):
		c.where, c.start = atSection, c.at-len(word)
	case !colon && strings.HasPrefix(line, "  ") && isWord(strings.ReplaceAll(strings.TrimLeft(line, " "), "-", "")):
		c.where, c.start = atAccept, c.at-len(strings.TrimLeft(line, " "))
	}
}

// isWord tells whether a text is one word so far, or none yet.
func isWord(s string) bool { return s == "" || syntax.IsName(s) }

// fence tells whether the cursor stands behind the marks that open a fence.
func (c *cursor) fence(line string) bool {
	marks := strings.TrimLeft(line, " \t>-*+")
	if !strings.HasPrefix(marks, "```") && !strings.HasPrefix(marks, "~~~") {
		return false
	}
	begin := c.at - len(marks)
	for _, b := range c.page.Doc.Blocks {
		if b.Fence.Start == begin {
			if word := strings.TrimLeft(marks, marks[:1]); isWord(word) {
				c.where, c.start = atFence, c.at-len(word)
			}
			return true
		}
	}
	return false
}

// within tells whether the cursor stands on a line inside a block of ours, and which.
func (c *cursor) within() bool {
	for _, b := range c.page.Blocks {
		first, last, closed := inner(b.Entry)
		if first <= c.at && (c.at <= last || !closed) {
			c.block = b
			return true
		}
	}
	return false
}

// inner is from where to where the lines of a block go, and whether a fence closes them. A block that
// is not closed goes on to the end of the text.
func inner(b entry.Block) (first, last int, closed bool) {
	s := b.Fence.File.Text
	first = len(s) + 1 // a fence without a line below it
	if i := strings.IndexByte(s[b.Info.End:], '\n'); i >= 0 {
		first = b.Info.End + i + 1
	}
	last = first - 1
	if n := len(b.Lines); n > 0 {
		last = b.Lines[n-1].End
	}
	return first, last, b.Fence.End > last+1
}

// entry looks at the words of a block up to the cursor.
func (c *cursor) entry() {
	var lines []source.Span
	for _, l := range c.block.Entry.Lines {
		if l.Start > c.at {
			break
		}
		lines = append(lines, c.page.Doc.File.Span(l.Start, min(l.End, c.at)))
	}
	tokens, ok := c.before(lines)
	if !ok {
		return
	}
	begin, colon := 0, -1
	for i, t := range tokens {
		switch {
		case t.Kind == syntax.Newline:
			begin, colon = i+1, -1
		case colon < 0 && t.Kind == syntax.Op && t.Text == ":":
			colon = i
		}
	}
	if colon < 0 {
		c.where, c.words = atKey, tokens[begin:]
		return
	}
	var key []syntax.Ident
	for _, t := range tokens[begin:colon] {
		key = append(key, syntax.Ident{Text: t.Text})
	}
	if len(key) > 0 {
		e := &syntax.Entry{Key: key}
		c.key, c.sets = keyOf(c.block.Kind, e), e.Name()
	}
	c.where, c.value = atValue, tokens[colon+1:]
}

// before scans lines that end at the cursor. It gives the tokens before the word that is written there,
// remarks left out; false inside of a remark, a text or a number.
func (c *cursor) before(lines []source.Span) ([]syntax.Token, bool) {
	var tokens []syntax.Token
	for _, t := range syntax.Scan(lines) {
		switch {
		case t.Kind == syntax.End, t.Kind == syntax.Newline && t.Start == c.at:
		case t.Kind == syntax.Comment && t.End == c.at, t.Kind == syntax.Bad && t.End == c.at:
			return nil, false
		case t.Kind == syntax.Number && t.End == c.at, t.Kind == syntax.Text && t.End == c.at:
			return nil, false
		case t.Kind == syntax.Comment:
		case t.Kind == syntax.Word && t.End == c.at:
			c.start = t.Start
		default:
			tokens = append(tokens, t)
		}
	}
	return tokens, true
}

// inline looks at a line of prose for a code span that asks for a value.
func (c *cursor) inline(line string) {
	tick := strings.LastIndexByte(line, '`')
	if tick < 0 || strings.Count(line, "`")%2 == 0 {
		return
	}
	text := strings.TrimLeft(line[tick+1:], " ")
	rest, arrow := strings.CutPrefix(text, "->")
	switch {
	case arrow:
		tokens, ok := c.before([]source.Span{c.page.Doc.File.Span(c.at-len(rest), c.at)})
		if ok {
			c.where, c.value = atValue, tokens
		}
	case text == "" || text == "-":
		c.where, c.start = atArrow, c.at-len(text)
	}
}

// last is the n-th token from the end before the word, an empty one if there are fewer.
func (c *cursor) last(n int) syntax.Token {
	if n >= len(c.value) {
		return syntax.Token{}
	}
	return c.value[len(c.value)-1-n]
}

func isOp(t syntax.Token, text string) bool { return t.Kind == syntax.Op && t.Text == text }

// chain is the span of the names before the dot in front of the word: "helm.cheek" of "helm.cheek.ar".
func (c *cursor) chain() (source.Span, bool) {
	i := len(c.value)
	for i > 1 && isOp(c.value[i-1], ".") && c.value[i-2].Kind == syntax.Word {
		i -= 2
	}
	if i == len(c.value) {
		return source.Span{}, false
	}
	return c.page.Doc.File.Span(c.value[i].Start, c.last(0).Start), true
}

// call is the function in whose brackets the word stands, "" if in none, and whether a new argument
// begins with the word.
func (c *cursor) call() (function string, begins bool) {
	var open []string
	for i, t := range c.value {
		switch {
		case isOp(t, "(") && i > 0 && c.value[i-1].Kind == syntax.Word && t.Tight:
			open = append(open, c.value[i-1].Text)
		case isOp(t, "("), isOp(t, "["):
			open = append(open, "")
		case (isOp(t, ")") || isOp(t, "]")) && len(open) > 0:
			open = open[:len(open)-1]
		}
	}
	if len(open) == 0 {
		return "", false
	}
	before := c.last(0)
	return open[len(open)-1], isOp(before, "(") || isOp(before, ",")
}
