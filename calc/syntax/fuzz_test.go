package syntax

import (
	"strings"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

func seed(f *testing.F) {
	var all strings.Builder
	for _, s := range spellings {
		f.Add("k: " + s.printed)
		for _, o := range s.others {
			f.Add("k: " + o)
			all.WriteString("k: " + o + "\n")
		}
	}
	for _, c := range brokenBlocks {
		f.Add(c.text)
	}
	for _, c := range formatted {
		f.Add(c.text)
	}
	f.Add(all.String())
}

func FuzzScan(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text string) {
		file := source.NewFile("x.md", text)
		at := 0
		tokens := Scan(linesOf(file))
		for i, tok := range tokens {
			if tok.Start < at || tok.End < tok.Start || tok.End > len(text) {
				t.Fatalf("%q: token %d goes from %d to %d, behind one that ends at %d", text, i, tok.Start, tok.End, at)
			}
			if strings.TrimSpace(text[at:tok.Start]) != "" {
				t.Fatalf("%q: %q is passed over", text, text[at:tok.Start])
			}
			if at = tok.End; tok.Kind == End && i != len(tokens)-1 {
				t.Fatalf("%q: End in the middle", text)
			}
		}
		if tokens[len(tokens)-1].Kind != End {
			t.Fatalf("%q: no End", text)
		}
	})
}

func FuzzParse(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text string) {
		file := source.NewFile("x.md", text)
		b, faults := ParseBlock(file, linesOf(file))
		for _, fault := range faults {
			inside(t, file, fault.At)
			if fault.Name == "" || fault.Message == "" || fault.Severity != finding.Stop {
				t.Fatalf("%q: an empty fault %+v", text, fault)
			}
		}
		if b.Broken != (len(faults) > 0) {
			t.Fatalf("%q: broken is %v with %d faults", text, b.Broken, len(faults))
		}
		for _, e := range b.Entries {
			inside(t, file, e.At)
			Walk(e.Value, func(x Expr) { inside(t, file, x.Span()) })
			again(t, e.Value)
		}
		holds(t, text)
	})
}

func inside(t *testing.T, f *source.File, at source.Span) {
	t.Helper()
	if at.File != f || at.Start < 0 || at.End < at.Start || at.End > len(f.Text) {
		t.Fatalf("%q: the span %d to %d", f.Text, at.Start, at.End)
	}
}

// again prints an expression, parses and prints it again.
func again(t *testing.T, e Expr) {
	t.Helper()
	once := String(e)
	x, faults := ParseExpr(source.NewFile("x.md", once).Span(0, len(once)))
	if len(faults) > 0 {
		if faults[0].Name == string(TooDeep) {
			return // printed brackets may go one level deeper than written signs
		}
		t.Fatalf("%s, printed, has the fault %s", once, faults[0].Message)
	}
	if dump(x) != dump(e) {
		t.Fatalf("%s, parsed again, has the tree %s, want %s", once, dump(x), dump(e))
	}
	if twice := String(x); twice != once {
		t.Fatalf("%s prints again as %s", once, twice)
	}
}
