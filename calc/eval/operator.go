package eval

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// arithmetic are the operators on quantities.
var arithmetic = map[string]func(a, b unit.Quantity) (unit.Quantity, error){
	"+": unit.Add,
	"-": unit.Sub,
	"*": unit.Mul,
	"/": unit.Div,
	"^": func(a, b unit.Quantity) (unit.Quantity, error) { return unit.Pow(a, b.Value) }, // b is a plain number
}

// comparisons tell from the order of two quantities whether a condition holds.
var comparisons = map[string]func(order int) bool{
	"=":  func(o int) bool { return o == 0 },
	"!=": func(o int) bool { return o != 0 },
	"<":  func(o int) bool { return o < 0 },
	"<=": func(o int) bool { return o <= 0 },
	">":  func(o int) bool { return o > 0 },
	">=": func(o int) bool { return o >= 0 },
}

func (ev evaluator) unary(e *syntax.Unary) Cell {
	c := ev.cell(e.X)
	if e.Op == "not" {
		b, ok := c.Value.(Bool)
		if !ok {
			fail(WrongValue, e.X.Span(), "Write a condition, as in not (a > b)", "`not` needs yes or no, and this is %s", c.Value.Type())
		}
		return Cell{!b, c.Privacy}
	}
	switch v := c.Value.(type) {
	case Quantity:
		v.Value = -v.Value
		return Cell{v, c.Privacy}
	case Point:
		v.Vec, v.Z = r2.Scale(-1, v.Vec), -v.Z
		return Cell{v, c.Privacy}
	}
	fail(WrongValue, e.X.Span(), "A minus sign goes before a quantity or a point", "%s has no opposite", c.Value.Type())
	return Cell{}
}

func (ev evaluator) binary(e *syntax.Binary) Cell {
	if e.Op == "and" || e.Op == "or" {
		return ev.logic(e)
	}
	a, b := ev.cell(e.X), ev.cell(e.Y)
	c := Cell{Privacy: mixed(e.Op, a, b)}
	if holds, ok := comparisons[e.Op]; ok {
		c.Value = Bool(holds(ev.order(e, a.Value, b.Value)))
		return c
	}
	qa, ok1 := a.Value.(Quantity)
	qb, ok2 := b.Value.(Quantity)
	if ok1 && ok2 && e.Op == "^" && qb.Dim != unit.None {
		fail(UnitsDiffer, e.Y.Span(), "A power is a plain number, as in 2^3", "a power must be a plain number, and this is %s", qb.Type())
	}
	if ok1 && ok2 {
		q, err := arithmetic[e.Op](qa.Quantity, qb.Quantity)
		c.Value = checked(q, err, e.At)
		return kept(c, a, b)
	}
	v, ok := pointwise(e.Op, a.Value, b.Value, e.At)
	if !ok {
		fail(misfit(a.Value, b.Value), e.At, "Sums are for numbers with units, and for points", "%s %s %s has no meaning", a.Value.Type(), e.Op, b.Value.Type())
	}
	c.Value = v
	return c
}

// kept raises the privacy of a result that is a measurement unchanged, as x − 0 mm, 0 mm − x and x ^ 1 are.
func kept(c Cell, operands ...Cell) Cell {
	q, ok := c.Value.(Quantity)
	for _, o := range operands {
		if p, is := o.Value.(Quantity); ok && is && o.Privacy == Kept && p.Dim == q.Dim && math.Abs(p.Value) == math.Abs(q.Value) {
			c.Privacy = Kept
		}
	}
	return c
}

// mixed is the privacy of a result: a measurement times or divided by a plain public number is
// still that measurement; anything else made with one is shaped by it.
func mixed(op string, a, b Cell) Privacy {
	most := max(a.Privacy, b.Privacy)
	if most < Kept {
		return most
	}
	other := a
	if a.Privacy == Kept {
		other = b
	}
	q, ok := other.Value.(Quantity)
	if (op == "*" || op == "/") && other.Privacy == Open && ok && q.Dim == unit.None {
		return Kept
	}
	return Shaped
}

func (ev evaluator) logic(e *syntax.Binary) Cell {
	a := ev.truth(e.X, e.Op)
	if bool(a.Value.(Bool)) == (e.Op == "or") {
		return a
	}
	b := ev.truth(e.Y, e.Op)
	return Cell{b.Value, max(a.Privacy, b.Privacy)}
}

func (ev evaluator) truth(e syntax.Expr, op string) Cell {
	c := ev.cell(e)
	if _, ok := c.Value.(Bool); !ok {
		fail(WrongValue, e.Span(), "Write a condition, as in a > b", "`%s` needs yes or no, and this is %s", op, c.Value.Type())
	}
	return Cell{c.Value, min(c.Privacy, Shaped)}
}

// order compares two values: quantities by size, texts and truth values only for being the same.
func (ev evaluator) order(e *syntax.Binary, a, b Value) int {
	if qa, ok := a.(Quantity); ok {
		if qb, ok := b.(Quantity); ok {
			o, err := unit.Compare(qa.Quantity, qb.Quantity)
			checked(unit.Quantity{}, err, e.At)
			return o
		}
	}
	same := e.Op == "=" || e.Op == "!="
	switch a := a.(type) {
	case Text:
		if b, ok := b.(Text); ok && same {
			return differ(a == b)
		}
	case Bool:
		if b, ok := b.(Bool); ok && same {
			return differ(a == b)
		}
	}
	fail(misfit(a, b), e.At, "Compare quantities of one dimension, or two texts with = and !=", "%s and %s cannot be compared with %s", a.Type(), b.Type(), e.Op)
	return 0
}

func differ(same bool) int {
	if same {
		return 0
	}
	return 1
}

// pointwise adds and subtracts points, and scales them by plain numbers.
func pointwise(op string, a, b Value, at source.Span) (Value, bool) {
	p, ok1 := a.(Point)
	q, ok2 := b.(Point)
	k, scales := plain(b)
	switch {
	case ok1 && ok2 && op == "+":
		p.Vec, p.Z = r2.Add(p.Vec, q.Vec), p.Z+q.Z
	case ok1 && ok2 && op == "-":
		p.Vec, p.Z = r2.Sub(p.Vec, q.Vec), p.Z-q.Z
	case ok1 && scales && op == "*":
		p.Vec, p.Z = r2.Scale(k, p.Vec), k*p.Z
	case ok1 && scales && op == "/":
		if k == 0 {
			checked(unit.Quantity{}, unit.ErrDivideByZero, at)
		}
		p.Vec, p.Z = r2.Scale(1/k, p.Vec), p.Z/k
	case ok2 && op == "*" && is[Quantity](a):
		return pointwise(op, b, a, at)
	default:
		return nil, false
	}
	p.InSpace = p.InSpace || q.InSpace
	if size := math.Abs(p.X) + math.Abs(p.Y) + math.Abs(p.Z); !(size <= math.MaxFloat64) {
		checked(unit.Quantity{}, unit.ErrTooLarge, at)
	}
	return p, true
}

// plain gives the value of a plain number.
func plain(v Value) (float64, bool) {
	q, ok := v.(Quantity)
	return q.Value, ok && q.Dim == unit.None
}
