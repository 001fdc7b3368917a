package eval

import (
	"testing"

	"bevelbook/calc/unit"
)

func TestListsInsideListsAreShownOnlyAsDeepAsPeopleRead(t *testing.T) {
	wide := List{}
	for range 12 {
		wide = append(wide, Num(1, unit.None))
	}
	for range 40 { // shown whole, this would be 12 to the power of 41 items
		next := List{}
		for range 12 {
			next = append(next, wide)
		}
		wide = next
	}
	if n := len(wide.Show(unit.Style{})); n > 200_000 {
		t.Errorf("a list of lists is shown in %d bytes", n)
	}
	if got := (List{Num(1, unit.None), List{Num(2, unit.None)}}).Show(unit.Style{}); got != "1, 2" {
		t.Errorf("a plain nested list shows as %q", got)
	}
}
