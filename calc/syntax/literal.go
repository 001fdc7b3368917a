package syntax

import (
	"fmt"
	"math"
	"strconv"

	"bevelbook/calc/unit"
)

// literal parses a number with what belongs to it: a fraction right before a unit, a mixed number,
// a unit, and a second, smaller measure: `5' 10"`, `2 h 15 min`.
func (p *parser) literal() Expr {
	first := p.tok()
	text, q, u := p.measure()
	for small := smaller[u.Name]; small != "" && p.tok().Kind == Number; {
		from := p.at
		more, q2, u2 := p.measure()
		if u2.Name != small {
			p.at = from
			break
		}
		q.Value += q2.Value // of the same dimension
		text, small = text+" "+more, smaller[small]
	}
	return &Literal{node{p.file.Span(first.Start, p.prev().End)}, text, q, u}
}

// smaller names the unit that may follow in one literal.
var smaller = map[string]string{"ft": "in", "h": "min", "min": "s", "lb": "oz"}

// measure parses one number and its unit, and returns it in the printer's spelling.
func (p *parser) measure() (string, unit.Quantity, unit.Unit) {
	start := p.tok()
	text, v := p.number()
	if math.IsInf(v, 0) || math.IsNaN(v) || math.Abs(v) > 1e15 {
		p.fail(NumberTooLarge, start.span(p.file), fmt.Sprintf("%s is larger than anything one can build", short(start.Text)), "Check the number and its unit")
	}
	if p.tok().Kind == Op && marks[p.tok().Text] != "" {
		u, _ := unit.Lookup(marks[p.tok().Text])
		mark := p.take().Text
		return text + printedMarks[mark], p.quantity(v, u, start), u
	}
	if p.tok().Kind == Word && reserved[p.tok().Text] == "" && !p.isUnit(0) && !p.beginsEntry(p.at) {
		p.unknownUnit(p.tok())
	}
	unitStart := p.tok()
	name, ok := p.unitText()
	if !ok {
		return text, unit.Number(v), unit.Unit{}
	}
	u, err := unit.Parse(name)
	if err != nil {
		p.fail(UnknownUnit, p.file.Span(unitStart.Start, p.prev().End), err.Error(), "Units are words such as mm, in, deg, kg, m^2, EUR")
	}
	return text + " " + name, p.quantity(v, u, start), u
}

// printedMarks is how the printer writes a mark behind a number.
var printedMarks = map[string]string{"′": "'", "'": "'", "″": "\"", "\"": "\"", "°": "°", "%": " %"}

func (p *parser) quantity(v float64, u unit.Unit, at Token) unit.Quantity {
	q := unit.Quantity{Value: v * u.Factor, Dim: u.Dim}
	if math.IsInf(q.Value, 0) || math.Abs(q.Value) > 1e18 {
		p.fail(NumberTooLarge, at.span(p.file), fmt.Sprintf("%s %s is larger than anything one can build", short(at.Text), u.Name), "Check the number and its unit")
	}
	return q
}

// number parses `12.5`, and, only right before a unit, `3/8` and `3 3/8`.
func (p *parser) number() (string, float64) {
	t := p.take()
	v, _ := strconv.ParseFloat(t.Text, 64)
	text := t.Text
	switch {
	case p.isFraction(0, t):
		den := p.peek(1)
		p.take()
		p.take()
		d, _ := strconv.ParseFloat(den.Text, 64)
		if d == 0 {
			p.fail(NotUnderstood, den.span(p.file), "a fraction cannot have 0 below its line", "Check the fraction, as in 3/8 in")
		}
		return text + "/" + den.Text, v / d
	case isWhole(t) && p.tok().Kind == Number && p.isFraction(1, p.tok()):
		num := p.take()
		p.take()
		den := p.take()
		n, _ := strconv.ParseFloat(num.Text, 64)
		d, _ := strconv.ParseFloat(den.Text, 64)
		if d == 0 {
			p.fail(NotUnderstood, den.span(p.file), "a fraction cannot have 0 below its line", "Check the fraction, as in 3/8 in")
		}
		return text + " " + num.Text + "/" + den.Text, v + n/d
	}
	return text, v
}

// isFraction tells whether `/ DEN UNIT` stands n tokens on, with num as the number before it.
func (p *parser) isFraction(n int, num Token) bool {
	slash, den := p.peek(n), p.peek(n+1)
	return isWhole(num) && slash.Kind == Op && slash.Text == "/" && den.Kind == Number && isWhole(den) && p.isUnit(n+2)
}

func isWhole(t Token) bool {
	for i := 0; i < len(t.Text); i++ {
		if !isDigit(t.Text[i]) {
			return false
		}
	}
	return len(t.Text) > 0
}
