package eval

import (
	"math"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

func FuzzEval(f *testing.F) {
	for _, c := range worths {
		f.Add(shop, c.expr)
	}
	for _, c := range refused {
		f.Add(shop, c.expr)
	}
	for _, c := range links {
		f.Add(c.text, "a")
	}
	f.Fuzz(func(t *testing.T, text, expr string) {
		if len(text) > 2000 || len(expr) > 500 {
			return // hangs show in short texts
		}
		p := build(t, text)
		ask := source.NewFile("ask", expr)
		nodes := p.Nodes()
		if e, faults := syntax.ParseExpr(ask.Span(0, len(expr))); len(faults) == 0 {
			nodes = append(nodes[:len(nodes):len(nodes)], p.Ask("", e))
		}
		for _, n := range nodes {
			sound(t, n.Cell.Value)
			if _, unknown := n.Cell.Value.(Unknown); unknown && n.Expr != nil && len(n.Findings) == 0 && !looped(n) {
				t.Fatalf("%q: %s is not known, and nobody says why", text, n.ID)
			}
			for _, g := range n.Findings {
				if g.Name == "" || g.Message == "" || g.At.IsZero() || g.Name != string(Waiting) && g.Severity != finding.Stop {
					t.Fatalf("%q: %+v", text, g)
				}
			}
		}
	})
}

// looped tells whether the node is in a loop that another node reports.
func looped(n *Node) bool {
	for _, f := range n.root().Findings {
		if f.Name == string(Loop) {
			return true
		}
	}
	return false
}

// sound refuses values that no later step can use, and shows them in both styles.
func sound(t *testing.T, v Value) {
	t.Helper()
	switch v := v.(type) {
	case nil:
		t.Fatal("no value at all")
	case Quantity:
		finite(t, v.Value)
	case Point:
		finite(t, v.X)
		finite(t, v.Y)
		finite(t, v.Z)
	case Outline:
		finite(t, v.Area())
	case List:
		if v.size() > MaxItems+1 {
			t.Fatalf("a list of %d", v.size())
		}
	}
	_ = v.Show(unit.Style{})
	_ = v.Show(unit.Style{Imperial: true, Step: 1.0 / 16})
}

func finite(t *testing.T, v float64) {
	t.Helper()
	if math.IsNaN(v) || math.IsInf(v, 0) {
		t.Fatalf("a value of %v", v)
	}
}
