package eval

import (
	"reflect"
	"slices"

	"bevelbook/calc/unit"
)

// same tells whether whoever needs a node can tell its new value from the one before. Values that are
// compared by their looks must not differ in anything that is shown. A value that is not known counts
// as another when the text of what it waits for was read again: its place is told.
func (p *Program) same(a, b Cell) bool {
	return a.Privacy == b.Privacy && p.sameValue(a.Value, b.Value)
}

func (p *Program) sameValue(a, b Value) bool {
	switch a := a.(type) {
	case nil:
		return b == nil
	case Unknown:
		b, ok := b.(Unknown)
		return ok && a.Waits == b.Waits && (a.Waits == nil || a.Waits.text != nil && a.Waits.written < p.round)
	case Quantity:
		b, ok := b.(Quantity)
		return ok && a.Quantity == b.Quantity && a.Step == b.Step && sameUnit(a.As, b.As)
	case Text, Bool, Point:
		return a == b
	case List:
		b, ok := b.(List)
		return ok && slices.EqualFunc(a, b, p.sameValue)
	case *Record:
		b, ok := b.(*Record)
		return ok && (a == b || p.sameRecord(a, b))
	}
	return reflect.DeepEqual(a, b) // shapes; two steps of a path never are the same
}

func (p *Program) sameRecord(a, b *Record) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Kind == b.Kind && a.Name == b.Name && slices.EqualFunc(a.Fields, b.Fields, func(f, g Result) bool {
		return f.Name == g.Name && f.Privacy == g.Privacy && f.Formula == g.Formula && f.Numbers == g.Numbers &&
			f.Quiet == g.Quiet && (f.From == nil) == (g.From == nil) && slices.Equal(f.From, g.From) && p.sameValue(f.Value, g.Value)
	})
}

func sameUnit(a, b *unit.Unit) bool {
	return a == b || a != nil && b != nil && a.Name == b.Name && a.Factor == b.Factor && a.Dim == b.Dim
}

// keptAs is a private measurement as it is shown.
type keptAs struct {
	q      unit.Quantity
	unit   string
	factor float64
	step   float64
}

// keptOf is the private measurement that a cell holds, nil if it holds none.
func keptOf(c Cell) *keptAs {
	q, ok := c.Value.(Quantity)
	if !ok || c.Privacy != Kept || q.Dim == unit.None {
		return nil
	}
	k := &keptAs{q: q.Quantity, step: q.Step}
	if q.As != nil {
		k.unit, k.factor = q.As.Name, q.As.Factor
	}
	return k
}

// Kept lists the private measurements, those that are shown alike once, in no order.
func (p *Program) Kept() []Quantity {
	list := make([]Quantity, 0, len(p.kept))
	for k := range p.kept {
		q := Quantity{Quantity: k.q, Step: k.step}
		if k.unit != "" {
			q.As = &unit.Unit{Name: k.unit, Factor: k.factor, Dim: k.q.Dim}
		}
		list = append(list, q)
	}
	return list
}

// Same tells whether two values are alike in all that is shown of them.
func Same(a, b Value) bool {
	const never = int(^uint(0) >> 1)
	return (&Program{round: never}).sameValue(a, b)
}
