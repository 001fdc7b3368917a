package editor

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bevelbook/calc/source"
)

// encoding is what the characters of a position count.
type encoding uint8

const (
	utf16Units encoding = iota // what every client knows
	utf8Bytes                  // where the client offers it
)

// name is the encoding's name in the protocol.
func (e encoding) name() string { return [...]string{"utf-16", "utf-8"}[e] }

// byteOrderMark may begin a text. The journal reads a page without it.
const byteOrderMark = "\uFEFF"

// text is one page as the client counts in it. This is the one place where positions of the protocol
// and byte offsets of the journal meet. Lines end at \n, \r\n and \r (LSP 3.17, "Text Documents");
// the journal counts \n alone, so the lines here are their own.
type text struct {
	raw    string // as the client has it
	starts []int  // byte offset of each line
	mark   int    // bytes of the byte order mark, which the journal's offsets do not count
	unit   encoding
}

// newText indexes the lines of a text.
func newText(raw string, unit encoding) *text {
	t := &text{raw: raw, starts: []int{0}, unit: unit}
	if strings.HasPrefix(raw, byteOrderMark) {
		t.mark = len(byteOrderMark)
	}
	for i := 0; i < len(raw); i++ {
		switch {
		case raw[i] == '\n', raw[i] == '\r' && !strings.HasPrefix(raw[i+1:], "\n"):
			t.starts = append(t.starts, i+1)
		}
	}
	return t
}

// raws is the byte offset in raw of a position. One behind the end of its line stands for that end, a
// line behind the last for the end of the text; one within a character for its beginning.
func (t *text) raws(p Position) int {
	if int64(p.Line) >= int64(len(t.starts)) {
		return len(t.raw)
	}
	at, end := t.starts[p.Line], t.lineEnd(int(p.Line))
	for left := int64(p.Character); left > 0 && at < end; {
		r, size := utf8.DecodeRuneInString(t.raw[at:])
		left -= int64(t.units(r, size))
		if left < 0 {
			break
		}
		at += size
	}
	return at
}

// units is how much a character counts in a position.
func (t *text) units(r rune, size int) int {
	switch {
	case t.unit == utf8Bytes:
		return size
	case r > 0xFFFF:
		return 2 // a pair of surrogates
	}
	return 1
}

// lineEnd is where a line ends, its line end not counted.
func (t *text) lineEnd(line int) int {
	if line+1 >= len(t.starts) {
		return len(t.raw)
	}
	end := t.starts[line+1] - 1
	if end > t.starts[line] && t.raw[end] == '\n' && t.raw[end-1] == '\r' {
		end--
	}
	return end
}

// offset is the byte offset in the journal's page of a position.
func (t *text) offset(p Position) int { return max(0, t.raws(p)-t.mark) }

// position is the place of a byte offset in the journal's page. One within a line end stands for the
// end of its line.
func (t *text) position(offset int) Position {
	at := min(max(offset, 0)+t.mark, len(t.raw))
	line, found := slices.BinarySearch(t.starts, at)
	if !found {
		line--
	}
	at = min(at, t.lineEnd(line))
	n := 0
	for i := t.starts[line]; i < at; {
		r, size := utf8.DecodeRuneInString(t.raw[i:])
		if i+size > at {
			break // within a character
		}
		n += t.units(r, size)
		i += size
	}
	return Position{uint32(line), uint32(n)}
}

// between is the range of two byte offsets in the journal's page.
func (t *text) between(start, end int) Range { return Range{t.position(start), t.position(end)} }

// span is the range of a span of the page.
func (t *text) span(s source.Span) Range { return t.between(s.Start, s.End) }

// apply gives the text with a change of the client's made.
func (t *text) apply(c contentChange) string {
	if c.Range == nil {
		return c.Text
	}
	start, end := t.raws(c.Range.Start), t.raws(c.Range.End)
	if end < start {
		start, end = end, start
	}
	return t.raw[:start] + c.Text + t.raw[end:]
}
