package proof_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// Every part could be the mirror image of every other; they are sorted by shape, not compared one by
// one. Half of these have a partner.
func TestAThousandHandedPartsAreSortedSoon(t *testing.T) {
	const many = 1000
	var b strings.Builder
	b.WriteString("---\nsection: wing\nsides: [left, right]\n---\n")
	for i := range many {
		outline := fmt.Sprintf("polygon((0 mm, 0 mm), (%d mm, 0 mm), (0 mm, 50 mm))", 100+i/2)
		if i%4 == 1 {
			outline = "mirror(" + outline + ")"
		}
		fmt.Fprintf(&b, "```panel p%d\noutline: %s\nthickness: 6 mm\n```\n", i, outline)
	}
	s, err := journal.Load(fstest.MapFS{
		"journal.md": {Data: []byte("---\ntitle: Wings\n---\n")},
		"wing.md":    {Data: []byte(b.String())},
	}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, f := range proof.Run(s) {
		if f.Name == "unmirrored" {
			found++
		}
	}
	if found != many/2 {
		t.Errorf("%d of %d parts lack their other hand, want %d", found, many, many/2)
	}
}
