package kind

import (
	"fmt"
	"math"
	"testing"

	"bevelbook/calc/draw"
)

// figureOf is the drawing of a single panel with its lettering by text.
func figureOf(t *testing.T, src string) (draw.Drawing, map[string]draw.Label) {
	t.Helper()
	_, out, _ := worked(t, src)
	labels := map[string]draw.Label{}
	for _, it := range out.Drawings[0].Items {
		switch it := it.(type) {
		case draw.Label:
			labels[it.Text] = it
		case draw.Dimension:
			labels[it.Text] = draw.Label{}
		}
	}
	return out.Drawings[0], labels
}

func TestANameGivesWayToAMark(t *testing.T) {
	const board = "panel board\noutline: rect(width: 130 mm, height: 260 mm)\nthickness: 10 mm\n"
	d, labels := figureOf(t, board)
	free := labels["bottom"]
	at := fmt.Sprintf("mark foot: (%.3f mm, %.3f mm)", free.At.X, free.At.Y)
	_, labels = figureOf(t, board+at)
	moved, ok := labels["bottom"]
	if !ok || math.Abs(moved.At.X-free.At.X) < 2*d.Em {
		t.Errorf("the name stands at %v, the mark at %v", moved.At, free.At)
	}
}

func TestTheEdgesOfANarrowStripAreNamedBesideTheirLengths(t *testing.T) {
	_, labels := figureOf(t, "panel strip\noutline: rect(width: 10 mm, height: 700 mm)\nthickness: 10 mm")
	for _, want := range []string{"left: 700 mm", "right: 700 mm"} {
		if _, ok := labels[want]; !ok {
			t.Errorf("no %q among %v", want, labels)
		}
	}
	for _, other := range []string{"left", "right"} {
		if _, ok := labels[other]; ok {
			t.Errorf("%q stands across the strip, beside the other edge", other)
		}
	}
}

func TestABevelIsLetteredWhereItsEdgeIsTooShortForTheNameToo(t *testing.T) {
	_, labels := figureOf(t, "panel lip\noutline: trapezoid(long: 207 mm, short: 178 mm, height: 56 mm)\nthickness: 16 mm\nbevel right: 43.1 deg\nbevel left: 43.1 deg")
	if _, ok := labels["43.1°"]; !ok {
		t.Errorf("no bevel among %v", labels)
	}
}
