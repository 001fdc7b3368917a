package syntax

import (
	"unicode"
	"unicode/utf8"

	"bevelbook/calc/source"
)

// Scan splits the lines of one block into tokens, comments and line ends included, ending with End.
// Each line is a span of the same file without its line end, so that blocks indented in lists or
// quotes keep true places. Inside brackets and after a trailing comma no Newline is given. Scan stops
// at the end of the line in which it passes MaxTokens.
func Scan(lines []source.Span) []Token {
	s := scanner{tokens: make([]Token, 0, expected(lines))}
	at := 0
	for _, l := range lines {
		s.line(l)
		if at = l.End; len(s.tokens) > MaxTokens {
			break
		}
	}
	if s.last.Kind != Newline && s.last.Kind != End {
		s.tokens = append(s.tokens, Token{Kind: Newline, Start: at, End: at})
	}
	return append(s.tokens, Token{Kind: End, Start: at, End: at})
}

// expected is about how many tokens lines hold, so that their slice seldom grows.
func expected(lines []source.Span) int {
	n := 2
	for _, l := range lines {
		n += 2 + (l.End-l.Start)/4
	}
	return min(n, MaxTokens)
}

type scanner struct {
	tokens []Token
	last   Token  // that is no comment; its Kind is End before the first
	depth  int    // of brackets
	text   string // of the whole file
	pos    int
	end    int // of the line
}

// line scans one line and decides whether the entry ends with it.
func (s *scanner) line(l source.Span) {
	s.text, s.pos, s.end = l.File.Text, l.Start, l.End
	before := len(s.tokens)
	for s.next() {
	}
	open := s.depth > 0 || s.last.Kind == Op && s.last.Text == ","
	if len(s.tokens) > before && !open && s.last.Kind != Newline && s.last.Kind != End {
		s.last = Token{Kind: Newline, Start: l.End, End: l.End}
		s.tokens = append(s.tokens, s.last)
	}
}

// next scans one token of the line; false at its end.
func (s *scanner) next() bool {
	from := s.pos
	quoted := false // the marks of a quote, at the beginning of a line that goes on in a code span
	for s.pos < s.end && (isBlank(s.text[s.pos]) || quoted && s.text[s.pos] == '>') {
		quoted = quoted || s.text[s.pos] == '\n'
		s.pos++
	}
	if s.pos >= s.end {
		return false
	}
	tight := s.pos == from
	start := s.pos
	kind := s.token()
	text := s.text[start:s.pos]
	if kind == Text {
		text = text[1 : len(text)-1]
	}
	t := Token{Kind: kind, Text: text, Start: start, End: s.pos, Tight: tight}
	s.tokens = append(s.tokens, t)
	if kind != Comment {
		s.last = t
	}
	return true
}

// token moves pos over one token and tells its kind.
func (s *scanner) token() Kind {
	c := s.text[s.pos]
	switch {
	case c == '#':
		s.pos = s.end
		return Comment
	case isDigit(c) || c == '.' && s.pos+1 < s.end && isDigit(s.text[s.pos+1]):
		s.number()
		return Number
	case c == '"':
		return s.quote()
	case c < utf8.RuneSelf && !isLetter(c):
		return s.operator(c)
	}
	r, size := utf8.DecodeRuneInString(s.text[s.pos:s.end])
	switch {
	case r == '²' || r == '³':
		s.pos += size
		return Super
	case r == '°' || r == '′' || r == '″' || r == '·' || r == '×' || r == '−' || r == '≤' || r == '≥' || r == '≠':
		s.pos += size
		return Op
	case startsWord(r):
		s.word()
		return Word
	}
	s.pos += size
	return Bad
}

func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
func isLetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '_' }

// isBlank tells what parts tokens. A line end stands only inside an expression that a code span of
// Markdown carries over several lines.
func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\n' }

func startsWord(r rune) bool { return r == '_' || unicode.IsLetter(r) }

// goesOn tells what a word holds behind its first letter: letters with their marks (é may be written
// as e and an accent of its own), digits, _.
func goesOn(r rune) bool {
	return startsWord(r) || unicode.IsDigit(r) || unicode.In(r, unicode.Mn, unicode.Mc)
}

// number scans digits, a decimal part and an exponent.
func (s *scanner) number() {
	s.digits()
	if s.pos+1 < s.end && s.text[s.pos] == '.' && isDigit(s.text[s.pos+1]) {
		s.pos++
		s.digits()
	}
	if s.pos < s.end && (s.text[s.pos] == 'e' || s.text[s.pos] == 'E') {
		p := s.pos + 1
		if p < s.end && (s.text[p] == '+' || s.text[p] == '-') {
			p++
		}
		if p < s.end && isDigit(s.text[p]) {
			s.pos = p
			s.digits()
		}
	}
}

func (s *scanner) digits() {
	for s.pos < s.end && isDigit(s.text[s.pos]) {
		s.pos++
	}
}

func (s *scanner) word() {
	for s.pos < s.end {
		r, size := utf8.DecodeRuneInString(s.text[s.pos:s.end])
		if !goesOn(r) {
			return
		}
		s.pos += size
	}
}

// quote tells an inch mark (right after a number) from the start of a text.
func (s *scanner) quote() Kind {
	if n := len(s.tokens); n > 0 && s.tokens[n-1].Kind == Number && s.tokens[n-1].End == s.pos {
		s.pos++
		return Op
	}
	for p := s.pos + 1; p < s.end; p++ {
		if s.text[p] == '"' {
			s.pos = p + 1
			return Text
		}
	}
	s.pos = s.end
	return Bad
}

// operator scans ASCII operators, the longer ones first, and counts brackets.
func (s *scanner) operator(c byte) Kind {
	s.pos++
	switch c {
	case '(', '[':
		s.depth++
	case ')', ']':
		s.depth = max(0, s.depth-1)
	case '<', '>', '=', '!':
		if s.pos < s.end && s.text[s.pos] == '=' {
			s.pos++
		} else if c == '!' {
			return Bad
		}
	case '+', '-', '*', '/', '^', ',', ':', '.', '\'', '%':
	default:
		return Bad
	}
	return Op
}
