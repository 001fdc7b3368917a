package eval

import (
	"fmt"
	"strings"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// build links and works out blocks of values, written one below the other. A line `== section name`
// begins a block; both words may be left out with `-`; a third word, private, keeps its values.
func build(t testing.TB, text string) *Program {
	t.Helper()
	p := Link(blocks(t, text), nil)
	p.Files = func(path string) ([]byte, error) {
		if path != "traces/cheek.svg" {
			return nil, ErrNoFile
		}
		return []byte(cheekDrawing), nil
	}
	p.Run()
	return p
}

// cheekDrawing is the one file that these programs have: a plate with a strap hole, 140 × 64 mm, an open
// groove, and two points 100 mm apart.
const cheekDrawing = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">
<g id="plate"><path id="rim" d="M10 90L150 90 150 26 10 26Z"/><rect x="20" y="40" width="40" height="10"/></g>
<path id="groove" d="M0 0h30v40"/><circle id="a" cx="20" cy="50" r="1"/><circle id="b" cx="120" cy="50" r="1"/></svg>`

func blocks(t testing.TB, text string) []*Block {
	t.Helper()
	f := source.NewFile("build.md", text)
	var list []*Block
	var lines []source.Span
	b := &Block{Values: true, Kind: "dims", At: f.Span(0, 0)}
	flush := func() {
		if b.Syntax, _ = syntax.ParseBlock(f, lines); len(lines) > 0 {
			list = append(list, b)
		}
		lines = nil
	}
	at := 0
	for _, line := range strings.SplitAfter(text, "\n") {
		span := f.Span(at, at+len(strings.TrimRight(line, "\n")))
		at += len(line)
		head, ok := strings.CutPrefix(line, "== ")
		if !ok {
			lines = append(lines, span)
			continue
		}
		flush()
		words := append(strings.Fields(head), "-", "-", "-")
		b = &Block{Values: true, Kind: "dims", At: span, Section: bare(words[0]), Name: bare(words[1]), Private: words[2] == "private"}
	}
	flush()
	return list
}

func bare(word string) string {
	if word == "-" {
		return ""
	}
	return word
}

// found lists all findings of a program as "line:column name: message".
func found(p *Program) []string {
	var list []finding.Finding
	for _, n := range p.Nodes() {
		list = append(list, n.Findings...)
	}
	finding.Sort(list)
	var lines []string
	for _, f := range list {
		at := f.At.Place()
		lines = append(lines, fmt.Sprintf("%d:%d %s: %s", at.Line, at.Column, f.Name, f.Message))
	}
	return lines
}

// value is a name's value as shown, or "?" with what stops it.
func value(p *Program, section, name string) string {
	n := p.Lookup(section, name)
	if n == nil {
		return "nothing"
	}
	return n.Cell.Value.Show(unit.Style{})
}

// worth works out one expression after some definitions and shows it: its value, or its fault's name.
func worth(t *testing.T, style unit.Style, definitions, expr string) (shown string, f *finding.Finding) {
	t.Helper()
	file := source.NewFile("ask", expr)
	e, faults := syntax.ParseExpr(file.Span(0, len(expr)))
	if len(faults) > 0 {
		t.Fatalf("%s: %s", expr, faults[0].Message)
	}
	n := build(t, definitions).Ask("", e)
	if len(n.Findings) > 0 {
		return n.Findings[0].Name, &n.Findings[0]
	}
	return n.Cell.Value.Show(style), nil
}

const shop = `
a: 30 mm
b: 40 mm
c: [10 mm, 20 mm, 30 mm]
n: 5
half: 50 %
tilt: 30 deg
name: "foam"
ok: yes
at: (20 mm, 45 mm)
`

// worths are expressions and what a maker reads. The numbers can be checked by hand; trigonometry is
// of the 3-4-5 triangle and of 30° and 45°.
var worths = []struct{ expr, want string }{
	// sums with units
	{"a + b", "70 mm"}, {"a - b", "-10 mm"}, {"a * 2", "60 mm"}, {"a * b", "12 cm²"}, {"b / a", "1.3333"}, {"b / 8", "5 mm"},
	{"-a", "-30 mm"}, {"a ^ 2", "9 cm²"}, {"n ^ 2", "25"}, {"2 ^ -1", "0.5"}, {"4 ^ half", "2"}, {"10 cm + 1 in", "125.4 mm"},
	{"a + 0 mm", "30 mm"}, {"100 kg/m^3 * 1 m^2 * 10 mm", "1 kg"}, {"12.50 EUR * 3", "37.50 EUR"}, {"12 EUR / 2 m^2", "6.00 EUR/m²"},
	{"2 h 15 min + 50 min", "3 h 5 min"}, {"a * half", "15 mm"}, {"1 / 2 * a", "15 mm"}, {"5' 10\"", "1778 mm"},
	// conditions
	{"a < b", "yes"}, {"a >= b", "no"}, {"a = 3 cm", "yes"}, {"12 in = 1 ft", "yes"}, {"a != b and not (a > b)", "yes"}, {"a > b or ok", "yes"},
	{`name = "foam"`, "yes"}, {`name != "foam"`, "no"}, {"ok = no", "no"}, {"if(a > b, 1 mm, 2 mm)", "2 mm"}, {"if(ok, 1, 1 / 0)", "1"},
	{"no and 1 / 0 > 1", "no"}, {"yes or 1 / 0 > 1", "yes"},
	// functions on quantities
	{"abs(a - b)", "10 mm"}, {"min(a, b)", "30 mm"}, {"max(a, b, c)", "40 mm"}, {"min(c)", "10 mm"}, {"sum(c)", "60 mm"}, {"sum(c, a)", "90 mm"},
	{"sum()", "0"}, {"mean(c)", "20 mm"}, {"count(c)", "3"}, {"count(c, a)", "4"}, {"count([])", "0"},
	{"clamp(50 mm, a, b)", "40 mm"}, {"clamp(5 mm, a, b)", "30 mm"}, {"clamp(35 mm, low: a, high: b)", "35 mm"},
	{"round(33 mm, 5 mm)", "35 mm"}, {"round(2.5)", "3"}, {"round(-2.5)", "-3"}, {"ceil(31 mm, 5 mm)", "35 mm"}, {"floor(34 mm, 5 mm)", "30 mm"},
	{"ceil(0.3 mm, 0.1 mm)", "0.3 mm"}, {"floor(0.3 / 0.1)", "3"}, {"sqrt(16)", "4"}, {"sqrt(a * a)", "30 mm"}, {"hypot(a, b)", "50 mm"},
	{"sin(tilt)", "0.5"}, {"cos(60 deg)", "0.5"}, {"tan(45 deg)", "1"}, {"asin(0.5)", "30°"}, {"acos(0.5)", "60°"}, {"atan(1)", "45°"},
	{"atan2(a, b)", "36.9°"}, {"atan2(1, -1)", "135°"}, {"cos(90 deg)", "0"}, {"pi", "3.1416"}, {"2 * pi * a", "188.5 mm"},
	// texts, points, lists
	{"name", "foam"}, {"at", "(20 mm, 45 mm)"}, {"at.x", "20 mm"}, {"at.y + a", "75 mm"}, {"at + (1 mm, 2 mm)", "(21 mm, 47 mm)"}, {"2 * at", "(40 mm, 90 mm)"},
	{"at / 2", "(10 mm, 22.5 mm)"}, {"-at", "(-20 mm, -45 mm)"}, {"at - at", "(0 mm, 0 mm)"}, {"(1 mm, 2 mm, 3 mm).z", "3 mm"}, {"(0, a)", "(0 mm, 30 mm)"},
	{"c", "10 mm, 20 mm, 30 mm"}, {"a, 2 x b", "30 mm, 40 mm, 40 mm"}, {"[a, [b, c]]", "30 mm, 40 mm, 10 mm, 20 mm, 30 mm"}, {"count(3 x [a, b])", "6"},
	{"0 x a", ""}, {"20 x 1 mm", strings.Repeat("1 mm, ", 12) + "…"},
	// showing
	{"1 m as in", "39.3701 in"}, {"1 m as in to 1/16", "39 3/8 in"}, {"a to 7 mm", "28 mm"}, {"100 mm to 1/16 in", "3 15/16 in"}, {"33 mm to 0.5 cm", "3.5 cm"},
	{"33 mm to c", "wrong-value"}, {"1234 mm as m to 0.1", "1.2 m"}, {"tilt as rad", "0.5236 rad"}, {"100.3 to 0.25", "100.25"}, {"2 h as min", "120 min"}, {"(1 m as in) + 0 mm", "1000 mm"},
	// outlines and paths
	{"rect(width: a, height: b)", "outline 30 mm × 40 mm"}, {"rect(a, b).area", "12 cm²"}, {"rect(a, b).perimeter", "140 mm"}, {"rect(a, b).top", "30 mm"}, {"rect(a, b).width", "30 mm"}, {"rect(a, b).height", "40 mm"},
	{"trapezoid(long: 155 mm, short: 145 mm, height: 90 mm).area", "135 cm²"}, {"trapezoid(60 mm, 60 mm, 40 mm, shift: 30 mm).left", "50 mm"},
	{"polygon((0, 0), (40 mm, 0), (0, 30 mm)).e2", "50 mm"}, {"regular(n: 6, side: a).e1", "30 mm"}, {"regular(4, flats: a).area", "9 cm²"}, {"regular(6, corners: 60 mm).e6", "30 mm"},
	{"circle(diameter: 5 mm).width", "5 mm"}, {"circle(radius: 5 mm, at: at)", "outline 10 mm × 10 mm"}, {"circle(20 mm).rim / 20 mm", "3.1416"},
	{"sector(outer: 60 mm, inner: 30 mm, angle: 90 deg).end", "30 mm"}, {"sector(outer: 60 mm, angle: 180 deg).outer / 60 mm", "3.1416"},
	{"path((0, 0), (30 mm, 0), (30 mm, 40 mm))", "path 70 mm long"}, {"path((0, 0), (30 mm, 0), (30 mm, 40 mm)).length", "70 mm"},
	{"path((0, 0), arc(to: (20 mm, 0), radius: 10 mm)).length / 10 mm", "3.1416"}, {"path((0, 0), arc(to: (20 mm, 0), through: (10 mm, 10 mm))).length / 10 mm", "3.1416"},
	{"path((0, 0), arc(to: (20 mm, 0), bulge: 1)).length / 10 mm", "3.1416"}, {"path((0, 0), curve((10 mm, 0), (20 mm, 0), (30 mm, 0))).length", "30 mm"},
	{`trace("traces/cheek.svg#plate").area`, "85.6 cm²"}, {`trace("traces/cheek.svg#rim")`, "outline 140 mm × 64 mm"}, {`trace("traces/cheek.svg#groove").length`, "70 mm"},
	{`trace("traces/cheek.svg#rim", scale: 250 mm, from: "a", to: "b").width`, "350 mm"}, {`trace("traces/cheek.svg#rim", scale: 250 mm)`, "wrong-arguments"}, {`trace("traces/none.svg#rim")`, "no-trace"},
	{`trace("traces/cheek.svg#rim", scale: 250 mm, from: "a", to: "a")`, "wrong-arguments"}, {`trace(at)`, "wrong-value"},
	{"arc(to: at, bulge: 1)", "step of a path"},
	{"mirror(trapezoid(60 mm, 60 mm, 40 mm, 30 mm)).area", "24 cm²"}, {"rotate(rect(a, b), 90 deg)", "outline 40 mm × 30 mm"}, {"rotate(rect(a, b), angle: 90 deg, about: at).width", "40 mm"},
	{"move(rect(a, b), by: (5 mm, 5 mm)).area", "12 cm²"}, {"offset(rect(a, b), 5 mm)", "outline 40 mm × 50 mm"}, {"offset(rect(a, b), -5 mm).area", "6 cm²"},
	{"chamfer(rect(a, b), size: 10 mm, 1).area", "11.5 cm²"}, {"chamfer(rect(a, b), 10 mm, corner: 1, corner: 3).area", "11 cm²"}, {"chamfer(rect(a, b), size: 10 mm, corners: [1, 3]).area", "11 cm²"}, {"polygon([(0, 0), (30 mm, 0), (30 mm, 40 mm)]).area", "6 cm²"}, {"(4 - pi) * (10 mm)^2 + fillet(rect(a, b), radius: 10 mm).area", "12 cm²"},
	{"cut(rect(a, b), circle(10 mm, at: (15 mm, 20 mm))).area + pi * (5 mm)^2", "12 cm²"}, {"mirror(path((0, 0), (30 mm, 0), (30 mm, 40 mm))).area", "6 cm²"},
}

func TestExpressionsHaveTheirWorth(t *testing.T) {
	for _, c := range worths {
		if got, f := worth(t, unit.Style{}, shop, c.expr); got != c.want {
			t.Errorf("%s is %s, want %s", c.expr, got, c.want)
			if f != nil {
				t.Log(f.Message)
			}
		}
	}
}

func TestEveryFunctionIsTried(t *testing.T) {
	for _, f := range Functions() {
		tried := false
		for _, c := range worths {
			tried = tried || strings.Contains(" "+c.expr, f.Name+"(") && !strings.Contains("abcdefghijklmnopqrstuvwxyz", string((" " + c.expr)[strings.Index(" "+c.expr, f.Name+"(")-1]))
		}
		if !tried {
			t.Errorf("no case tries %s", f.Usage())
		}
		if f.Doc == "" {
			t.Errorf("%s says nothing about itself", f.Name)
		}
	}
}

func TestAStepInMillimetresStaysMillimetresInAJournalOfInches(t *testing.T) {
	inches := unit.Style{Imperial: true, Step: 1.0 / 16}
	for expr, want := range map[string]string{
		"100 mm": "3 15/16 in", "100 mm to 1/4": "4 in", "103 mm to 5 mm": "105 mm", "103 mm to a": "90 mm", "100 mm as mm": "100 mm", "1 in as in to 1/2": "1 in",
	} {
		if got, _ := worth(t, inches, shop, expr); got != want {
			t.Errorf("%s is %s, want %s", expr, got, want)
		}
	}
}

// refused are expressions without a value: the fault, and words that its message must hold.
var refused = []struct{ expr, fault, says string }{
	{"a + tilt", "units-differ", "length and angle"}, {"a + 1", "units-differ", "plain number"}, {"a < tilt", "units-differ", "compared"},
	{"a + name", "wrong-value", "a text"}, {"1 EUR + 1 USD", "units-differ", "exchange rate"}, {"(a, tilt)", "units-differ", "an angle"}, {"(a, 5)", "units-differ", "a plain number"},
	{"(a, name)", "wrong-value", "a text"}, {"2 ^ a", "units-differ", "power"}, {"a ^ half", "no-result", "whole power"}, {"a ^ 9", "no-result", "8th power"},
	{"a / 0", "no-result", "divided by zero"}, {"a / (b - b)", "no-result", "divided by zero"}, {"at / 0", "no-result", "divided by zero"}, {"0 ^ -1", "no-result", "divided by zero"},
	{"1e15 ^ 20 * 1e15 ^ 20", "no-result", "too large"}, {"(0 - 8) ^ half", "no-result", "whole power"}, {"hypot(1e15 ^ 20 * 1.5e8, 0 - 1e15 ^ 20 * 1.5e8)", "no-result", "too large"},
	{"sqrt(a)", "no-result", "square root"}, {"sqrt(0 - 4)", "no-result", "square root"}, {"asin(2)", "no-result", "no angle has this sine"}, {"tan(90 deg)", "no-result", "tan"},
	{"round(a)", "wrong-arguments", "step"}, {"round(a, tilt)", "units-differ", "steps"}, {"round(a, 0 mm)", "wrong-value", "above zero"}, {"ceil(a, 0 mm - 1 mm)", "wrong-value", "above zero"},
	{"min()", "wrong-arguments", "at least one"}, {"mean()", "wrong-arguments", "at least one"}, {"min(a, name)", "wrong-value", "a text"}, {"sum(a, tilt)", "units-differ", "length and angle"},
	{"clamp(a, b, a)", "wrong-arguments", "lower limit"}, {"hypot(a)", "wrong-arguments", "missing its b"}, {"hypot(a, b, a)", "wrong-arguments", "no further"}, {"hypot(a, x: b)", "wrong-arguments", "no argument x"},
	{"hypot(a, a: b)", "wrong-arguments", "twice"}, {"hypot(a, tilt)", "units-differ", "length and angle"}, {"sin(5)", "units-differ", "an angle"}, {"sin(name)", "wrong-value", "an angle"}, {"if(a, 1, 2)", "wrong-value", "yes or no"},
	{"if(ok, 1)", "wrong-arguments", "two values"}, {"if(then: ok, else: 1, condition: 2)", "wrong-arguments", "two values"}, {"maxx(a)", "unknown-function", "maxx"}, {"iF(ok, 1, 2)", "unknown-function", "iF"}, {"not a", "wrong-value", "yes or no"}, {"a and ok", "wrong-value", "yes or no"},
	{"-name", "wrong-value", "no opposite"}, {"name < name", "wrong-value", "compared"}, {"name as mm", "wrong-value", "shown"}, {"a as deg", "units-differ", "shown as deg"}, {"a to 0 mm", "wrong-value", "above zero"},
	{"tilt to 5", "wrong-value", "which unit"}, {"a to tilt", "units-differ", "steps"}, {"wal", "unknown-name", "wal"}, {"max", "wrong-value", "function"}, {"a.b", "wrong-value", "has no b"}, {"at.w", "unknown-result", "no result w"},
	{"rect(a, b).e7", "unknown-result", "e7"}, {"rect(0 mm, b)", "bad-shape", "width"}, {"rect(a, 1e9 mm)", "bad-shape", "1,000,000 mm"}, {"regular(2, side: a)", "wrong-value", "3 to 1000"}, {"regular(6)", "wrong-arguments", "size"}, {"regular(6, side: a, flats: b)", "wrong-arguments", "not both"},
	{"circle()", "wrong-arguments", "diameter"}, {"circle(a, radius: b)", "wrong-arguments", "not both"}, {"path()", "wrong-arguments", "starts at a point"}, {"path(arc(to: at, bulge: 1))", "wrong-arguments", "starts at a point"}, {"arc(to: at)", "wrong-arguments", "radius"},
	{"polygon((0, 0), (1 mm, 0))", "bad-shape", ""}, {"polygon(c)", "wrong-value", "a point"}, {"cut(rect(a, b), circle(a, at: (0, 0)))", "bad-shape", "inside"}, {"fillet(rect(a, b), 5 mm, 9)", "wrong-value", "corners 1 to 4"}, {"mirror(path((0, 0), (1 mm, 0)))", "bad-shape", "closed"}, {"mirror(a)", "units-differ", "an outline"},
	{"10000 x [1000 x a]", "too-much", "100000"}, {"[10 x [10000 x a], a]", "too-much", "100000"},
}

func TestWhatHasNoWorthSaysWhy(t *testing.T) {
	for _, c := range refused {
		got, f := worth(t, unit.Style{}, shop, c.expr)
		if f == nil {
			t.Errorf("%s is %s, want %s", c.expr, got, c.fault)
			continue
		}
		if f.Name != c.fault || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s is refused with %s: %s; want %s with %q", c.expr, f.Name, f.Message, c.fault, c.says)
		}
		if f.Help == "" {
			t.Errorf("%s: %s says no way out", c.expr, f.Message)
		}
		if at := f.At.Text(); at == "" {
			t.Errorf("%s: %s points nowhere", c.expr, f.Message)
		}
	}
}
