package syntax

import (
	"fmt"
	"strings"

	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// spelling is one value of the language: how the printer writes it, its tree, and other ways to
// write it. The parser, the printer and the fuzz targets all work through this table.
type spelling struct {
	printed string
	tree    string // as dump writes it
	others  []string
}

// spellings are the cases. In trees, numbers stand in base units: mm, g, min, rad.
var spellings = []spelling{
	// numbers and units
	{"12", "12", nil},
	{"12.5", "12.5", nil},
	{".5", "0.5", nil},
	{"1e3 mm", "1000 length", []string{"1e3mm"}},
	{"240 mm", "240 length", []string{"240mm", "240\tmm", "(240 mm)"}},
	{"1/4 in", "6.35 length", []string{"1 / 4 in", "1/4in"}},
	{"3 3/8 in", "85.725 length", []string{"3 3/8in"}},
	{"5' 10\"", "1778 length", []string{"5′ 10″", "5'10\"", "5' 10″"}},
	{"5' 10 1/2\"", "1790.7 length", []string{"5′ 10 1/2″"}},
	{"5 ft 10 in", "1778 length", nil},
	{"2 h 15 min", "135 time", nil},
	{"1 h 2 min 3 s", "62.05 time", nil},
	{"2 lb 3 oz", "992.2333 mass", nil},
	{"35 deg", "0.6108652 angle", []string{"35deg"}},
	{"35°", "0.6108652 angle", []string{"35 °"}},
	{"15 %", "0.15", []string{"15%"}},
	{"100 kg/m^3", "0.0001 mass / volume", []string{"100 kg/m³", "100 kg / m^3"}},
	{"12.50 EUR", "12.5 money", nil},
	{"3 min", "3 time", nil},
	{"3 in", "76.2 length", []string{"3in"}},
	{"3\"", "76.2 length", []string{"3″"}},
	// operators and what binds tighter
	{"length + 2 * wall", "(+ length (* 2 wall))", []string{"length+2*wall", "(length + (2 * wall))", "length + 2 · wall", "length + 2 × wall"}},
	{"a / 2", "(/ a 2)", []string{"a/2"}},
	{"a / (b / c)", "(/ a (/ b c))", nil},
	{"a / b / c", "(/ (/ a b) c)", []string{"(a / b) / c"}},
	{"a - (b - c)", "(- a (- b c))", nil},
	{"a - 2", "(- a 2)", []string{"a − 2", "a-2"}},
	{"(a + b) * c", "(* (+ a b) c)", nil},
	{"-a ^ 2", "(neg (^ a 2))", []string{"-(a ^ 2)"}},
	{"(-a) ^ 2", "(^ (neg a) 2)", nil},
	{"a ^ b ^ c", "(^ a (^ b c))", []string{"a ^ (b ^ c)"}},
	{"(a ^ b) ^ c", "(^ (^ a b) c)", nil},
	{"2 ^ -1", "(^ 2 (neg 1))", nil},
	{"a - -b", "(- a (neg b))", []string{"a - - b", "a--b"}},
	{"a", "a", []string{"+a", "(a)", "((a))"}},
	{"(2 mm) ^ 2", "(^ 2 length 2)", nil},
	{"2 mm^2", "2 area", []string{"2 mm²", "2 mm ^ 2"}},
	{"1 / (2 mm)", "(/ 1 2 length)", nil}, // without brackets it is half a millimetre
	{"a * 1 / (2 mm)", "(/ (* a 1) 2 length)", nil},
	{"1/2 mm", "0.5 length", []string{"1 / 2 mm"}},
	{"240 mm / 10 mm", "(/ 240 length 10 length)", nil},
	{"240 mm * min(a, 2 mm)", "(* 240 length (min a 2 length))", nil},
	// conditions
	{"not (a and b) or c < e", "(or (not (and a b)) (< c e))", nil},
	{"not (a = b)", "(not (= a b))", []string{"not a = b", "not (a == b)"}},
	{"(not a) = b", "(= (not a) b)", nil},
	{"not not a", "(not (not a))", []string{"not (not a)"}},
	{"if(a >= b, 1, 2)", "(if (>= a b) 1 2)", []string{"if(a ≥ b, 1, 2)", "if(a>=b,1,2)"}},
	{"a != b and c <= e", "(and (!= a b) (<= c e))", []string{"a ≠ b and c ≤ e"}},
	{"yes", "yes", []string{"true"}},
	{"no", "no", []string{"false"}},
	// names, calls, points, lists
	{"cheek.edge.long.length", "(.length (.long (.edge cheek)))", []string{"cheek . edge.long.length"}},
	{"überhang_2", "überhang_2", nil},
	{"e\u0301paule", "e\u0301paule", nil}, // the accent as a mark of its own
	{"min(a, 3 min)", "(min a 3 time)", []string{"min( a , 3 min , )"}},
	{"round(5.5 in, 1 in)", "(round 139.7 length 25.4 length)", nil},
	{"pi()", "(pi)", nil},
	{"trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)", "(trapezoid long=155 length short=145 length height=90 length)",
		[]string{"trapezoid(long:155 mm,\n  short: 145 mm, # the upper one\n  height: 90 mm)", "trapezoid(\nlong: 155 mm,\nshort: 145 mm,\nheight: 90 mm\n)"}},
	{"path((10 mm, 10 mm), (60 mm, 10 mm))", "(path <10 length 10 length> <60 length 10 length>)", nil},
	{"(1 mm, 2 mm, 3 mm)", "<1 length 2 length 3 length>", nil},
	{"2 mm, 2 x foam10", "[2 length 2x foam10]", []string{"2 mm , 2 x foam10", "2 mm,\n2 x foam10", "2 mm, 2x foam10", "2 mm, 02 x foam10"}},
	{"2 x a + b", "2x (+ a b)", []string{"2 x (a + b)"}},
	{"[a, b]", "[a b]", []string{"[a,b,]", "[a,\n\n\tb]"}},
	{"[a]", "[a]", []string{"a,"}},
	{"[]", "[]", nil},
	{"[[a, b], [c]]", "[[a b] [c]]", nil},
	{`"a # b"`, `"a # b"`, nil},
	{`"5' 10 tall"`, `"5' 10 tall"`, nil},
	{`f(5", "text")`, `(f 127 length "text")`, []string{`f(5″,"text")`}},
	// showing
	{"length as in to 1/16", "(show length in (/ 1 16))", []string{"length as in to 1 / 16"}},
	{"length to 1/16 in", "(show length  1.5875 length)", nil},
	{"rho as kg/m^3", "(show rho kg/m^3)", []string{"rho as kg/m³"}},
	{"(a as mm) + 1 mm", "(+ (show a mm) 1 length)", nil},
	{"a + 1 mm as cm", "(show (+ a 1 length) cm)", []string{"(a + 1 mm) as cm"}},
}

// linesOf splits a text into the line spans that a fence would hand over.
func linesOf(f *source.File) []source.Span {
	var lines []source.Span
	at := 0
	for _, l := range strings.SplitAfter(f.Text, "\n") {
		if l == "" {
			continue
		}
		lines = append(lines, f.Span(at, at+len(strings.TrimRight(l, "\r\n"))))
		at += len(l)
	}
	return lines
}

// dump writes a tree with brackets: operators first, quantities in base units with their dimension.
func dump(e Expr) string {
	all := func(head string, items []Expr) string {
		for _, x := range items {
			head += " " + dump(x)
		}
		return strings.TrimSpace(head)
	}
	switch e := e.(type) {
	case *Literal:
		if e.Q.Dim == unit.None {
			return fmt.Sprintf("%.7g", e.Q.Value)
		}
		return fmt.Sprintf("%.7g %s", e.Q.Value, e.Q.Dim)
	case *Words:
		return `"` + e.Text + `"`
	case *Truth:
		return map[bool]string{true: "yes", false: "no"}[e.Yes]
	case *Name:
		return e.Text
	case *Field:
		return "(." + e.Name.Text + " " + dump(e.X) + ")"
	case *Call:
		text := "(" + e.Fn.Text
		for _, a := range e.Args {
			text += " "
			if a.Name.Text != "" {
				text += a.Name.Text + "="
			}
			text += dump(a.Value)
		}
		return text + ")"
	case *Unary:
		return "(" + strings.Replace(e.Op, "-", "neg", 1) + " " + dump(e.X) + ")"
	case *Binary:
		return "(" + e.Op + " " + dump(e.X) + " " + dump(e.Y) + ")"
	case *Point:
		return "<" + all("", e.Items) + ">"
	case *List:
		return "[" + all("", e.Items) + "]"
	case *Repeat:
		return fmt.Sprintf("%dx %s", e.Count, dump(e.X))
	case *Show:
		text := "(show " + dump(e.X) + " " + e.Unit.Text
		if e.Step != nil {
			text += " " + dump(e.Step)
		}
		return text + ")"
	}
	return fmt.Sprintf("%T", e)
}
