package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// visible spells out what a terminal would obey or hide: control characters, line ends, and the marks
// that turn the direction of writing, with which a text can be made to look like another.
func visible(s string) string {
	clean := true
	for i := 0; i < len(s) && clean; i++ {
		clean = ' ' <= s[i] && s[i] < 0x7f
	}
	if clean {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if hidden(r) || r == utf8.RuneError && size == 1 {
			b.WriteString(spelled(s[i:i+size], r))
		} else {
			b.WriteString(s[i : i+size])
		}
		i += size
	}
	return b.String()
}

// hidden tells whether a character is spelled out: Unicode categories Cc (controls, C1 included), Cf
// (formats) but the joiners that scripts and emoji need, Zl and Zp (line ends), and Co, Cs.
func hidden(r rune) bool {
	if r < 0x300 {
		return r < ' ' || 0x7f <= r && r < 0xa0 || r == 0xad
	}
	if r == '\u200c' || r == '\u200d' {
		return false
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co)
}

// spelled writes a character as its number: \x1b for bytes, \u202e beyond.
func spelled(raw string, r rune) string {
	if r == utf8.RuneError && len(raw) == 1 {
		return fmt.Sprintf(`\x%02x`, raw[0])
	}
	switch {
	case r < 0x100:
		return fmt.Sprintf(`\x%02x`, r)
	case r < 0x10000:
		return fmt.Sprintf(`\u%04x`, r)
	}
	return fmt.Sprintf(`\U%08x`, r)
}

// joins tells whether a character is drawn on the one before it: combining marks, joiners and
// selectors of variants.
func joins(r rune) bool {
	return r >= 0x300 && (unicode.In(r, unicode.Mn, unicode.Me) || r == '\u200c' || r == '\u200d')
}

// wide are the characters that take two columns: East_Asian_Width W and F (Unicode Standard Annex
// #11), and pictures that terminals draw as wide, in ranges drawn together where what lies between is
// unassigned.
var wide = [][2]rune{
	{0x1100, 0x115f}, {0x231a, 0x231b}, {0x23e9, 0x23ec}, {0x23f0, 0x23f0}, {0x23f3, 0x23f3}, {0x25fd, 0x25fe}, {0x2614, 0x2615}, {0x2648, 0x2653}, {0x267f, 0x267f}, {0x2693, 0x2693},
	{0x26a1, 0x26a1}, {0x26aa, 0x26ab}, {0x26bd, 0x26be}, {0x26c4, 0x26c5}, {0x26ce, 0x26ce}, {0x26d4, 0x26d4}, {0x26ea, 0x26ea}, {0x26f2, 0x26f3}, {0x26f5, 0x26f5}, {0x26fa, 0x26fa}, {0x26fd, 0x26fd},
	{0x2705, 0x2705}, {0x270a, 0x270b}, {0x2728, 0x2728}, {0x274c, 0x274c}, {0x274e, 0x274e}, {0x2753, 0x2755}, {0x2757, 0x2757}, {0x2795, 0x2797}, {0x27b0, 0x27b0}, {0x27bf, 0x27bf},
	{0x2b1b, 0x2b1c}, {0x2b50, 0x2b50}, {0x2b55, 0x2b55}, {0x2e80, 0x303e}, {0x3041, 0x33ff}, {0x3400, 0x4dbf}, {0x4e00, 0xa4cf}, {0xa960, 0xa97f}, {0xac00, 0xd7a3}, {0xf900, 0xfaff},
	{0xfe10, 0xfe19}, {0xfe30, 0xfe6f}, {0xff01, 0xff60}, {0xffe0, 0xffe6}, {0x16fe0, 0x18aff}, {0x1b000, 0x1b2ff}, {0x1f004, 0x1f004}, {0x1f0cf, 0x1f0cf}, {0x1f18e, 0x1f18e}, {0x1f191, 0x1f19a},
	{0x1f200, 0x1f320}, {0x1f32d, 0x1f335}, {0x1f337, 0x1f37c}, {0x1f37e, 0x1f393}, {0x1f3a0, 0x1f3ca}, {0x1f3cf, 0x1f3d3}, {0x1f3e0, 0x1f3f0}, {0x1f3f4, 0x1f3f4}, {0x1f3f8, 0x1f43e}, {0x1f440, 0x1f440},
	{0x1f442, 0x1f4fc}, {0x1f4ff, 0x1f53d}, {0x1f54b, 0x1f54e}, {0x1f550, 0x1f567}, {0x1f57a, 0x1f57a}, {0x1f595, 0x1f596}, {0x1f5a4, 0x1f5a4}, {0x1f5fb, 0x1f64f}, {0x1f680, 0x1f6c5}, {0x1f6cc, 0x1f6cc},
	{0x1f6d0, 0x1f6d2}, {0x1f6d5, 0x1f6df}, {0x1f6eb, 0x1f6ec}, {0x1f6f4, 0x1f6fc}, {0x1f7e0, 0x1f7f0}, {0x1f90c, 0x1f93a}, {0x1f93c, 0x1f945}, {0x1f947, 0x1f9ff}, {0x1fa70, 0x1faff}, {0x20000, 0x3fffd},
}

// width is how many columns a terminal gives to a character that is not hidden.
func width(r rune) int {
	if r < wide[0][0] {
		return 1
	}
	for _, w := range wide {
		if r < w[0] {
			return 1
		}
		if r <= w[1] {
			return 2
		}
	}
	return 1
}
