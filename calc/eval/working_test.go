package eval

import (
	"strings"
	"testing"

	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// valuesOf links and runs one block of values, private or not, and one that reads it.
func valuesOf(t *testing.T, private bool, lines ...string) map[string]*Node {
	t.Helper()
	block := func(name, text string, private bool) *Block {
		file := source.NewFile("page.md", text)
		var spans []source.Span
		at := 0
		for line := range strings.Lines(text) {
			spans = append(spans, file.Span(at, at+len(strings.TrimSuffix(line, "\n"))))
			at += len(line)
		}
		parsed, found := syntax.ParseBlock(file, spans)
		if len(found) > 0 {
			t.Fatal(found)
		}
		return &Block{Name: name, Kind: "dims", At: file.Span(0, 1), Syntax: parsed, Values: true, Private: private}
	}
	body := block("body", "arm: 250 mm\nhand: 190 mm\n", private)
	dims := block("", strings.Join(lines, "\n"), false)
	Link([]*Block{body, dims}, nil).Run()
	nodes := map[string]*Node{}
	for _, m := range dims.Members {
		nodes[m.Key] = m
	}
	return nodes
}

func TestAWorkingShowsTheFormulaAndTheSameWithNumbers(t *testing.T) {
	nodes := valuesOf(t, false,
		"wall: 10 mm", "length: 240 mm", "side: length + 2*wall", "less: 0 mm - wall", "turn: -less", "reach: body.arm - 25 mm",
		"same: side", "as_given: (1 mm, 2 mm)", "diag: hypot(length, wall) as in", "fixed: 2 * 3 mm", "angle: 2 * pi * 1 rad")
	for _, c := range []struct{ name, formula, numbers, value string }{
		{"wall", "", "", ""},
		{"as_given", "", "", ""},
		{"side", "length + 2 * wall", "240 mm + 2 * 10 mm", "260 mm"},
		{"turn", "-less", "-(-10 mm)", "10 mm"},
		{"reach", "body.arm - 25 mm", "250 mm - 25 mm", "225 mm"},
		{"same", "length + 2 * wall", "240 mm + 2 * 10 mm", "260 mm"},
		{"diag", "hypot(length, wall) as in", "hypot(240 mm, 10 mm) as in", "9.457 in"},
		{"fixed", "2 * 3 mm", "", "6 mm"},
	} {
		got := nodes[c.name].Working(unit.Style{})
		got.Numbers, got.Value = strings.ReplaceAll(got.Numbers, "−", "-"), strings.ReplaceAll(got.Value, "−", "-")
		if want := (Working{c.formula, c.numbers, c.value}); got != want {
			t.Errorf("%s: %+v, want %+v", c.name, got, want)
		}
	}
}

func TestAWorkingLeavesOutNumbersThatComeFromPrivateOnes(t *testing.T) {
	nodes := valuesOf(t, true, "reach: body.arm - 25 mm", "half: reach / 2", "alias: body.arm", "again: alias", "open: 2 mm", "sum: open + 1 mm")
	for name, want := range map[string]Working{
		"reach": {Formula: "body.arm - 25 mm", Value: "225 mm"},
		"half":  {Formula: "reach / 2", Value: "112.5 mm"},
		"alias": {},
		"again": {},
		"sum":   {"open + 1 mm", "2 mm + 1 mm", "3 mm"},
	} {
		if got := nodes[name].Working(unit.Style{}); got != want {
			t.Errorf("%s: %+v, want %+v", name, got, want)
		}
	}
	for name, want := range map[string]bool{"reach": true, "alias": true, "half": false, "sum": false} {
		if got := nodes[name].NearPrivate(); got != want {
			t.Errorf("%s is near a private measurement: %v, want %v", name, got, want)
		}
	}
}
