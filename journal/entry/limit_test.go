package entry

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"
)

// Pages that a reader of Markdown is slow at; each must be refused before it is read. A page just
// inside the limit is read.
var heavy = []struct {
	name   string
	fault  Fault
	page   string
	inside string
}{
	{"a page of more than a mebibyte", TooLong, strings.Repeat("foam and glue\n\n", 70_000+1), strings.Repeat("foam and glue\n\n", 60_000)},
	{"a line longer than 64 KiB", TooLong, strings.Repeat("a", maxLine+1), strings.Repeat("a", maxLine)},
	{"quotes in quotes", TooDeep, strings.Repeat(">", 101) + " a", strings.Repeat(">", 100) + " a"},
	{"quotes in quotes with spaces", TooDeep, strings.Repeat("> ", 101) + "a", strings.Repeat("> ", 60) + "a"},
	{"lists in lists on one line", TooDeep, strings.Repeat("- ", 101) + "a", strings.Repeat("- ", 60) + "a"},
	{"numbered lists on one line", TooDeep, strings.Repeat("1. ", 101) + "a", strings.Repeat("1. ", 60) + "a"},
	{"lists deeper with each line", TooDeep, staircase(200), staircase(60)},
	{"links that do not end", TooLong, strings.Repeat("[a](", 10_000), strings.Repeat("[a](b) ", 2_000)},
	{"a table with a wide head and short rows", TooLong, "a" + strings.Repeat("|a", 999) + "\n-" + strings.Repeat("|-", 999) + "\n" + strings.Repeat("|a\n", 1_000), strings.Repeat("|a", 30) + "|\n" + strings.Repeat("|-", 30) + "|\n" + strings.Repeat("|a\n", 1_000)},
	{"a table in a quote", TooLong, "> a" + strings.Repeat("|a", 999) + "\n> -" + strings.Repeat("|-", 999) + "\n" + strings.Repeat("> |a\n", 1_000), "> |a|\n> |-|\n> |b|\n"},
	{"many tables, each within bounds", TooLong, strings.Repeat("|a|b|\n|-|-|\n"+strings.Repeat("|\n", 50)+"\n", 3_000), strings.Repeat("|a|b|\n|-|-|\n"+strings.Repeat("|\n", 50)+"\n", 500)},
	{"a host of footnotes", TooLong, strings.Repeat("[^a]: b\n\n", maxReferences+1), strings.Repeat("[^a]: b\n\n", 100)},
}

// staircase is a list with one more level on each line.
func staircase(steps int) string {
	var b strings.Builder
	for i := range steps {
		b.WriteString(strings.Repeat("  ", i) + "- a\n")
	}
	return b.String()
}

func TestPagesTooHeavyForMarkdownAreShownAsTheyStand(t *testing.T) {
	for _, c := range heavy {
		t.Run(c.name, func(t *testing.T) {
			doc, faults := Read("a.md", "---\ntitle: T\n---\n"+c.page, false)
			if len(faults) != 1 || faults[0].Name != string(c.fault) {
				t.Fatalf("got %v, want one %s", faults, c.fault)
			}
			if faults[0].At.Start < doc.Body {
				t.Errorf("the fault is at %d, before the body", faults[0].At.Start)
			}
			code, ok := doc.Root.FirstChild().(*ast.CodeBlock)
			if !ok || string(code.Lines().Value(doc.Source)) != c.page {
				t.Error("the page is not shown as it stands")
			}
			if doc.Front.Title != "T" {
				t.Error("the front matter is lost")
			}
		})
		t.Run(c.name+", inside the limit", func(t *testing.T) {
			doc, faults := Read("a.md", c.inside, false)
			if len(faults) != 0 {
				t.Fatalf("got %v", faults[0])
			}
			if _, verbatim := doc.Root.FirstChild().(*ast.CodeBlock); verbatim {
				t.Error("the page is not read as Markdown")
			}
		})
	}
}

func TestWhatLooksDeepAndIsNotIsRead(t *testing.T) {
	for _, line := range []string{
		strings.Repeat("- ", 150), // a rule
		strings.Repeat("* ", 150),
		strings.Repeat(" ", 300) + "a: 1", // far right in a block
		strings.Repeat("-", 300),
		strings.Repeat("1234567890", 30),
	} {
		if _, faults := Read("a.md", "```\n"+line+"\n```\n", false); len(faults) != 0 {
			t.Errorf("%.20q…: %v", line, faults[0].Message)
		}
	}
}

func TestFrontMatterOfMoreThan64KiBIsRefused(t *testing.T) {
	doc, faults := Read("a.md", "---\ntitle: "+strings.Repeat("a", maxFront)+"\n---\n`-> b`\n", false)
	if len(faults) != 1 || faults[0].Name != string(TooLong) {
		t.Fatalf("got %v", faults)
	}
	if len(doc.Spans) != 1 {
		t.Error("the page itself is lost")
	}
}
