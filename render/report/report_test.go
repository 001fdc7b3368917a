package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

var update = flag.Bool("update", false, "write the golden files anew")

const roof = `---
title: Eight windows
---
` + "```panel cheek" + `
outline:   rect(width: 10 mm, height: widht)
	material: foam10
hand: 左右 left, 🏮 lamp, é mark
bevel all: 35 deg
` + "```" + `
`

// findings are of every sort: each severity, accepted, private, without a place, with notes.
func findings() []finding.Finding {
	page := source.NewFile("log/2026-09-05 eight:windows.md", roof)
	shop := source.NewFile("shop.md", "```material foam10\nthickness: 10 mm\n```\n")
	at := func(f *source.File, word string) source.Span {
		i := strings.Index(f.Text, word)
		return f.Span(i, i+len(word))
	}
	return []finding.Finding{
		{Name: "unknown-name", Severity: finding.Stop, At: at(page, "widht"), Section: "lantern_room", Part: "cheek", Message: "`widht` is not known here", Help: "did you mean `width`?"},
		{Name: "set-twice", Severity: finding.Stop, At: at(page, "foam10"), Message: "`foam10` is set twice",
			Notes: []finding.Related{{At: at(shop, "foam10"), Message: "set here first"}, {Message: "and somewhere"}}},
		{Name: "worth-a-look", Severity: finding.Mind, At: at(page, "lamp"), Message: "behind wide characters {and braces} and [a](link)"},
		{Name: "worth-a-look", Severity: finding.Note, At: at(page, "mark"), Message: "behind a combining mark"},
		{Name: "bevels-collide", Severity: finding.Stop, At: at(page, "bevel all: 35 deg"), Part: "cheek", Message: "the back would be 2.5 mm wide", Accepted: "it is glued, not cut"},
		{Name: "tight", Severity: finding.Mind, At: page.Span(len(page.Text), len(page.Text)), Message: "a chest of 1,020.5 mm leaves 3/8 in", Private: true},
		{Name: "no-journal", Severity: finding.Note, Message: "there is no place for this"},
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestReportsLookAsInTheirGoldenFiles(t *testing.T) {
	for name, print := range map[string]func(w *bytes.Buffer) error{
		"text.golden":  func(w *bytes.Buffer) error { return Text(w, findings(), Options{}) },
		"short.golden": func(w *bytes.Buffer) error { return Text(w, findings(), Options{Short: true}) },
		"color.golden": func(w *bytes.Buffer) error { return Text(w, findings()[:1], Options{Color: true}) },
		"json.golden":  func(w *bytes.Buffer) error { return JSON(w, findings()) },
		"sarif.golden": func(w *bytes.Buffer) error { return SARIF(w, findings(), "1.2.3") },
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			if err := print(&b); err != nil {
				t.Fatal(err)
			}
			if name == "color.golden" { // kept readable
				b = *bytes.NewBufferString(strings.ReplaceAll(b.String(), "\x1b", "<ESC>"))
			}
			golden(t, name, b.Bytes())
		})
	}
}

func TestTheLastLineCounts(t *testing.T) {
	of := func(stop, mind, note, accepted int) (list []finding.Finding) {
		for s, n := range []int{note, mind, stop} {
			for range n {
				list = append(list, finding.Finding{Severity: finding.Severity(s)})
			}
		}
		for range accepted {
			list = append(list, finding.Finding{Severity: finding.Stop, Accepted: "why"})
		}
		return list
	}
	for _, c := range []struct {
		list []finding.Finding
		want string
	}{
		{of(2, 1, 3, 1), "2 stop, 1 mind, 3 notes; 1 accepted"},
		{of(0, 0, 1, 0), "1 note"},
		{of(0, 0, 0, 2), "2 accepted"},
		{nil, "no findings"},
	} {
		if got := count(c.list); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// TestCaretsStandUnderWhatTheSpanCovers draws lines with the span in braces.
func TestCaretsStandUnderWhatTheSpanCovers(t *testing.T) {
	for _, c := range []struct{ name, line, text, carets string }{
		{"plain", "wall: {10 mm}", "wall: 10 mm", "      ^^^^^"},
		{"empty", "wall:{} 10 mm", "wall: 10 mm", "     ^"},
		{"at the end", "wall:{}", "wall:", "     ^"},
		{"nothing on the line", "{}", "", "^"},
		{"a tab before", "\twall: {10}", "    wall: 10", "          ^^"},
		{"a tab inside", "a{b\tc}d", "ab  cd", " ^^^^"},
		{"wide characters", "壁厚: {10}", "壁厚: 10", "      ^^"},
		{"wide characters inside", "{壁厚}: 10", "壁厚: 10", "^^^^"},
		{"a combining mark", "e\u0301: {10}", "e\u0301: 10", "   ^^"},
		{"a picture", "🏮 {lamp}", "🏮 lamp", "   ^^^^"},
		{"a control character", "a\x1b[31m{b}", `a\x1b[31mb`, "         ^"},
		{"turned writing", "a\u202e{b}", `a\u202eb`, "       ^"},
		{"more than a line", "a {b\nc}", "a b", "  ^"},
		{"a carriage return", "a {b}\r", "a b", "  ^"},
	} {
		t.Run(c.name, func(t *testing.T) {
			start, end := strings.Index(c.line, "{"), strings.Index(c.line, "}")-1
			file := source.NewFile("a.md", strings.NewReplacer("{", "", "}", "").Replace(c.line))
			e := excerptOf(file.Span(start, end))
			carets := strings.Repeat(" ", e.indent) + strings.Repeat("^", e.width)
			if e.text != c.text || carets != c.carets {
				t.Errorf("got\n%s|\n%s|\nwant\n%s|\n%s|", e.text, carets, c.text, c.carets)
			}
		})
	}
}

func TestLongLinesAreCutAroundTheCaret(t *testing.T) {
	word := "HERE"
	for _, c := range []struct {
		name          string
		before, after int
	}{{"at the beginning", 10, 1000}, {"in the middle", 500, 500}, {"at the end", 1000, 0}, {"just too long", 100, 60}, {"far in a huge line", 1 << 20, 1 << 20}} {
		t.Run(c.name, func(t *testing.T) {
			for _, fill := range []string{"a", "ä", "壁", "\t", "\x01", "e\u0301"} {
				line := strings.Repeat(fill, c.before) + word + strings.Repeat(fill, c.after)
				start := strings.Index(line, word)
				e := excerptOf(source.NewFile("a.md", line).Span(start, start+len(word)))
				cells := layOut(e.text, 0)
				if total(cells) > widest+2 {
					t.Errorf("%q: %d columns", fill, total(cells))
				}
				var under strings.Builder
				for _, cell := range cells {
					if cell.from >= e.indent && cell.to <= e.indent+e.width {
						under.WriteString(cell.text)
					}
				}
				if under.String() != word {
					t.Errorf("%q: the carets stand under %q of %q", fill, under.String(), e.text)
				}
			}
		})
	}
}

func TestALongSpanEndsWithTheLineThatIsShown(t *testing.T) {
	file := source.NewFile("a.md", strings.Repeat("a", 1000))
	e := excerptOf(file.Span(200, 900))
	if e.indent+e.width > widest+1 || e.width < 50 {
		t.Errorf("carets from %d, %d of them", e.indent, e.width)
	}
}

// obeyed are characters that a terminal obeys or hides: ECMA-48 controls, and the marks of Unicode's
// bidirectional algorithm (UAX #9).
const obeyed = "\x00\a\b\t\n\r\x1b[2J\x7f\u0080\u009b31m\u00ad\u061c\u200b\u200e\u202a\u202e\u2028\u2029\u2066\ufeff\U000e0041\xff\x9b"

func TestNothingOfAJournalReachesTheTerminalAsACommand(t *testing.T) {
	file := source.NewFile("a"+obeyed+".md", "x"+strings.ReplaceAll(obeyed, "\n", ""))
	f := finding.Finding{Name: "a" + obeyed, At: file.Span(0, 2), Section: obeyed, Part: obeyed, Message: obeyed, Help: obeyed, Accepted: "a" + obeyed,
		Notes: []finding.Related{{At: file.Span(0, 1), Message: obeyed}}}
	for name, print := range map[string]func(w *bytes.Buffer) error{
		"text":  func(w *bytes.Buffer) error { return Text(w, []finding.Finding{f}, Options{}) },
		"short": func(w *bytes.Buffer) error { return Text(w, []finding.Finding{f}, Options{Short: true}) },
		"json":  func(w *bytes.Buffer) error { return JSON(w, []finding.Finding{f}) },
		"sarif": func(w *bytes.Buffer) error { return SARIF(w, []finding.Finding{f}, "1"+obeyed) },
	} {
		var b bytes.Buffer
		if err := print(&b); err != nil {
			t.Fatal(err)
		}
		if !utf8.Valid(b.Bytes()) {
			t.Errorf("%s: not UTF-8", name)
		}
		for _, r := range b.String() {
			if r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)) {
				t.Errorf("%s: lets %U through", name, r)
			}
		}
	}
}

func TestJSONKeepsWhatItEscapes(t *testing.T) {
	message := strings.ToValidUTF8(obeyed, "")
	var b bytes.Buffer
	if err := JSON(&b, []finding.Finding{{Name: "a", Message: message}}); err != nil {
		t.Fatal(err)
	}
	var back struct{ Findings []struct{ Message string } }
	if err := json.Unmarshal(b.Bytes(), &back); err != nil {
		t.Fatal(err)
	}
	if back.Findings[0].Message != message {
		t.Errorf("got %q, want %q", back.Findings[0].Message, message)
	}
}

func TestPrivateNumbersStayOutOfWhatIsHandedOn(t *testing.T) {
	f := finding.Finding{Name: "tight", Message: "1,020.5 mm is 5' 10\" and 3 3/8 in", Help: "leave 20 mm", Accepted: "it is 7 mm", Private: true}
	for name, print := range map[string]func(w *bytes.Buffer) error{
		"json":  func(w *bytes.Buffer) error { return JSON(w, []finding.Finding{f}) },
		"sarif": func(w *bytes.Buffer) error { return SARIF(w, []finding.Finding{f}, "") },
	} {
		var b bytes.Buffer
		if err := print(&b); err != nil {
			t.Fatal(err)
		}
		for _, number := range []string{"1,0", "020", "20.5", "10", "3/8", "20 mm", "7 mm"} {
			if text := strings.ReplaceAll(b.String(), "v2.1.0", ""); strings.Contains(text, number) {
				t.Errorf("%s tells %q: %s", name, number, text)
			}
		}
	}
}

type full struct{}

var errFull = errors.New("the disk is full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestErrorsOfTheWriterAreReturned(t *testing.T) {
	for name, err := range map[string]error{
		"text": Text(full{}, findings(), Options{}), "json": JSON(full{}, findings()), "sarif": SARIF(full{}, findings(), ""),
	} {
		if !errors.Is(err, errFull) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestNoFindingsAreAnEmptyListNotNull(t *testing.T) {
	var j, s bytes.Buffer
	if err := errors.Join(JSON(&j, nil), SARIF(&s, nil, "")); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(j.String()+s.String(), "null") {
		t.Errorf("%s\n%s", j.String(), s.String())
	}
}

// FuzzText holds the text report to: no panic, and no character that a terminal obeys.
func FuzzText(f *testing.F) {
	f.Add(roof, 20, 30)
	f.Add(obeyed, 1, 4)
	f.Add(strings.Repeat("壁\t", 300), 500, 800)
	f.Fuzz(func(t *testing.T, text string, start, end int) {
		start = min(max(start, 0), len(text))
		end = min(max(end, start), len(text))
		var b bytes.Buffer
		if err := Text(&b, []finding.Finding{{Name: "a", At: source.NewFile("a.md", text).Span(start, end), Message: text}}, Options{}); err != nil {
			t.Fatal(err)
		}
		for _, r := range b.String() {
			if r != '\n' && hidden(r) {
				t.Errorf("lets %U through", r)
			}
		}
		if uri := physical(source.NewFile(text, "").Span(0, 0)).Artifact.URI; text != "" {
			if u, err := url.Parse(uri); err != nil || u.IsAbs() {
				t.Errorf("%q is no relative reference: %v", uri, err)
			}
		}
	})
}
