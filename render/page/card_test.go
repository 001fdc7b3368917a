package page

import (
	"html/template"
	"reflect"
	"strings"
	"testing"
)

func TestACardEscapesEverythingThatAJournalSays(t *testing.T) {
	c := filled(&Card{}, hostile)
	for _, private := range []string{"", hostile} {
		c.Private = private
		card := string(c.HTML())
		if strings.Contains(card, "<script") || strings.Contains(card, "<img") {
			t.Error("a card lets markup through")
		}
		checkNesting(t, "card", card)
	}
	v := filled(&Inline{}, hostile)
	for _, trouble := range []string{"", hostile} {
		v.Trouble = trouble
		value := string(v.Append(nil))
		if strings.Contains(value, "<script") || strings.Contains(value, `"'>`) {
			t.Errorf("an inline value lets markup through: %s", value)
		}
	}
}

func TestAPrivateResultShowsNeitherValueNorWorking(t *testing.T) {
	c := Card{ID: "dims", Kind: "dims", Results: []Result{{
		Name: "crown", Value: "571 mm", Private: true,
		How: &Working{Formula: "wearer.head_girth", Numbers: "571 mm", Value: "571 mm"},
	}}, Tables: []Table{{Columns: []Column{{"Name", false}, {"Length", true}}, Rows: [][]Cell{{{Text: "crown"}, {Text: "571 mm", Private: true}}}}}}
	card := string(c.HTML())
	if strings.Contains(card, "571") {
		t.Errorf("the card spells a private measurement: %s", card)
	}
	if strings.Count(card, "kept private") != 2 {
		t.Errorf("the card does not say that two values are private: %s", card)
	}
	if got := string((&Inline{Text: "571 mm", Working: "571 mm", Private: true}).Append(nil)); strings.Contains(got, "571") {
		t.Errorf("the inline value spells a private measurement: %s", got)
	}
}

func TestAPrivateBlockShowsNoneOfItsContent(t *testing.T) {
	c := Card{ID: "wearer", Kind: "wearer", Private: "kept private", Results: []Result{{Name: "stature", Value: "1712 mm"}},
		More: []Result{{Name: "x", Value: "1712 mm"}}, Tables: []Table{{Rows: [][]Cell{{{Text: "1712 mm"}}}}},
		Figures: []Figure{{SVG: "1712 mm"}}}
	if card := string(c.HTML()); strings.Contains(card, "1712") {
		t.Errorf("a private block is shown: %s", card)
	}
}

func TestTheCaretStandsUnderTheWrongCharacters(t *testing.T) {
	for _, c := range []struct {
		line          string
		column, width int
		want          string
	}{
		{"lenght: 240 mm", 1, 6, "^^^^^^"},
		{"\tlänge: foam44", 9, 6, "\t       ^^^^^^"},
		{"wall: ", 7, 1, "      ^"},   // after the end
		{"wall: x", 7, 40, "      ^"}, // never past the end
		{"wall", 99, 3, "    ^"},      // a column that is not in the line
		{"wall", 0, 0, "^"},           // nor this
		{"ab", -5, 1000000000, "^^"},  // nor a width beyond all measure
		{"", 1, 1, "^"},
	} {
		var w writer
		w.caret(&Trouble{Line: c.line, Column: c.column, Width: c.width})
		if got := string(w.out); got != c.want {
			t.Errorf("%q at %d for %d: %q, want %q", c.line, c.column, c.width, got, c.want)
		}
	}
}

func TestAnAddressThatRunsAProgramLeadsNowhere(t *testing.T) {
	for s, want := range map[string]string{
		"javascript:alert(1)":     "#",
		"JaVaScRiPt:alert(1)":     "#",
		" javascript:alert(1)":    "#",
		"data:text/html,x":        "#",
		"log/a.html#panel:cheek":  "log/a.html#panel:cheek",
		"#forearm.cheek":          "#forearm.cheek",
		"../photos/a.jpg?x=1&y=2": "../photos/a.jpg?x=1&amp;y=2",
		"https://example.org/":    "https://example.org/",
		"mailto:a@example.org":    "mailto:a@example.org",
	} {
		var w writer
		w.href(s)
		if got := string(w.out); got != want {
			t.Errorf("%q leads to %q, want %q", s, got, want)
		}
	}
}

func TestTextKeepsWhatHTMLCanCarryAndReplacesTheRest(t *testing.T) {
	for s, want := range map[string]string{
		`5' 10" < 6'`:        `5' 10&#34; &lt; 6'`,
		"a\x00b\x1bc\x7f":    "a\uFFFDb\uFFFDc\uFFFD",
		"35° α\tβ\n":         "35° α\tβ\n",
		"bad \xff\xfe utf":   "bad \uFFFD\uFFFD utf",
		"& &amp; > \uFFFD 灯": "&amp; &amp;amp; &gt; \uFFFD 灯",
	} {
		var w writer
		w.text(s)
		if got := string(w.out); got != want {
			t.Errorf("%q becomes %q, want %q", s, got, want)
		}
	}
}

func FuzzTextNeverEndsItsAttribute(f *testing.F) {
	f.Add(hostile)
	f.Add("\xc3")
	f.Fuzz(func(t *testing.T, s string) {
		var w writer
		w.text(s)
		if strings.ContainsAny(string(w.out), `"<>`) {
			t.Errorf("%q becomes %q", s, w.out)
		}
	})
}

func TestATableHeadsItsRowsAndSetsNumbersFlush(t *testing.T) {
	table := Table{Caption: "Sheets", Columns: []Column{{"Material", false}, {"Area", true}},
		Rows: [][]Cell{{{Text: "foam10", Href: "#foam10"}, {Text: "1.92 m²"}, {Text: "more than columns"}}, {}},
		Foot: []Cell{{Text: "Together"}, {Text: "1.92 m²"}}}
	got := string(table.HTML())
	for _, want := range []string{
		`<th scope="row"><a href="#foam10">foam10</a></th><td class="n">1.92 m²</td>`,
		`<caption>Sheets</caption>`, `<tfoot><tr><th scope="row">Together</th>`, `tabindex="0"`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the table lacks %s:\n%s", want, got)
		}
	}
	checkNesting(t, "table", got)
}

func TestEmptyPartsOfACardLeaveNothingBehind(t *testing.T) {
	card := string((&Card{ID: "dims-a", Kind: "dims"}).HTML())
	for _, unwanted := range []string{"<b>", "card-body", "<ul", "<details", "<p class=\"card-sum\">"} {
		if strings.Contains(card, unwanted) {
			t.Errorf("an empty card holds %s:\n%s", unwanted, card)
		}
	}
}

func BenchmarkCard(b *testing.B) {
	n := 0
	c := &Card{}
	fill(reflect.ValueOf(c), "some words of a card", &n)
	c.Private, c.Source = "", template.HTML(strings.Repeat("<b>x</b>", 40))
	var out []byte
	b.ReportAllocs()
	for b.Loop() {
		out = c.Append(out[:0])
	}
}
