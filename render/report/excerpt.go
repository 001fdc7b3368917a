package report

import (
	"strings"
	"unicode/utf8"

	"bevelbook/calc/source"
)

const (
	tabStop = 4   // columns from one tab stop to the next
	widest  = 160 // columns of a source line that are shown
	lead    = 60  // columns shown before the caret when the line is cut there
	cut     = "…"
)

// excerpt is one line of a text as it is shown, and where the carets stand below it, in columns.
type excerpt struct {
	text          string
	indent, width int
}

// cell is a stretch of the shown line that is not divided: one character with the marks that combine
// with it, a tab as spaces, a control character as its visible spelling.
type cell struct {
	text       string
	start, end int // bytes of the source line
	from, to   int // columns
}

// excerptOf shows the line in which the span starts, cut to widest columns around that place. Only
// as much of the line as may be shown is looked at.
func excerptOf(at source.Span) excerpt {
	line, start := at.Line()
	start = min(max(start, 0), len(line))
	end := min(start+max(at.End-at.Start, 0), len(line))
	base := nearStart(line, start)
	stop := min(len(line), start+widest*utf8.UTFMax*2)
	for stop < len(line) && !utf8.RuneStart(line[stop]) {
		stop++
	}
	cells := layOut(line[base:stop], base)
	first, last := 0, len(cells)
	caret, caretEnd := columns(cells, start, end)
	if base > 0 || stop < len(line) || total(cells) > widest {
		first, last = window(cells, caret, base > 0)
	}
	return show(cells, first, last, caret, caretEnd, first > 0 || base > 0, last < len(cells) || stop < len(line))
}

// nearStart is where to begin looking at a line whose place of interest is at start: its beginning,
// or, on a very long line, far enough in front of start to fill what is shown.
func nearStart(line string, start int) int {
	base := start - widest*utf8.UTFMax*2
	if base <= 0 {
		return 0
	}
	for !utf8.RuneStart(line[base]) {
		base++
	}
	return base
}

// layOut parts a line, whose first byte is at offset base of the source line, into cells.
func layOut(line string, base int) []cell {
	var cells []cell
	column := 0
	for i := 0; i < len(line); {
		r, size := utf8.DecodeRuneInString(line[i:])
		raw := line[i : i+size]
		i += size
		if joins(r) && len(cells) > 0 {
			last := &cells[len(cells)-1]
			last.text, last.end = last.text+raw, base+i
			continue
		}
		c := cell{text: raw, start: base + i - size, end: base + i, from: column}
		switch {
		case r == '\t':
			c.text = strings.Repeat(" ", tabStop-column%tabStop)
			column += len(c.text)
		case hidden(r) || r == utf8.RuneError && size == 1:
			c.text = spelled(raw, r)
			column += len(c.text)
		default:
			column += width(r)
		}
		c.to = column
		cells = append(cells, c)
	}
	return cells
}

// columns finds the columns that the bytes start to end of the line take; at least one.
func columns(cells []cell, start, end int) (from, to int) {
	from = total(cells)
	for _, c := range cells {
		if c.end > start {
			from = c.from
			break
		}
	}
	to = from + 1
	for _, c := range cells {
		if c.end > start && c.start < end {
			to = max(to, c.to)
		}
	}
	return from, to
}

func total(cells []cell) int {
	if len(cells) == 0 {
		return 0
	}
	return cells[len(cells)-1].to
}

// window chooses the cells to show: the beginning of the line if the caret is near it, else from a
// little before the caret.
func window(cells []cell, caret int, begun bool) (first, last int) {
	from := 0
	if begun || caret > widest-lead {
		from = max(caret-lead, 0)
	}
	for first < len(cells) && cells[first].from < from {
		first++
	}
	last = first
	for last < len(cells) && cells[last].to-cells[first].from <= widest-2 {
		last++
	}
	return first, last
}

// show writes the cells from first to last, with marks where the line goes on.
func show(cells []cell, first, last, caret, caretEnd int, more, less bool) excerpt {
	var b strings.Builder
	shift := 0
	if first < len(cells) {
		shift = cells[first].from
	}
	e := excerpt{indent: caret - shift, width: caretEnd - caret}
	if more {
		b.WriteString(cut)
		e.indent++
	}
	for _, c := range cells[first:last] {
		b.WriteString(c.text)
	}
	if last > first {
		e.width = max(1, min(e.width, cells[last-1].to-caret))
	}
	if less {
		b.WriteString(cut)
	}
	e.text = strings.TrimRight(b.String(), " ")
	return e
}
