package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// Options say how text is printed.
type Options struct {
	Color bool // for a terminal: ANSI (ECMA-48) colours
	Short bool // one line for each finding, without its source
}

// Text prints the findings in the order given, and how many there are of each severity. A finding
// with no place has no file, line or source. The error is that of w.
//
// A finding marked Private is printed like any other: Text is for the one who wrote the journal.
func Text(w io.Writer, list []finding.Finding, opt Options) error {
	p := printer{Writer: bufio.NewWriter(w), paint: plain}
	if opt.Color {
		p.paint = colours
	}
	for _, f := range list {
		p.finding(f, opt.Short)
	}
	p.line("%s", count(list))
	return p.Flush()
}

// palette is the set of ANSI sequences that begin each manner of writing; all end with off.
type palette struct {
	severity        [3]string // by finding.Severity
	place, dim, off string
}

var (
	plain   palette
	colours = palette{
		severity: [3]string{"\x1b[1;36m", "\x1b[1;33m", "\x1b[1;31m"},
		place:    "\x1b[1m", dim: "\x1b[2m", off: "\x1b[0m",
	}
)

// printer writes; errors of writing stay in the bufio.Writer until Flush.
type printer struct {
	*bufio.Writer
	paint palette
}

func (p *printer) line(format string, args ...any) {
	fmt.Fprintf(p, format, args...)
	p.WriteByte('\n')
}

// finding prints one: the heading, its line with a caret, the way out, further places, the reason
// why it is accepted.
func (p *printer) finding(f finding.Finding, short bool) {
	paint := p.paint.severity[f.Severity]
	if f.Accepted != "" {
		paint = p.paint.dim
	}
	p.line("%s%s%s%s %s%s: %s", p.place(f.At), paint, f.Severity, p.paint.off, visible(f.Name), accepted(f, short), visible(f.Message))
	if short {
		return
	}
	p.excerpt(f.At, paint)
	if f.Help != "" {
		p.line("  help: %s", visible(f.Help))
	}
	for _, n := range f.Notes {
		p.line("  %s%s", p.place(n.At), visible(n.Message))
		p.excerpt(n.At, p.paint.dim)
	}
	if f.Accepted != "" {
		p.line("  accepted: %s", visible(f.Accepted))
	}
	p.WriteByte('\n')
}

// accepted is the mark of an accepted finding where its reason is not printed.
func accepted(f finding.Finding, short bool) string {
	if short && f.Accepted != "" {
		return " (accepted)"
	}
	return ""
}

// place is "file:line:column: ", "" for nowhere.
func (p *printer) place(at source.Span) string {
	if at.IsZero() {
		return ""
	}
	where := at.Place()
	return fmt.Sprintf("%s%s:%d:%d:%s ", p.paint.place, visible(where.File), where.Line, where.Column, p.paint.off)
}

// excerpt prints the line in which a span starts and carets under what it covers of that line.
func (p *printer) excerpt(at source.Span, paint string) {
	if at.IsZero() {
		return
	}
	e := excerptOf(at)
	p.line("%s", strings.TrimRight(fmt.Sprintf("  %4d | %s", at.Place().Line, e.text), " "))
	p.line("       | %s%s%s%s", strings.Repeat(" ", e.indent), paint, strings.Repeat("^", e.width), p.paint.off)
}

// count says how many findings there are: "2 stop, 1 mind, 3 notes; 1 accepted". Accepted ones
// count only as such.
func count(list []finding.Finding) string {
	if len(list) == 0 {
		return "no findings"
	}
	var of [3]int
	accepted := 0
	for _, f := range list {
		if f.Accepted != "" {
			accepted++
		} else {
			of[f.Severity]++
		}
	}
	var parts []string
	for s := finding.Stop; s >= finding.Note; s-- {
		word := s.String()
		if s == finding.Note && of[s] != 1 {
			word = "notes"
		}
		if of[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", of[s], word))
		}
	}
	if len(parts) == 0 {
		return fmt.Sprintf("%d accepted", accepted)
	}
	line := strings.Join(parts, ", ")
	if accepted > 0 {
		line += fmt.Sprintf("; %d accepted", accepted)
	}
	return line
}
