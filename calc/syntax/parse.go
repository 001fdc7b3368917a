package syntax

import (
	"fmt"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// ParseBlock parses the lines of one fence. Each broken entry gives a finding and is left out;
// all others are there. The block is never nil.
func ParseBlock(file *source.File, lines []source.Span) (*Block, []finding.Finding) {
	b := &Block{Lines: lines}
	p := &parser{file: file, tokens: Scan(lines)}
	if len(p.tokens) > MaxTokens {
		at := p.tokens[MaxTokens].span(file)
		return b, []finding.Finding{fault(TooLong, at,
			fmt.Sprintf("this block has more than %d words and signs", MaxTokens),
			"Put long outlines into a drawing under traces/, and tables of numbers into several blocks")}
	}
	p.dropComments()
	for {
		p.skip(Newline)
		if p.tok().Kind == End {
			break
		}
		if e := p.entryOrFault(); e != nil {
			b.Entries = append(b.Entries, e)
		}
	}
	b.place()
	return b, p.faults
}

// ParseExpr parses one expression, as in an inline span or on the command line.
func ParseExpr(at source.Span) (e Expr, faults []finding.Finding) {
	p := &parser{file: at.File, tokens: Scan([]source.Span{at})}
	p.dropComments()
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
	tokens []Token // without comments
	notes  []Token // the comments
	at     int
	depth  int
	faults []finding.Finding
}

func (p *parser) dropComments() {
	kept := p.tokens[:0:0]
	for _, t := range p.tokens {
		if t.Kind == Comment {
			p.notes = append(p.notes, t)
			continue
		}
		kept = append(kept, t)
	}
	p.tokens = kept
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
func (p *parser) entryOrFault() (e *Entry) {
	start := p.at
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
		p.depth = 0
		p.recoverAfter(start)
		e = nil
	}()
	return p.entry()
}

// recoverAfter moves behind the broken entry: to its Newline if its brackets close, else to the
// next line that looks like `key:`.
func (p *parser) recoverAfter(start int) {
	depth := 0
	for i := start; p.tokens[i].Kind != End; i++ {
		switch t := p.tokens[i]; {
		case t.Kind == Newline:
			p.at = i + 1
			return
		case t.Kind == Op && (t.Text == "(" || t.Text == "["):
			depth++
		case t.Kind == Op && (t.Text == ")" || t.Text == "]"):
			depth--
		}
	}
	line := p.file.Span(p.tokens[start].Start, 0).Place().Line
	for i := start + 1; ; i++ {
		p.at = i
		if p.tokens[i].Kind == End || depth == 0 {
			p.at = len(p.tokens) - 1
			return
		}
		if l := p.file.Span(p.tokens[i].Start, 0).Place().Line; l != line {
			line = l
			if p.looksLikeKey(i) {
				p.reopen(i)
				return
			}
		}
	}
}

// looksLikeKey tells whether words and a colon stand at token i.
func (p *parser) looksLikeKey(i int) bool {
	if p.tokens[i].Kind != Word {
		return false
	}
	for p.tokens[i].Kind == Word {
		i++
	}
	return p.tokens[i].Kind == Op && p.tokens[i].Text == ":"
}

// reopen scans the rest of the block again as if the unclosed bracket had been closed before token i.
func (p *parser) reopen(i int) {
	from := p.tokens[i].Start
	last := p.tokens[len(p.tokens)-1].Start
	var lines []source.Span
	for at := from; at < last; {
		line, offset := p.file.Span(at, at).Line()
		end := min(at-offset+len(line), last)
		lines = append(lines, p.file.Span(at, end))
		at = at - offset + len(line) + 1
		if at < last && p.file.Text[at-1] == '\r' {
			at++
		}
	}
	rest := &parser{file: p.file, tokens: Scan(lines)}
	rest.dropComments()
	p.tokens = append(p.tokens[:i:i], rest.tokens...)
}

// entry parses `key words: value`.
func (p *parser) entry() *Entry {
	e := &Entry{}
	first := p.tok()
	for p.tok().Kind == Word {
		t := p.take()
		e.Key = append(e.Key, Ident{t.Text, t.span(p.file)})
	}
	if len(e.Key) == 0 || !p.isOp(":") {
		p.badKey(first)
	}
	colon := p.take()
	if k := p.tok().Kind; k == Newline || k == End {
		p.fail(ValueMissing, colon.span(p.file), fmt.Sprintf("%s has no value", e.Name()),
			fmt.Sprintf("Write it behind the colon, as in `%s: 240 mm`", e.Name()))
	}
	e.Value = p.value()
	if p.tok().Kind != Newline && p.tok().Kind != End {
		p.unexpected("the end of the line")
	}
	e.At = p.file.Span(first.Start, p.prev().End)
	return e
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
		p.fail(TextNotClosed, t.span(p.file), "this text has no closing quote on its line", "End it with \"")
	}
	p.fail(StrayCharacter, t.span(p.file), fmt.Sprintf("%q has no meaning here", t.Text),
		"Take it out; words go between double quotes, remarks behind #")
}

// unexpected reports what stands here instead of what was expected.
func (p *parser) unexpected(expected string) {
	t := p.tok()
	switch {
	case t.Kind == Bad:
		p.bad(t)
	case t.Kind == Op && (t.Text == ")" || t.Text == "]"):
		p.fail(BracketNotClosed, t.span(p.file), fmt.Sprintf("%q closes a bracket that was never opened", t.Text),
			"Take it out, or open the bracket before")
	case t.Kind == Newline || t.Kind == End:
		p.fail(ValueMissing, p.prev().span(p.file), fmt.Sprintf("the line ends where %s is expected", expected),
			"Complete the line; it goes on where a bracket is open or a comma ends it")
	}
	help := ""
	switch {
	case t.Kind == Number && p.prev().Kind == Word:
		help = "Two values side by side need a sign between them: + - * / or a comma"
	case t.Kind == Op && t.Text == ":":
		help = "A second colon: each line sets one name, and names inside brackets are separated by commas"
	case t.Kind == Op && t.Text == "=":
		help = "Compare with = only inside a condition, as in if(a = b, 1, 2)"
	}
	p.fail(NotUnderstood, t.span(p.file), fmt.Sprintf("%q stands where %s is expected", t.Text, expected), help)
}
