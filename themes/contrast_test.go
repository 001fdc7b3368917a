package themes

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2 ("relative luminance", note 1: sRGB).
func luminance(hex string) float64 {
	channel := func(s string) float64 {
		n, err := strconv.ParseUint(s, 16, 8)
		if err != nil {
			panic(err)
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(hex[1:3]) + 0.7152*channel(hex[3:5]) + 0.0722*channel(hex[5:7])
}

// contrast is the contrast ratio of WCAG 2.2, 1 to 21.
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func TestContrastAgreesWithKnownRatios(t *testing.T) {
	// Black on white is 21:1 and equal colours are 1:1 by the definition; #767676 on white is the
	// W3C's own example of the lightest grey that passes 4.5:1 (from memory).
	for _, c := range []struct {
		a, b string
		want float64
	}{{"#000000", "#ffffff", 21}, {"#123456", "#123456", 1}, {"#767676", "#ffffff", 4.54}} {
		if got := contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast(%s, %s) = %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// Words need 4.5:1 (WCAG 2.2, 1.4.3), borders of controls and lines that carry meaning 3:1 (1.4.11).
var pairs = []struct {
	of, on []string
	least  float64
}{
	{[]string{"ink", "pencil", "accent", "stop", "mind", "note"}, []string{"paper", "inset"}, 4.5},
	{[]string{"t-key", "t-num", "t-unit", "t-fn", "t-str", "t-com"}, []string{"paper", "inset"}, 4.5},
	{[]string{"on-accent"}, []string{"accent"}, 4.5},
	{[]string{"paper"}, []string{"ink"}, 4.5}, // the bubble with a working
	{[]string{"fig-ink", "fig-pencil", "fig-accent", "fig-worn"}, []string{"fig-paper", "fig-foam", "fig-foam2"}, 4.5},
	{[]string{"fig-ink"}, []string{"fig-shade1", "fig-shade2", "fig-shade3", "fig-shade4", "fig-shade5"}, 4.5},
	{[]string{"edge"}, []string{"paper", "inset"}, 3},
	{[]string{"accent"}, []string{"table"}, 3}, // the ring of focus
	{[]string{"glow"}, []string{"paper"}, 3},
}

func TestEveryPairOfColoursHasTheContrastThatWCAGAsksFor(t *testing.T) {
	for _, name := range Names() {
		text, err := os.ReadFile(filepath.Join(name, "palette.txt"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := readPalette(string(text))
		if err != nil {
			t.Fatal(err)
		}
		by := map[string]colour{}
		for _, c := range p {
			by[c.name] = c
		}
		for _, pair := range pairs {
			for _, of := range pair.of {
				for _, on := range pair.on {
					a, okA := by[of]
					b, okB := by[on]
					if !okA || !okB {
						t.Fatalf("%s: the palette lacks %s or %s", name, of, on)
					}
					if got := contrast(a.day, b.day); got < pair.least {
						t.Errorf("%s by day: %s on %s is %.2f:1, want %.1f:1", name, of, on, got, pair.least)
					}
					if got := contrast(a.night, b.night); got < pair.least {
						t.Errorf("%s by night: %s on %s is %.2f:1, want %.1f:1", name, of, on, got, pair.least)
					}
				}
			}
		}
	}
}
