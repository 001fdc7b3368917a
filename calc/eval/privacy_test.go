package eval

import (
	"math/rand/v2"
	"strings"
	"testing"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// measured is a build with a private block: wrist and elbow are kept, wall is open.
const measured = "== - wearer private\nwrist: 170 mm\nlean: 20 deg\n== - -\nwall: 10 mm\nn: 2\nok: yes\nturn: 20 deg\n"

// privacies are expressions and how close they are to the measurement: one that is the measurement
// itself, turned, scaled or rounded is kept; one that mixes it with others is shaped.
var privacies = []struct {
	expr string
	want Privacy
}{
	{"wearer.wrist", Kept}, {"-wearer.wrist", Kept}, {"wearer.wrist * 2", Kept}, {"2 * wearer.wrist", Kept}, {"wearer.wrist / n", Kept}, {"100 % * wearer.wrist", Kept},
	{"wearer.wrist as in to 1/16", Kept}, {"round(wearer.wrist, 5 mm)", Kept}, {"ceil(wearer.wrist, 1 cm)", Kept}, {"floor(wearer.wrist, 1 cm)", Kept}, {"abs(wearer.wrist)", Kept},
	{"min(wearer.wrist, 1 m)", Kept}, {"max(wearer.wrist, wall)", Kept}, {"clamp(wearer.wrist, wall, 1 m)", Kept}, {"sum(wearer.wrist)", Kept}, {"mean([wearer.wrist])", Kept},
	{"[wearer.wrist, wall]", Kept}, {"(wearer.wrist, wall)", Kept}, {"(wearer.wrist, wall).x", Kept}, {"2 * (wearer.wrist, wall)", Kept}, {"if(ok, wearer.wrist, wall)", Kept}, {"2 x wearer.wrist", Kept},
	{"wearer.wrist + 0 mm", Kept}, {"wearer.wrist - 0 mm", Kept}, {"0 mm - wearer.wrist", Kept}, {"wearer.wrist ^ 1", Kept}, // unchanged
	{"1 mm to wearer.wrist", Kept}, // shows 0 mm or the wrist
	{"wearer.wrist + wall", Shaped}, {"wearer.wrist - wearer.wrist", Shaped}, {"wearer.wrist * wall", Shaped}, {"wearer.wrist ^ 2", Shaped}, {"wearer.wrist > wall", Shaped}, {"wearer.wrist > wall and ok", Shaped},
	{"if(wearer.wrist > 160 mm, wall, n * wall)", Shaped}, {"hypot(wearer.wrist, wall)", Shaped}, {"sqrt(wearer.wrist * wall)", Shaped}, {"sin(wearer.lean)", Shaped}, {"count([wearer.wrist])", Shaped},
	{"rect(wearer.wrist, wall)", Shaped}, {"rect(wearer.wrist, wall).width", Shaped}, {"path((0, 0), (wearer.wrist, 0)).length", Shaped}, {"not (wearer.wrist > wall)", Shaped},
	{"wall * 2", Open}, {"if(ok, wall, wearer.wrist)", Open},
}

func TestHowCloseAValueIsToAMeasurement(t *testing.T) {
	p := build(t, measured)
	for _, c := range privacies {
		if got := asked(t, p, c.expr); got.Privacy != c.want {
			t.Errorf("%s is %d, want %d", c.expr, got.Privacy, c.want)
		}
	}
}

func asked(t *testing.T, p *Program, expr string) Cell {
	t.Helper()
	f := source.NewFile("ask", expr)
	e, faults := syntax.ParseExpr(f.Span(0, len(expr)))
	if len(faults) > 0 {
		t.Fatalf("%s: %s", expr, faults[0].Message)
	}
	return p.Ask("", e).Cell
}

// grow makes a random expression of a kind of value. With true, a measurement stands in it in a place
// that is always worked out.
type grow struct{ *rand.Rand }

func (g grow) pick(list ...string) string { return list[g.IntN(len(list))] }

func (g grow) length(depth int, private bool) string {
	if depth == 0 {
		if private {
			return "wearer.wrist"
		}
		return g.pick("wall", "3 mm", "wall")
	}
	a, b := private, private && g.IntN(2) == 0
	if private && g.IntN(2) == 0 {
		a, b = b, a
	}
	d := depth - 1
	l := func(private bool) string { return g.length(d, private) }
	switch g.IntN(14) {
	case 0:
		return "(" + l(a) + g.pick(" + ", " - ") + l(b) + ")"
	case 1:
		return "(" + l(private) + g.pick(" * ", " / ") + g.pick("2", "n", "50 %") + ")"
	case 2:
		return g.pick("min", "max", "sum", "mean") + "(" + l(a) + ", [" + l(b) + "])"
	case 3:
		return g.pick("round", "ceil", "floor") + "(" + l(private) + ", 5 mm)"
	case 4:
		return "clamp(" + l(a) + ", " + l(b) + " - 9 m, 9 m)"
	case 5:
		return "hypot(" + l(a) + ", " + l(b) + ")"
	case 6:
		return "sqrt(abs(" + l(a) + " * " + l(b) + "))"
	case 7:
		return "(" + l(a) + ", " + l(b) + ")." + map[bool]string{true: "x", false: "y"}[a]
	case 8:
		return "rect(1 m + abs(" + l(a) + "), 1 m + abs(" + l(b) + "))." + g.pick("perimeter", map[bool]string{true: "width", false: "height"}[a])
	case 9:
		return "if(" + l(private) + g.pick(" < ", " = ", " >= ") + "100 mm, wall, 2 * wall)"
	case 10:
		return "if(ok, " + l(private) + ", wall)"
	case 11:
		return "(" + l(private) + " as in to 1/16)"
	case 12:
		return "path((0, 0), (1 m + abs(" + l(private) + "), 0)).length"
	}
	return "-" + l(private)
}

// Whatever is made with a measurement, no operator and no function makes it open.
func TestNothingMakesAMeasurementOpen(t *testing.T) {
	p := build(t, measured)
	for seed := range uint64(20_000) {
		g := grow{rand.New(rand.NewPCG(seed, 1))}
		expr := g.length(1+g.IntN(4), true)
		c := asked(t, p, expr)
		if _, unknown := c.Value.(Unknown); unknown {
			continue // too large, or a sum of other dimensions
		}
		if c.Privacy == Open {
			t.Fatalf("%s = %s is open", expr, c.Value.Show(unit.Style{}))
		}
		if open := asked(t, p, g.length(1+g.IntN(4), false)); open.Privacy != Open {
			t.Fatalf("an expression without a measurement is %d", open.Privacy)
		}
	}
}

// Scaling and rounding do not hide a measurement: whoever knows the formula knows the number.
func TestAScaledMeasurementStaysOne(t *testing.T) {
	p := build(t, measured)
	for seed := range uint64(2_000) {
		g := grow{rand.New(rand.NewPCG(seed, 2))}
		expr := "wearer.wrist"
		for range 1 + g.IntN(6) {
			switch g.IntN(6) {
			case 0:
				expr = "(" + expr + g.pick(" * ", " / ") + g.pick("2", "n", "1.05", "50 %") + ")"
			case 1:
				expr = g.pick("round", "ceil", "floor") + "(" + expr + ", 1 mm)"
			case 2:
				expr = g.pick("min", "max", "sum", "mean") + "(" + expr + ")"
			case 3:
				expr = "(" + expr + ", " + expr + ").x"
			case 4:
				expr = "(" + expr + " as cm to 0.5)"
			case 5:
				expr = "-" + expr
			}
		}
		if c := asked(t, p, expr); c.Privacy != Kept {
			t.Fatalf("%s is %d", expr, c.Privacy)
		}
	}
}

func TestAFaultInAPrivateBlockIsPrivate(t *testing.T) {
	p := build(t, "== - wearer private\nwrist: 170 mm + 5 deg\n")
	for _, n := range p.Nodes() {
		for _, f := range n.Findings {
			if !f.Private {
				t.Errorf("%s may be published", f.Message)
			}
		}
	}
	if len(found(p)) != 1 {
		t.Errorf("found %s", strings.Join(found(p), "; "))
	}
}
