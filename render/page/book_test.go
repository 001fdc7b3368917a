package page

import (
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/finding"
	"bevelbook/journal"
)

func TestHrefLeadsFromPageToPage(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"index.html", "log/a.html", "log/a.html"},
		{"log/a.html", "log/b.html", "b.html"},
		{"log/a.html", "photos/x.jpg", "../photos/x.jpg"},
		{"a/b/c.html", "a/d/e.html", "../d/e.html"},
		{"log/a.html", "index.html", "../index.html"},
		{"", "a b/ü#?.html", "a%20b/%C3%BC%23%3F.html"},
		{"index.html", "what: now.html", "what%3A%20now.html"},
	} {
		if got := Href(c.from, c.to); got != c.want {
			t.Errorf("Href(%q, %q) = %q, want %q", c.from, c.to, got, c.want)
		}
	}
}

// book is a journal of some pages, each shown at its own name with .html.
func book(t *testing.T, files map[string]string) *Book {
	t.Helper()
	m := fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: J\n---\n")}}
	for path, text := range files {
		m[path] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := journal.Load(m, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := NewBook(s, s.Language(), false)
	for _, p := range s.Pages {
		b.Pages[p.Path] = strings.TrimSuffix(p.Path, ".md") + ".html"
	}
	return b
}

func prose(t *testing.T, b *Book, path string) string {
	t.Helper()
	p, ok := b.Snapshot.Page(path)
	if !ok {
		t.Fatal("no page ", path)
	}
	return string(b.Prose(p, b.Pages[path]))
}

func TestLinksToPagesLeadToTheirHTML(t *testing.T) {
	b := book(t, map[string]string{
		"log/a.md":   "[b](b%20c.md#part) [up](../shop.md \"The <shop>\") [far](https://x.example/y.md) [gone](gone.md) [here](#own) [self](a.md#own)\n\n[js](javascript:alert(1)) <b>raw</b>\n",
		"log/b c.md": "# B", "shop.md": "# S",
	})
	got := prose(t, b, "log/a.md")
	for _, want := range []string{
		`<a href="b%20c.html#part">b</a>`, `<a href="../shop.html" title="The &lt;shop&gt;">up</a>`, `<a href="https://x.example/y.md">far</a>`,
		`<a href="gone.md">gone</a>`, `<a href="#own">here</a>`, `<a href="#own">self</a>`, `<a href="">js</a>`, `<!-- raw HTML omitted -->raw`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}

func TestValuesStandInTheProseWithTheirWorking(t *testing.T) {
	b := book(t, map[string]string{"a.md": "```dims\nlength: 240 mm\nwall: 10 mm\nside: length + 2 * wall\n```\n\n`-> side` `-> side / 2` `-> length` `-> lengt` `-> 2 +` `code`\n"})
	got := prose(t, b, "a.md")
	for _, want := range []string{
		`<output class="val" title="length + 2 * wall = 240 mm + 2 * 10 mm">260 mm</output>`,
		`<output class="val" title="side / 2 = 260 mm / 2">130 mm</output>`,
		`<output class="val">240 mm</output>`,
		`title="nothing here is called lengt">not worked out</span>`,
		`<code>code</code>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
	if strings.Count(got, "not worked out") != 2 {
		t.Errorf("two values cannot be worked out: %s", got)
	}
}

func TestACardPointsAtWhatIsWrong(t *testing.T) {
	b := book(t, map[string]string{"a.md": "```dims\n\twall: 10 mm + 5 deg\nroof: 1 mm\n```\n\n```panel lid\noutline: rect(width: wall, height: 5 mm)\nthickness: 2 mm\n```\n"})
	got := prose(t, b, "a.md")
	for _, want := range []string{
		`<p class="place">a.md:2:8</p>`, "<code>\twall: 10 mm + 5 deg\n<span class=\"caret\">\t      ^^^^^^^^^^^^^</span>",
		`<strong class="sev">waits</strong> this waits for wall`, `<a href="#dims">a.md:2:2</a>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
}

func TestAPictureAloneIsAFigureWithItsSize(t *testing.T) {
	b := book(t, map[string]string{"log/a.md": "![a lamp & more](../p/x.jpg \"By *night*\")\n\nIn ![small](../p/x.jpg) a line.\n", "p/x.jpg": ""})
	b.Files["p/x.jpg"] = File{"p/x-1.jpg", 400, 300}
	got := prose(t, b, "log/a.md")
	for _, want := range []string{
		`<figure class="photo"><img src="../p/x-1.jpg" alt="a lamp &amp; more" width="400" height="300"><figcaption>By *night*</figcaption></figure>`,
		`<p>In <img src="../p/x-1.jpg" alt="small" width="400" height="300" loading="lazy" decoding="async"> a line.</p>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}

func TestAPictureThatIsNotThereIsSaidInItsPlace(t *testing.T) {
	b := book(t, map[string]string{"log/a.md": "![the roof & its cap](gone.jpg)\n\nA ![](lost.jpg) in a line.\n"})
	p, _ := b.Snapshot.Page("log/a.md")
	for _, i := range p.Doc.Images {
		on := b.on(p.Path)
		on.list = append(on.list, finding.Finding{Name: "photo-missing", At: i.At})
	}
	want := "<p><span class=\"gone\">picture missing: the roof &amp; its cap</span></p>\n<p>A <span class=\"gone\">picture missing: lost.jpg</span> in a line.</p>\n"
	if got := prose(t, b, "log/a.md"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestTheTitleIsNotSaidTwice(t *testing.T) {
	b := book(t, map[string]string{"a.md": "# The shop\n\nWords.\n\n# Other\n"})
	if got := prose(t, b, "a.md"); strings.Contains(got, "The shop") || !strings.Contains(got, "Other</h1>") {
		t.Error(got)
	}
}

func TestWordsAndSummaryPutValuesIn(t *testing.T) {
	b := book(t, map[string]string{"a.md": "---\ntitle: A\n---\n![p](x.jpg)\n\nIt is *really* `-> wall` &amp; \\*more\\*. " + strings.Repeat("And on and on. ", 30) + "\n\n## Of `-> wall`\n\n## b\n\n```dims\nwall: 12 mm\n```\n"})
	p, _ := b.Snapshot.Page("a.md")
	if got := b.Summary(p); !strings.HasPrefix(got, "It is really 12 mm & *more*. And") || !strings.HasSuffix(got, "on.") || len(got) > 180 {
		t.Errorf("summary %q", got)
	}
	if got := b.Words(p); !strings.Contains(got, "Of 12 mm · b") || strings.Contains(got, "wall: 12") {
		t.Errorf("words %q", got)
	}
	if got := b.Contents(p); len(got) != 2 || got[0].Text != "Of 12 mm" {
		t.Errorf("contents %v", got)
	}
}

func TestListsAreDrawnFromTheLedger(t *testing.T) {
	b := book(t, map[string]string{
		"shop.md": "```material foam\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\nprice: 5 EUR\n```\n",
		"a.md": "---\ntitle: Arm\ndate: 2026-09-05\nsection: arm\nsides: [left, right]\nminutes: 90\n---\n```panel lid\noutline: polygon((0 mm, 0 mm), (300 mm, 0 mm), (0 mm, 100 mm))\nmaterial: foam\nhand: pair\n```\n\n" +
			"```list a\nof: parts\n```\n\n```list b\nof: materials\nover: build\n```\n\n```list c\nof: hours\n```\n\n```list d\nof: hours\nover: build\n```\n\n```list e\nof: templates\n```\n\n```list f\nof: findings\n```\n\n```list g\nof: materials\n```\n",
	})
	b.Templates[b.Snapshot.Blocks[0]] = []Template{{"t/lid.svg", "left", "SVG"}}
	got := prose(t, b, "a.md")
	for _, want := range []string{
		`<a href="#panel-lid">lid</a></th><td>left</td><td class="n">1</td><td>10 mm foam</td><td class="n">300 mm × 100 mm</td>`,
		`<a href="shop.html#material-foam">foam</a></th><td class="n">2</td><td class="n">0.03 m²</td>`, `5.00 EUR`,
		`<a href="a.html">Arm</a></th><td>5 Sep 2026</td><td class="n">1 h 30 min</td>`,
		`<td><a href="t/lid.svg">left</a></td>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}

func TestAFindingKnowsThePrivacyOfItsOwnLine(t *testing.T) {
	b := book(t, map[string]string{
		"wearer.md": "```wearer\nwrist_girth: 177 mm\n```\n",
		"a.md":      "```dims\nopen: 3 mm\ngirth: wearer.wrist_girth\nhalf:\n  girth / 2,\nlast: 4 mm\n```\n",
	})
	p, _ := b.Snapshot.Page("a.md")
	blk := p.Blocks[0]
	for i, n := range blk.Eval.Members {
		got, near := b.privacyAt(n.Expr.Span())
		if got != blk || near != n.NearPrivate() {
			t.Errorf("line %d, %s: near a measurement %v, want %v", i, n.Key, near, n.NearPrivate())
		}
		if i > 0 && n.At.Start <= blk.Eval.Members[i-1].At.Start {
			t.Errorf("%s does not stand behind the line before", n.Key)
		}
	}
	if len(blk.Eval.Members) < 3 || blk.Eval.Members[0].NearPrivate() || !blk.Eval.Members[1].NearPrivate() {
		t.Error("an open line and a line near a measurement are wanted")
	}
}
