package syntax

import (
	"strings"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// parsed parses the text of a block and refuses faults.
func parsed(t *testing.T, text string) *Block {
	t.Helper()
	f := source.NewFile("x.md", text)
	b, faults := ParseBlock(f, linesOf(f))
	for _, fault := range faults {
		t.Fatalf("%q: %s: %s", text, fault.Name, fault.Message)
	}
	return b
}

func TestEverySpellingPrintsAsTheFirstAndHasItsTree(t *testing.T) {
	for _, s := range spellings {
		for _, text := range append([]string{s.printed}, s.others...) {
			b := parsed(t, "k: "+text)
			if len(b.Entries) != 1 {
				t.Errorf("%s: %d entries", text, len(b.Entries))
				continue
			}
			value := b.Entries[0].Value
			if got := String(value); got != s.printed {
				t.Errorf("%s prints as %s, want %s", text, got, s.printed)
			}
			if got := dump(value); got != s.tree {
				t.Errorf("%s has the tree %s, want %s", text, got, s.tree)
			}
		}
	}
}

func TestAnExpressionAloneIsReadAsInABlock(t *testing.T) {
	for _, s := range spellings {
		for _, text := range append([]string{s.printed}, s.others...) {
			text = strings.Replace(text, "# the upper one", "", 1) // nothing ends a remark inside a code span
			f := source.NewFile("x.md", "The part is `-> "+text+"` long.")
			e, faults := ParseExpr(f.Span(16, 16+len(text)))
			if len(faults) > 0 {
				t.Errorf("%q: %s", text, faults[0].Message)
			} else if got := dump(e); got != s.tree {
				t.Errorf("%q has the tree %s, want %s", text, got, s.tree)
			}
		}
	}
}

func TestEveryNodePointsAtItsText(t *testing.T) {
	const text = "k:  f(a.b , (1 mm,2 mm)) + -(c*2 in) "
	want := []string{"f(a.b , (1 mm,2 mm)) + -(c*2 in)", "f(a.b , (1 mm,2 mm))", "a.b", "a", "(1 mm,2 mm)", "1 mm", "2 mm", "-(c*2 in)", "c*2 in", "c", "2 in"}
	var got []string
	Walk(parsed(t, text).Entries[0].Value, func(e Expr) { got = append(got, e.Span().Text()) })
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("nodes point at\n%s\nwant\n%s", strings.Join(got, "|"), strings.Join(want, "|"))
	}
}

func TestAnEntryPointsFromItsKeyToTheEndOfItsValue(t *testing.T) {
	b := parsed(t, "a: 1 # one\r\n\r\n\tbevel  left : 35 deg\t# tilt\r\n")
	want := []string{"a: 1", "bevel  left : 35 deg"}
	for i, e := range b.Entries {
		if e.At.Text() != want[i] {
			t.Errorf("entry %d points at %q, want %q", i, e.At.Text(), want[i])
		}
	}
	if name := b.Entries[1].Name(); name != "bevel left" {
		t.Errorf("the key is %q", name)
	}
	if at := b.Entries[1].Value.Span().Place(); at.Line != 3 || at.Column != 16 {
		t.Errorf("the value stands at %d:%d, want 3:16", at.Line, at.Column)
	}
}

// brokenBlocks are blocks with faults: the names of the faults, and the keys that are read all the
// same and those that are lost, in the order of the text.
var brokenBlocks = []struct {
	text               string
	faults, kept, lost string
}{
	{"a: 1\nb 2\nc: 3", "key-missing", "a c", ""},
	{"a: 10 mmm\nb: 2", "unknown-unit", "b", "a"},
	{"a: 1 mm ;\nb: 2", "stray-character", "b", "a"},
	{"a: \"x\nb: 2", "text-not-closed", "b", "a"},
	{"a:\nb: 2", "value-missing", "b", "a"},
	{"a: # only a remark\nb: 2", "value-missing", "b", "a"},
	{"a: 1 mm,\nb: 2\nc: 3", "value-missing", "b c", "a"},
	{"a: (1 mm + 2 mm\nb: 2\nc: (3)", "bracket-not-closed", "b c", "a"},
	{"a: [1, 2\n\nb: 2\nc: [3]", "bracket-not-closed", "b c", "a"},
	{"a: [1,\n  2,\nb: f(\n  1)\nc: [3]", "bracket-not-closed", "b c", "a"},
	{"a: f(long: 1 mm,\n   short: 2 mm,\nb: 2\nc: 3", "bracket-not-closed", "b c", "a"},
	{"a: f(long: 1 mm\n   short: 2 mm)\nb: 2", "not-understood", "b", "a"},
	{"a: (1 mm]\nb: 2", "bracket-not-closed", "b", "a"},
	{"a: 1)\nb: 2", "bracket-not-closed", "b", "a"},
	{"b: 2\na: (1", "bracket-not-closed", "b", "a"},
	{"a: ((((1\nb: ((2\nc: 3", "bracket-not-closed bracket-not-closed", "c", "a b"},
	{"a: 12,5 mm\nb: 2", "not-understood", "b", "a"},
	{"a: 1.5 x b\nb: 2", "not-understood", "b", "a"},
	{"a: 1 : 2\nb: 2", "not-understood", "b", "a"},
	{"a = 1\nb: 2", "key-missing", "b", ""},
	{"a: 1e999 mm\nb: 2", "number-too-large", "b", "a"},
	{"a: 1/0 in\nb: 3", "not-understood", "b", "a"},
	{"a: mm\nb: 2", "not-understood", "b", "a"},
	{"a: (1 mm, 2 mm, 3 mm, 4 mm)\nb: 2", "not-understood", "b", "a"},
	{"a: f(1,, 2)\nb: 2", "not-understood", "b", "a"},
	{"a: 3 +\nb: 2", "value-missing", "b", "a"},
	{"a: +not(yes)\nb: 2", "not-understood", "b", "a"},
	{"a: “x”\nb: 2", "stray-character", "b", "a"},
	{"a: 5 mm/min 30 s\nb: 2", "not-understood", "b", "a"},
	{"10 mm", "key-missing", "", ""},
	{"\x00", "stray-character", "", ""},
}

func names(entries []*Entry) string {
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return strings.Join(list, " ")
}

func faultNames(faults []finding.Finding) string {
	var list []string
	for _, f := range faults {
		list = append(list, f.Name)
	}
	return strings.Join(list, " ")
}

func TestABrokenEntryHidesNoOther(t *testing.T) {
	for _, c := range brokenBlocks {
		for _, text := range []string{c.text, strings.ReplaceAll(c.text, "\n", "\r\n")} {
			f := source.NewFile("x.md", text)
			b, faults := ParseBlock(f, linesOf(f))
			if got := faultNames(faults); got != c.faults {
				t.Errorf("%q has the faults %q, want %q", text, got, c.faults)
			}
			if got := names(b.Entries); got != c.kept {
				t.Errorf("%q: kept %q, want %q", text, got, c.kept)
			}
			if got := names(b.Lost); got != c.lost {
				t.Errorf("%q: lost %q, want %q", text, got, c.lost)
			}
			if !b.Broken {
				t.Errorf("%q is not said to be broken", text)
			}
		}
	}
}

func TestLinesOfAQuoteAreReadWithoutItsMarks(t *testing.T) {
	const text = "> ```dims\n> a: (1 mm\n> b: if(1\n>   > 2, 1, 2)\n> c: 3\n> ```\n"
	f := source.NewFile("x.md", text)
	var lines []source.Span
	for _, l := range linesOf(f)[1:5] {
		lines = append(lines, f.Span(l.Start+2, l.End))
	}
	b, faults := ParseBlock(f, lines)
	if faultNames(faults) != "bracket-not-closed" || names(b.Entries) != "b c" {
		t.Fatalf("faults %v, kept %v", faultNames(faults), names(b.Entries))
	}
	if at := b.Entries[1].At.Place(); at.Line != 5 || at.Column != 3 {
		t.Errorf("c stands at %d:%d, want 5:3", at.Line, at.Column)
	}
	if got, want := b.Format(), "a: (1 mm\nb: if(1\n  > 2, 1, 2)\nc: 3\n"; got != want {
		t.Errorf("formatted:\n%s\nwant:\n%s", got, want)
	}
}

func TestNestingIsCountedAndRefused(t *testing.T) {
	deep := func(open, middle, close string) string {
		return "k: " + strings.Repeat(open, 100_000) + middle + strings.Repeat(close, 100_000)
	}
	for name, text := range map[string]string{
		"brackets": deep("(", "1", ")"), "lists": deep("[", "1", "]"), "calls": deep("f(", "1", ")"),
		"signs": deep("-", "1", ""), "nots": deep("not ", "yes", ""), "powers": deep("2^", "2", ""),
		"sums": deep("1+", "1", ""), "fields": deep("", "a", ".b"), "repeats": deep("2 x (", "1", ")"),
		"mixed": deep("-(1+[", "1", "])"),
	} {
		f := source.NewFile("x.md", text)
		_, faults := ParseBlock(f, linesOf(f))
		if len(faults) == 0 || faults[0].Name != string(TooDeep) && faults[0].Name != string(TooLong) {
			t.Errorf("%s: %v", name, faultNames(faults))
		}
	}
	for name, text := range map[string]string{"brackets": "(1)", "sums": "1 + 1"} {
		nested := text
		for range 90 {
			nested = strings.Replace(text, "1", nested, 1)
		}
		if _, faults := ParseExpr(source.NewFile("x.md", nested).Span(0, len(nested))); len(faults) > 0 {
			t.Errorf("90 %s: %s", name, faults[0].Message)
		}
	}
}

func TestABlockOfAMillionTokensIsRefused(t *testing.T) {
	for name, line := range map[string]string{"lines": "a: 1 mm\n", "one list": "1,", "remarks": "#\n"} {
		text := strings.Repeat(line, 250_000)
		if name == "one list" {
			text = "k: [" + strings.Repeat(line, 500_000)
		}
		f := source.NewFile("x.md", text)
		b, faults := ParseBlock(f, linesOf(f))
		if faultNames(faults) != string(TooLong) || len(b.Entries) > 0 {
			t.Errorf("%s: %v, %d entries", name, faultNames(faults), len(b.Entries))
		}
	}
	text := strings.Repeat("a+", 500_000) + "a"
	if _, faults := ParseExpr(source.NewFile("x.md", text).Span(0, len(text))); faultNames(faults) != string(TooLong) {
		t.Errorf("an expression of a million tokens: %v", faultNames(faults))
	}
}

// Each unclosed bracket reads the rest of the block again.
func TestABlockOfNothingButFaultsEndsSoon(t *testing.T) {
	for _, line := range []string{"a: (\n", "a\n"} {
		f := source.NewFile("x.md", strings.Repeat(line, 60_000))
		b, faults := ParseBlock(f, linesOf(f))
		if len(faults) > maxFaults+1 || faults[len(faults)-1].Name != string(TooLong) || !b.Broken {
			t.Errorf("%q: %d faults, the last %s", line, len(faults), faults[len(faults)-1].Name)
		}
	}
}

func TestWordsOfTheLanguageAndUnitsAreReserved(t *testing.T) {
	for word, reserved := range map[string]bool{"mm": true, "in": true, "min": true, "x": true, "as": true, "yes": true, "%": true, "wall": false, "foot": false, "X": false} {
		if (Reserved(word) != "") != reserved {
			t.Errorf("Reserved(%s) is %q", word, Reserved(word))
		}
	}
	for text, name := range map[string]bool{"wall": true, "wall_2": true, "_a": true, "größe": true, "2wall": false, "": false, "a-b": false, "a b": false, "٣a": false, "\xff": false, "\u0301a": false} {
		if IsName(text) != name {
			t.Errorf("IsName(%q) is %v", text, !name)
		}
	}
}
