package eval

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

func TestNamesAreFoundFromTheInsideOut(t *testing.T) {
	p := build(t, `== - -
wall: 10 mm
ease: 20 mm
== forearm
wall: 6 mm
reach: 240 mm
size: reach + 2 * wall + ease
== forearm cuff
wall: 2 mm
deep: 2 * wall
out: deep + forearm.wall
== shoulder
size: forearm.size + wall
cuff: forearm.cuff.out
own: size
near: cuff + 1 mm
`)
	for name, want := range map[string]string{
		"forearm size": "272 mm", "forearm cuff.deep": "4 mm", "forearm cuff.out": "10 mm",
		"shoulder size": "282 mm", "shoulder cuff": "10 mm", "shoulder own": "282 mm", "shoulder near": "11 mm",
	} {
		section, expr, _ := strings.Cut(name, " ")
		file := source.NewFile("ask", expr)
		e, _ := syntax.ParseExpr(file.Span(0, len(expr)))
		if got := p.Ask(section, e).Cell.Value.Show(unit.Style{}); got != want {
			t.Errorf("%s is %s, want %s", name, got, want)
		}
	}
	if lines := found(p); len(lines) > 0 {
		t.Errorf("found %v", lines)
	}
}

// links are small builds and everything that is found in them.
var links = []struct {
	name, text string
	want       []string
}{
	{"a mistyped name", "== -\nwall: 10 mm\nx_: wal + 1 mm", []string{"3:5 unknown-name: nothing here is called wal"}},
	{"a section is no value", "== arm\na: 1\n== leg\nb: arm", []string{"4:4 wrong-value: arm is a section, not a value"}},
	{"no such name in a section", "== arm\na: 1\n== leg\nb: arm.c", []string{"4:8 unknown-result: the section arm has no result c"}},
	{"set twice in one block", "a: 1 mm\na: 2 mm\nb: a", []string{"2:1 set-twice: a is set twice"}},
	{"set twice in two blocks", "== arm\na: 1 mm\n== arm\na: 2 mm", []string{"4:1 set-twice: a is set twice"}},
	{"the same name in two sections", "== arm\na: 1 mm\n== leg\na: 2 mm\n== arm cuff\na: 3 mm", nil},
	{"needs itself", "a: a + 1 mm", []string{"1:1 loop: a needs itself"}},
	{"two need each other", "a: b + 1 mm\nb: a", []string{"1:1 loop: a needs itself: a → b → a"}},
	{"three", "== arm\na: c\nb: a\nc: b\nd: c + 1", []string{"2:1 loop: arm.a needs itself: arm.a → arm.c → arm.b → arm.a", "5:4 waiting: this waits for arm.a, which cannot be worked out yet"}},
	{"two loops", "a: b\nb: a\nc: d\nd: c", []string{"1:1 loop: a needs itself: a → b → a", "3:1 loop: c needs itself: c → d → c"}},
	{"two loops that share a value", "a: b + c\nb: a\nc: a", []string{"1:1 loop: a needs itself: a → b → a", "1:1 loop: a needs itself: a → c → a"}},
	{"a loop through a named block", "== - cuff\na: b\nb: cuff.a", []string{"2:1 loop: cuff.a needs itself: cuff.a → cuff.b → cuff.a"}},
	{"a chain that waits names its root", "a: 10 mm + 5 deg\nb: a\nc: b + b\nd: c + a", []string{
		"1:4 units-differ: length and angle cannot be added",
		"2:4 waiting: this waits for a, which cannot be worked out yet",
		"3:4 waiting: this waits for a, which cannot be worked out yet",
		"4:4 waiting: this waits for a, which cannot be worked out yet"}},
	{"a line that cannot be read is waited for", "wall: 10 mmm\nb: 2 * wall", []string{"2:8 waiting: this waits for wall, which cannot be worked out yet"}},
	{"a value of a block that cannot be worked out", "== - cuff\na: 1 / 0\nb: 1 mm\n== -\nc: cuff.b\nd: cuff.a\ne: if(yes, cuff, 1).a", []string{
		"2:4 no-result: nothing can be divided by zero",
		"6:4 waiting: this waits for cuff.a, which cannot be worked out yet",
		"7:4 waiting: this waits for cuff.a, which cannot be worked out yet"}},
}

func TestWhatIsFoundWhileLinking(t *testing.T) {
	for _, c := range links {
		if got := found(build(t, c.text)); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}

func TestASecondDefinitionShowsBothPlacesAndTheFirstCounts(t *testing.T) {
	p := build(t, "a: 1 mm\na: 2 mm\nb: a")
	if got := value(p, "", "b"); got != "1 mm" {
		t.Errorf("b is %s, want the first, 1 mm", got)
	}
	for _, n := range p.Nodes() {
		for _, f := range n.Findings {
			if f.At.Place().Line != 2 || len(f.Notes) != 1 || f.Notes[0].At.Place().Line != 1 {
				t.Errorf("%s points at line %d, its notes are %v", f.Message, f.At.Place().Line, f.Notes)
			}
		}
	}
}

func TestALoopTellsEachStepWithItsPlace(t *testing.T) {
	p := build(t, "a: b\nb: c\nc: d\nd: a\n")
	var loops []finding.Finding
	for _, n := range p.Nodes() {
		loops = append(loops, n.Findings...)
	}
	if len(loops) != 1 || len(loops[0].Notes) != 3 {
		t.Fatalf("%d findings", len(loops))
	}
	for i, note := range loops[0].Notes {
		if note.At.Place().Line != i+2 {
			t.Errorf("step %d is %s at line %d", i, note.Message, note.At.Place().Line)
		}
	}
}

// A graph in which every value needs every other has more loops than memory.
func TestATangleOfLoopsIsReportedInBounds(t *testing.T) {
	var text strings.Builder
	const many = 300
	for i := range many {
		fmt.Fprintf(&text, "v%d: [", i)
		for j := range many {
			fmt.Fprintf(&text, "v%d, ", j)
		}
		text.WriteString("]\n")
	}
	p := build(t, text.String())
	loops, notes := 0, 0
	for _, n := range p.Nodes() {
		if _, unknown := n.Cell.Value.(Unknown); !unknown && n.Expr != nil {
			t.Fatalf("%s is %s", n.ID, n.Cell.Value.Type())
		}
		for _, f := range n.Findings {
			if f.Name == string(Loop) {
				loops, notes = loops+1, notes+len(f.Notes)
			}
		}
	}
	if loops == 0 || loops > maxLoops || notes > 60*loops {
		t.Errorf("%d loops with %d notes", loops, notes)
	}
}

func TestAChainOfAHundredThousandNamesIsWorkedOut(t *testing.T) {
	const many = 100_000
	var blocks []*Block
	for i := 0; i < many; i += 10_000 {
		var text strings.Builder
		for j := i; j < i+10_000; j++ {
			fmt.Fprintf(&text, "v%d: v%d + 1 mm\n", j, j+1)
		}
		blocks = append(blocks, oneBlock(text.String()))
	}
	blocks = append(blocks, oneBlock(fmt.Sprintf("v%d: 0 mm", many)))
	p := Link(blocks, nil)
	p.Run()
	if got := value(p, "", "v0"); got != "100000 mm" {
		t.Errorf("v0 is %s", got)
	}
	// The same chain with a broken end: everyone names it.
	blocks[len(blocks)-1] = oneBlock(fmt.Sprintf("v%d: 1 / 0", many))
	p = Link(blocks, nil)
	p.Run()
	if f := p.Lookup("", "v0").Findings; len(f) != 1 || !strings.Contains(f[0].Message, "waits for v100000,") {
		t.Errorf("v0 has %v", f)
	}
	// And as one loop.
	blocks[len(blocks)-1] = oneBlock(fmt.Sprintf("v%d: v0", many))
	p = Link(blocks, nil)
	p.Run()
	if f := p.Lookup("", "v0").Findings; len(f) != 1 || len(f[0].Message) > 300 {
		t.Errorf("the loop is told as %.500v", f)
	}
}

func oneBlock(text string) *Block {
	f := source.NewFile("x.md", text)
	var lines []source.Span
	at := 0
	for _, l := range strings.SplitAfter(text, "\n") {
		lines = append(lines, f.Span(at, at+len(strings.TrimRight(l, "\n"))))
		at += len(l)
	}
	b := &Block{Values: true, Kind: "dims", At: f.Span(0, 0)}
	b.Syntax, _ = syntax.ParseBlock(f, lines)
	return b
}

func TestListsAndRepeatsCannotOutgrowMemory(t *testing.T) {
	double := "l0: [1 mm, 1 mm]\n"
	for i := range 60 {
		double += fmt.Sprintf("l%d: [l%d, l%d]\n", i+1, i, i)
	}
	empty := "l0: []\n"
	for i := range 60 {
		empty += fmt.Sprintf("l%d: [9000 x l%d]\n", i+1, i)
	}
	wide := "l0: [5000 x 1 mm]\nl1: [" + strings.Repeat("l0, ", 5000) + "]\n"
	for name, text := range map[string]string{"doubling": double, "empty": empty, "wide": wide, "repeats": "l1: 10000 x [10000 x [10000 x 1 mm]]"} {
		p := build(t, text)
		lines := found(p)
		if len(lines) == 0 || !strings.Contains(strings.Join(lines, "\n"), "too-much") {
			t.Errorf("%s: %.300v", name, lines)
		}
		for _, n := range p.Nodes() {
			if l, ok := n.Cell.Value.(List); ok && l.size() > MaxItems+1 {
				t.Errorf("%s: %s has %d items", name, n.ID, l.size())
			}
			_ = n.Cell.Value.Show(unit.Style{})
		}
	}
}

func TestAPathOfAMillionPointsIsRefused(t *testing.T) {
	points := strings.Repeat("(1 mm, 2 mm), ", 1_000_000/7)
	b := oneBlock("outline: path(" + points + ")")
	if !b.Syntax.Broken {
		t.Error("a path of a million words and signs is read")
	}
	// As many points as a block can hold are refused or worked out, and soon.
	var text strings.Builder
	text.WriteString("outline: polygon((0, 0)")
	for i := range 24_000 {
		fmt.Fprintf(&text, ", (%d, %d mm)", 0, i%2)
	}
	p := Link([]*Block{oneBlock(text.String() + ")")}, nil)
	p.Run()
	if lines := found(p); len(lines) != 1 || !strings.Contains(lines[0], "bad-shape") {
		t.Errorf("a polygon that crosses itself: %.300v", lines)
	}
}

func TestTheOrderOfFindingsDoesNotDependOnTheRun(t *testing.T) {
	var text strings.Builder
	for i := range 300 {
		fmt.Fprintf(&text, "== s%d\na: 1 mm + q%d\nb: a + wrng\nc: 2 * d\nd: 1 mm\ne: 1 mm / 0\nf: c + fail\n", i%7, i)
	}
	all := func() string {
		p := build(t, text.String())
		var b strings.Builder
		for _, n := range p.Nodes() {
			fmt.Fprintln(&b, n.ID, n.Cell.Value.Show(unit.Style{}))
			for _, f := range n.Findings {
				fmt.Fprintln(&b, " ", f.At.Place(), f.Name, f.Message, f.Help)
			}
		}
		return b.String()
	}
	first := all()
	for range 5 {
		if again := all(); again != first {
			t.Fatal("two runs differ")
		}
	}
}

func TestAskLeavesTheProgramAsItIs(t *testing.T) {
	p := build(t, "a: 1 mm\nb: a")
	before := len(p.Nodes())
	file := source.NewFile("ask", "a + b")
	e, _ := syntax.ParseExpr(file.Span(0, 5))
	if got := p.Ask("", e).Cell.Value.Show(unit.Style{}); got != "2 mm" {
		t.Errorf("a + b is %s", got)
	}
	if users := len(p.Lookup("", "a").Users); users != 2 || len(p.Nodes()) != before { // b and the block itself
		t.Errorf("a has %d users now, the program %d nodes", users, len(p.Nodes()))
	}
}

func TestANameKnownElsewhereIsTold(t *testing.T) {
	for text, want := range map[string]string{
		"== - wearer\nhead_girth: 570 mm\n== bell\nround: head_girth": "wearer.head_girth",
		"== wing\nspan: 900 mm\n== bell\nround: span":                 "wing.span",
		"== wing\nspan: 900 mm\n== bell\nspam: 3 mm\nround: span":     "wing.span", // before a name that is only near
	} {
		var help []string
		for _, n := range build(t, text).Nodes() {
			for _, f := range n.Findings {
				help = append(help, f.Help)
			}
		}
		if len(help) != 1 || help[0] != "Did you mean "+want+"?" {
			t.Errorf("%q: %q, want %s", text, help, want)
		}
	}
}

// Holding every unknown name against thousands of others would take time with the square of both.
func TestAmongThousandsOfNamesNoNearOneIsLookedFor(t *testing.T) {
	for _, c := range []struct {
		names int
		want  string
	}{{mostCompared / 4, "Did you mean width?"}, {mostCompared, "Set it in a `dims` block, or check the spelling"}} {
		var text strings.Builder
		text.WriteString("== - -\nwidth: 5 mm\nb: widht + 1 mm\n")
		for i := range c.names {
			fmt.Fprintf(&text, "n%d: 1 mm\n", i)
		}
		for _, n := range build(t, text.String()).Nodes() {
			for _, f := range n.Findings {
				if f.Help != c.want {
					t.Errorf("among %d names: %q, want %q", c.names, f.Help, c.want)
				}
			}
			if n.Key == "b" && len(n.Findings) != 1 {
				t.Errorf("among %d names: %d findings", c.names, len(n.Findings))
			}
		}
	}
}
