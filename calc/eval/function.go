package eval

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/shape"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Function is one row of the table of functions; help and completion read it too.
type Function struct {
	Name   string
	Doc    string // one line
	Params []Param
	// Rest, when its Name is set, takes any number of further arguments by position.
	Rest Param
	// Keeps tells that the result can be one of the arguments itself, turned or rounded, so that a
	// private measurement stays one.
	Keeps bool
	Give  func(c *Call) Value
}

// Param is one argument: its name, what it must be, and whether it may be left out.
type Param struct {
	Name     string
	Want     Want
	Optional bool
}

// Usage is how the function is called: "hypot(a, b)".
func (f *Function) Usage() string {
	var parts []string
	for _, p := range f.Params {
		name := p.Name
		if p.Optional {
			name += "?"
		}
		parts = append(parts, name)
	}
	if f.Rest.Name != "" {
		parts = append(parts, f.Rest.Name+"…")
	}
	return f.Name + "(" + strings.Join(parts, ", ") + ")"
}

// Functions lists all functions by name.
func Functions() []*Function {
	list := make([]*Function, 0, len(functions))
	for _, f := range functions {
		list = append(list, f)
	}
	slices.SortFunc(list, func(a, b *Function) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// functions are found by name; each file of functions brings its own table.
var functions = index(numeric, outlines, traces)

func index(tables ...[]Function) map[string]*Function {
	m := make(map[string]*Function)
	for _, table := range tables {
		for i := range table {
			m[table[i].Name] = &table[i]
		}
	}
	return m
}

// Want is what an argument must be.
type Want uint8

// The wants.
const (
	Anything Want = iota
	AQuantity
	ANumber
	ALength
	AnAngle
	ATruth
	AText
	APlace
	AnOutline
	AStep // a point, arc(…) or curve(…)
)

// wants says for people what each Want is and tells which values are.
var wants = [...]struct {
	text string
	fits func(Value) bool
}{
	Anything:  {"a value", func(Value) bool { return true }},
	AQuantity: {"a quantity", is[Quantity]},
	ANumber:   {"a plain number", func(v Value) bool { _, ok := plain(v); return ok }},
	ALength:   {"a length", dimension(unit.Length)},
	AnAngle:   {"an angle", dimension(unit.Angle)},
	ATruth:    {"a condition", is[Bool]},
	AText:     {"a text in quotes", is[Text]},
	APlace:    {"a point", is[Point]},
	AnOutline: {"an outline", is[Outline]},
	AStep:     {"a point, arc(…) or curve(…)", func(v Value) bool { return is[Point](v) || is[PathItem](v) }},
}

func is[T Value](v Value) bool { _, ok := v.(T); return ok }

func dimension(d unit.Dim) func(Value) bool {
	return func(v Value) bool {
		q, ok := v.(Quantity)
		return ok && (q.Dim == d || d == unit.Length && q.Dim == unit.None && q.Value == 0)
	}
}

// Call holds the arguments of one call, bound to the function's parameters.
type Call struct {
	At   source.Span
	ev   evaluator
	fn   *Function
	args []bound // one a parameter
	rest []bound
}

type bound struct {
	value Value // nil when left out
	at    source.Span
}

// call binds the arguments and lets the function give its value.
func (ev evaluator) call(e *syntax.Call) Cell {
	if e.Fn.Text == "if" {
		return ev.choose(e)
	}
	f, ok := functions[e.Fn.Text]
	if !ok {
		help := "The functions are listed by `bevelbook help language`"
		if near := spell.Nearest(e.Fn.Text, functionNames()); near != "" {
			help = fmt.Sprintf("Did you mean %s?", usageOf(near))
		}
		fail(UnknownFunction, e.Fn.At, help, "no function is called %s", e.Fn.Text)
	}
	c := &Call{At: e.At, ev: ev, fn: f, args: make([]bound, len(f.Params))}
	privacy := Open
	for _, a := range e.Args {
		cell := ev.cell(a.Value)
		privacy = max(privacy, cell.Privacy)
		c.bind(a, cell.Value)
	}
	for i, p := range f.Params {
		if c.args[i].value == nil && !p.Optional {
			fail(WrongArguments, e.At, "Use it as "+f.Usage(), "%s is missing its %s", f.Name, p.Name)
		}
	}
	if !f.Keeps {
		privacy = min(privacy, Shaped)
	}
	return Cell{f.Give(c), privacy}
}

// usageOf is how a function is called; if has no row of its own, as it works out one side only.
func usageOf(name string) string {
	if f, ok := functions[name]; ok {
		return f.Usage()
	}
	return chooseUsage
}

const chooseUsage = "if(condition, then, else)"

func functionNames() []string {
	names := []string{"if"}
	for name := range functions {
		names = append(names, name)
	}
	return names
}

// bind finds the parameter of one argument: by its name, else the first one still free.
func (c *Call) bind(a syntax.Arg, v Value) {
	b := bound{v, a.Value.Span()}
	i := -1
	if a.Name.Text == "" {
		i = slices.IndexFunc(c.args, func(b bound) bool { return b.value == nil })
		if i < 0 && c.fn.Rest.Name != "" {
			c.further(b)
			return
		}
		if i < 0 {
			fail(WrongArguments, b.at, "Use it as "+c.fn.Usage(), "%s takes no further argument", c.fn.Name)
		}
	} else {
		var names []string
		for j, p := range c.fn.Params {
			names = append(names, p.Name)
			if p.Name == a.Name.Text {
				i = j
			}
		}
		if rest := c.fn.Rest.Name; i < 0 && rest != "" && (a.Name.Text == rest || a.Name.Text == rest+"s") {
			c.further(b)
			return
		}
		if i < 0 {
			help := "Use it as " + c.fn.Usage()
			if near := spell.Nearest(a.Name.Text, names); near != "" {
				help = fmt.Sprintf("Did you mean %s?", near)
			}
			fail(WrongArguments, a.Name.At, help, "%s has no argument %s", c.fn.Name, a.Name.Text)
		}
		if c.args[i].value != nil {
			fail(WrongArguments, a.Name.At, "Give it once", "%s gets %s twice", c.fn.Name, a.Name.Text)
		}
	}
	c.args[i] = c.check(c.fn.Params[i], b)
}

// further takes one more of a function's further arguments. A list stands for its items, as in
// corners: [1, 3], unless the function takes lists themselves.
func (c *Call) further(b bound) {
	want := c.fn.Rest.Want
	unfit := func(v Value) bool { return !wants[want].fits(v) }
	if list, ok := b.value.(List); ok && want != Anything && len(list) > 0 && !slices.ContainsFunc(list, unfit) {
		for _, v := range list {
			c.rest = append(c.rest, bound{v, b.at})
		}
		return
	}
	c.rest = append(c.rest, c.check(c.fn.Rest, b))
}

// check refuses an argument of the wrong type. A path where an outline is wanted is closed.
func (c *Call) check(p Param, b bound) bound {
	if path, ok := b.value.(Path); ok && p.Want == AnOutline {
		o, err := Closed(path)
		if err != nil {
			fail(BadShape, b.at, "An outline goes round once and does not cross itself", "this path cannot be closed: %v", err)
		}
		b.value = o
	}
	if !wants[p.Want].fits(b.value) {
		what := wants[p.Want].text
		if !strings.HasSuffix(what, p.Name) {
			what += " for " + p.Name
		}
		help := "Use it as " + c.fn.Usage()
		if _, bare := plain(b.value); bare && (p.Want == ALength || p.Want == AnAngle) {
			help = "Write the unit behind the number, as in " + map[Want]string{ALength: "5 mm", AnAngle: "35 deg"}[p.Want]
		}
		fail(misfit(b.value), b.at, help, "%s needs %s, and this is %s", c.fn.Name, what, b.value.Type())
	}
	return b
}

// misfit is the fault of a value in the wrong place: a quantity has the wrong unit, anything else is
// no quantity at all.
func misfit(values ...Value) Fault {
	for _, v := range values {
		if !is[Quantity](v) {
			return WrongValue
		}
	}
	return UnitsDiffer
}

// choose is if(condition, a, b): only the chosen side is worked out.
func (ev evaluator) choose(e *syntax.Call) Cell {
	named := slices.ContainsFunc(e.Args, func(a syntax.Arg) bool { return a.Name.Text != "" })
	if len(e.Args) != 3 || named {
		fail(WrongArguments, e.At, "Use it as "+chooseUsage, "if needs a condition and two values")
	}
	cond := ev.truth(e.Args[0].Value, "if")
	pick := e.Args[2].Value
	if cond.Value.(Bool) {
		pick = e.Args[1].Value
	}
	c := ev.cell(pick)
	return Cell{c.Value, max(c.Privacy, cond.Privacy)}
}

// has tells whether parameter i was given.
func (c *Call) has(i int) bool { return c.args[i].value != nil }

// num is parameter i as a quantity's base value, or the default when it was left out.
func (c *Call) num(i int, otherwise float64) float64 {
	q, ok := c.args[i].value.(Quantity)
	if !ok {
		return otherwise
	}
	return q.Value
}

func (c *Call) quantity(i int) unit.Quantity { return c.args[i].value.(Quantity).Quantity }
func (c *Call) outline(i int) Outline        { return c.args[i].value.(Outline) }

// place is parameter i as a point, the origin when it was left out.
func (c *Call) place(i int) Point {
	p, _ := c.args[i].value.(Point)
	return p
}

// shaped turns the answer of a geometry function into a value or a finding.
func (c *Call) shaped(o shape.Outline, err error) Value {
	if err != nil {
		fail(BadShape, c.At, c.fn.Usage()+": "+c.fn.Doc, "%s: %v", c.fn.Name, err)
	}
	return Outline{Outline: o}
}
