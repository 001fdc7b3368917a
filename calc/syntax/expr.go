package syntax

import (
	"fmt"
	"strconv"

	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// value parses a whole value: one expression, or several separated by commas.
func (p *parser) value() Expr {
	start := p.tok()
	first := p.shown()
	if !p.isOp(",") {
		return first
	}
	items := []Expr{first}
	for p.isOp(",") {
		comma := p.take()
		if k := p.tok().Kind; k == Newline || k == End {
			break
		}
		if t := p.tok(); t.Kind == Word && p.indent(t) >= 0 && p.looksLikeKey(p.at) {
			p.fail(ValueMissing, comma.span(p.file), fmt.Sprintf("this comma asks for another value, and the next line sets %s", t.Text),
				"Take the comma out, or write the value that is missing")
		}
		items = append(items, p.shown())
	}
	l := &List{node: node{p.since(start)}, Items: items, Bracketed: len(items) == 1}
	p.decimalComma(l)
	return l
}

// decimalComma speaks up where a comma parts whole number and decimals, as in 12,5 mm.
func (p *parser) decimalComma(l *List) {
	if len(l.Items) != 2 {
		return
	}
	a, ok1 := l.Items[0].(*Literal)
	b, ok2 := l.Items[1].(*Literal)
	if ok1 && ok2 && a.Unit.Name == "" && b.Unit.Name != "" && a.At.End+1 == b.At.Start {
		p.fail(NotUnderstood, l.At, fmt.Sprintf("%s is read as two values, %s and %s", l.At.Text(), a.Text, b.Text),
			fmt.Sprintf("Write decimals with a point: %s.%s", a.Text, b.Text))
	}
}

// since is the span from a token to the last one taken.
func (p *parser) since(start Token) source.Span {
	return p.file.Span(start.Start, p.prev().End)
}

// shown parses an item with its `as UNIT` and `to STEP`, and `N x item`.
func (p *parser) shown() Expr {
	p.deeper()
	defer func() { p.depth-- }()
	if p.tok().Kind == Number && p.peek(1).Kind == Word && p.peek(1).Text == "x" {
		return p.repeat()
	}
	start := p.tok()
	x := p.binary(0)
	if !p.isWord("as") && !p.isWord("to") {
		return x
	}
	s := &Show{X: x}
	if p.isWord("as") {
		p.take()
		s.Unit = p.unitWord()
	}
	if p.isWord("to") {
		p.take()
		s.Step = p.binary(levelSum)
	}
	s.At = p.since(start)
	return s
}

func (p *parser) repeat() Expr {
	t := p.take()
	n, err := strconv.Atoi(t.Text)
	switch {
	case !isWhole(t):
		p.fail(NotUnderstood, t.span(p.file), fmt.Sprintf("nothing can be repeated %s times", short(t.Text)), "Repeat with a whole number, as in 2 x foam10")
	case err != nil || n > MaxRepeat:
		p.fail(NumberTooLarge, t.span(p.file), fmt.Sprintf("%s is more than the %d times that an item is repeated", short(t.Text), MaxRepeat), "Check the number before x")
	}
	p.take()
	x := p.binary(0)
	return &Repeat{node: node{p.since(t)}, Count: n, X: x}
}

// unitWord parses a unit expression behind `as`: in, kg/m^3, mm².
func (p *parser) unitWord() Ident {
	start := p.tok()
	text, ok := p.unitText()
	if !ok {
		if start.Kind == Word {
			p.unknownUnit(start)
		}
		p.unexpected("a unit")
	}
	return Ident{text, p.file.Span(start.Start, p.prev().End)}
}

func (p *parser) unknownUnit(t Token) {
	help := "Units are words such as mm, in, deg, kg, m^2, EUR"
	if near := unit.Nearest(t.Text); near != "" {
		help = fmt.Sprintf("Did you mean %s?", near)
	}
	p.fail(UnknownUnit, t.span(p.file), fmt.Sprintf("%s is no unit", t.Text), help)
}

// unitText takes the tokens of a unit expression and joins them; false if none stands here.
func (p *parser) unitText() (string, bool) {
	if !p.isUnit(0) {
		return "", false
	}
	text := p.unitPower()
	for p.tok().Kind == Op && (p.tok().Text == "/" || p.tok().Text == "*") && p.isUnit(1) && p.peek(1).Kind == Word {
		text += p.take().Text
		text += p.unitPower()
	}
	return text, true
}

// unitPower takes one unit with its power.
func (p *parser) unitPower() string {
	text := p.take().Text
	switch {
	case p.tok().Kind == Super && p.tok().Tight:
		text += map[string]string{"²": "^2", "³": "^3"}[p.take().Text]
	case p.isOp("^") && p.peek(1).Kind == Number:
		p.take()
		text += "^" + p.take().Text
	}
	return text
}

// isUnit tells whether a unit stands n tokens on. A unit name before an open bracket is a function.
func (p *parser) isUnit(n int) bool {
	t := p.peek(n)
	switch t.Kind {
	case Word:
		_, ok := unit.Lookup(t.Text)
		return ok && !(p.peek(n+1).Kind == Op && p.peek(n+1).Text == "(" && n > 0)
	case Op:
		return marks[t.Text] != ""
	}
	return false
}

// marks are the unit signs that stand right behind a number.
var marks = map[string]string{"'": "ft", "′": "ft", "\"": "in", "″": "in", "°": "deg", "%": "%"}

// Levels of binding, from loose to tight; the unary signs bind between product and power.
const (
	levelOr = iota
	levelAnd
	levelCompare
	levelSum
	levelProduct
	levelPower
)

// levels lists the binary operators of each level.
var levels = [...][]string{
	levelOr:      {"or"},
	levelAnd:     {"and"},
	levelCompare: {"=", "!=", "<=", ">=", "<", ">", "≤", "≥", "≠", "=="},
	levelSum:     {"+", "-", "−"},
	levelProduct: {"*", "/", "·", "×"},
}

// spelled maps typographic and doubled operators to the plain ones.
var spelled = map[string]string{"≤": "<=", "≥": ">=", "≠": "!=", "==": "=", "−": "-", "·": "*", "×": "*"}

func (p *parser) operator(level int) (string, bool) {
	t := p.tok()
	if t.Kind != Op && t.Kind != Word {
		return "", false
	}
	for _, op := range levels[level] {
		if t.Text == op {
			if plain := spelled[op]; plain != "" {
				op = plain
			}
			return op, true
		}
	}
	return "", false
}

// binary parses operators of the level and tighter, left to right.
func (p *parser) binary(level int) Expr {
	if level == levelPower {
		return p.unary()
	}
	defer func(d int) { p.depth = d }(p.depth)
	if level == levelCompare && p.isWord("not") {
		p.deeper()
		t := p.take()
		x := p.binary(levelCompare)
		return &Unary{node: node{p.since(t)}, Op: "not", X: x}
	}
	start := p.tok()
	x := p.binary(level + 1)
	for {
		op, ok := p.operator(level)
		if !ok {
			return x
		}
		p.take()
		y := p.binary(level + 1)
		x = &Binary{node: node{p.since(start)}, Op: op, X: x, Y: y}
		p.deeper() // a chain of operators is as deep a tree as brackets are
	}
}

func (p *parser) unary() Expr {
	t := p.tok()
	if t.Kind == Op && (t.Text == "-" || t.Text == "−" || t.Text == "+") {
		p.deeper()
		defer func() { p.depth-- }()
		p.take()
		x := p.unary()
		if t.Text == "+" {
			return x
		}
		return &Unary{node: node{p.since(t)}, Op: "-", X: x}
	}
	x := p.postfix(t, p.primary())
	if !p.isOp("^") {
		return x
	}
	p.take()
	p.deeper()
	defer func() { p.depth-- }()
	y := p.unary() // right to left, as in handbooks
	return &Binary{node: node{p.since(t)}, Op: "^", X: x, Y: y}
}

// postfix parses .name behind x, which begins at start.
func (p *parser) postfix(start Token, x Expr) Expr {
	defer func(d int) { p.depth = d }(p.depth)
	for p.isOp(".") {
		p.take()
		if p.tok().Kind != Word {
			p.unexpected("a name behind the dot")
		}
		p.deeper()
		t := p.take()
		x = &Field{node: node{p.since(start)}, X: x, Name: Ident{t.Text, t.span(p.file)}}
	}
	return x
}

func (p *parser) primary() Expr {
	t := p.tok()
	switch {
	case t.Kind == Number:
		return p.literal()
	case t.Kind == Text:
		p.take()
		return &Words{node{t.span(p.file)}, t.Text}
	case t.Kind == Word:
		return p.word()
	case p.isOp("("):
		return p.bracket()
	case p.isOp("["):
		return p.list()
	}
	p.unexpected("a value")
	return nil
}

// word parses a truth value, a call or a name.
func (p *parser) word() Expr {
	t := p.take()
	at := node{t.span(p.file)}
	switch t.Text {
	case "yes", "true":
		return &Truth{at, true}
	case "no", "false":
		return &Truth{at, false}
	}
	if why, ok := reserved[t.Text]; ok {
		p.fail(NotUnderstood, at.At, fmt.Sprintf("%s stands where a value is expected", quoted(t.Text)),
			fmt.Sprintf("`%s` %s and cannot be a name", t.Text, why))
	}
	if p.isOp("(") {
		return p.call(t)
	}
	if _, ok := unit.Lookup(t.Text); ok {
		p.fail(NotUnderstood, at.At, fmt.Sprintf("%s is a unit and needs a number before it", t.Text),
			fmt.Sprintf("Write 1 %s, or choose another name", t.Text))
	}
	return &Name{at, t.Text}
}

func (p *parser) call(fn Token) Expr {
	p.opened()
	c := &Call{Fn: Ident{fn.Text, fn.span(p.file)}}
	for !p.isOp(")") {
		a := Arg{}
		if p.tok().Kind == Word && p.peek(1).Kind == Op && p.peek(1).Text == ":" {
			t := p.take()
			p.take()
			a.Name = Ident{t.Text, t.span(p.file)}
		}
		a.Value = p.shown()
		c.Args = append(c.Args, a)
		if !p.comma() {
			break
		}
	}
	p.closed()
	c.At = p.since(fn)
	return c
}

// opened takes an opening bracket, closed the one that closes it.
func (p *parser) opened() { p.open = append(p.open, p.take()) }
func (p *parser) closed() { p.take(); p.open = p.open[:len(p.open)-1] }

// comma takes a comma between items; false when the closing bracket stands here.
func (p *parser) comma() bool {
	open := p.open[len(p.open)-1]
	switch {
	case p.isOp(","):
		p.take()
		return true
	case p.isOp(closing[open.Text]):
		return false
	}
	p.unexpected(fmt.Sprintf("a comma or %s", quoted(closing[open.Text])))
	return false
}

// item parses one item of a list or point. Where a line begins the next entry, a bracket was left open;
// in a call it may be the name of an argument.
func (p *parser) item() Expr {
	if p.beginsEntry(p.at) {
		p.unclosed()
	}
	return p.shown()
}

// bracket parses (x), a point (x, y) or (x, y, z).
func (p *parser) bracket() Expr {
	open := p.tok()
	p.opened()
	items := []Expr{p.item()}
	for p.comma() {
		items = append(items, p.item())
	}
	p.closed()
	at := node{p.since(open)}
	switch {
	case len(items) == 1:
		return items[0]
	case len(items) <= 3:
		return &Point{at, items}
	}
	p.fail(NotUnderstood, at.At, fmt.Sprintf("%d values stand in round brackets", len(items)),
		"A point has two, (x, y), or three; a list stands in square brackets")
	return nil
}

func (p *parser) list() Expr {
	open := p.tok()
	p.opened()
	l := &List{Bracketed: true}
	for !p.isOp("]") {
		l.Items = append(l.Items, p.item())
		if !p.comma() {
			break
		}
	}
	p.closed()
	l.At = p.since(open)
	return l
}
