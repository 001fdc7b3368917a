package eval

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Chain tells, for the maker alone, how a node's value came about and then how each value it needs
// did, nearest first: "length + 2 * wall = 240 mm + 2 * 10 mm = 260 mm". Of a block it tells the
// result that was asked for, and the keys that result comes from. Private numbers are not left out,
// so it must not be published.
func Chain(n *Node, style unit.Style) []string {
	w := walk{style: style}
	w.meet(link{node: n})
	return w.all()
}

// all tells everything that was met, and what that needs.
func (w *walk) all() []string {
	const most = 40 // lines; a longer chain is a build, not a working
	for at := 0; at < len(w.queue) && len(w.lines) < most; at++ {
		w.tell(w.queue[at])
	}
	return w.lines
}

// link is one thing that a chain tells: a value, or one result of a block by its path, "edge.left.length".
type link struct {
	node  *Node
	field string
}

// walk goes through what a value needs, breadth first.
type walk struct {
	style unit.Style
	queue []link
	lines []string
}

func (w *walk) meet(l link) {
	if !slices.Contains(w.queue, l) {
		w.queue = append(w.queue, l)
	}
}

// add writes a line of a node, with its place in the journal; the asked expression has none.
func (w *walk) add(text string, n *Node, at source.Span) {
	if n.ID != "" {
		p := at.Place()
		text += fmt.Sprintf("   (%s:%d)", p.File, p.Line)
	}
	w.lines = append(w.lines, text)
}

// tell writes the lines of one link and meets what it needs.
func (w *walk) tell(l link) {
	switch n := l.node; {
	case n.Expr != nil:
		m, path := n.path(n.Expr)
		if m != nil && n.ID == "" {
			w.meet(link{m, path}) // a bare name that was asked for would only say itself
			return
		}
		w.formula(n.ID, n, n.Expr, n.Cell.Value)
		w.follow(n, n.Expr)
	case l.field == "":
		w.whole(n)
	case !n.Block.Values:
		w.result(n, l.field)
	}
}

// formula writes an expression, the same with numbers in it, and its value; nothing if that would
// say one thing twice.
func (w *walk) formula(label string, n *Node, e syntax.Expr, v Value) {
	steps := []string{syntax.String(e)}
	numbers, _ := n.numbersOf(e, w.style)
	steps = append(steps, numbers)
	switch v.(type) {
	case Quantity, Bool, Text, Point, List:
		steps = append(steps, v.Show(w.style))
	}
	spelt := strings.NewReplacer("^2", "²", "^3", "³", "−", "-", " deg", "°", "[", "", "]", "")
	steps = slices.CompactFunc(steps, func(a, b string) bool { return spelt.Replace(a) == spelt.Replace(b) })
	if label != "" {
		steps = slices.Insert(steps, 0, label)
	}
	if len(steps) > 1 {
		w.add(strings.Join(steps, " = "), n, e.Span())
	}
}

// follow meets what the names of an expression stand for.
func (w *walk) follow(n *Node, e syntax.Expr) {
	if m, path := n.path(e); m != nil {
		if path != "" || m.Expr != nil {
			w.meet(link{m, path})
		}
		return
	}
	for _, c := range syntax.Children(e) {
		w.follow(n, c)
	}
}

// path is the node that a chain of names begins with, and the rest of the chain.
func (n *Node) path(e syntax.Expr) (*Node, string) {
	if m := n.ref(e); m != nil {
		return m, ""
	}
	f, ok := e.(*syntax.Field)
	if !ok {
		return nil, ""
	}
	m, path := n.path(f.X)
	if path != "" {
		path += "."
	}
	return m, path + f.Name.Text
}

// whole writes the results of a block that was asked for as such.
func (w *walk) whole(n *Node) {
	r, ok := n.Cell.Value.(*Record)
	if !ok {
		return
	}
	for _, f := range r.Fields {
		if !f.Quiet {
			w.add(resultLine(n.label()+"."+f.Name, f, w.style), n, n.At)
		}
	}
}

// result writes one result of a block and the keys that it comes from, and meets what those need.
func (w *walk) result(n *Node, path string) {
	f, from := n.resultAt(path)
	if f.Value == nil {
		return
	}
	w.add(resultLine(n.label()+"."+path, f, w.style), n, n.At)
	for _, e := range n.Block.Syntax.Entries {
		if from != nil && !slices.Contains(from, e.Key[0].Text) || n.takesWord(e) {
			continue
		}
		if _, _, alone := n.stands(e.Value); !alone && !given(e.Value) {
			w.formula(n.label()+"."+e.Name(), n, e.Value, nil)
		}
		w.follow(n, e.Value)
	}
}

// resultAt finds a result by its path; from are the keys it comes from, nil for all of them.
func (n *Node) resultAt(path string) (f Result, from []string) {
	v := n.Cell.Value
	for _, name := range strings.Split(path, ".") {
		r, ok := v.(*Record)
		if !ok {
			return Result{}, nil
		}
		f, _ = r.Field(name)
		if f.From != nil {
			from = f.From
		}
		v = f.Value
	}
	return f, from
}

// resultLine is a result's name, formula, numbers and value, as far as there are any.
func resultLine(label string, f Result, style unit.Style) string {
	list := []string{label, f.Formula, f.Numbers, f.Value.Show(style)}
	list = slices.DeleteFunc(list, func(s string) bool { return s == "" })
	return strings.Join(slices.Compact(list), " = ")
}
