package entry

import (
	"strings"

	"bevelbook/calc/source"
)

// Front is what the front matter of a page says. What it leaves out has its zero value, except Share.
type Front struct {
	Title string

	// Of an entry, or any page but journal.md:

	Date    string   // year-month-day, a real day, "" if none
	Section string   // an identifier, "" for the journal's own space
	Sides   []string // "left", "right"
	Minutes float64  // time spent, 0 or more
	Cover   string   // path of a picture, as written
	Share   bool     // false keeps the page out of the site; true unless the page says no
	Accept  []Accept

	// Of journal.md:

	Author, Units, BaseURL, Theme, Language, Description string

	// At tells where the value of each key that was read stands. A key that stands without a value
	// or was refused is not in it.
	At map[string]source.Span
}

// Accept is a finding that the page accepts, with the reason.
type Accept struct {
	Finding string // its name
	Part    string // the part it is about, "" for any
	Reason  string
	At      source.Span // the words before the colon
}

// maxFront is the greatest size of front matter in bytes.
const maxFront = 64 << 10

// frontText is where front matter stands in a file: from start to end, without the lines of ---.
type frontText struct {
	file             *source.File
	opened, closed   bool
	start, end, body int
}

// splitFront finds the front matter. It must begin in the first line, with ---, and ends with a
// line of --- (or ..., YAML's own mark). When the end is missing, it counts to the first line that
// cannot belong to it; a first line of --- that nothing like a key follows is a rule across the page.
func splitFront(file *source.File) frontText {
	f, s := frontText{file: file}, file.Text
	first := lineEnd(s, 0)
	if strings.TrimRight(s[:first], " \t\r") != "---" {
		return f
	}
	start := min(first+1, len(s))
	for at := start; at < len(s); {
		end := lineEnd(s, at)
		if line := strings.TrimRight(s[at:end], " \t\r"); line == "---" || line == "..." {
			return frontText{file, true, true, start, at, min(end+1, len(s))}
		}
		at = end + 1
	}
	end := start
	for end < len(s) {
		next := lineEnd(s, end)
		if !mayBeFront(s[end:next]) {
			break
		}
		end = min(next+1, len(s))
	}
	if end == start {
		return f
	}
	return frontText{file, true, false, start, end, end}
}

// mayBeFront tells whether a line looks like "key: value" or goes on with the one before.
func mayBeFront(line string) bool {
	if line == "" {
		return false
	}
	if strings.HasPrefix(line, "  ") && strings.TrimSpace(line) != "" {
		return true
	}
	key, _, colon := strings.Cut(line, ":")
	return colon && isIdentifier(key)
}
