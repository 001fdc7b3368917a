package eval_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/eval"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/journal"
)

// placed is a journal in which words of expressions stand for all there is.
func placed(t *testing.T) *journal.Snapshot {
	t.Helper()
	page := func(section, body string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("---\nsection: " + section + "\n---\n" + strings.ReplaceAll(body, "~~~", "```"))}
	}
	s, err := journal.Load(fstest.MapFS{
		"journal.md": {Data: []byte("---\ntitle: T\n---\n")},
		"shop.md":    {Data: []byte("```material foam10\nthickness: 10 mm\n```\n")},
		"a.md": page("helm", "~~~dims size\nlong: 100 mm\nhalf: long / 2\n~~~\n~~~panel cheek\noutline: rect(width: size.long, height: 2 * helm.size.half)\n"+
			"material: foam10\nhand: left\n~~~\n`-> cheek.edge.left.length + nothing.at + hypot(foam10.thickness, arm.reach)`\n"),
		"b.md": page("arm", "~~~dims\nreach: 5 * helm.cheek.width\n~~~\n"),
	}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestMentionsTellWhatEachWordStandsFor(t *testing.T) {
	s := placed(t)
	var got []string
	for _, n := range s.Program.Nodes() {
		for _, m := range s.Program.Mentions(n) {
			stands := "section " + m.Section
			if m.Node != nil {
				stands = strings.TrimSpace(m.Node.ID + " " + m.Result)
			}
			got = append(got, fmt.Sprintf("%s: %s = %s", m.At.Place().File, m.At.Text(), stands))
		}
	}
	slices.Sort(got)
	want := strings.Split(strings.TrimSpace(`
a.md: arm = section arm
a.md: cheek = helm.cheek
a.md: edge = helm.cheek edge
a.md: foam10 = foam10
a.md: foam10 = foam10
a.md: half = helm.size.half
a.md: helm = section helm
a.md: left = helm.cheek edge.left
a.md: length = helm.cheek edge.left.length
a.md: long = helm.size.long
a.md: long = helm.size.long
a.md: reach = arm.reach
a.md: size = helm.size
a.md: size = helm.size
a.md: thickness = foam10 thickness
b.md: cheek = helm.cheek
b.md: helm = section helm
b.md: width = helm.cheek width`), "\n")
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestAskAsSeesTheNamesOfTheAskersBlock(t *testing.T) {
	s := placed(t)
	text := source.NewFile("asked", "3 * long")
	e, faults := syntax.ParseExpr(text.Span(0, len(text.Text)))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	size := s.Program.Lookup("helm", "size")
	got := s.Program.AskAs(size.Block.Members[1], e).Cell.Value.Show(s.Settings.Style)
	if got != "300 mm" {
		t.Errorf("3 * long is %s, not 300 mm", got)
	}
}

func TestChainOfTellsOneResult(t *testing.T) {
	s := placed(t)
	got := eval.ChainOf(s.Program.Lookup("helm", "cheek"), "edge.left.length", s.Settings.Style)
	if len(got) == 0 || !strings.HasPrefix(got[0], "helm.cheek.edge.left.length") || !strings.Contains(got[0], "= 100 mm") {
		t.Errorf("got %q", got)
	}
	if got := eval.ChainOf(s.Program.Lookup("helm", "size").Block.Members[1], "", unit.Style{}); !strings.Contains(got[0], "helm.size.half = long / 2") {
		t.Errorf("got %q", got)
	}
}

func TestSpaceHoldsWhatASectionDeclares(t *testing.T) {
	s := placed(t)
	var got []string
	for section := range s.Program.Sections() {
		for name := range s.Program.Space(section) {
			got = append(got, section+"."+name)
		}
	}
	slices.Sort(got)
	if want := "arm.reach helm.cheek helm.size"; strings.Join(got, " ") != want {
		t.Errorf("got %v, want %s", got, want)
	}
}
