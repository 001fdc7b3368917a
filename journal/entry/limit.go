package entry

import (
	"fmt"
	"strings"
)

// What a page may hold. Reading Markdown costs more than proportionally to some things; each limit is
// far beyond what a person writes, and keeps the worst page that was found below a few seconds.
const (
	maxBytes = 1 << 20 // of Markdown
	maxLine  = 1 << 16 // bytes of one line
	maxDepth = 100     // quotes and lists inside one another: cost grows with the square

	// maxCells bounds the cells of all tables: a short row is filled up to the columns of the head, so
	// that few letters make many cells.
	maxCells = 200_000

	// maxReferences bounds lines that begin with [ and hold ]: , that is footnotes and the addresses of
	// links: each new one is compared with those before.
	maxReferences = 4_000

	// maxTrials bounds, per paragraph, the beginnings of links times the bytes: where a link does not
	// end, everything behind it is searched for its end.
	maxTrials = 100_000_000
)

// over is a limit that a text passes, and where.
type over struct {
	name       Fault
	start, end int
	message    string
	help       string
}

// load is what has been counted so far in a text.
type load struct {
	// Whether the whole text could pass the limits at all, so that its lines must be looked at for:
	countLinks, countReferences bool

	references, cells int
	// Of the present paragraph, that is since the last empty line:
	start   int // where it begins
	links   int // "](" seen
	columns int // of the widest table head seen, outer bars counted as if they parted columns
}

// overLimit returns the first limit that the text passes, or nil.
func overLimit(text string) *over {
	if len(text) > maxBytes {
		return &over{TooLong, 0, 0, fmt.Sprintf("the page holds %d bytes; %d are read", len(text), maxBytes), "Split the page"}
	}
	l := load{
		countLinks:      strings.Count(text, "](")*len(text) > maxTrials,
		countReferences: strings.Count(text, "]:") > maxReferences,
	}
	for start := 0; start < len(text); {
		end := lineEnd(text, start)
		if o := l.line(text, start, end); o != nil {
			return o
		}
		start = end + 1
	}
	return nil
}

// line counts one line, text[start:end], and tells the limit that it passes.
func (l *load) line(text string, start, end int) *over {
	line := text[start:end]
	bars, head, written := tableHead(line)
	if !written {
		l.start, l.links, l.columns = end+1, 0, 0
		return nil
	}
	if head && bars > 0 {
		l.columns = max(l.columns, bars+1)
	}
	l.cells += l.columns
	if l.countLinks {
		l.links += strings.Count(line, "](")
	}
	if l.countReferences && strings.Contains(line, "]:") {
		l.references++
	}
	switch {
	case len(line) > maxLine:
		return &over{TooLong, start, end, fmt.Sprintf("the line holds %d bytes; %d are read", len(line), maxLine), "break the line, or keep the data in a file of its own"}
	case depth(line) > maxDepth:
		return &over{TooDeep, start, end, fmt.Sprintf("quotes or lists are nested more than %d deep", maxDepth), "begin the line with fewer > or list marks"}
	case l.cells > maxCells:
		return &over{TooLong, start, end, fmt.Sprintf("the tables of the page hold more than %d cells", maxCells), "Split the page, or the table with an empty line and a new head"}
	case l.references > maxReferences:
		return &over{TooLong, start, end, fmt.Sprintf("the page holds more than %d footnotes and link addresses", maxReferences), "Split the page"}
	case l.links*(end-l.start) > maxTrials:
		return &over{TooLong, start, end, "the paragraph holds too many links for its length", "Split it with empty lines"}
	}
	return nil
}

// tableHead tells whether the line can be the second of a table, with how many bars; it may stand in
// a quote. written is false for a line of spaces only.
func tableHead(line string) (bars int, head, written bool) {
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case ' ', '\t', '\r':
			continue
		case '|':
			bars++
		case '-', ':', '>':
		default:
			return 0, false, true
		}
		written = true
	}
	return bars, written, written
}

// depth counts how many quotes and lists the marks at the beginning of a line may open: each > and
// each list mark one, and two columns of indentation before a list mark one as well, since they can
// stand for a list that an earlier line opened. A line of nothing but -, * or + is a rule.
func depth(line string) int {
	marks, spaces, counted := 0, 0, 0
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == ' ':
			spaces++
			continue
		case c == '\t':
			spaces += 4
			continue
		case c == '>':
			marks++
		case c == '-' || c == '*' || c == '+':
			if i+1 < len(line) && line[i+1] != ' ' && line[i+1] != '\t' {
				return counted
			}
			marks++
		case '0' <= c && c <= '9':
			j := i
			for j < len(line) && '0' <= line[j] && line[j] <= '9' {
				j++
			}
			if j == len(line) || line[j] != '.' && line[j] != ')' {
				return counted
			}
			i = j
			marks++
		default:
			return counted
		}
		counted = marks + spaces/2
	}
	if marks > 0 && rule(line) {
		return 0
	}
	return counted
}

// rule tells whether the line holds one kind of mark only, such as "- - -".
func rule(line string) bool {
	var mark byte
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == ' ' || c == '\t' || c == '\r':
		case mark == 0:
			mark = c
		case c != mark:
			return false
		}
	}
	return mark == '-' || mark == '*'
}
