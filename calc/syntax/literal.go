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
	text, q := p.measure()
	for {
		small, ok := smaller[lastUnit(text)]
		if !ok || !p.followedBy(small) {
			break
		}
		t2, q2 := p.measure()
		sum, err := unit.Add(q, q2)
		if err != nil {
			break
		}
		text, q = text+" "+t2, sum
	}
	return &Literal{node{p.file.Span(first.Start, p.prev().End)}, text, q}
}

// smaller names the unit that may follow in one literal.
var smaller = map[string]string{"ft": "in", "'": "\"", "h": "min", "min": "s", "lb": "oz"}

// lastUnit is the unit word or mark at the end of a literal's text.
func lastUnit(text string) string {
	i := len(text)
	for i > 0 && (isLetter(text[i-1]) || text[i-1] == '\'' || text[i-1] == '"') {
		i--
	}
	return text[i:]
}

// followedBy tells whether a number with that unit comes next.
func (p *parser) followedBy(name string) bool {
	if p.tok().Kind != Number {
		return false
	}
	for i := 1; i <= 4; i++ {
		switch t := p.peek(i); {
		case t.Kind == Word || t.Kind == Op && marks[t.Text] != "":
			same := t.Text == name || name == "\"" && marks[t.Text] == "in"
			return same
		case t.Kind == Number || t.Kind == Op && t.Text == "/":
		default:
			return false
		}
	}
	return false
}

// measure parses one number and its unit, and returns it in the printer's spelling.
func (p *parser) measure() (string, unit.Quantity) {
	start := p.tok()
	text, v := p.number()
	if math.IsInf(v, 0) || math.IsNaN(v) || math.Abs(v) > 1e15 {
		p.fail(NumberTooLarge, start.span(p.file), fmt.Sprintf("%s is larger than anything one can build", start.Text), "Check the number and its unit")
	}
	if p.tok().Kind == Op && marks[p.tok().Text] != "" {
		u, _ := unit.Lookup(marks[p.tok().Text])
		mark := p.take().Text
		mark = map[string]string{"′": "'", "″": "\"", "°": "°"}[mark] + map[string]string{"'": "'", "\"": "\"", "%": " %"}[mark]
		return text + mark, p.quantity(v, u, start)
	}
	if p.tok().Kind == Word && p.tok().Text != "x" && reserved[p.tok().Text] == "" && !p.isUnit(0) {
		p.unknownUnit(p.tok())
	}
	unitStart := p.tok()
	name, ok := p.unitText()
	if !ok {
		return text, unit.Number(v)
	}
	u, err := unit.Parse(name)
	if err != nil {
		p.fail(UnknownUnit, p.file.Span(unitStart.Start, p.prev().End), err.Error(), "Units are words such as mm, in, deg, kg, m^2, EUR")
	}
	return text + " " + name, p.quantity(v, u, start)
}

func (p *parser) quantity(v float64, u unit.Unit, at Token) unit.Quantity {
	q := unit.Quantity{Value: v * u.Factor, Dim: u.Dim}
	if math.IsInf(q.Value, 0) || math.Abs(q.Value) > 1e18 {
		p.fail(NumberTooLarge, at.span(p.file), fmt.Sprintf("%s %s is larger than anything one can build", at.Text, u.Name), "Check the number and its unit")
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
			p.fail(NotUnderstood, den.span(p.file), "a fraction cannot have 0 below its line", "")
		}
		return text + "/" + den.Text, v / d
	case isWhole(t) && p.tok().Kind == Number && p.isFraction(1, p.tok()):
		num := p.take()
		p.take()
		den := p.take()
		n, _ := strconv.ParseFloat(num.Text, 64)
		d, _ := strconv.ParseFloat(den.Text, 64)
		if d == 0 {
			p.fail(NotUnderstood, den.span(p.file), "a fraction cannot have 0 below its line", "")
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
