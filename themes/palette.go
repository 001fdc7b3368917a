package themes

import (
	"fmt"
	"strings"
)

// colour is one row of a palette: a custom property and its value by day and by night.
type colour struct{ name, day, night string }

type palette []colour

// readPalette reads lines of "name day night words…"; a line that starts with ";" is a remark.
func readPalette(text string) (palette, error) {
	var p palette
	for n, line := range strings.Split(text, "\n") {
		fields := strings.Fields(line)
		if len(fields) == 0 || strings.HasPrefix(fields[0], ";") {
			continue
		}
		if len(fields) < 3 || !isHex(fields[1]) || !isHex(fields[2]) {
			return nil, fmt.Errorf("palette.txt:%d: want a name and two colours like #1f2a30: %q", n+1, line)
		}
		p = append(p, colour{fields[0], fields[1], fields[2]})
	}
	return p, nil
}

func isHex(s string) bool {
	return len(s) == 7 && s[0] == '#' && strings.Trim(s[1:], "0123456789abcdef") == ""
}

// css writes the palette as custom properties: the reader's system decides between day and night
// unless the page's toggle did, and paper is always printed by day. The rules are spelled out for
// each case because the tablets that end up in workshops are old: they know no light-dark().
func (p palette) css() string {
	var b strings.Builder
	rule := func(before, scheme string, value func(colour) string, after string) {
		b.WriteString(before + "{color-scheme:" + scheme)
		for _, c := range p {
			b.WriteString(";--" + c.name + ":" + value(c))
		}
		b.WriteString("}" + after + "\n")
	}
	day := func(c colour) string { return c.day }
	night := func(c colour) string { return c.night }
	rule(`:root`, "light", day, "")
	rule(`@media screen and (prefers-color-scheme:dark){:root:not([data-theme=light])`, "dark", night, "}")
	rule(`@media screen{:root[data-theme=dark]`, "dark", night, "}")
	return b.String()
}
