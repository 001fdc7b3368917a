package site

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
	"bevelbook/journal/journaltest"
	"bevelbook/journal/proof"
	"bevelbook/render/page"
	"bevelbook/themes"
)

// copyOf is a journal in memory that a test can change.
func copyOf(t testing.TB, from fs.FS) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	err := fs.WalkDir(from, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, path)
		files[path] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func open(t testing.TB, fsys fs.FS) *State {
	t.Helper()
	s, err := Open(fsys, journal.Options{}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// fromScratch is the site and the findings of a journal as a press makes them.
func fromScratch(t testing.TB, fsys fs.FS) map[string][]byte {
	t.Helper()
	s, err := journal.Load(fsys, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := t.TempDir()
	if _, err := Press(s, fsys, proof.Run(s), Options{Out: out + "/site"}); err != nil {
		t.Fatal(err)
	}
	files := load(t, out+"/site", "")
	maps.DeleteFunc(files, func(path string, _ []byte) bool { return path[0] == '.' })
	return files
}

func TestTheSiteInMemoryIsThatOfAPress(t *testing.T) {
	fsys := copyOf(t, journaltest.Big(12))
	s := open(t, fsys)
	same(t, s, fromScratch(t, fsys))
	fsys["log/0003.md"].Data = bytes.Replace(fsys["log/0003.md"].Data, []byte("width:"), []byte("width: 7 mm +"), 1)
	delete(fsys, "log/0005.md")
	if _, err := s.Update("log/0003.md", "log/0005.md"); err != nil {
		t.Fatal(err)
	}
	same(t, s, fromScratch(t, fsys))
}

// What a seam block says stands on the templates of parts of other pages.
func TestTemplatesInMemoryFollowTheSeamsOfOtherPages(t *testing.T) {
	const board = "---\nsection: %s\n---\n```panel board\noutline: rect(width: 90 mm, height: 420 mm)\nthickness: 10 mm\n```\n"
	page := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	fsys := fstest.MapFS{
		"journal.md": page("---\ntitle: t\n---\n"), "arm.md": page(fmt.Sprintf(board, "arm")), "leg.md": page(fmt.Sprintf(board, "leg")),
		"glue.md": page("---\nsection: glue\n---\n```seam s\nedges: arm.board.edge.left, leg.board.edge.right\n```\n"),
	}
	s := open(t, fsys)
	same(t, s, fromScratch(t, fsys))
	for _, edges := range []string{"arm.board.edge.right, leg.board.edge.right", "arm.board.edge.top, arm.board.edge.bottom", "arm.board.edge.right, leg.board.edge.left"} {
		fsys["glue.md"] = page("---\nsection: glue\n---\n```seam s\nedges: " + edges + "\n```\n")
		if _, err := s.Update("glue.md"); err != nil {
			t.Fatal(err)
		}
		same(t, s, fromScratch(t, fsys))
	}
	if svg, err := s.Page("templates/leg/board.svg"); err != nil || !bytes.Contains(svg, []byte("arm.board.right")) {
		t.Errorf("the template of a board does not name what it meets: %v\n%s", err, svg)
	}
}

// same holds a site in memory against a pressed one.
func same(t testing.TB, s *State, want map[string][]byte) {
	t.Helper()
	if got, want := s.Paths(), slices.Sorted(maps.Keys(want)); !slices.Equal(got, want) {
		t.Fatalf("files are\n%q\nwant\n%q", got, want)
	}
	for path, data := range want {
		got, err := s.Page(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, data) {
			t.Fatalf("%s differs from the press:\n%s\nwant\n%s", path, got, data)
		}
	}
}

var wild = flag.Int("wild", 200, "steps of random edits")

// After any edits every file of the site has the bytes of a press from scratch, and of every page that
// has others the viewers are told.
func TestAfterAnyEditsTheSiteIsThatOfAPress(t *testing.T) {
	journaltest.Follow(t, *wild, func(files fstest.MapFS) func([]string) string {
		s := open(t, files)
		fresh := func() map[string][]byte {
			snap, err := journal.Load(files, journal.Options{})
			if err != nil {
				t.Fatal(err)
			}
			return pressedIntoMemory(t, snap, files)
		}
		before := fresh()
		return func(changed []string) string {
			c, err := s.Update(changed...)
			if err != nil {
				return err.Error()
			}
			want := fresh()
			if wrong := journaltest.Differ(strings.Join(s.Paths(), "\n"), strings.Join(slices.Sorted(maps.Keys(want)), "\n")); wrong != "" {
				return wrong
			}
			for path, data := range want {
				got, err := s.Page(path)
				if err != nil {
					return err.Error()
				}
				if wrong := journaltest.Differ(string(got), string(data)); wrong != "" {
					return path + "\n" + wrong
				}
			}
			if got, want := fmt.Sprint(s.Findings()), fmt.Sprint(open(t, files).Findings()); got != want {
				return "findings\n" + journaltest.Differ(got, want)
			}
			for _, p := range s.snap.Pages {
				at, shown := s.Place(p.Path)
				if shown && !p.IsHome() && !c.All && !slices.Contains(c.Pages, at) && !bytes.Equal(before[at], want[at]) {
					return "nobody was told of " + at
				}
			}
			before = want
			return ""
		}
	})
}

// pressedIntoMemory presses a journal onto a shelf in memory.
func pressedIntoMemory(t testing.TB, s *journal.Snapshot, fsys fs.FS) map[string][]byte {
	t.Helper()
	theme, err := themes.Get(themeOf(s, Options{}))
	if err != nil {
		t.Fatal(err)
	}
	shelf := &locked{memory: memory{files: map[string][]byte{}}}
	p := &press{newPlan(s, fsys, page.NewBook(s, proof.Run(s), false), theme), shelf}
	p.published = p.file
	if err := p.all(); err != nil {
		t.Fatal(err)
	}
	return shelf.files
}

// locked is a shelf on which a whole press can put things at once.
type locked struct {
	mu sync.Mutex
	memory
}

func (l *locked) Put(path string, data []byte) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.memory.Put(path, data)
}

func TestReadersAndUpdatesDoNotMeet(t *testing.T) {
	fsys := copyOf(t, journaltest.Big(8))
	s := open(t, fsys)
	var wg sync.WaitGroup
	for range 3 {
		wg.Go(func() {
			for range 20 {
				if _, err := s.Page("log/0003.html"); err != nil {
					t.Error(err)
				}
				s.Read(func(snap *journal.Snapshot, found *proof.Findings) { found.All() })
			}
		})
	}
	text := fsys["log/0003.md"].Data
	for i := range 10 {
		s.mu.Lock() // the files in memory have no lock of their own
		fsys["log/0003.md"].Data = append(slices.Clone(text), byte('a'+i))
		s.mu.Unlock()
		if _, err := s.Update("log/0003.md"); err != nil {
			t.Fatal(err)
		}
	}
	wg.Wait()
}
