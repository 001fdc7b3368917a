package editor

import (
	"testing"
	"unicode/utf16"
	"unicode/utf8"
)

func TestPositionsCountWhatWasAgreedOn(t *testing.T) {
	for _, c := range []struct {
		name, text  string
		offset      int
		utf16, utf8 Position
		andBack     bool
	}{
		{"the beginning", "side", 0, Position{0, 0}, Position{0, 0}, true},
		{"letters of ASCII", "a\nside", 4, Position{1, 2}, Position{1, 2}, true},
		{"an umlaut is one unit and two bytes", "Größe", 6, Position{0, 4}, Position{0, 6}, true},
		{"a lighthouse is two units and four bytes", "🗼x", 5, Position{0, 3}, Position{0, 5}, true},
		{"a letter with its mark apart", "e\u0301x", 3, Position{0, 2}, Position{0, 3}, true},
		{"lines end with a carriage return and a line feed", "a\r\nb", 3, Position{1, 0}, Position{1, 0}, true},
		{"and with a carriage return alone", "a\rb\nc", 4, Position{2, 0}, Position{2, 0}, true},
		{"an empty line", "a\n\nb", 2, Position{1, 0}, Position{1, 0}, true},
		{"behind the last line end", "a\n", 2, Position{1, 0}, Position{1, 0}, true},
		{"within a line end is the end of its line", "a\r\nb", 2, Position{0, 1}, Position{0, 1}, false},
		{"within a character is its beginning", "🗼x", 2, Position{0, 0}, Position{0, 0}, false},
		{"beyond the text is its end", "ab", 99, Position{0, 2}, Position{0, 2}, false},
		{"a byte order mark is none of the page's bytes", byteOrderMark + "ab", 1, Position{0, 2}, Position{0, 4}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			for unit, want := range map[encoding]Position{utf16Units: c.utf16, utf8Bytes: c.utf8} {
				text := newText(c.text, unit)
				if got := text.position(c.offset); got != want {
					t.Errorf("%s: offset %d is %v, want %v", unit.name(), c.offset, got, want)
				}
				if got := text.offset(want); c.andBack && got != c.offset {
					t.Errorf("%s: %v is offset %d, want %d", unit.name(), want, got, c.offset)
				}
			}
		})
	}
}

func TestPositionsOutsideOfTheTextAreDrawnIn(t *testing.T) {
	text := newText("ab\n🗼\nc", utf16Units)
	for p, want := range map[Position]int{
		{0, 99}: 2, {1, 99}: 7, {9, 0}: 9, {0, 4294967295}: 2, {4294967295, 4294967295}: 9,
		{1, 1}: 3, // between the two units of a pair
	} {
		if got := text.offset(p); got != want {
			t.Errorf("%v is offset %d, want %d", p, got, want)
		}
	}
}

func TestChangesAreMadeOneAfterTheOther(t *testing.T) {
	text := "wall: 10 mm # 🗼\nside: 3\n"
	for _, c := range []contentChange{
		{&Range{Position{0, 14}, Position{0, 16}}, "Turm"},
		{&Range{Position{1, 7}, Position{1, 7}}, " mm"},
		{&Range{Position{1, 0}, Position{0, 18}}, "\n"}, // its ends are the wrong way round
	} {
		text = newText(text, utf16Units).apply(c)
	}
	if want := "wall: 10 mm # Turm\nside: 3 mm\n"; text != want {
		t.Errorf("got %q, want %q", text, want)
	}
	if got := newText(text, utf16Units).apply(contentChange{nil, "whole"}); got != "whole" {
		t.Errorf("a change without a range gives %q", got)
	}
}

// FuzzPositions holds positions against Go's own encoding into UTF-16, and goes there and back.
func FuzzPositions(f *testing.F) {
	f.Add("Größe 🗼\r\nx\ry\n", 7, uint32(1), uint32(1))
	f.Add(byteOrderMark+"a\n", 0, uint32(0), uint32(9))
	f.Fuzz(func(t *testing.T, raw string, offset int, line, character uint32) {
		for _, unit := range []encoding{utf16Units, utf8Bytes} {
			text := newText(raw, unit)
			p := text.position(offset)
			at := text.offset(p)
			if again := text.position(at); again != p && utf8.ValidString(raw) {
				t.Fatalf("%v is offset %d, which is %v", p, at, again)
			}
			if got := text.raws(Position{line, character}); got < 0 || got > len(raw) {
				t.Fatalf("%v is offset %d of %d", Position{line, character}, got, len(raw))
			}
			if unit == utf16Units && utf8.ValidString(raw) && offset >= 0 && offset+text.mark <= len(raw) && utf8.ValidString(raw[:offset+text.mark]) {
				start := text.starts[p.Line]
				end := min(offset+text.mark, text.lineEnd(int(p.Line)))
				if want := len(utf16.Encode([]rune(raw[start:end]))); int(p.Character) != want {
					t.Fatalf("%q: offset %d is character %d, not %d", raw, offset, p.Character, want)
				}
			}
		}
	})
}
