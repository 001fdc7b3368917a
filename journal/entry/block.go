package entry

import (
	"strings"

	"github.com/yuin/goldmark/ast"

	"bevelbook/calc/source"
)

// block notes a fenced block with the places of its lines.
func (c *collector) block(n *ast.FencedCodeBlock) {
	s := c.File.Text
	start := fenceStart(s, n.Pos())
	marks := start
	for marks < len(s) && marks >= 0 && s[marks] == s[start] {
		marks++
	}
	b := Block{Node: n, Info: c.File.Span(marks, marks)}
	if n.Info != nil {
		from, to := trim(s, n.Info.Segment.Start, n.Info.Segment.Stop)
		b.Info = c.File.Span(from, to)
		b.Kind, b.Name = cutWord(s[from:to])
	}
	b.Lines = c.lines(n)
	end := lineEnd(s, marks)
	if k := len(b.Lines); k > 0 {
		end = lineEnd(s, b.Lines[k-1].End)
	}
	c.keepApart(start)
	b.Fence = c.File.Span(start, closing(s, end, s[start], marks-start))
	c.Blocks = append(c.Blocks, b)
}

// fenceStart is the first mark of a fence: goldmark's position can be off by the columns of a tab.
func fenceStart(s string, at int) int {
	at = min(max(at, 0), len(s)-1)
	for i := at; i < len(s) && s[i] != '\n'; i++ {
		if s[i] == '`' || s[i] == '~' {
			for i > 0 && s[i-1] == s[i] {
				i--
			}
			return i
		}
	}
	return at
}

// lines are the places of the lines between the fences.
func (c *collector) lines(n *ast.FencedCodeBlock) []source.Span {
	s, segments := c.File.Text, n.Lines()
	lines := make([]source.Span, segments.Len())
	for i := range lines {
		seg := segments.At(i)
		end := min(seg.Stop, len(s))
		if end > 0 && end > seg.Start && s[end-1] == '\n' {
			end--
		}
		// On an empty line goldmark may count columns of a tab from before its beginning, or a
		// carriage return as indentation.
		begin := strings.LastIndexByte(s[:end], '\n') + 1
		start := max(seg.Start, begin)
		for end > begin && s[end-1] == '\r' {
			end--
		}
		lines[i] = c.File.Span(min(start, end), end)
	}
	return lines
}

// lineEnd is the offset of the line end at or behind at, or the length of the text.
func lineEnd(s string, at int) int {
	if i := strings.IndexByte(s[at:], '\n'); i >= 0 {
		return at + i
	}
	return len(s)
}

// closing is the end of the closing fence on the line behind end, or end without its line end when
// there is none. The line's quote marks are passed over.
func closing(s string, end int, mark byte, count int) int {
	last := end
	if last > 0 && last <= len(s) && s[last-1] == '\r' {
		last--
	}
	if end >= len(s) {
		return last
	}
	i := end + 1
	for i < len(s) && (s[i] == ' ' || s[i] == '\t' || s[i] == '>') {
		i++
	}
	from := i
	for i < len(s) && s[i] == mark {
		i++
	}
	if i-from < count || strings.TrimSpace(s[i:lineEnd(s, i)]) != "" {
		return last
	}
	return i
}

// keepApart ends the block before at the end of its last line when what looked like its closing fence
// opens the block that starts here: its quote or list ended instead.
func (c *collector) keepApart(start int) {
	if len(c.Blocks) == 0 {
		return
	}
	before := &c.Blocks[len(c.Blocks)-1]
	if before.Fence.End <= start {
		return
	}
	before.Fence.End = max(before.Fence.Start, before.Info.End)
	if k := len(before.Lines); k > 0 {
		before.Fence.End = before.Lines[k-1].End
	}
}

// cutWord parts the first word from the rest.
func cutWord(s string) (word, rest string) {
	if i := strings.IndexAny(s, " \t"); i >= 0 {
		return s[:i], strings.TrimSpace(s[i:])
	}
	return s, ""
}
