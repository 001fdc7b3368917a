package source

import (
	"testing"
	"unicode/utf8"
)

func TestPlacesCountLinesAndCharactersFromOne(t *testing.T) {
	f := NewFile("log/a.md", "erste Zeile\n35° schräg\r\n\nlast")
	for _, c := range []struct {
		offset, line, column int
		text                 string
	}{
		{0, 1, 1, "erste Zeile"},
		{11, 1, 12, "erste Zeile"}, // the line's end belongs to it
		{12, 2, 1, "35° schräg"},
		{17, 2, 5, "35° schräg"}, // behind the degree sign, which is two bytes and one character
		{26, 3, 1, ""},
		{27, 4, 1, "last"},
		{31, 4, 5, "last"},
	} {
		s := f.Span(c.offset, c.offset)
		p := s.Place()
		if p.File != "log/a.md" || p.Line != c.line || p.Column != c.column {
			t.Errorf("offset %d is at %d:%d, want %d:%d", c.offset, p.Line, p.Column, c.line, c.column)
		}
		if text, _ := s.Line(); text != c.text {
			t.Errorf("offset %d stands in line %q, want %q", c.offset, text, c.text)
		}
	}
}

func TestTheZeroSpanIsNowhere(t *testing.T) {
	var s Span
	line, at := s.Line()
	if !s.IsZero() || s.Text() != "" || s.Place() != (Place{}) || line != "" || at != 0 {
		t.Error("the zero span is somewhere")
	}
}

func TestASpanStretchesOnlyWithinItsFile(t *testing.T) {
	f, g := NewFile("a", "wall: 10 mm"), NewFile("b", "wall: 12 mm")
	if got := f.Span(0, 4).To(f.Span(6, 11)).Text(); got != "wall: 10 mm" {
		t.Errorf("stretched to %q", got)
	}
	if got := f.Span(0, 4).To(g.Span(6, 11)).Text(); got != "wall" {
		t.Errorf("stretched into another file: %q", got)
	}
	if got := f.Span(3, 99).Text(); got != "" {
		t.Errorf("a span beyond the text reads %q", got)
	}
}

// FuzzPlace looks at every offset of a text: its line must hold the character that stands there.
func FuzzPlace(f *testing.F) {
	f.Add("a\nb\r\n\n°")
	f.Add("")
	f.Fuzz(func(t *testing.T, text string) {
		file := NewFile("x", text)
		lines := 1
		for i := 0; i <= len(text); i++ {
			s := file.Span(i, i)
			line, at := s.Line()
			p := s.Place()
			if p.Line != lines || p.Column < 1 || p.Column > 1+utf8.RuneCountInString(line)+2 {
				t.Fatalf("offset %d of %q is at %d:%d, line %d", i, text, p.Line, p.Column, lines)
			}
			if i < len(text) && text[i] != '\n' && text[i] != '\r' && line[at] != text[i] {
				t.Fatalf("offset %d of %q is not at %d of %q", i, text, at, line)
			}
			if i < len(text) && text[i] == '\n' {
				lines++
			}
		}
	})
}
