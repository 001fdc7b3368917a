package journal

import (
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/journal/journaltest"
)

var wild = flag.Int("wild", 400, "steps of random edits")

// told is all that others can learn of a page, as text.
func told(s *Snapshot, p *Page) string {
	var b strings.Builder
	tell := func(list []finding.Finding) {
		list = slices.Clone(list)
		finding.Sort(list)
		for _, f := range list {
			fmt.Fprintf(&b, "  ! %v %v %s %s %q %q %v\n", f.At.Place(), f.Severity, f.Name, f.Section, f.Message, f.Help, f.Private)
			for _, n := range f.Notes {
				fmt.Fprintf(&b, "    %v %s\n", n.At.Place(), n.Message)
			}
		}
	}
	node := func(n *eval.Node) {
		w := n.Working(s.Settings.Style)
		fmt.Fprintf(&b, "  %s %v: %s %d; %q %v\n", n.ID, n.At.Place(), n.Cell.Value.Show(s.Settings.Style), n.Cell.Privacy, w, n.NearPrivate())
		if r, ok := n.Cell.Value.(*eval.Record); ok {
			for _, f := range r.Fields {
				fmt.Fprintf(&b, "    %s = %s %d %q %q\n", f.Name, f.Value.Show(s.Settings.Style), f.Privacy, f.Formula, f.Numbers)
			}
		}
		fmt.Fprintf(&b, "    reads %q needs", n.Reads)
		for _, m := range n.Needs {
			fmt.Fprintf(&b, " %s", m.ID)
		}
		var users []string
		for _, m := range n.Users {
			users = append(users, m.ID)
		}
		slices.Sort(users)
		fmt.Fprintf(&b, "\n")
		fmt.Fprintf(&b, "    ~ used by %v\n", users)
		tell(n.Findings)
	}
	fmt.Fprintf(&b, "%s %q\n", p.Path, p.Doc.Source)
	tell(p.Found)
	for _, blk := range p.Blocks {
		fmt.Fprintf(&b, " %s %s\n", blk.Kind.Name, blk.Eval.Name)
		for _, m := range blk.Eval.Members {
			node(m)
		}
		node(blk.Eval.Node)
		tell(blk.Findings())
		for _, q := range blk.Out.Parts {
			fmt.Fprintf(&b, "  part %s %s %s %v %v %v %v %v\n", q.Section, q.Name, q.Layer, q.At.Place(), q.Area, q.Show.EdgeLengths(), q.Hand, q.Edges)
		}
		fmt.Fprintf(&b, "  %v %d drawings %v\n", blk.Out.Tables, len(blk.Out.Drawings), blk.Out.Listing)
	}
	for _, x := range p.Spans {
		if x.Node != nil {
			node(x.Node)
		}
		tell(x.Findings(p))
	}
	if sec, ok := s.Section(p.Section()); ok {
		fmt.Fprintf(&b, " on both sides %v\n", len(sec.Sides) == 2)
	}
	for _, r := range s.Ledger.Rows {
		if r.Block.Page == p {
			fmt.Fprintf(&b, " row %s %s %d %v\n", r.ID(), r.Hand, r.Count, r.Part.Area)
		}
	}
	return b.String()
}

// toldAll is all that others can learn of a snapshot.
func toldAll(s *Snapshot) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%+v\n", s.Settings)
	for _, p := range s.Pages {
		if q, ok := s.Page(p.Path); !ok || q != p {
			fmt.Fprintf(&b, "%s is another page by its path\n", p.Path)
		}
		b.WriteString(told(s, p))
	}
	for _, sec := range s.Sections {
		fmt.Fprintf(&b, "section %s %v %v:", sec.Name, sec.Sides, sec.Minutes)
		for _, p := range sec.Pages {
			fmt.Fprintf(&b, " %s", p.Path)
		}
		for _, blk := range sec.Blocks {
			fmt.Fprintf(&b, " %v", blk.Entry.Info.Place())
		}
		b.WriteByte('\n')
	}
	for _, blk := range s.Blocks {
		fmt.Fprintf(&b, "block %v\n", blk.Entry.Info.Place())
	}
	for _, r := range s.Ledger.Rows {
		fmt.Fprintf(&b, "row %s %s %s %d\n", r.Block.Page.Path, r.ID(), r.Hand, r.Count)
	}
	for _, u := range s.Materials() {
		fmt.Fprintf(&b, "use %s %v %v %d %d %v\n", u.Name, u.Area, u.Weight, u.Pieces, u.Sheets, u.Price)
	}
	var kept []string
	for _, q := range s.Program.Kept() {
		kept = append(kept, q.Show(s.Settings.Style))
	}
	slices.Sort(kept)
	fmt.Fprintf(&b, "kept %q\n", kept)
	for _, kind := range []string{"dims", "panel", "material", "tool", "stack", "list"} {
		fmt.Fprintf(&b, "%s:", kind)
		for _, blk := range s.OfKind(kind) {
			fmt.Fprintf(&b, " %v", blk.Entry.Info.Place())
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// After any edits the snapshot is that of a fresh Load, and every page that reads otherwise is named.
func TestAnUpdateGivesWhatAFreshLoadGives(t *testing.T) {
	journaltest.Follow(t, *wild, func(files fstest.MapFS) func([]string) string {
		s := load(t, files)
		before := map[string]string{}
		return func(changed []string) string {
			clear(before)
			for _, p := range s.Pages {
				before[p.Path] = told(s, p)
			}
			c, err := s.Update(changed...)
			if err != nil {
				return err.Error()
			}
			if wrong := journaltest.Differ(toldAll(s), toldAll(load(t, files))); wrong != "" {
				return wrong
			}
			for _, p := range s.Pages {
				if c.All || slices.Contains(c.Pages, p.Path) {
					continue
				}
				if wrong := journaltest.Differ(besideUse(before[p.Path]), besideUse(told(s, p))); wrong != "" {
					return "nobody was told of " + p.Path + "\n" + wrong
				}
				if wrong := journaltest.Differ(before[p.Path], told(s, p)); wrong != "" && !slices.Contains(c.Used, p.Path) {
					return "nobody was told of the users of " + p.Path + "\n" + wrong
				}
			}
			return ""
		}
	})
}

// besideUse leaves out who uses a node: that shows only in what is found.
func besideUse(text string) string {
	lines := slices.DeleteFunc(strings.Split(text, "\n"), func(l string) bool { return strings.HasPrefix(l, "    ~") })
	return strings.Join(lines, "\n")
}

func load(t testing.TB, files fstest.MapFS) *Snapshot {
	t.Helper()
	s, err := Load(files, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// counted counts how often a file is opened, by several goroutines at once.
type counted struct {
	fstest.MapFS
	mu     *sync.Mutex
	opened map[string]int
}

func (c counted) note(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.opened[name]++
}

func (c counted) Open(name string) (fs.File, error) {
	c.note(name)
	return c.MapFS.Open(name)
}

func (c counted) ReadFile(name string) ([]byte, error) {
	c.note(name)
	return c.MapFS.ReadFile(name)
}

// Prose is written beside blocks that take long to work out: they are left alone, and only what changed is
// read.
func TestProseDoesNotWorkOutTheBlocksBesideIt(t *testing.T) {
	files := counted{journaltest.NewWild().Files, new(sync.Mutex), map[string]int{}}
	page := func(prose, width string) {
		files.MapFS["log/fin.md"] = &fstest.MapFile{Data: []byte("---\ntitle: Fin\n---\n" + prose + "\n\n```dims\nfin_width: " + width + "\n```\n\n```panel fin\noutline: trace(\"traces/plate.svg#plate\")\nthickness: max(fin_width, 10 mm)\n```\n")}
	}
	page("One.", "4 mm")
	s, err := Load(files, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, prose, width string
		reads              int
	}{{"prose", "One and a half,\non two lines.", "4 mm", 0}, {"a value that comes out the same", "Two.", "2 * 2 mm", 0}, {"another value", "Two.", "20 mm", 1}, {"nothing", "Two.", "20 mm", 0}} {
		page(c.prose, c.width)
		clear(files.opened)
		if _, err := s.Update("log/fin.md"); err != nil {
			t.Fatal(err)
		}
		if n := files.opened["traces/plate.svg"]; n != c.reads {
			t.Errorf("%s: the trace is read %d times, want %d", c.name, n, c.reads)
		}
		if len(files.opened) != 1+c.reads {
			t.Errorf("%s: opened %v", c.name, files.opened)
		}
		if wrong := journaltest.Differ(toldAll(s), toldAll(load(t, files.MapFS))); wrong != "" {
			t.Errorf("%s: %s", c.name, wrong)
		}
	}
}

func TestWhatIsNoPartOfAJournalDoesNoHarm(t *testing.T) {
	files := journaltest.NewWild().Files
	s := load(t, files)
	before := toldAll(s)
	files[".hidden/a.md"] = &fstest.MapFile{Data: []byte("hidden")}
	files["log/.a.md.swp"] = &fstest.MapFile{Data: []byte("swap")}
	files["pressed/a.md"] = &fstest.MapFile{Data: []byte("written")}
	files["node_modules/a.md"] = &fstest.MapFile{Data: []byte("strange")}
	files["log/link.md"] = &fstest.MapFile{Data: []byte("shop.md"), Mode: fs.ModeSymlink}
	for _, name := range []string{".hidden/a.md", ".hidden", "log/.a.md.swp", "pressed", "pressed/a.md", "node_modules/a.md", "log/link.md", "../out.md", "/etc/passwd", "log/../../x", "nothing/here.md", "."} {
		c, err := s.Update(name)
		if err != nil || !c.Empty() && name != "." {
			t.Errorf("%q: %v %+v", name, err, c)
		}
		if toldAll(s) != before {
			t.Errorf("%q changes the journal", name)
		}
	}
}

func TestAJournalThatLosesItsHomeStaysAsItWas(t *testing.T) {
	files := journaltest.NewWild().Files
	s := load(t, files)
	before := toldAll(s)
	delete(files, HomeName)
	if _, err := s.Update(HomeName, "log"); err != ErrNoJournal || toldAll(s) != before {
		t.Errorf("error %v", err)
	}
}

func TestAMovedFolderIsSeenByItsName(t *testing.T) {
	files := journaltest.NewWild().Files
	s := load(t, files)
	for name, f := range maps.Clone(files) {
		if rest, ok := strings.CutPrefix(name, "log/"); ok {
			delete(files, name)
			files["entries/"+rest] = f
		}
	}
	c, err := s.Update("log", "entries")
	if err != nil || len(c.Texts) != 10 || !c.Paged {
		t.Errorf("%v %+v", err, c)
	}
	if wrong := journaltest.Differ(toldAll(s), toldAll(load(t, files))); wrong != "" {
		t.Error(wrong)
	}
}
