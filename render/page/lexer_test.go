package page

import (
	"html"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"

	"bevelbook/journal"
)

var blocks = []string{
	"",
	"wall: 10 mm",
	"length: 240 mm   # elbow crease\n\nwall:  foam10.thickness\n",
	"outline: trapezoid(long: 155 mm,\n  short: 145 mm)   # two lines\nbevel left: 35°\nlayers: 2 mm,\n  2 x foam10\n",
	`note: "a # in it"` + "\nbad: \"open\nsize: 5' 10\" + 3 3/8 in\nd: 100 kg/m^3\n",
	"über: größe as in to 1/16\n\t tab: \x00 ☃ ² ; mm\n",
}

func TestTheLexerGivesBackEveryCharacterOfABlock(t *testing.T) {
	lexer := lexers.Get("bevelbook-panel")
	if _, ours := lexer.(Lexer); !ours {
		t.Fatalf("chroma finds %T", lexer)
	}
	for _, text := range blocks {
		next, err := lexer.Tokenise(nil, text)
		if err != nil {
			t.Fatal(err)
		}
		var got strings.Builder
		for _, tok := range next.Tokens() {
			got.WriteString(tok.Value)
		}
		if strings.TrimSuffix(got.String(), "\n") != strings.TrimSuffix(text, "\n") {
			t.Errorf("%q came back as %q", text, got.String())
		}
	}
}

func FuzzTheLexerGivesBackEveryCharacter(f *testing.F) {
	for _, text := range blocks {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		next, err := Lexer{}.Tokenise(nil, text)
		if err != nil {
			t.Fatal(err)
		}
		var got strings.Builder
		for tok := next(); tok != chroma.EOF; tok = next() {
			got.WriteString(tok.Value)
		}
		if strings.TrimSuffix(got.String(), "\n") != strings.TrimSuffix(text, "\n") {
			t.Errorf("%q came back as %q", text, got.String())
		}
	})
}

func TestColoursTellKeysNumbersUnitsFunctionsAndRemarks(t *testing.T) {
	next, err := Lexer{}.Tokenise(nil, "bevel left: round(3.5 mm + mm_wall, 2 * x) as in   # why\ntext: \"words\"\nyes_no: yes\n")
	if err != nil {
		t.Fatal(err)
	}
	var w writer
	w.tokens(next)
	want := `<span class="tok-key">bevel</span> <span class="tok-key">left</span><span class="tok-op">:</span> ` +
		`<span class="tok-fn">round</span><span class="tok-op">(</span><span class="tok-num">3.5</span> <span class="tok-unit">mm</span> <span class="tok-op">+</span> mm_wall<span class="tok-op">,</span> ` +
		`<span class="tok-num">2</span> <span class="tok-op">*</span> <span class="tok-unit">x</span><span class="tok-op">)</span> <span class="tok-unit">as</span> <span class="tok-unit">in</span>   <span class="tok-com"># why</span>` + "\n" +
		`<span class="tok-key">text</span><span class="tok-op">:</span> <span class="tok-str">&#34;words&#34;</span>` + "\n" +
		`<span class="tok-key">yes_no</span><span class="tok-op">:</span> <span class="tok-unit">yes</span>` + "\n"
	if got := string(w.out); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

var element = regexp.MustCompile(`<[^>]*>`)

func TestCodeOfOtherLanguagesIsColouredAndUnchanged(t *testing.T) {
	const code = "func main() {\n\tprintln(\"<b>\") // &\n}\n"
	got, ok := highlighted("go", code)
	if !ok || !strings.Contains(string(got), `class="tok-key"`) {
		t.Fatalf("got %s, %v", got, ok)
	}
	if text := html.UnescapeString(element.ReplaceAllString(string(got), "")); text != code {
		t.Errorf("the code became %q", text)
	}
	if _, ok := highlighted("no such language", code); ok {
		t.Error("an unknown language is coloured")
	}
	if _, ok := highlighted("go", strings.Repeat(code, 10_000)); ok {
		t.Error("code beyond the bound is coloured")
	}
}

// A block's source in colours may take some tens of microseconds: a build has thousands.
func BenchmarkSourceOfABlock(b *testing.B) {
	text := "---\ntitle: x\n---\n```panel cheek\noutline:      trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nmaterial:     foam10   # the thick one\nbevel left:   35 deg\nbevel right:  35 deg\nbevel short:  17 deg\nhole pivot:   circle(diameter: 5 mm, at: (20 mm, 45 mm))\nhand:         pair\n```\n"
	s, err := journal.Load(fstest.MapFS{"journal.md": {Data: []byte(text)}}, journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		sourceOf(s.Blocks[0])
	}
}
