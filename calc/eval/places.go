package eval

import (
	"iter"
	"maps"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Mention is one word of an expression, with what it stands for: of `helm.cheek.edge.long.length` the
// first word stands for a section, the second for a node, the others for results of that node.
type Mention struct {
	At      source.Span // the word alone
	Chain   syntax.Expr // the name, or the chain of names, that ends with the word
	Section string      // the section that the word names; "" unless Node is nil
	Node    *Node       // what the word stands for, or whose result it is; nil for a section
	Result  string      // path of the result, as in "edge.long.length"; "" for the node itself
}

// Mentions lists, in the order of the text, the words of a node's expressions that stand for a section,
// for a node or for a result of one. Words that stand for nothing are not among them. Whether a result
// of that name is there is not looked at, so that Mentions may be called before Run.
func (p *Program) Mentions(n *Node) []Mention {
	m := mentions{p: p, n: n}
	switch {
	case n.Expr != nil:
		m.below(n.Expr)
	case n.Block != nil && !n.Block.Values && n.Block.Syntax != nil:
		for _, e := range n.Block.Syntax.Entries {
			if !n.takesWord(e) {
				m.below(e.Value)
			}
		}
	}
	return m.list
}

// mentions gathers what the words of one node's expressions stand for.
type mentions struct {
	p    *Program
	n    *Node
	list []Mention
}

// below goes through an expression that may hold chains of names.
func (m *mentions) below(e syntax.Expr) {
	switch e.(type) {
	case *syntax.Name, *syntax.Field:
		m.chain(e)
		return
	}
	for _, c := range syntax.Children(e) {
		m.below(c)
	}
}

// chain notes the words of a chain of names and tells what its last one stands for; the zero Mention if
// for nothing.
func (m *mentions) chain(e syntax.Expr) Mention {
	switch e := e.(type) {
	case *syntax.Name:
		found := Mention{At: e.At, Chain: e, Node: m.p.lookup(m.n, e.Text)}
		if found.Node == nil {
			if m.p.spaces[e.Text] == nil || e.Text == "" {
				return Mention{}
			}
			found.Section = e.Text
		}
		m.list = append(m.list, found)
		return found
	case *syntax.Field:
		owner := m.chain(e.X)
		found := Mention{At: e.Name.At, Chain: e}
		switch {
		case owner.Section != "":
			found.Node = m.p.spaces[owner.Section][e.Name.Text]
		case owner.Node == nil:
		case owner.Result != "":
			found.Node, found.Result = owner.Node, owner.Result+"."+e.Name.Text
		default:
			if found.Node = owner.Node.value(e.Name.Text); found.Node == nil {
				found.Node, found.Result = owner.Node, e.Name.Text
			}
		}
		if found.Node == nil {
			return Mention{}
		}
		m.list = append(m.list, found)
		return found
	}
	m.below(e)
	return Mention{}
}

// Space goes through the names that a section declares, in no order; "" is the journal's own space.
// A named block of values is one name; its Members have its values.
func (p *Program) Space(section string) iter.Seq2[string, *Node] {
	return maps.All(p.spaces[section])
}

// Sections goes through the sections that declare a name, in no order.
func (p *Program) Sections() iter.Seq[string] {
	return func(yield func(string) bool) {
		for s := range p.spaces {
			if s != "" && !yield(s) {
				return
			}
		}
	}
}

// AskAs works out one more expression as the node itself would see it: in its block, its section and
// the journal. Nothing else of the program is changed. It may be called at any time after Run.
func (p *Program) AskAs(asker *Node, e syntax.Expr) *Node {
	n := &Node{Section: asker.Section, At: e.Span(), Expr: e}
	if b := asker.Block; b != nil {
		n.Block = &Block{Section: b.Section, Kind: b.Kind, Private: b.Private, own: b.own}
	}
	for _, r := range p.reach(n, e) {
		n.refs = append(n.refs, r)
		n.Needs = append(n.Needs, r.node)
	}
	p.work(n)
	return n
}

// ChainOf is Chain for one result of a node by its path, "edge.long.length"; for "" it tells how the
// node's own value came about.
func ChainOf(n *Node, result string, style unit.Style) []string {
	w := walk{style: style}
	w.meet(link{node: n, field: result})
	return w.all()
}

// PartNames lists what may stand behind a value and a dot: the results of a block, the coordinates of
// a point, the sizes and edges of an outline. It is nil for a value without named parts.
func PartNames(v Value) []string {
	var names []string
	switch v := v.(type) {
	case *Record:
		for _, f := range v.Fields {
			names = append(names, f.Name)
		}
	case Point:
		names = []string{"x", "y", "z"}
	case Outline:
		for _, e := range v.Edges {
			names = append(names, e.Name)
		}
		names = append(names, "area", "width", "height", "perimeter")
	case Path:
		names = []string{"length"}
	}
	return names
}
