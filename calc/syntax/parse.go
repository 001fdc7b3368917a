package syntax

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// ParseBlock parses the lines of one fence. Each broken entry gives a finding and is left out;
// all others are there. The block is never nil.
func ParseBlock(file *source.File, lines []source.Span) (*Block, []finding.Finding) {
	b := &Block{Lines: lines}
	p, long := newParser(file, lines)
	if long {
		b.Broken = true
		return b, p.faults
	}
	for p.skip(Newline); p.tok().Kind != End; p.skip(Newline) {
		if len(p.faults) == maxFaults || p.rescanned > maxRescanned {
			p.faults = append(p.faults, fault(TooLong, p.tok().span(file),
				"so much of this block is not understood that the rest of it is not read",
				"If the block is not meant for bevelbook, give its fence another word"))
			break
		}
		if e, ok := p.entryOrFault(); ok {
			b.Entries = append(b.Entries, e)
		} else if len(e.Key) > 0 {
			b.Lost = append(b.Lost, e)
		}
	}
	b.Broken = len(p.faults) > 0
	b.place()
	return b, p.faults
}

// Limits on going on behind broken entries. To find the entry behind an unclosed bracket, the rest of
// the block is scanned again.
const (
	maxFaults    = 100
	maxRescanned = 5 * MaxTokens // tokens
)

// newParser scans lines; too long a text is a fault.
func newParser(file *source.File, lines []source.Span) (p *parser, long bool) {
	p = &parser{file: file, lines: lines}
	tokens := Scan(lines)
	if len(tokens) > MaxTokens {
		p.faults = []finding.Finding{fault(TooLong, tokens[MaxTokens].span(file),
			fmt.Sprintf("this block has more than %d words and signs", MaxTokens), "Make several blocks of it")}
		return p, true
	}
	p.tokens = withoutComments(tokens)
	return p, false
}

// ParseExpr parses one expression, as in an inline span or on the command line.
func ParseExpr(at source.Span) (e Expr, faults []finding.Finding) {
	p, long := newParser(at.File, []source.Span{at})
	if long {
		return nil, p.faults
	}
	defer func() {
		if r := recover(); r != nil {
			b, ok := r.(bailout)
			if !ok {
				panic(r)
			}
			e, faults = nil, append(faults, b.f)
		}
	}()
	if p.tok().Kind == End {
		return nil, []finding.Finding{fault(ValueMissing, at, "an expression is missing", "Write a name or a sum, as in `-> length + 2 * wall`")}
	}
	e = p.value()
	p.skip(Newline)
	if p.tok().Kind != End {
		p.unexpected("the end of the expression")
	}
	return e, nil
}

type parser struct {
	file   *source.File
	lines  []source.Span
	tokens []Token // without comments
	at     int
	begin  int // the first token of the entry
	depth  int
	open   []Token // brackets not yet closed
	faults []finding.Finding

	rescanned int // tokens, behind unclosed brackets
}

func withoutComments(tokens []Token) []Token {
	return slices.DeleteFunc(tokens, func(t Token) bool { return t.Kind == Comment })
}

func (p *parser) tok() Token         { return p.peek(0) }
func (p *parser) prev() Token        { return p.tokens[max(0, p.at-1)] }
func (p *parser) isOp(s string) bool { return p.tok().Kind == Op && p.tok().Text == s }

func (p *parser) isWord(s string) bool { return p.tok().Kind == Word && p.tok().Text == s }

func (p *parser) peek(n int) Token {
	return p.tokens[min(p.at+n, len(p.tokens)-1)]
}

func (p *parser) take() Token {
	t := p.tok()
	if p.at < len(p.tokens)-1 {
		p.at++
	}
	return t
}

func (p *parser) skip(k Kind) {
	for p.tok().Kind == k {
		p.take()
	}
}

func (p *parser) fail(name Fault, at source.Span, message, help string) {
	panic(bailout{fault(name, at, message, help)})
}

// deeper counts nesting: a Go stack overflow cannot be recovered.
func (p *parser) deeper() {
	if p.depth++; p.depth > MaxDepth {
		p.fail(TooDeep, p.tok().span(p.file),
			fmt.Sprintf("this is nested more than %d deep", MaxDepth), "Give a part of it a name of its own")
	}
}

// entryOrFault parses one entry; when it cannot, it notes the fault and goes on behind the entry.
// The entry has its key then if that much could be read.
func (p *parser) entryOrFault() (e *Entry, ok bool) {
	p.begin = p.at
	e = &Entry{}
	defer func() {
		r := recover()
		if r == nil {
			return
		}
		b, ok := r.(bailout)
		if !ok {
			panic(r)
		}
		p.faults = append(p.faults, b.f)
		p.depth, p.open = 0, nil
		p.recoverAfter(b.f)
		e.Value, ok = nil, false
	}()
	p.entry(e)
	return e, true
}

// recoverAfter moves behind the broken entry: behind its end, or to the next line that begins another
// entry although a bracket is open or a comma ends the line before.
func (p *parser) recoverAfter(f finding.Finding) {
	unclosed := -1
	if f.Name == string(BracketNotClosed) && p.beginsEntry(p.at) {
		unclosed = p.at
	}
	depth := 0
	next := -1 // the first line that begins another entry
	for i := p.begin; ; i++ {
		t := p.tokens[i]
		if i > p.begin && next < 0 && p.beginsEntry(i) {
			next = i
		}
		switch {
		case next >= 0 && (i == unclosed || t.Kind == End):
			p.reopen(next)
			return
		case next == i && depth <= 0:
			p.at = i
			return
		case t.Kind == End:
			p.at = i
			return
		case t.Kind == Newline:
			p.at = i + 1
			return
		case opens(t):
			depth++
		case closes(t):
			depth--
		}
	}
}

func opens(t Token) bool  { return t.Kind == Op && (t.Text == "(" || t.Text == "[") }
func closes(t Token) bool { return t.Kind == Op && (t.Text == ")" || t.Text == "]") }

// beginsEntry tells whether token i is the first of a line that looks like `key:` and stands no
// further in than the entry that is being read.
func (p *parser) beginsEntry(i int) bool {
	if p.tokens[i].Kind != Word {
		return false
	}
	in := p.indent(p.tokens[i])
	return in >= 0 && in <= p.indent(p.tokens[p.begin]) && p.looksLikeKey(i)
}

// looksLikeKey tells whether words and a colon stand at token i.
func (p *parser) looksLikeKey(i int) bool {
	line := p.line(p.tokens[i])
	for p.tokens[i].Kind == Word && p.tokens[i].Start < line.End {
		i++
	}
	return p.tokens[i].Kind == Op && p.tokens[i].Text == ":" && p.tokens[i].Start < line.End
}

// line is the line on which a token stands.
func (p *parser) line(t Token) source.Span {
	i := sort.Search(len(p.lines), func(i int) bool { return p.lines[i].End > t.Start })
	if i == len(p.lines) {
		return p.file.Span(t.Start, t.End)
	}
	return p.lines[i]
}

// indent tells how far in a token stands if it is the first of its line, else -1.
func (p *parser) indent(t Token) int {
	line := p.line(t)
	if t.Start < line.Start || strings.TrimLeft(p.file.Text[line.Start:t.Start], " \t") != "" {
		return -1
	}
	return t.Start - line.Start
}

// reopen scans the rest of the block again as if the unclosed bracket had been closed before token i.
func (p *parser) reopen(i int) {
	first := p.line(p.tokens[i])
	rest := []source.Span{p.file.Span(p.tokens[i].Start, first.End)}
	for _, l := range p.lines {
		if l.Start >= first.End && l != first {
			rest = append(rest, l)
		}
	}
	tokens := withoutComments(Scan(rest))
	p.rescanned += len(tokens)
	p.tokens = append(p.tokens[:i:i], tokens...)
	p.at = i
}

// entry parses `key words: value`.
func (p *parser) entry(e *Entry) {
	first := p.tok()
	var key []Ident
	for p.tok().Kind == Word {
		t := p.take()
		key = append(key, Ident{t.Text, t.span(p.file)})
	}
	if len(key) == 0 || !p.isOp(":") {
		p.badKey(first)
	}
	e.Key, e.At = key, first.span(p.file).To(key[len(key)-1].At)
	colon := p.take()
	if k := p.tok().Kind; k == Newline || k == End {
		p.fail(ValueMissing, colon.span(p.file), fmt.Sprintf("%s has no value", e.Name()),
			fmt.Sprintf("Write it behind the colon, as in `%s: 240 mm`", e.Name()))
	}
	e.Value = p.value()
	if p.tok().Kind != Newline && p.tok().Kind != End {
		p.unexpected("the end of the line")
	}
	e.At = p.since(first)
}

func (p *parser) badKey(first Token) {
	t := p.tok()
	if t.Kind == Bad {
		p.bad(t)
	}
	if first.Kind == Word && t.Kind == Op && t.Text == "=" {
		p.fail(KeyMissing, t.span(p.file), "a name is set with a colon here, not with =",
			fmt.Sprintf("Write `%s: …`", first.Text))
	}
	p.fail(KeyMissing, first.span(p.file), "this line is not `key: value`",
		"Every line sets one name: `length: 240 mm`; a longer value goes on where a bracket is open or a comma ends the line")
}

// bad reports a token that the scanner could not place.
func (p *parser) bad(t Token) {
	if t.Text != "" && t.Text[0] == '"' {
		help := "End it with another \""
		if before := p.prev(); before.Kind == Number && before.End < t.Start {
			help = fmt.Sprintf("If inches are meant, write the mark right behind the number: %s\"", short(before.Text))
		}
		p.fail(TextNotClosed, t.span(p.file), "this text has no closing quote on its line", help)
	}
	help := "Take it out; words go between double quotes, remarks behind #"
	if plain := keyboard[t.Text]; plain != "" {
		help = "Write " + plain + " in its place"
	}
	p.fail(StrayCharacter, t.span(p.file), fmt.Sprintf("the sign %s has no meaning here", plainly(t.Text)), help)
}

// keyboard gives the sign of the language for one that a word processor puts in its place.
var keyboard = map[string]string{
	"“": `"`, "”": `"`, "„": `"`, "«": `"`, "»": `"`, "‘": "'", "’": "'", "–": "-", "—": "-", "…": "every item",
	"÷": "/", "∕": "/", "⁄": "/", "∙": "*", "⋅": "*", "∗": "*", "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
	"º": "°", "€": "EUR", "£": "GBP", "$": "USD", "{": "(", "}": ")", "\u00a0": "a plain space", "\u202f": "a plain space",
}

// quoted shows a piece of the text in a message.
func quoted(text string) string { return "“" + plainly(text) + "”" }

// plainly is a piece of the text as it is, or, where something in it cannot be seen, spelled out.
func plainly(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) || r == utf8.RuneError }) >= 0 {
		return strings.Trim(strconv.QuoteToASCII(short(text)), `"`)
	}
	return short(text)
}

// short cuts a piece of the text for a message.
func short(text string) string {
	const most = 32
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}

// unexpected reports what stands here instead of what was expected.
func (p *parser) unexpected(expected string) {
	t := p.tok()
	switch {
	case t.Kind == Bad:
		p.bad(t)
	case closes(t):
		p.wrongBracket(t, expected)
	case len(p.open) > 0 && (t.Kind == Newline || t.Kind == End || p.beginsEntry(p.at)):
		p.unclosed()
	case t.Kind == Newline || t.Kind == End:
		p.fail(ValueMissing, p.prev().span(p.file), fmt.Sprintf("the line ends where %s is expected", expected),
			"Complete the line; it goes on where a bracket is open or a comma ends it")
	}
	help := ""
	switch {
	case t.Kind == Number && p.prev().Kind == Op && marks[p.prev().Text] == "ft":
		help = fmt.Sprintf("Inches need their mark: %s\"", t.Text)
	case t.Kind == Number || t.Kind == Word || t.Kind == Text:
		help = "Two values side by side need a sign between them: + - * / or a comma"
	case t.Kind == Op && t.Text == ":":
		help = "A second colon: each line sets one name, and names inside brackets are separated by commas"
	case t.Kind == Op && t.Text == "=":
		help = "Compare with = only inside a condition, as in if(a = b, 1, 2)"
	case t.Kind == Op && (t.Text == "'" || t.Text == "′" || t.Text == "″" || t.Text == "°" || t.Text == "%"):
		help = "It stands right behind a number, as in 5' 10\" or 35°"
	}
	if expected == "a value" {
		help = "A value is a number with its unit, a name, a text in quotes, or something in brackets"
	}
	p.fail(NotUnderstood, t.span(p.file), fmt.Sprintf("%s stands where %s is expected", quoted(p.shownToken(t)), expected), help)
}

// shownToken is a token as it is written.
func (p *parser) shownToken(t Token) string { return t.span(p.file).Text() }

// wrongBracket reports a closing bracket that closes nothing, or the wrong one.
func (p *parser) wrongBracket(t Token, expected string) {
	if len(p.open) == 0 {
		p.fail(BracketNotClosed, t.span(p.file), fmt.Sprintf("%s closes a bracket that was never opened", quoted(t.Text)),
			"Take it out, or open the bracket before")
	}
	open := p.open[len(p.open)-1]
	if want := closing[open.Text]; want != t.Text {
		f := fault(BracketNotClosed, t.span(p.file), fmt.Sprintf("%s stands where %s is to close the bracket", quoted(t.Text), quoted(want)), "Close each bracket with its own kind")
		f.Notes = []finding.Related{{At: open.span(p.file), Message: "it was opened here"}}
		panic(bailout{f})
	}
	p.fail(NotUnderstood, t.span(p.file), fmt.Sprintf("the bracket closes where %s is expected", expected), "Complete what stands before it, or take a comma or sign out")
}

// closing gives the bracket that closes another.
var closing = map[string]string{"(": ")", "[": "]"}

// unclosed reports the innermost bracket that is open.
func (p *parser) unclosed() {
	open := p.open[len(p.open)-1]
	p.fail(BracketNotClosed, open.span(p.file), fmt.Sprintf("this bracket is never closed with %s", quoted(closing[open.Text])),
		"Close it at the end of the value")
}
