package site

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// files is a journal in memory: path to text.
type files map[string]string

func (f files) fsys() fs.FS {
	m := fstest.MapFS{}
	for path, text := range f {
		m[path] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

// site presses a journal into a new folder and reads back every file of the site.
func site(t *testing.T, f files, opt Options) map[string]string {
	t.Helper()
	opt.Out = filepath.Join(t.TempDir(), "site")
	pressFiles(t, f, opt)
	got := map[string]string{}
	for path, data := range load(t, opt.Out, "") {
		got[path] = string(data)
	}
	return got
}

func pressFiles(t *testing.T, f files, opt Options) Result {
	t.Helper()
	s, err := journal.Load(f.fsys(), journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := Press(s, f.fsys(), proof.Run(s), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const homePage = "---\ntitle: A lamp\nauthor: Maker\nbase_url: https://lamp.example/build/\n---\nWelcome.\n"

// picturePNG is a small picture whose colour tells it from others.
func picturePNG(t *testing.T, c color.Color) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 40, 20))
	for i := range 800 {
		img.Set(i%40, i/40, c)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestAPressWritesThePagesOfASite(t *testing.T) {
	got := site(t, files{
		"journal.md": homePage,
		"shop.md":    "# The shop\n\n```material foam10\nthickness: 10 mm\n```\n",
		"log/a.md":   "---\ntitle: First\ndate: 2026-09-05\nsection: helm_top\nsides: [left, right]\nminutes: 75\n---\nWords.\n\n```panel cheek\noutline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm, shift: 20 mm)\nmaterial: foam10\nhand: pair\n```\n",
	}, Options{})
	for _, path := range []string{"index.html", "log.html", "log/a.html", "shop.html", "parts.html", "materials.html", "findings.html",
		"search.html", "search-index.js", "feed.xml", "404.html", "ledger/parts.json", "ledger/parts.csv", "sections/helm_top.html",
		"templates/helm_top/cheek-left.svg", "templates/helm_top/cheek-right.svg", "templates/helm_top-a4.pdf", "templates/helm_top-letter.pdf",
		"look/style.css", "look/script.js", "look/icon.svg"} {
		if got[path] == "" {
			t.Errorf("the site lacks %s", path)
		}
	}
	if left := got["templates/helm_top/cheek-left.svg"]; left == got["templates/helm_top/cheek-right.svg"] || left == "" {
		t.Error("left and right are the same file")
	}
	for path, words := range map[string]string{
		"log/a.html":             `href="../templates/helm_top/cheek-left.svg"`,
		"parts.html":             `href="log/a.html#panel-cheek"`,
		"sections/helm_top.html": `1 h 15 min`,
		"feed.xml":               `<updated>2026-09-05T00:00:00Z</updated>`,
		"404.html":               `href="/build/look/style.css"`,
		"search-index.js":        `"u":"log/a.html"`,
	} {
		if !strings.Contains(got[path], words) {
			t.Errorf("%s does not say %s:\n%s", path, words, got[path])
		}
	}
}

// A number of the sample that happens to equal a measurement of its wearer would be held back, and
// the sentence around it would make no sense.
func TestTheSampleBuildHoldsNothingBackInItsSentences(t *testing.T) {
	out := filepath.Join(t.TempDir(), "site")
	pressed(t, "../../sample-build", out, Options{})
	for path, data := range load(t, out, "") {
		if filepath.Ext(path) == ".html" && strings.Contains(string(data), "kept private") {
			t.Errorf("%s keeps a value private in its text", path)
		}
	}
}

// Every address inside the site leads to a file of the site, from a folder as well as from a server.
func TestEveryLinkInsideTheSiteLeadsSomewhere(t *testing.T) {
	out := filepath.Join(t.TempDir(), "site")
	pressed(t, "../../sample-build", out, Options{})
	href := regexp.MustCompile(`(?:href|src)="([^"]*)"`)
	id := regexp.MustCompile(`\sid="([^"]*)"`)
	all := load(t, out, "")
	anchors := map[string]map[string]bool{}
	for path, data := range all {
		anchors[path] = map[string]bool{}
		if filepath.Ext(path) != ".html" {
			continue
		}
		for _, m := range id.FindAllSubmatch(data, -1) {
			if anchors[path][string(m[1])] {
				t.Errorf("%s: the anchor %s stands twice", path, m[1])
			}
			anchors[path][string(m[1])] = true
		}
	}
	links := 0
	for path, data := range all {
		if filepath.Ext(path) != ".html" || path == "404.html" {
			continue
		}
		for _, m := range href.FindAllSubmatch(data, -1) {
			to := string(m[1])
			if strings.HasPrefix(to, "https://") || strings.HasPrefix(to, "http://") || strings.HasPrefix(to, "mailto:") {
				continue
			}
			links++
			file, anchor, _ := strings.Cut(to, "#")
			target := path
			if file != "" {
				target = filepath.ToSlash(filepath.Join(filepath.Dir(path), file))
			}
			if all[target] == nil {
				t.Errorf("%s leads to %s, which is not there", path, to)
			} else if anchor != "" && filepath.Ext(target) == ".html" && !anchors[target][anchor] {
				t.Errorf("%s leads to %s, and there is no such anchor", path, to)
			}
		}
	}
	if links < 100 {
		t.Errorf("only %d links were looked at", links)
	}
}

func TestTheSameJournalGivesTheSameBytesAndASecondPressWritesNothing(t *testing.T) {
	a, b := filepath.Join(t.TempDir(), "site"), filepath.Join(t.TempDir(), "site")
	pressed(t, "../../sample-build", a, Options{})
	pressed(t, "../../sample-build", b, Options{})
	one, two := load(t, a, ""), load(t, b, "")
	for path, data := range one {
		if filepath.Base(path) != ".bevelbook-pressed" && !bytes.Equal(data, two[path]) {
			t.Errorf("%s differs between two presses", path)
		}
	}
	if len(one) != len(two) {
		t.Errorf("%d files and %d", len(one), len(two))
	}
	before, err := os.Stat(a)
	if err != nil {
		t.Fatal(err)
	}
	if r := pressed(t, "../../sample-build", a, Options{}); r.Written != 0 || r.Removed != 0 || r.Kept != len(one)-1 {
		t.Errorf("a second press: %+v", r)
	}
	if after, err := os.Stat(a); err != nil || !os.SameFile(before, after) {
		t.Error("a second press made another folder")
	}
}

func TestAPageThatIsNotSharedStaysOutButCounts(t *testing.T) {
	red, blue := picturePNG(t, color.RGBA{200, 0, 0, 255}), picturePNG(t, color.RGBA{0, 0, 200, 255})
	got := site(t, files{
		"journal.md":      homePage,
		"log/a.md":        "---\ntitle: Open\ndate: 2026-09-05\n---\nSee [the attic](b.md), [its lamp](b.md#lamp) and ![a lamp](../photos/open.png)\n\n`-> attic.width`\n",
		"log/b.md":        "---\ntitle: Zanzibarish\ndate: 2026-09-06\nshare: no\nminutes: 600\n---\n# Lamp\n\nUmbrellaword ![x](../photos/shut.png)\n\n```panel quagga\noutline: rect(width: 50 mm, height: 70 mm)\nthickness: 3 mm\n```\n\n```dims attic\nwidth: 412 mm\n```\n",
		"photos/open.png": red, "photos/shut.png": blue,
	}, Options{})
	for path, text := range got {
		for _, word := range []string{"Zanzibarish", "Umbrellaword", "quagga", "shut", "log/b."} {
			if strings.Contains(text, word) || strings.Contains(path, word) {
				t.Errorf("%s tells of %s", path, word)
			}
		}
	}
	if !strings.Contains(got["log/a.html"], "See the attic, its lamp and") {
		t.Errorf("the links are not plain text: %s", got["log/a.html"])
	}
	if !strings.Contains(got["log/a.html"], "412 mm") || !strings.Contains(got["materials.html"], "10 h") {
		t.Error("what is not shared does not count")
	}
	shown := regexp.MustCompile(`src="\.\./photos/open-[0-9a-f]{8}\.png" alt="a lamp" width="40" height="20"`)
	if !shown.MatchString(got["log/a.html"]) {
		t.Errorf("the picture is not shown with its size: %s", got["log/a.html"])
	}
}

func TestASharedCopyHasNoFindings(t *testing.T) {
	f := files{"journal.md": homePage, "log/a.md": "---\ntitle: A\ndate: 2026-09-05\nsection: helm\n---\n[nowhere](gone.md)\n\n```dims\nidle: 5 mm\nbroken: nobody + 1 mm\n```\n"}
	got := site(t, f, Options{Share: true})
	if got["findings.html"] != "" {
		t.Error("there is a page of findings")
	}
	for path, text := range got {
		for _, word := range []string{"findings.html", "link-broken", "is set and never used"} {
			if strings.Contains(text, word) {
				t.Errorf("%s says %s", path, word)
			}
		}
	}
	if !strings.Contains(got["log/a.html"], "nothing here is called nobody") {
		t.Error("the reader is not told why a value is missing")
	}
	got = site(t, f, Options{})
	if !strings.Contains(got["findings.html"], "log/a.md:6:") || !strings.Contains(got["log/a.html"], "is set and never used") {
		t.Error("the author's copy lacks its findings")
	}
}

func TestOneBrokenBlockLeavesTheOthersStanding(t *testing.T) {
	got := site(t, files{"journal.md": homePage, "log/a.md": "---\ntitle: A\ndate: 2026-09-05\n---\n" +
		"```dims\nwall: 5 mm + 3 deg\nroof: 40 mm\n```\n\n```dims more\ntwice: 2 * wall\nside: roof + 2 mm\n```\n\nIt is `-> more.side` and `-> more.twice`.\n"}, Options{})
	page := got["log/a.html"]
	for _, words := range []string{">42 mm</output>", `class="excerpt"`, "wall: 5 mm + 3 deg", "log/a.md:6:7", `<strong class="sev">waits</strong>`, `href="#dims"`, "not worked out"} {
		if !strings.Contains(page, words) {
			t.Errorf("the page lacks %s", words)
		}
	}
}

func TestPagesWithTheNamesOfTheSitesOwnGetAnother(t *testing.T) {
	got := site(t, files{"journal.md": homePage + "[log](log.md) [parts](Parts.md)", "log.md": "# Wood", "Parts.md": "# Of speech", "index.md": "# Of words", "sections/helm.md": "# Prose",
		"log/a.md": "---\ntitle: A\ndate: 2026-09-05\nsection: helm\n---\n"}, Options{})
	for path, words := range map[string]string{"log-2.html": "Wood", "Parts-2.html": "Of speech", "index-2.html": "Of words", "sections/helm.html": "Prose",
		"sections/helm-2.html": "Entries", "index.html": `<a href="log-2.html">log</a> <a href="Parts-2.html">`} {
		if !strings.Contains(got[path], words) {
			t.Errorf("%s: %q", path, got[path])
		}
	}
}

func TestAPictureElsewhereIsALinkSoThatNobodyIsAsked(t *testing.T) {
	got := site(t, files{"journal.md": homePage + "![far](https://far.example/x.png) ![near](//far.example/y.png)"}, Options{})
	if strings.Contains(got["index.html"], `src="http`) || strings.Contains(got["index.html"], `src="//`) {
		t.Error(got["index.html"])
	}
	if !strings.Contains(got["index.html"], `<a href="https://far.example/x.png">`) {
		t.Error("there is no link to it")
	}
}

func TestAFileThatABrowserWouldRunIsNotPublished(t *testing.T) {
	f := files{"journal.md": homePage + "[page](x.html) [model](m.obj) [drawing](d.svg) ![sound](s.svg)",
		"x.html": "<script>1</script>", "m.obj": "v 0 0 0", "d.svg": `<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>`,
		"s.svg": `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 0h9"/></svg>`}
	out := filepath.Join(t.TempDir(), "site")
	r := pressFiles(t, f, Options{Out: out})
	got := load(t, out, "")
	if got["x.html"] != nil || got["d.svg"] != nil || string(got["m.obj"]) != "v 0 0 0" || got["s.svg"] == nil {
		t.Errorf("published the wrong files")
	}
	if len(r.Left) != 2 || !strings.HasPrefix(r.Left[0], "d.svg: ") || !strings.HasPrefix(r.Left[1], "x.html: ") {
		t.Errorf("left %q", r.Left)
	}
	if home := string(got["index.html"]); !strings.Contains(home, "page <a href=\"m.obj\">model</a> drawing") || !strings.Contains(home, `width="800" height="400"`) {
		t.Error(home)
	}
}

// File systems take names of 255 bytes; what the site puts behind a name must not bring it past that.
func TestNamesTooLongForAFileSystemAreCutShort(t *testing.T) {
	long := strings.Repeat("ü", 120) // 240 bytes
	picture := "photos/" + long + ".png"
	got := site(t, files{
		"journal.md":  homePage + "\n![a dot](<" + picture + ">) [on](<" + long + ".md>)\n",
		long + ".md":  "---\ntitle: Long\nsection: " + strings.Repeat("s", 260) + "\n---\n```panel " + strings.Repeat("p", 260) + "\noutline: rect(90 mm, 60 mm)\nthickness: 10 mm\n```\n",
		long + "n.md": "---\ntitle: Longer\ncover: " + picture + "\n---\n",
		picture:       picturePNG(t, color.White),
	}, Options{})
	pages := 0
	for path := range got {
		for _, name := range strings.Split(path, "/") {
			if len(name) > 230 {
				t.Errorf("%s is %d bytes long", name, len(name))
			}
		}
		if strings.HasPrefix(path, "ü") {
			pages++
		}
	}
	if pages != 2 {
		t.Errorf("%d pages with long names, want 2", pages)
	}
}
