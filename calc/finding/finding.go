// Package finding holds the one message of the program: what is wrong or worth knowing, where,
// with which numbers, and the way out. Errors of the language and findings of the checks are the
// same type. Nothing here prints, colours or escapes: render/report does that.
package finding

import (
	"slices"
	"strings"

	"bevelbook/calc/source"
)

// Severity says what a finding does to the build.
type Severity int

// The severities, the gravest last so that they compare.
const (
	Note Severity = iota // worth knowing
	Mind                 // look before you cut
	Stop                 // do not cut; the commands exit with 1
)

// String is the word shown to people and written to JSON.
func (s Severity) String() string { return [...]string{"note", "mind", "stop"}[s] }

// Finding is one message.
type Finding struct {
	Name     string // stable, lower-case, hyphens: "unmirrored", "unknown-name"
	Severity Severity
	At       source.Span
	Section  string // the section it belongs to, "" for the journal's own space
	Part     string // the part or block it speaks of, "" for none
	Message  string // one sentence with the numbers, no final full stop
	Help     string // the way out, one sentence, or ""
	Notes    []Related
	Accepted string // the reason given by the entry that accepts it, "" if none does
	// Private marks a message whose excerpt would spell a private measurement;
	// whatever is published leaves the excerpt and the message's numbers out.
	Private bool
}

// Related points at a second place: where a name was set first, each step of a loop.
type Related struct {
	At      source.Span
	Message string
}

// Stops tells whether the finding stops the build: grave and not accepted.
func (f Finding) Stops() bool { return f.Severity == Stop && f.Accepted == "" }

// Sort orders findings by file, position, severity (gravest first), name and message.
func Sort(list []Finding) {
	slices.SortStableFunc(list, compare)
}

func compare(a, b Finding) int {
	if c := strings.Compare(fileOf(a), fileOf(b)); c != 0 {
		return c
	}
	if a.At.Start != b.At.Start {
		return a.At.Start - b.At.Start
	}
	if a.Severity != b.Severity {
		return int(b.Severity - a.Severity)
	}
	if c := strings.Compare(a.Name, b.Name); c != 0 {
		return c
	}
	return strings.Compare(a.Message, b.Message)
}

func fileOf(f Finding) string {
	if f.At.File == nil {
		return ""
	}
	return f.At.File.Name
}
