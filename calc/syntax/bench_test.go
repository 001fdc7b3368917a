package syntax

import (
	"strings"
	"testing"

	"bevelbook/calc/source"
)

func BenchmarkParseABlockOfAThousandLines(b *testing.B) {
	const block = "length:      240 mm              # elbow crease to wrist\nwall:        foam10.thickness\nsize:        length + 2 * wall\noutline:     trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nbevel left:  35 deg\n"
	f := source.NewFile("x.md", strings.Repeat(block, 200))
	lines := linesOf(f)
	b.SetBytes(int64(len(f.Text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := ParseBlock(f, lines); len(faults) > 0 {
			b.Fatal(faults[0].Message)
		}
	}
}
