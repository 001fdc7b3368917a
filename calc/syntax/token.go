package syntax

import (
	"unicode/utf8"

	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// Kind is the kind of a token.
type Kind uint8

// The kinds of token.
const (
	End     Kind = iota // of the block
	Newline             // of an entry; never inside brackets or after a trailing comma
	Word
	Number
	Text // between double quotes
	Op   // operators, brackets, marks: Token.Text tells which
	Super
	Comment
	Bad // a character that has no place in the language, or an unclosed text
)

// Token is one word of the language. Text is its source, for Text without the quotes.
type Token struct {
	Kind  Kind
	Text  string
	Start int // byte offset in the file
	End   int
	// Tight is set when no space stands before the token.
	Tight bool
}

// span of the token in its file.
func (t Token) span(f *source.File) source.Span { return f.Span(t.Start, t.End) }

// reserved words cannot be names, beside the units.
var reserved = map[string]string{
	"and": "joins two conditions", "or": "joins two conditions", "not": "turns a condition round",
	"as": "shows a value in a unit", "to": "shows a value in steps", "x": "repeats an item, as in 2 x foam10,",
	"yes": "is a truth value", "no": "is a truth value", "true": "is a truth value", "false": "is a truth value",
}

// Reserved tells why a word cannot be a name, or "" if it can: "is a unit", "joins two conditions".
func Reserved(word string) string {
	if why := reserved[word]; why != "" {
		return why
	}
	if _, ok := unit.Lookup(word); ok {
		return "is a unit"
	}
	return ""
}

// IsName tells whether a text is one word of the language: letters, digits and _, no digit first.
func IsName(text string) bool {
	first, _ := utf8.DecodeRuneInString(text)
	if !startsWord(first) {
		return false
	}
	s := scanner{text: text, end: len(text)}
	s.word()
	return s.pos == len(text)
}
