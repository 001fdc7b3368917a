package syntax

import (
	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// Block is the parsed inside of one fence.
type Block struct {
	Entries []*Entry
	// Lost are the entries whose value could not be read: their Value is nil. What needs them waits.
	Lost []*Entry
	// Broken tells that a line could not be read, so that something the author wrote is missing.
	Broken bool
	Lines  []source.Span // as written, for the printer
}

// Entry is one `key: expression`.
type Entry struct {
	Key   []Ident // one word or more: `bevel left`
	Value Expr
	At    source.Span // from the key to the end of the value
	// first and last line of the entry in Block.Lines; loose comments among its lines
	first, last int
	comment     string // behind the value on its last line
	inside      bool   // comments stand between its lines: the printer leaves it as it is
}

// Ident is a word with its place.
type Ident struct {
	Text string
	At   source.Span
}

// Name is the key as one text: "bevel left".
func (e *Entry) Name() string {
	name := e.Key[0].Text
	for _, w := range e.Key[1:] {
		name += " " + w.Text
	}
	return name
}

// Expr is a node of an expression.
type Expr interface {
	Span() source.Span
	expr()
}

type node struct{ At source.Span }

// Span is the place of the node.
func (n node) Span() source.Span { return n.At }
func (node) expr()               {}

// The expressions.
type (
	// Literal is a number with or without a unit, read exactly: `3 3/8 in`, `5' 10"`.
	Literal struct {
		node
		Text string // as the printer writes it
		Q    unit.Quantity
		Unit unit.Unit // the first one written; its Name is "" for a plain number
	}
	// Words is a text between quotes.
	Words struct {
		node
		Text string
	}
	// Truth is yes or no.
	Truth struct {
		node
		Yes bool
	}
	// Name is a name to be looked up.
	Name struct {
		node
		Text string
	}
	// Field is X.Name.
	Field struct {
		node
		X    Expr
		Name Ident
	}
	// Call is Fn(Args).
	Call struct {
		node
		Fn   Ident
		Args []Arg
	}
	// Unary is -X or not X.
	Unary struct {
		node
		Op string
		X  Expr
	}
	// Binary is X Op Y; Op is one of + - * / ^ = != < <= > >= and or.
	Binary struct {
		node
		Op   string
		X, Y Expr
	}
	// Point is (X, Y) or (X, Y, Z).
	Point struct {
		node
		Items []Expr
	}
	// List is [a, b] or, as a whole value, a, b.
	List struct {
		node
		Items     []Expr
		Bracketed bool
	}
	// Repeat is Count x X in a list.
	Repeat struct {
		node
		Count int
		X     Expr
	}
	// Show is X as Unit to Step; Unit is "" and Step nil when not given.
	Show struct {
		node
		X    Expr
		Unit Ident
		Step Expr
	}
)

// Arg is one argument of a call, named or not.
type Arg struct {
	Name  Ident // Text is "" when the argument goes by its position
	Value Expr
}

// Walk calls visit for e and everything below it, parents first.
func Walk(e Expr, visit func(Expr)) {
	if e == nil {
		return
	}
	visit(e)
	for _, c := range Children(e) {
		Walk(c, visit)
	}
}

// Children lists the expressions right below e, in the order of the text.
func Children(e Expr) []Expr {
	switch e := e.(type) {
	case *Field:
		return []Expr{e.X}
	case *Call:
		list := make([]Expr, len(e.Args))
		for i, a := range e.Args {
			list[i] = a.Value
		}
		return list
	case *Unary:
		return []Expr{e.X}
	case *Binary:
		return []Expr{e.X, e.Y}
	case *Point:
		return e.Items
	case *List:
		return e.Items
	case *Repeat:
		return []Expr{e.X}
	case *Show:
		if e.Step != nil {
			return []Expr{e.X, e.Step}
		}
		return []Expr{e.X}
	}
	return nil
}
