package finding

import (
	"slices"
	"testing"

	"bevelbook/calc/source"
)

func TestFindingsAreSortedByPlaceThenGravity(t *testing.T) {
	a, b := source.NewFile("a.md", "one two"), source.NewFile("b.md", "one two")
	list := []Finding{
		{Name: "5", At: b.Span(0, 1)},
		{Name: "4", At: a.Span(4, 5)},
		{Name: "3", Severity: Note, At: a.Span(0, 1)},
		{Name: "2", Severity: Mind, At: a.Span(0, 1)},
		{Name: "1", Severity: Stop, At: a.Span(0, 1)},
		{Name: "0"},
	}
	Sort(list)
	var names []string
	for _, f := range list {
		names = append(names, f.Name)
	}
	if !slices.Equal(names, []string{"0", "1", "2", "3", "4", "5"}) {
		t.Errorf("sorted %v", names)
	}
}

func TestOnlyAGraveFindingThatNobodyAcceptsStops(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		want bool
	}{
		{Finding{Severity: Stop}, true},
		{Finding{Severity: Stop, Accepted: "cut on a long strip"}, false},
		{Finding{Severity: Mind}, false},
		{Finding{Severity: Note}, false},
	} {
		if c.f.Stops() != c.want {
			t.Errorf("%v %q stops: %v", c.f.Severity, c.f.Accepted, c.f.Stops())
		}
	}
}
