package journal_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
	"bevelbook/journal"
	"bevelbook/journal/journaltest"
	"bevelbook/render/report"
)

const home = "---\ntitle: Lighthouse\nauthor: Somebody\nunits: mm\n---\nWelcome.\n"

// folder makes a journal of files; journal.md is added if it is missing.
func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"journal.md": {Data: []byte(home)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

func load(t testing.TB, files map[string]string) *journal.Snapshot {
	t.Helper()
	s, err := journal.Load(folder(files), journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func paths(s *journal.Snapshot) string {
	var list []string
	for _, p := range s.Pages {
		list = append(list, p.Path)
	}
	return strings.Join(list, " ")
}

func TestAFolderIsReadButForWhatIsNotTheJournals(t *testing.T) {
	files := folder(map[string]string{
		"shop.md": "", "log/b.md": "", "log/a.md": "", "log/deep/er/c.md": "", "Große Teile/ä.md": "", "notes.txt": "x", "photos/roof.jpg": "12345",
		"pressed/index.md": "", "pressed/log/a.md": "", ".git/x.md": "", ".hidden.md": "", "log/.draft.md": "", "node_modules/x/readme.md": "",
		"site/index.md": "", "log/pressed/d.md": "",
	})
	files["linked.md"] = &fstest.MapFile{Mode: fs.ModeSymlink | 0o777, Data: []byte("/etc/passwd")}
	files["pipe.md"] = &fstest.MapFile{Mode: fs.ModeNamedPipe | 0o666}
	s, err := journal.Load(files, journal.Options{Skip: "site"})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := paths(s), "Große Teile/ä.md journal.md log/a.md log/b.md log/deep/er/c.md log/pressed/d.md shop.md"; got != want {
		t.Errorf("pages are %s\nwant %s", got, want)
	}
	if len(s.Files) != 2 || s.Files["photos/roof.jpg"] != 5 || s.Files["notes.txt"] != 1 {
		t.Errorf("other files are %v", s.Files)
	}
	if page, ok := s.Page("log/a.md"); !ok || page.Title() != "a" || !s.Has("photos/roof.jpg") || s.Has("linked.md") {
		t.Error("a page or file is not found by its path")
	}
}

func TestAFolderWithoutJournalMdIsNone(t *testing.T) {
	for name, files := range map[string]fstest.MapFS{
		"empty": {}, "another name": {"Journal.md": {Data: []byte(home)}}, "a folder": {"journal.md/x": {Data: []byte(home)}},
		"a link": {"journal.md": {Mode: fs.ModeSymlink, Data: []byte("elsewhere.md")}},
	} {
		if _, err := journal.Load(files, journal.Options{}); !errors.Is(err, journal.ErrNoJournal) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A link on a real disk could lead out of the journal, or round in a circle.
func TestLinksOnDiskAreNotFollowed(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(t.TempDir(), "secret.md")
	for path, text := range map[string]string{filepath.Join(dir, "journal.md"): home, outside: "secret"} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for from, to := range map[string]string{"secret.md": outside, "again": dir, "gone.md": "nowhere.md"} {
		if err := os.Symlink(to, filepath.Join(dir, from)); err != nil {
			t.Fatal(err)
		}
	}
	s, err := journal.Load(os.DirFS(dir), journal.Options{})
	if err != nil || paths(s) != "journal.md" || len(s.Files) != 0 {
		t.Errorf("pages %s, files %v, %v", paths(s), s.Files, err)
	}
	if err := os.Remove(filepath.Join(dir, "journal.md")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dir, "journal.md")); err != nil {
		t.Fatal(err)
	}
	if _, err := journal.Load(os.DirFS(dir), journal.Options{}); !errors.Is(err, journal.ErrNoJournal) {
		t.Errorf("a linked journal.md: %v", err)
	}
}

func TestFilesThatAreNoTextAreReportedAndShown(t *testing.T) {
	s := load(t, map[string]string{
		"latin.md": "Die T\xfcr\n\n```dims\nwall: 10 mm\n```\n", "binary.md": "\x00\x01\x02\xff\xfe", "huge.md": strings.Repeat("Long.\n\n", 1_000_000),
		"use.md": "`-> wall`\n",
	})
	found := map[string]string{}
	for _, f := range s.Language() {
		found[f.At.File.Name] += f.Name
	}
	for name, want := range map[string]string{"latin.md": "not-utf8", "binary.md": "not-utf8", "huge.md": "too-long", "use.md": ""} {
		if found[name] != want {
			t.Errorf("%s: found %q, want %q", name, found[name], want)
		}
	}
	if p, _ := s.Page("huge.md"); len(p.Doc.Source) > 8<<20 {
		t.Errorf("%d bytes of a huge file are kept", len(p.Doc.Source))
	}
}

func TestSettingsComeFromTheFrontMatterOfJournalMd(t *testing.T) {
	s := load(t, map[string]string{"journal.md": "---\ntitle: The lamp\nauthor: Somebody\nunits: in 1/16\nbase_url: https://build.example/\nlanguage: en\ndescription: A walk.\n---\n", "a.md": "```dims\na: 100 mm\n```\n`-> a`\n"})
	if s.Settings.Title != "The lamp" || s.Settings.Style != (unit.Style{Imperial: true, Step: 1.0 / 16}) || s.Settings.BaseURL != "https://build.example/" {
		t.Errorf("settings are %+v", s.Settings)
	}
	page, _ := s.Page("a.md")
	if got := page.Spans[0].Node.Cell.Value.Show(s.Settings.Style); got != "3 15/16 in" {
		t.Errorf("a is %s", got)
	}
	bad := load(t, map[string]string{"journal.md": "---\ntitle: x\nunits: cubits\n---\n"})
	if list := bad.Language(); len(list) != 1 || list[0].Name != "wrong-value" || bad.Settings.Style.Imperial {
		t.Errorf("units of cubits: %v", list)
	}
}

func TestSectionsGatherTheirPagesSidesAndHours(t *testing.T) {
	s := load(t, map[string]string{
		"a.md": "---\nsection: forearm\nsides: [left, right]\nminutes: 90\n---\n```dims\nwall: 10 mm\n```\n", "b.md": "---\nsection: forearm\nsides: [left, right]\nminutes: 30\n---\n",
		"c.md": "---\nsection: roof\nminutes: 15\n---\n", "d.md": "---\nminutes: 5\n---\n",
	})
	sec, ok := s.Section("forearm")
	if !ok || len(s.Sections) != 2 || s.Sections[0] != sec || sec.Minutes != 120 || len(sec.Pages) != 2 || len(sec.Blocks) != 1 || !slices.Equal(sec.Sides, []string{"left", "right"}) {
		t.Errorf("the forearm is %+v", sec)
	}
	if s.Minutes() != 140 {
		t.Errorf("%v minutes in all", s.Minutes())
	}
}

func TestOneBrokenBlockInAHundredLeavesTheOthersWhole(t *testing.T) {
	files := map[string]string{}
	for i := range 100 {
		wall := "10 mm"
		if i == 37 {
			wall = "10 mmm"
		}
		files[fmt.Sprintf("log/%02d.md", i)] = fmt.Sprintf("---\nsection: s%02d\n---\n```dims\nwall: %s\n```\n\n```panel p\noutline: rect(width: 90 mm, height: 60 mm)\nthickness: wall\n```\n\n`-> p.volume`\n", i, wall)
	}
	s := load(t, files)
	whole := 0
	for _, p := range s.Pages {
		for _, x := range p.Spans {
			if x.Node.Cell.Value.Show(unit.Style{}) == "54 cm³" {
				whole++
			} else if p.Path != "log/37.md" {
				t.Errorf("%s is hit", p.Path)
			}
		}
	}
	if whole != 99 || len(s.Ledger.Rows) != 99 {
		t.Errorf("%d values and %d parts are worked out", whole, len(s.Ledger.Rows))
	}
	for _, f := range s.Language() {
		if f.At.File.Name != "log/37.md" {
			t.Errorf("%s: %s", f.At.File.Name, f.Message)
		}
	}
}

func TestTwoLoadsGiveTheSame(t *testing.T) {
	all := func() string {
		s, err := journal.Load(journaltest.Big(60), journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if err := report.Text(&b, s.Language(), report.Options{}); err != nil {
			t.Fatal(err)
		}
		for _, n := range s.Program.Nodes() {
			fmt.Fprintln(&b, n.ID, n.Cell.Value.Show(s.Settings.Style))
		}
		for _, r := range s.Ledger.Rows {
			fmt.Fprintln(&b, r.ID(), r.Hand, r.Count, r.Part.Area, r.Part.Weight)
		}
		for _, u := range s.Materials() {
			fmt.Fprintln(&b, u.Name, u.Area, u.Weight, u.Pieces, u.Sheets, u.Price, u.Currency)
		}
		return b.String()
	}
	first := all()
	for range 3 {
		if again := all(); again != first {
			t.Fatal("two loads differ")
		}
	}
}

func TestAnInlineValueMayGoOverTwoLines(t *testing.T) {
	s := load(t, map[string]string{"a.md": "```dims\na: 10 mm\n```\nIt is `-> a +\n2 * a` wide.\n\n> And `-> a +\n> 3 * a` there.\n"})
	if list := s.Language(); len(list) > 0 {
		t.Fatal(list[0].Message)
	}
	page, _ := s.Page("a.md")
	for i, want := range []string{"30 mm", "40 mm"} {
		if got := page.Spans[i].Node.Cell.Value.Show(unit.Style{}); got != want {
			t.Errorf("span %d is %s, want %s", i, got, want)
		}
	}
}

func TestLinksLeadWhereTheyAreWritten(t *testing.T) {
	s := load(t, map[string]string{"log/a.md": "x"})
	page, _ := s.Page("log/a.md")
	for target, want := range map[string]journal.Target{
		"../shop.md#sheets": {Path: "shop.md", Fragment: "sheets"}, "b.md": {Path: "log/b.md"}, "#here": {Fragment: "here"}, "": {},
		"https://other.example/x": {Outside: true}, "//other.example/x": {Outside: true}, "mailto:a@b.example": {Outside: true},
		"../../x.md": {Path: "../x.md", Escapes: true}, "/etc/passwd": {Path: "log/etc/passwd", Escapes: true}, "ein%20Bild.jpg": {Path: "log/ein Bild.jpg"},
		`..\x.md`: {Path: `log/..\x.md`, Escapes: true}, "%zz": {Path: "%zz", Escapes: true},
	} {
		if got := page.Resolve(target); got != want {
			t.Errorf("%q leads to %+v, want %+v", target, got, want)
		}
	}
}

func TestAnchorsOfBlocksAreTheirNamesOrNumbers(t *testing.T) {
	s := load(t, map[string]string{"a.md": "```dims\na: 1\n```\n```panel lid\n```\n```dims\nb: 1\n```\n```dims cuff\nc: 1\n```\n"})
	var list []string
	for _, b := range s.Blocks {
		list = append(list, b.Anchor())
	}
	if got := strings.Join(list, " "); got != "dims panel-lid dims-2 dims-cuff" {
		t.Errorf("anchors are %s", got)
	}
}

func TestFindingsOfABlockKnowTheirSectionPartAndPrivacy(t *testing.T) {
	s := load(t, map[string]string{"a.md": "---\nsection: forearm\n---\n```panel lid\nthickness: 6 mm\n```\n", "w.md": "```wearer\nwrist_girth: 60 mm\n```\n"})
	list := s.Language()
	if len(list) != 2 || list[0].Section != "forearm" || list[0].Part != "lid" || list[0].Private || !list[1].Private || list[1].Part != "wrist_girth" {
		t.Errorf("%+v", list)
	}
	if _, known := s.Program.Lookup("forearm", "lid").Cell.Value.(eval.Unknown); !known {
		t.Error("a block that cannot be worked out has a value")
	}
}
