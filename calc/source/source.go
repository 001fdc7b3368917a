// Package source knows one text and the places in it.
//
// A place is a byte offset; lines and columns are worked out only when somebody asks.
// Lines and columns count from 1. Columns count characters (Unicode code points), as people and
// SARIF's "unicodeCodePoints" do. The package imports nothing of ours.
package source

import (
	"sort"
	"strings"
	"unicode/utf8"
)

// File is one text with its name, a slash-separated path relative to the journal's folder.
// It is immutable after NewFile and may be shared between goroutines.
type File struct {
	Name  string
	Text  string
	lines []int // byte offset of each line's first byte
}

// NewFile indexes the lines of text.
func NewFile(name, text string) *File {
	lines := make([]int, 1, 1+strings.Count(text, "\n"))
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			lines = append(lines, i+1)
		}
	}
	return &File{Name: name, Text: text, lines: lines}
}

// Span is a stretch of a file: bytes Start up to, not including, End.
// The zero Span is nowhere; its File is nil.
type Span struct {
	File       *File
	Start, End int
}

// IsZero tells whether the span is nowhere.
func (s Span) IsZero() bool { return s.File == nil }

// Text is the source that the span covers, "" for the zero span.
func (s Span) Text() string {
	if s.File == nil || s.Start < 0 || s.End > len(s.File.Text) || s.Start > s.End {
		return ""
	}
	return s.File.Text[s.Start:s.End]
}

// To stretches a span to the end of another in the same file.
func (s Span) To(other Span) Span {
	if other.File == s.File && other.End > s.End {
		s.End = other.End
	}
	return s
}

// Place is a span's start for people: file, line and column from 1.
type Place struct {
	File   string
	Line   int
	Column int
}

// Place finds where the span starts; the zero span gives the zero Place.
func (s Span) Place() Place {
	if s.File == nil {
		return Place{}
	}
	line, start := s.File.line(s.Start)
	return Place{
		File:   s.File.Name,
		Line:   line,
		Column: 1 + utf8.RuneCountInString(s.File.Text[start:min(s.Start, len(s.File.Text))]),
	}
}

// Line returns the whole line in which the span starts, without its line end,
// and the byte offset of the span inside it.
func (s Span) Line() (text string, offset int) {
	if s.File == nil {
		return "", 0
	}
	_, start := s.File.line(s.Start)
	rest := s.File.Text[start:]
	if i := strings.IndexByte(rest, '\n'); i >= 0 {
		rest = rest[:i]
	}
	return strings.TrimSuffix(rest, "\r"), s.Start - start
}

// Span makes a span of the file.
func (f *File) Span(start, end int) Span { return Span{f, start, end} }

// line returns the number (from 1) of the line that holds offset, and where that line starts.
func (f *File) line(offset int) (number, start int) {
	i := sort.SearchInts(f.lines, offset+1) - 1
	i = max(i, 0)
	return i + 1, f.lines[i]
}
