// Package spell finds the known name that a mistyped one most likely means. It knows names only as
// letters: letter case, underscores and hyphens do not count. It imports nothing of ours.
package spell

import (
	"strings"
	"unicode/utf8"
)

// longest is the greatest length of a name, in characters, that is compared: the work grows with
// the product of both lengths, and nobody mistypes a longer one by a few letters.
const longest = 64

// Nearest returns the known name that differs from name in the fewest letters, or "" when more
// than a third of the letters (of the longer of the two) would have to change. A letter left out,
// put in, exchanged or swapped with its neighbour counts as one. Equally near names are decided by
// alphabet, so the order of known does not matter.
func Nearest(name string, known []string) string {
	if name == "" || utf8.RuneCountInString(name) > longest {
		return ""
	}
	want := plain(name)
	best, fewest := "", longest
	for _, k := range known {
		if k == name {
			return k
		}
		if utf8.RuneCountInString(k) > longest {
			continue
		}
		have := plain(k)
		longer, shorter := max(len(want), len(have)), min(len(want), len(have))
		allowed := longer / 3
		if shorter == 0 || longer-shorter > min(allowed, fewest) {
			continue
		}
		n := edits(want, have)
		if n <= allowed && (n < fewest || n == fewest && k < best) {
			best, fewest = k, n
		}
	}
	return best
}

// joints are the marks between the words of a name.
var joints = strings.NewReplacer("_", "", "-", "")

// plain drops what does not count.
func plain(name string) []rune {
	return []rune(strings.ToLower(joints.Replace(name)))
}

// edits counts the letters to leave out, put in, exchange or swap with a neighbour to turn a into
// b: the Levenshtein distance with transpositions (optimal string alignment).
func edits(a, b []rune) int {
	before := make([]int, len(b)+1) // two rows up
	above := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range row {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
