package eval

import "bevelbook/calc/syntax"

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
