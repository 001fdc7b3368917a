package eval

import (
	"strings"

	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Working says how a value came about: the formula as written, the same with numbers in it, and the
// value. Numbers is "" when there is nothing to put in, or when a number in it is not to be published.
type Working struct{ Formula, Numbers, Value string }

// Working is how the node's value came about, in the journal's style. It is the zero Working for a
// block, for a value that was given as it stands, and for one that is not known.
func (n *Node) Working(style unit.Style) Working {
	if n.Expr == nil || given(n.Expr) || n.Cell.Value == nil {
		return Working{}
	}
	if _, unknown := n.Cell.Value.(Unknown); unknown {
		return Working{}
	}
	if m, f, ok := n.stands(n.Expr); ok {
		return m.workingOf(f, style, n.Cell.Value)
	}
	w := Working{Formula: syntax.String(n.Expr), Value: n.Cell.Value.Show(style)}
	numbers, private := n.numbers(style)
	if numbers != w.Formula && !private {
		w.Numbers = numbers
	}
	return w
}

// given tells whether an expression says its value outright.
func given(e syntax.Expr) bool {
	switch e := e.(type) {
	case *syntax.Literal, *syntax.Words, *syntax.Truth:
		return true
	case *syntax.Unary:
		return given(e.X)
	case *syntax.Point:
		for _, x := range e.Items {
			if !given(x) {
				return false
			}
		}
		return true
	}
	return false
}

// stands tells what an expression that is nothing but a name stands for: another node, or a result
// of a block.
func (n *Node) stands(e syntax.Expr) (*Node, *Result, bool) {
	if m := n.ref(e); m != nil {
		return m, nil, true
	}
	f, ok := e.(*syntax.Field)
	if !ok {
		return nil, nil, false
	}
	m := n.ref(f.X)
	if m == nil {
		return nil, nil, false
	}
	r, ok := m.Cell.Value.(*Record)
	if !ok {
		return nil, nil, false
	}
	res, ok := r.Field(f.Name.Text)
	return m, &res, ok
}

// workingOf is the working of the node itself, or of one of its block's results.
func (n *Node) workingOf(f *Result, style unit.Style, v Value) Working {
	if f == nil {
		if n.Expr != nil && n.Cell.Privacy < Kept {
			return n.Working(style)
		}
		return Working{}
	}
	w := Working{Formula: f.Formula, Numbers: f.Numbers, Value: v.Show(style)}
	if f.Formula == "" && f.Numbers == "" {
		return Working{}
	}
	if f.Privacy > Open {
		w.Numbers = ""
	}
	return w
}

func (n *Node) ref(e syntax.Expr) *Node {
	for _, r := range n.refs {
		if r.expr == e {
			return r.node
		}
	}
	return nil
}

// numbers is the formula with values in place of names, and whether one of them is near a private one.
func (n *Node) numbers(style unit.Style) (text string, private bool) {
	return n.numbersOf(n.Expr, style)
}

func (n *Node) numbersOf(e syntax.Expr, style unit.Style) (text string, private bool) {
	text = syntax.StringWith(e, func(e syntax.Expr) (string, bool) {
		c, ok := n.known(e)
		if !ok {
			return "", false
		}
		private = private || c.Privacy > Open
		switch v := c.Value.(type) {
		case Quantity:
			return bracketed(v.Show(style)), true
		case Text, Bool, Point:
			return v.Show(style), true
		}
		return "", false
	})
	return text, private
}

// bracketed keeps a quantity of several words together inside a sum: (2 h 15 min).
func bracketed(text string) string {
	if strings.Count(text, " ") > 1 || strings.HasPrefix(text, "−") || strings.HasPrefix(text, "-") {
		return "(" + text + ")"
	}
	return text
}

// known is the value of a name, or of a chain of name.name.
func (n *Node) known(e syntax.Expr) (Cell, bool) {
	if m := n.ref(e); m != nil {
		return m.Cell, m.Cell.Value != nil
	}
	f, ok := e.(*syntax.Field)
	if !ok {
		return Cell{}, false
	}
	c, ok := n.known(f.X)
	r, is := c.Value.(*Record)
	if !ok || !is {
		return Cell{}, false
	}
	res, ok := r.Field(f.Name.Text)
	return Cell{res.Value, max(res.Privacy, c.Privacy)}, ok && res.Value != nil
}

// NearPrivate tells whether the node works with a private measurement itself, so that a message
// about it could spell one.
func (n *Node) NearPrivate() bool {
	if n.Block != nil && n.Block.Private || n.Cell.Privacy == Kept {
		return true
	}
	for _, m := range n.Needs {
		if m.Cell.Privacy == Kept || m.Block != nil && m.Block.Private {
			return true
		}
	}
	return false
}
