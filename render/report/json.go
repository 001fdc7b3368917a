package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"bevelbook/calc/finding"
)

// record is a finding in JSON. Every key is always there, in this order; a finding with no place has
// an empty file and line and column 0.
type record struct {
	Name     string `json:"name"`
	Severity string `json:"severity"` // note, mind or stop
	File     string `json:"file"`     // slash-separated, relative to the journal
	Line     int    `json:"line"`     // from 1
	Column   int    `json:"column"`   // from 1, in characters
	Section  string `json:"section"`
	Part     string `json:"part"`
	Message  string `json:"message"`
	Help     string `json:"help"`
	Accepted string `json:"accepted"` // the reason, "" if it is not accepted
}

// JSON writes the findings, in the order given, as one object {"findings": […]}. The message of a
// private finding has its numbers left out, since such files leave the maker's desk. The error is
// that of w.
func JSON(w io.Writer, list []finding.Finding) error {
	records := make([]record, len(list))
	for i, f := range list {
		at := f.At.Place()
		records[i] = record{
			Name: f.Name, Severity: f.Severity.String(),
			File: at.File, Line: at.Line, Column: at.Column,
			Section: f.Section, Part: f.Part,
			Message: public(f, f.Message), Help: public(f, f.Help), Accepted: public(f, f.Accepted),
		}
	}
	return write(w, map[string][]record{"findings": records})
}

// write encodes v indented, with < and & as they are: this is no HTML. Characters that a terminal
// would obey are written as JSON's own escapes.
func write(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	for _, r := range b.String() {
		if r != '\n' && hidden(r) {
			for _, unit := range utf16.AppendRune(nil, r) {
				fmt.Fprintf(out, `\u%04x`, unit)
			}
			continue
		}
		out.WriteRune(r)
	}
	return out.Flush()
}

// public is a text of the finding as others may read it.
func public(f finding.Finding, text string) string {
	if !f.Private {
		return text
	}
	return withoutNumbers(text)
}

// withoutNumbers puts … in place of each number: digits, and the points, commas and slashes between.
func withoutNumbers(s string) string {
	digit := func(i int) bool { return i < len(s) && '0' <= s[i] && s[i] <= '9' }
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if !digit(i) {
			b.WriteByte(s[i])
			continue
		}
		b.WriteString("…")
		for digit(i+1) || i+1 < len(s) && strings.IndexByte(".,/ ", s[i+1]) >= 0 && digit(i+2) {
			i++
		}
	}
	return b.String()
}
