package entry

import "github.com/yuin/goldmark/ast"

// linkEnd finds where a link or picture ends. Goldmark keeps only the beginning, so the text is read
// on from the last thing inside it: to the bracket, and to the end of the address behind it.
func (c *collector) linkEnd(n ast.Node, reference *ast.ReferenceLink) int {
	s := c.File.Text
	at := n.Pos() + 1
	if n.LastChild() != nil {
		at = max(at, c.end(n.LastChild()))
	}
	for at < len(s) && s[at] != ']' {
		at++
	}
	at = min(at+1, len(s))
	switch {
	case reference == nil:
		at = addressEnd(s, at)
	case reference.Type == ast.ReferenceLinkFull || reference.Type == ast.ReferenceLinkCollapsed:
		at = behind(s, at, ']')
	}
	if c.ends == nil {
		c.ends = map[ast.Node]int{}
	}
	c.ends[n] = at
	return at
}

// end is an offset at or a few marks before the end of an inline node.
func (c *collector) end(n ast.Node) int {
	for {
		if at, known := c.ends[n]; known {
			return at
		}
		if t, ok := n.(*ast.Text); ok {
			return t.Segment.Stop
		}
		if n.LastChild() == nil {
			return n.Pos()
		}
		n = n.LastChild()
	}
}

// addressEnd is the offset behind "(address "title")" at at, or at when there is none.
func addressEnd(s string, at int) int {
	if at >= len(s) || s[at] != '(' {
		return at
	}
	i := pastSpace(s, at+1)
	if i < len(s) && s[i] == '<' {
		i = behind(s, i+1, '>')
	} else {
		i = pastAddress(s, i)
	}
	i = pastSpace(s, i)
	if i < len(s) && titleEnds[s[i]] != 0 {
		i = pastSpace(s, behind(s, i+1, titleEnds[s[i]]))
	}
	if i < len(s) && s[i] == ')' {
		return i + 1
	}
	return at
}

// titleEnds gives the mark that closes a title for the one that opens it.
var titleEnds = [256]byte{'"': '"', '\'': '\'', '(': ')'}

// pastAddress passes over an address: no spaces, brackets in pairs.
func pastAddress(s string, i int) int {
	opened := 0
	for ; i < len(s) && !isSpace(s[i]); i++ {
		switch s[i] {
		case '\\':
			i++
		case '(':
			opened++
		case ')':
			if opened == 0 {
				return i
			}
			opened--
		}
	}
	return min(i, len(s))
}

func pastSpace(s string, i int) int {
	for i < len(s) && isSpace(s[i]) {
		i++
	}
	return i
}

// behind is the offset behind the next mark from at on.
func behind(s string, at int, mark byte) int {
	for i := at; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case mark:
			return i + 1
		}
	}
	return at
}
