package syntax

import (
	"strings"
	"testing"

	"bevelbook/calc/source"
)

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

// expressions lists spellings; the first of each row is the canonical one that all print as.
var expressions = [][]string{
	{"length + 2 * wall", "length+2*wall", "(length + (2 * wall))"},
	{"240 mm", "240mm"},
	{"3 3/8 in"},
	{"1/4 in * 2"},
	{"5' 10\"", "5′ 10″"},
	{"5' 10 1/2\""},
	{"35°", "35 °"},
	{"35 deg"},
	{"15 %", "15%"},
	{"100 kg/m^3", "100 kg/m³"},
	{"a / 2", "a/2"},
	{"a / (b / c)"},
	{"a - (b - c)"},
	{"(a + b) * c"},
	{"-a ^ 2", "-(a ^ 2)"},
	{"(-a) ^ 2"},
	{"a ^ b ^ c", "a ^ (b ^ c)"},
	{"(2 mm) ^ 2"},
	{"not (a and b) or c < e"},
	{"if(a >= b, 1, 2)", "if(a ≥ b, 1, 2)"},
	{"trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)"},
	{"path((10 mm, 10 mm), (60 mm, 10 mm))"},
	{"2 mm, 2 x foam10", "2 mm , 2 x foam10"},
	{"[a, b]"},
	{"length as in to 1/16"},
	{"rho as kg/m^3", "rho as kg/m³"},
	{"cheek.edge.long.length"},
	{"min(a, 3 min)"},
	{"round(5.5 in, 1 in)"},
	{"2 h 15 min"},
	{"\"a # b\""},
	{"a - 2", "a − 2"},
}

func TestEverySpellingPrintsAsTheFirstAndParsesToItself(t *testing.T) {
	for _, row := range expressions {
		for _, spelling := range row {
			f := source.NewFile("x", "k: "+spelling)
			b, faults := ParseBlock(f, linesOf(f))
			if len(faults) > 0 || len(b.Entries) != 1 {
				t.Errorf("%s: %v", spelling, faults)
				continue
			}
			if got := String(b.Entries[0].Value); got != row[0] {
				t.Errorf("%s prints as %s, want %s", spelling, got, row[0])
			}
		}
	}
}
