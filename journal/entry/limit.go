package entry

import "fmt"

// What a page may hold. Reading Markdown costs more than proportionally to some things; each limit is
// far beyond what a person writes, and keeps the worst page that was found below a few seconds.
const (
	maxBytes = 1 << 20 // of Markdown
	maxLine  = 1 << 16 // bytes of one line
	maxDepth = 100     // quotes and lists inside one another: cost grows with the square

	// maxCells bounds the cells of one table: a short row is filled up to the columns of the head, so
	// that few letters make many cells.
	maxCells = 100_000

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
	references int
	// Of the present paragraph, that is since the last empty line:
	start   int // where it begins
	links   int // "](" seen
	columns int // of the widest table head seen
	rows    int // lines since that head
}

// overLimit returns the first limit that the text passes, or nil.
func overLimit(text string) *over {
	if len(text) > maxBytes {
		return &over{TooLong, 0, 0, fmt.Sprintf("the page holds %d bytes; %d are read", len(text), maxBytes), "split the page"}
	}
	var l load
	for start := 0; start < len(text); {
		end := start
		var c counts
		for ; end < len(text) && text[end] != '\n'; end++ {
			c.see(text, end)
		}
		if o := l.line(text, start, end, c); o != nil {
			return o
		}
		start = end + 1
	}
	return nil
}

// counts are the marks seen in one line.
type counts struct {
	links, bars int
	reference   bool
	written     bool // the line is not empty
	other       bool // there is something that the head of a table does not have
}

func (c *counts) see(text string, i int) {
	switch text[i] {
	case ' ', '\t', '\r':
		return
	case '|':
		c.bars++
	case '-', ':':
		if text[i] == ':' && i > 0 && text[i-1] == ']' {
			c.reference = true
		}
	case '>': // a table may stand in a quote
	case '(':
		if i > 0 && text[i-1] == ']' {
			c.links++
		}
		c.other = true
	default:
		c.other = true
	}
	c.written = true
}

// line counts one line, text[start:end], and tells the limit that it passes.
func (l *load) line(text string, start, end int, c counts) *over {
	if !c.written {
		*l = load{references: l.references, start: end + 1}
		return nil
	}
	if c.reference {
		l.references++
	}
	l.links += c.links
	l.rows++
	if !c.other && c.bars+1 > l.columns {
		l.columns, l.rows = c.bars+1, 0
	}
	switch {
	case end-start > maxLine:
		return &over{TooLong, start, end, fmt.Sprintf("the line holds %d bytes; %d are read", end-start, maxLine), "break the line, or keep the data in a file of its own"}
	case depth(text[start:end]) > maxDepth:
		return &over{TooDeep, start, end, fmt.Sprintf("quotes or lists are nested more than %d deep", maxDepth), "begin the line with fewer > or list marks"}
	case l.columns > 1 && l.columns*l.rows > maxCells:
		return &over{TooLong, start, end, fmt.Sprintf("the table holds more than %d cells", maxCells), "split the table with an empty line and a new head"}
	case l.references > maxReferences:
		return &over{TooLong, start, end, fmt.Sprintf("the page holds more than %d footnotes and link addresses", maxReferences), "split the page"}
	case l.links*(end-l.start) > maxTrials:
		return &over{TooLong, start, end, "the paragraph holds too many links for its length", "split it with empty lines"}
	}
	return nil
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
