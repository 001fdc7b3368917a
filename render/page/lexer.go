package page

import (
	"strings"

	"github.com/alecthomas/chroma/v2"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Lexer is chroma's lexer of the block language. It reuses the language's own scanner, so that the
// colours can never tell another story than the program, and a block takes microseconds.
type Lexer struct{ config *chroma.Config }

// Config names the lexer.
func (l Lexer) Config() *chroma.Config { return l.config }

// SetRegistry changes nothing: the lexer needs no other.
func (l Lexer) SetRegistry(*chroma.LexerRegistry) chroma.Lexer { return l }

// SetAnalyser changes nothing: a fence says its kind.
func (l Lexer) SetAnalyser(func(string) float32) chroma.Lexer { return l }

// AnalyseText never claims a text.
func (l Lexer) AnalyseText(string) float32 { return 0 }

// Tokenise gives the tokens of a block's inside.
func (l Lexer) Tokenise(_ *chroma.TokeniseOptions, text string) (chroma.Iterator, error) {
	file := source.NewFile("", text)
	var lines []source.Span
	for at := 0; at < len(text); {
		end := at + strings.IndexByte(text[at:], '\n')
		if end < at {
			end = len(text)
		}
		lines = append(lines, file.Span(at, end))
		at = end + 1
	}
	return scanned(lines), nil
}

// scanned gives the tokens of lines, with the spaces between them and the line ends.
func scanned(lines []source.Span) chroma.Iterator {
	c := colouring{lines: lines, tokens: meant(syntax.Scan(lines))}
	if len(lines) > 0 {
		c.at = lines[0].Start
	}
	return c.next
}

// meant drops the tokens that stand for no characters.
func meant(tokens []syntax.Token) []syntax.Token {
	kept := tokens[:0]
	for _, t := range tokens {
		if t.Kind != syntax.Newline && t.Kind != syntax.End {
			kept = append(kept, t)
		}
	}
	return kept
}

// colouring walks lines and tokens side by side.
type colouring struct {
	lines  []source.Span
	tokens []syntax.Token
	line   int
	at     int // offset in the file up to which all was given
	i      int // next token
	depth  int // of brackets
	valued bool
	comma  bool // the last token was a comma: the entry goes on on the next line
}

func (c *colouring) next() chroma.Token {
	if c.line >= len(c.lines) {
		return chroma.EOF
	}
	l := c.lines[c.line]
	switch here := c.i < len(c.tokens) && c.tokens[c.i].Start < l.End; {
	case here && c.tokens[c.i].Start > c.at:
		return c.give(chroma.Text, c.tokens[c.i].Start)
	case here:
		t := c.tokens[c.i]
		kind := c.kind(t)
		c.i++
		return c.give(kind, t.End)
	case c.at < l.End:
		return c.give(chroma.Text, l.End)
	}
	if c.line++; c.line < len(c.lines) {
		c.at = c.lines[c.line].Start
	}
	if c.depth == 0 && !c.comma {
		c.valued = false
	}
	return chroma.Token{Type: chroma.Text, Value: "\n"}
}

func (c *colouring) give(kind chroma.TokenType, to int) chroma.Token {
	text := c.lines[c.line].File.Text[c.at:to]
	c.at = to
	return chroma.Token{Type: kind, Value: text}
}

// words of the language that are neither names nor units.
var keywords = map[string]bool{
	"and": true, "or": true, "not": true, "as": true, "to": true, "x": true,
	"yes": true, "no": true, "true": true, "false": true,
}

// kind tells a token's colour and follows where in the entry it stands.
func (c *colouring) kind(t syntax.Token) chroma.TokenType {
	if t.Kind != syntax.Comment {
		c.comma = t.Kind == syntax.Op && t.Text == ","
	}
	switch t.Kind {
	case syntax.Comment:
		return chroma.CommentSingle
	case syntax.Number:
		return chroma.LiteralNumber
	case syntax.Text:
		return chroma.LiteralString
	case syntax.Super:
		return chroma.KeywordType
	case syntax.Bad:
		return chroma.Error
	case syntax.Word:
		return c.word(t)
	}
	switch t.Text {
	case "(", "[":
		c.depth++
	case ")", "]":
		c.depth = max(0, c.depth-1)
	case ":":
		c.valued = c.valued || c.depth == 0
	case "°", "′", "″", "'", `"`, "%":
		return chroma.KeywordType
	}
	return chroma.Operator
}

func (c *colouring) word(t syntax.Token) chroma.TokenType {
	if !c.valued {
		return chroma.Keyword
	}
	if c.i+1 < len(c.tokens) {
		switch next := c.tokens[c.i+1]; {
		case next.Kind == syntax.Op && next.Text == "(" && next.Tight && next.Start == t.End:
			return chroma.NameFunction
		case next.Kind == syntax.Op && next.Text == ":":
			return chroma.Text // the name of an argument
		}
	}
	if _, ok := unit.Lookup(t.Text); ok && c.i > 0 && c.unitMayFollow(c.tokens[c.i-1]) {
		return chroma.KeywordType
	}
	if keywords[t.Text] {
		return chroma.KeywordConstant
	}
	return chroma.Text
}

// unitMayFollow: a unit stands behind a number, behind another unit's sign, or behind `as`.
func (c *colouring) unitMayFollow(before syntax.Token) bool {
	switch before.Kind {
	case syntax.Number, syntax.Super:
		return true
	case syntax.Word:
		return before.Text == "as"
	case syntax.Op:
		return (before.Text == "/" || before.Text == "·" || before.Text == "*") && c.i > 1 && c.tokens[c.i-2].Kind != syntax.Number
	}
	return false
}
