package spell

import (
	"slices"
	"strings"
	"testing"
)

func TestNearestFindsTheNameMeant(t *testing.T) {
	known := []string{"thickness", "length", "height", "bevel", "worn_wall", "kerf", "mm", "cm", "tilt"}
	for _, c := range []struct{ name, want string }{
		{"length", "length"},
		{"lenght", "length"}, // two letters swapped count as one
		{"thikness", "thickness"},
		{"Thickness", "thickness"},
		{"wornwall", "worn_wall"},
		{"worn-wall", "worn_wall"},
		{"WORN_WAL", "worn_wall"},
		{"MM", "mm"},
		{"bevle", "bevel"},
		{"tlit", "tilt"},
		{"xm", ""}, // a third of two letters is none
		{"forearm", ""},
		{"", ""},
		{"_", ""},
		{strings.Repeat("length", 1000), ""},
	} {
		if got := Nearest(c.name, known); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q", c.name, got, c.want)
		}
	}
}

func TestNearestDoesNotDependOnOrder(t *testing.T) {
	known := []string{"wall_b", "wall_c", "wall_a", "wall_d"}
	for range known {
		if got := Nearest("wall_x", known); got != "wall_a" {
			t.Errorf("Nearest of %v = %q, want wall_a", known, got)
		}
		known = append(known[1:], known[0])
	}
	slices.Reverse(known)
	if got := Nearest("wall_x", known); got != "wall_a" {
		t.Errorf("Nearest of %v = %q, want wall_a", known, got)
	}
}

// The first three are the textbook cases of the Levenshtein distance; the fourth is its known
// difference to the string alignment with transpositions.
func TestEditsAreTheDistanceOfTheTextbooks(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"", "abc", 3}, {"ca", "abc", 3}, {"ab", "ba", 1}} {
		if got := edits([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
		if got := edits([]rune(c.b), []rune(c.a)); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.b, c.a, got, c.want)
		}
	}
}

func BenchmarkNearest(b *testing.B) {
	known := make([]string, 0, 1000)
	for i := range 1000 {
		known = append(known, "name_"+strings.Repeat(string(rune('a'+i%26)), i%12))
	}
	for b.Loop() {
		Nearest("nmae_cccc", known)
	}
}
