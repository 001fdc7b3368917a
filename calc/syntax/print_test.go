package syntax

import (
	"strings"
	"testing"

	"bevelbook/calc/source"
)

// formatted are blocks and what becomes of them.
var formatted = []struct{ name, text, want string }{
	{"values stand below each other",
		"length:240mm\nbevel  left :35 deg\n",
		"length:     240 mm\nbevel left: 35 deg\n"},
	{"remarks and empty lines stay",
		"# first\n\nlength: 240 mm     # elbow crease to wrist\n\n  # wall\nwall:   10mm#foam\n\n# last",
		"# first\n\nlength: 240 mm  # elbow crease to wrist\n\n# wall\nwall:   10 mm  #foam\n\n# last\n"},
	{"an entry of several lines keeps its lines and remarks",
		"side:  trapezoid(long: 155 mm,   # below\n           short: 145 mm,\n\n # the height is a guess\n           height: 90mm)  # measured\ncount: 2\n",
		"side:  trapezoid(long: 155 mm,   # below\n  short: 145 mm,\n\n  # the height is a guess\n  height: 90mm)  # measured\ncount: 2\n"},
	{"a comma carries a list on",
		"layers: 2 mm,\n  # the core\n foam10,\n\n\n foam4\nworn: yes",
		"layers: 2 mm,\n  # the core\n  foam10,\n\n\n  foam4\nworn:   yes\n"},
	{"a comma at the end of all is left out",
		"layers: 2 mm, foam10,",
		"layers: 2 mm, foam10\n"},
	{"lines that cannot be read stay as they are",
		"a: 10 mm\nthis is no entry # but stays\nb: 3 dgg\nlonger: 5 mm\n",
		"a:      10 mm\nthis is no entry # but stays\nb: 3 dgg\nlonger: 5 mm\n"},
	{"a very long key does not push all values away",
		"a: 1\nan_uncommonly_long_name_of_a_value: 2\n",
		"a: 1\nan_uncommonly_long_name_of_a_value: 2\n"},
	{"a greater-than sign at the start of a line stays",
		"a: if(b\n    > c, 1, 2)",
		"a: if(b\n  > c, 1, 2)\n"},
	{"nothing but remarks", "# a\n#b", "# a\n#b\n"},
	{"empty", "", ""},
	{"carriage returns go", "a: 1\r\n\r\nb: [2,\r\n3]\r\n", "a: 1\n\nb: [2,\n  3]\n"},
}

func TestFormatAlignsValuesAndLosesNothing(t *testing.T) {
	for _, c := range formatted {
		f := source.NewFile("x.md", c.text)
		b, _ := ParseBlock(f, linesOf(f))
		if got := b.Format(); got != c.want {
			t.Errorf("%s:\n%s\nwant:\n%s", c.name, got, c.want)
		}
	}
}

// holds checks what formatting promises for any block: the same keys with the same values, every
// remark, and nothing to change the second time.
func holds(t *testing.T, text string) {
	t.Helper()
	f := source.NewFile("x.md", text)
	b, faults := ParseBlock(f, linesOf(f))
	once := b.Format()
	g := source.NewFile("x.md", once)
	c, again := ParseBlock(g, linesOf(g))
	if len(faults) > 0 {
		return // lines that cannot be read are kept, and may be read another way
	}
	if len(again) > 0 {
		t.Fatalf("%q is formatted as %q, which has the fault %s", text, once, again[0].Message)
	}
	if got, want := content(c), content(b); got != want {
		t.Fatalf("%q is formatted as %q:\n%s\nwant\n%s", text, once, got, want)
	}
	if got, want := remarks(g), remarks(f); got != want {
		t.Fatalf("%q is formatted as %q: remarks %q, want %q", text, once, got, want)
	}
	if twice := c.Format(); twice != once {
		t.Fatalf("%q is formatted as %q, and again as %q", text, once, twice)
	}
}

func content(b *Block) string {
	var out strings.Builder
	for _, e := range b.Entries {
		out.WriteString(e.Name() + ": " + dump(e.Value) + "\n")
	}
	return out.String()
}

func remarks(f *source.File) string {
	var list []string
	for _, t := range Scan(linesOf(f)) {
		if t.Kind == Comment {
			list = append(list, strings.TrimSpace(t.Text))
		}
	}
	return strings.Join(list, "\n")
}

func TestAFormattedBlockHasTheSameValuesAndStaysAsItIs(t *testing.T) {
	var all strings.Builder
	for _, c := range formatted {
		holds(t, c.text)
	}
	for _, s := range spellings {
		for _, text := range append([]string{s.printed}, s.others...) {
			all.WriteString("k: " + text + " # why\n\n")
			holds(t, "k: "+text+" # why")
		}
	}
	all.WriteString("last: 1")
	holds(t, strings.ReplaceAll(all.String(), "k: a, # why", "k: [a] # why"))
}

func TestFormulasCanBePrintedWithNumbersInThem(t *testing.T) {
	b := parsed(t, "k: length + 2 * min(wall, foam.thickness)")
	got := StringWith(b.Entries[0].Value, func(e Expr) (string, bool) {
		switch e := e.(type) {
		case *Name:
			return map[string]string{"length": "240 mm", "wall": "10 mm"}[e.Text], e.Text != "foam"
		case *Field:
			return "6 mm", true
		}
		return "", false
	})
	if want := "240 mm + 2 * min(10 mm, 6 mm)"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
