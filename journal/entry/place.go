package entry

import (
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"bevelbook/calc/source"
)

// yamlLines appends the offset of each line of text, which stands at offset base of a file. YAML
// ends lines at more characters than this program does (YAML 1.1, section 4.2, b-break).
func yamlLines(lines []int, text string, base int) []int {
	lines = append(lines, base)
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '\n':
		case text[i] == '\r' && !strings.HasPrefix(text[i+1:], "\n"):
		case strings.HasPrefix(text[i:], "\u0085"):
			i++
		case strings.HasPrefix(text[i:], "\u2028"), strings.HasPrefix(text[i:], "\u2029"):
			i += 2
		default:
			continue
		}
		lines = append(lines, base+i+1)
	}
	return lines
}

// at is the place of a value in the file.
func (r *reading) at(n *yaml.Node) source.Span {
	start := r.offset(n.Line, n.Column)
	end := max(r.end(n, start), start)
	return r.front.file.Span(start, end)
}

// offset turns a line and column of YAML, both from 1, into an offset in the file.
func (r *reading) offset(line, column int) int {
	if line < 1 || line > len(r.lines) {
		return r.front.end
	}
	s, at := r.front.file.Text, r.lines[line-1]
	for ; column > 1 && at < r.front.end; column-- {
		_, n := utf8.DecodeRuneInString(s[at:])
		at += n
	}
	return min(at, r.front.end)
}

// closers end lists and maps written in brackets.
var closers = map[yaml.Kind]byte{yaml.SequenceNode: ']', yaml.MappingNode: '}'}

// end is where the value that begins at start ends: YAML gives the beginning only.
func (r *reading) end(n *yaml.Node, start int) int {
	s := r.front.file.Text[:r.front.end]
	if k := len(n.Content); k > 0 {
		last := n.Content[k-1]
		end := r.end(last, r.offset(last.Line, last.Column))
		if n.Style&yaml.FlowStyle != 0 {
			end = behind(s, end, closers[n.Kind])
		}
		return end
	}
	switch {
	case start >= len(s):
		return len(s)
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return behind(s, start+1, '"')
	case n.Style&yaml.SingleQuotedStyle != 0:
		if i := strings.IndexByte(s[start+1:], '\''); i >= 0 {
			return start + 1 + i + 1
		}
	case n.Kind == yaml.ScalarNode && strings.HasPrefix(s[start:], n.Value):
		return start + len(n.Value)
	}
	_, end := trim(s, start, min(lineEnd(s, start), len(s)))
	return end
}
