package eval

import (
	"fmt"
	"strings"

	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Ask works out one more expression as a page of the section would see it. The program itself is not
// changed; the node is nobody's need. Ask may be called at any time after Run.
func (p *Program) Ask(section string, e syntax.Expr) *Node {
	n := &Node{Section: section, At: e.Span(), Expr: e}
	for _, r := range p.reach(n, e) {
		n.refs = append(n.refs, r)
		n.Needs = append(n.Needs, r.node)
	}
	p.work(n)
	return n
}

// reach lists what the names below e stand for, without leaving a trace in the graph.
func (p *Program) reach(n *Node, e syntax.Expr) []ref {
	if m := p.stands(n, e); m != nil {
		return []ref{{e, m}}
	}
	var list []ref
	for _, c := range syntax.Children(e) {
		list = append(list, p.reach(n, c)...)
	}
	return list
}

// Chain tells, for the maker alone, how a node's value came about and then how each value it needs
// did, nearest first: "length + 2 * wall = 240 mm + 2 * 10 mm = 260 mm". Private numbers are not
// left out, so it must not be published.
func Chain(n *Node, style unit.Style) []string {
	const most = 40 // lines; a longer chain is a build, not a working
	var lines []string
	seen := map[*Node]bool{n: true}
	queue := []*Node{n}
	for len(queue) > 0 && len(lines) < most {
		m := queue[0]
		queue = queue[1:]
		lines = append(lines, m.chainLines(style)...)
		for _, need := range m.Needs {
			if !seen[need] {
				seen[need] = true
				queue = append(queue, need)
			}
		}
	}
	return lines
}

// chainLines are a node's own lines: its formula, or its block's results that have one.
func (n *Node) chainLines(style unit.Style) []string {
	place := func(text string) string {
		at := n.At.Place()
		return fmt.Sprintf("%s   (%s:%d)", text, at.File, at.Line)
	}
	if n.Expr != nil {
		text := syntax.String(n.Expr)
		if numbers, _ := n.numbers(style); numbers != text {
			text += " = " + numbers
		}
		if value := n.Cell.Value.Show(style); !given(n.Expr) && !strings.HasSuffix(text, " = "+value) {
			text += " = " + value
		}
		if n.ID == "" {
			return []string{text}
		}
		return []string{place(n.ID + " = " + text)}
	}
	r, ok := n.Cell.Value.(*Record)
	if !ok || n.Block.Values {
		return nil
	}
	var lines []string
	for _, f := range r.Fields {
		if f.Formula != "" {
			lines = append(lines, place(n.label()+"."+f.Name+" = "+f.Formula+" = "+f.Numbers+" = "+f.Value.Show(style)))
		}
	}
	return lines
}
