package eval

import (
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// show works out X as UNIT to STEP: the value of X, with how it is to be shown.
func (ev evaluator) show(e *syntax.Show) Cell {
	c := ev.cell(e.X)
	q, ok := c.Value.(Quantity)
	if !ok {
		fail(WrongValue, e.X.Span(), "`as` and `to` are for quantities", "%s has no unit to be shown in", c.Value.Type())
	}
	if e.Unit.Text != "" {
		u, err := unit.Parse(e.Unit.Text)
		if err != nil {
			fail(WrongValue, e.Unit.At, "Units are words such as mm, in, deg, kg, m^2, EUR", "%v", err)
		}
		if u.Dim != q.Dim {
			fail(UnitsDiffer, e.Unit.At, "Choose a unit of its own dimension", "%s cannot be shown as %s", q.Type(), e.Unit.Text)
		}
		q.As, q.Step = &u, 0
	}
	if e.Step == nil {
		return Cell{q, c.Privacy}
	}
	s := ev.cell(e.Step)
	return Cell{inSteps(q, s.Value, e.Step), max(c.Privacy, s.Privacy)}
}

// inSteps has q shown in the steps behind `to`. A plain number counts in the unit shown; a step with a
// unit is that much, and shown in its unit where nothing else is said.
func inSteps(q Quantity, step Value, e syntax.Expr) Quantity {
	s, ok := step.(Quantity)
	if !ok || !(s.Value > 0) {
		fail(WrongValue, e.Span(), "Write a step such as 1/16 or 0.5 mm", "a step must be a number above zero")
	}
	if s.Dim != unit.None && s.Dim != q.Dim {
		fail(UnitsDiffer, e.Span(), "Give the step in a unit of the value", "%s cannot go in steps of %s", q.Type(), s.Type())
	}
	plain := s.Dim == unit.None
	if q.As == nil {
		q.As = shownIn(q, s, e)
	}
	switch {
	case q.As == nil && !plain:
		fail(WrongValue, e.Span(), "Name the unit too, as in `length as mm to 5`", "it is not clear in which unit to show %s", q.Type())
	case q.As == nil || plain:
		q.Step = s.Value
	default:
		q.Step = s.Value / q.As.Factor
	}
	return q
}

// shownIn is the unit in which a value is shown that has a step and no unit of its own; nil for lengths
// in steps of a plain number, which the journal's style shows.
func shownIn(q, step Quantity, e syntax.Expr) *unit.Unit {
	if l, ok := e.(*syntax.Literal); ok && l.Unit.Name != "" {
		return &l.Unit
	}
	switch {
	case q.Dim == unit.None:
		return &unit.Unit{Name: "1", Factor: 1}
	case step.Dim == unit.None && q.Dim != unit.Length:
		fail(WrongValue, e.Span(), "Name the unit too, as in `weight as kg to 0.5`", "it is not clear in which unit the steps count")
	case step.As != nil:
		return step.As
	case step.Dim == unit.Length:
		mm, _ := unit.Lookup("mm")
		return &mm
	}
	return nil
}
