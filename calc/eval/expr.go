package eval

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// evaluator works out expressions as seen from one node.
type evaluator struct {
	p *Program
	n *Node
}

// cell works out an expression or bails out with a finding.
func (ev evaluator) cell(e syntax.Expr) Cell {
	if m := ev.linked(e); m != nil {
		return ev.of(m, e)
	}
	switch e := e.(type) {
	case *syntax.Literal:
		return Cell{Value: Quantity{Quantity: e.Q}}
	case *syntax.Words:
		return Cell{Value: Text(e.Text)}
	case *syntax.Truth:
		return Cell{Value: Bool(e.Yes)}
	case *syntax.Name:
		return ev.name(e)
	case *syntax.Field:
		return ev.field(e)
	case *syntax.Call:
		return ev.call(e)
	case *syntax.Unary:
		return ev.unary(e)
	case *syntax.Binary:
		return ev.binary(e)
	case *syntax.Point:
		return ev.point(e)
	case *syntax.List:
		return ev.list(e.Items)
	case *syntax.Repeat:
		return ev.list([]syntax.Expr{e})
	case *syntax.Show:
		return ev.show(e)
	}
	fail(WrongValue, e.Span(), "", "this cannot be worked out")
	return Cell{}
}

// linked is the node that a name, or a chain of name.name, stands for, or nil.
func (ev evaluator) linked(e syntax.Expr) *Node {
	switch e.(type) {
	case *syntax.Name, *syntax.Field:
	default:
		return nil
	}
	const few = 8 // below this, looking through them is the quickest
	n := ev.n
	if len(n.refs) <= few {
		for _, r := range n.refs {
			if r.expr == e {
				return r.node
			}
		}
		return nil
	}
	if n.byExpr == nil {
		n.byExpr = make(map[syntax.Expr]*Node, len(n.refs))
		for _, r := range n.refs {
			n.byExpr[r.expr] = r.node
		}
	}
	return n.byExpr[e]
}

// of is the value of another node; an unknown one makes this one wait.
func (ev evaluator) of(m *Node, e syntax.Expr) Cell {
	if _, unknown := m.Cell.Value.(Unknown); !unknown && m.Cell.Value != nil {
		return m.Cell
	}
	wait(m.root(), e.Span())
	return Cell{}
}

// wait leaves the node because another must be mended first.
func wait(root *Node, at source.Span) {
	f := finding.Finding{Name: string(Waiting), Severity: finding.Note, At: at,
		Message: fmt.Sprintf("this waits for %s, which cannot be worked out yet", root.label()),
		Help:    "Mend that first",
		Notes:   []finding.Related{{At: root.At, Message: "it is here"}},
	}
	panic(bailout{f, root})
}

// constants are names that need no block.
var constants = map[string]Value{"pi": Num(3.141592653589793, unit.None)}

func (ev evaluator) name(e *syntax.Name) Cell {
	if v, ok := constants[e.Text]; ok {
		return Cell{Value: v}
	}
	ev.n.guessed = true
	if _, ok := ev.p.spaces[e.Text]; ok && e.Text != "" {
		fail(WrongValue, e.At, fmt.Sprintf("Name a value of it, as in %s.length", e.Text), "%s is a section, not a value", e.Text)
	}
	if _, ok := functions[e.Text]; ok {
		fail(WrongValue, e.At, fmt.Sprintf("Give it its arguments, as in %s", functions[e.Text].Usage()), "%s is a function", e.Text)
	}
	help := "Set it in a `dims` block, or check the spelling"
	if ev.reach() <= mostCompared {
		if near := ev.nearest(e.Text); near != "" {
			help = fmt.Sprintf("Did you mean %s?", near)
		}
		if full := ev.elsewhere(e.Text); full != "" {
			help = fmt.Sprintf("Did you mean %s?", full)
		}
	}
	fail(UnknownName, e.At, help, "nothing here is called %s", e.Text)
	return Cell{}
}

// elsewhere is how to write a name that is known, but only in a named block of the node's reach or in
// another section; "" if it is known nowhere. Of several the first in the alphabet.
func (ev evaluator) elsewhere(name string) string {
	var known []string
	for _, s := range []string{ev.n.Section, ""} {
		for owner, n := range ev.p.spaces[s] {
			if n.Block != nil && n.Expr == nil && n.Block.own[name] != nil {
				known = append(known, owner+"."+name)
			}
		}
	}
	for s, sp := range ev.p.spaces {
		if s != "" && sp[name] != nil {
			known = append(known, s+"."+name)
		}
	}
	if len(known) == 0 {
		return ""
	}
	return slices.Min(known)
}

// nearest is the name in the node's reach that a mistyped one most likely means, or "". A material
// that is missing is missed by every panel, so the answer is kept.
func (ev evaluator) nearest(name string) string {
	type question struct {
		section, name string
		block         *Block
	}
	q := question{ev.n.Section, name, nil}
	if b := ev.n.Block; b != nil && b.own != nil {
		q.block = b
	}
	known, ok := ev.p.near.Load(q)
	if !ok {
		known = spell.Nearest(name, ev.inReach())
		ev.p.near.Store(q, known)
	}
	if near := known.(string); near != ev.n.Key {
		return near
	}
	others := slices.DeleteFunc(ev.inReach(), func(s string) bool { return s == ev.n.Key })
	return spell.Nearest(name, others)
}

// mostCompared is the most names that an unknown one is held against: with more, a journal of unknown
// names would take time with the square of its size.
const mostCompared = 2000

// reach counts the names that the node may write, and the sections.
func (ev evaluator) reach() int {
	n := len(ev.p.spaces[ev.n.Section]) + len(ev.p.spaces[""]) + len(ev.p.spaces)
	if ev.n.Block != nil {
		n += len(ev.n.Block.own)
	}
	return n
}

// inReach lists the names that the node may write.
func (ev evaluator) inReach() []string {
	names := slices.Collect(maps.Keys(constants))
	for _, sp := range []space{ev.p.spaces[ev.n.Section], ev.p.spaces[""]} {
		names = slices.AppendSeq(names, maps.Keys(sp))
	}
	names = slices.AppendSeq(names, maps.Keys(ev.p.spaces))
	if b := ev.n.Block; b != nil {
		names = slices.AppendSeq(names, maps.Keys(b.own))
	}
	return names
}

func (ev evaluator) field(e *syntax.Field) Cell {
	if s, ok := e.X.(*syntax.Name); ok && ev.linked(e.X) == nil {
		if sp, is := ev.p.spaces[s.Text]; is && s.Text != "" {
			ev.n.guessed = true
			var names []string
			for name := range sp {
				names = append(names, name)
			}
			ev.noField(e.Name, "the section "+s.Text, names)
		}
	}
	c := ev.cell(e.X)
	switch x := c.Value.(type) {
	case *Record:
		if f, ok := x.Field(e.Name.Text); ok {
			if u, unknown := f.Value.(Unknown); unknown {
				wait(u.Waits, e.At)
			}
			return Cell{f.Value, max(f.Privacy, c.Privacy)}
		}
		ev.noField(e.Name, x.Type(), PartNames(x))
	case Point:
		if v, ok := map[string]float64{"x": x.X, "y": x.Y, "z": x.Z}[e.Name.Text]; ok {
			return Cell{Num(v, unit.Length), c.Privacy}
		}
		ev.noField(e.Name, "a point", PartNames(x))
	case Outline:
		return Cell{outlineField(e, x), min(c.Privacy, Shaped)}
	case Path:
		if e.Name.Text == "length" {
			return Cell{Num(x.Length(), unit.Length), min(c.Privacy, Shaped)}
		}
		ev.noField(e.Name, "a path", PartNames(x))
	}
	fail(WrongValue, e.X.Span(), "Only blocks, outlines, paths and points have parts with a name", "%s has no %s", c.Value.Type(), e.Name.Text)
	return Cell{}
}

func (ev evaluator) noField(name syntax.Ident, owner string, known []string) {
	help := ""
	if near := spell.Nearest(name.Text, known); near != "" {
		help = fmt.Sprintf("Did you mean %s?", near)
	} else if len(known) > 0 {
		help = "It has " + listed(known)
	}
	fail(UnknownField, name.At, help, "%s has no result %s", owner, name.Text)
}

// outlineField answers outline.area, .width, .height, .perimeter and the length of an edge by name.
func outlineField(e *syntax.Field, o Outline) Value {
	box := o.Bounds()
	switch e.Name.Text {
	case "area":
		a := o.Area()
		for _, h := range o.Holes {
			a -= h.Area()
		}
		return Num(a, unit.Area)
	case "width":
		return Num(box.Max.X-box.Min.X, unit.Length)
	case "height":
		return Num(box.Max.Y-box.Min.Y, unit.Length)
	}
	total := 0.0
	for i, l := range o.EdgeLengths() {
		if o.Edges[i].Name == e.Name.Text {
			return Num(l, unit.Length)
		}
		total += l
	}
	if e.Name.Text == "perimeter" {
		return Num(total, unit.Length)
	}
	evaluator{}.noField(e.Name, "an outline", PartNames(o))
	return nil
}

func (ev evaluator) point(e *syntax.Point) Cell {
	var xyz [3]float64
	privacy := Open
	for i, x := range e.Items {
		c := ev.cell(x)
		q, ok := c.Value.(Quantity)
		if !ok || q.Dim != unit.Length && (q.Dim != unit.None || q.Value != 0) {
			fail(misfit(c.Value), x.Span(), "Write both coordinates with a unit, as in (20 mm, 45 mm)", "a point needs lengths, and this is %s", c.Value.Type())
		}
		xyz[i] = q.Value
		privacy = max(privacy, c.Privacy)
	}
	return Cell{Point{Vec: r2.Vec{X: xyz[0], Y: xyz[1]}, Z: xyz[2], InSpace: len(e.Items) == 3}, privacy}
}

func (ev evaluator) list(items []syntax.Expr) Cell {
	var list List
	privacy := Open
	total := 0
	for _, x := range items {
		n := 1
		if r, ok := x.(*syntax.Repeat); ok {
			n, x = r.Count, r.X
		}
		c := ev.cell(x)
		privacy = max(privacy, c.Privacy)
		size := 1
		if inner, ok := c.Value.(List); ok {
			size = inner.size()
		}
		if total += n * size; total > MaxItems {
			fail(TooMuch, x.Span(), "Split it, or count instead of listing", "this list has more than %d items", MaxItems)
		}
		for range n {
			list = append(list, c.Value)
		}
	}
	return Cell{list, privacy}
}

// size counts the items of a list and of the lists in it, each list as one more, so that lists of
// lists, empty ones too, cannot outgrow memory.
func (l List) size() int {
	n := 1
	for _, v := range l {
		if inner, ok := v.(List); ok {
			n += inner.size()
		} else {
			n++
		}
	}
	return n
}

// checked turns an error of arithmetic into a finding at e.
func checked(q unit.Quantity, err error, at source.Span) Quantity {
	if err == nil {
		return Quantity{Quantity: q}
	}
	var m *unit.Mismatch
	switch {
	case errors.As(err, &m) && m.A.Currency != "" && m.B.Currency != "":
		fail(UnitsDiffer, at, "Work one of them out in the other currency first", "%v", err)
	case m != nil:
		fail(UnitsDiffer, at, "Both sides need the same dimension; see the unit behind each number", "%v", err)
	case errors.Is(err, unit.ErrDivideByZero):
		fail(NoResult, at, "Check what it is divided by", "%v", err)
	case errors.Is(err, unit.ErrNegativeRoot):
		fail(NoResult, at, "Check the order of the difference below the root", "%v", err)
	}
	fail(NoResult, at, "Check the numbers and units it is worked out from", "%v", err)
	return Quantity{}
}

// IsConstant tells whether a name is known everywhere without a block.
func IsConstant(name string) bool { return constants[name] != nil }

// listed joins the first few names for a message, in alphabetical order.
func listed(names []string) string {
	const most = 12
	names = slices.Sorted(slices.Values(names))
	if len(names) > most {
		names = append(names[:most:most], "…")
	}
	return strings.Join(names, ", ")
}
