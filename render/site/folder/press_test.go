package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// tree is a folder's content: path to text; a link's text is "-> target".
type tree map[string]string

// press writes files into out and fails the test if that fails.
func press(t testing.TB, out string, files tree) Result {
	t.Helper()
	result, err := tryPress(out, files)
	if err != nil {
		t.Fatal(err)
	}
	return result
}

func tryPress(out string, files tree) (Result, error) {
	p, err := Open(out, "")
	if err != nil {
		return Result{}, err
	}
	defer p.Abandon()
	for _, path := range slices.Sorted(maps.Keys(files)) {
		if err := p.Put(path, []byte(files[path])); err != nil {
			return Result{}, err
		}
	}
	return p.Finish()
}

// lay writes files by hand.
func lay(t testing.TB, folder string, files tree) {
	t.Helper()
	for path, text := range files {
		name := filepath.Join(folder, path)
		err := os.MkdirAll(filepath.Dir(name), 0o777)
		if target, isLink := strings.CutPrefix(text, "-> "); isLink {
			err = errors.Join(err, os.Symlink(target, name))
		} else {
			err = errors.Join(err, os.WriteFile(name, []byte(text), 0o666))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// read gives what a folder holds, the list of pressed files apart.
func read(t testing.TB, folder string) tree {
	t.Helper()
	files := tree{}
	err := filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == manifestName {
			return err
		}
		rel, _ := filepath.Rel(folder, name)
		if d.Type()&fs.ModeSymlink != 0 {
			target, err := os.Readlink(name)
			files[filepath.ToSlash(rel)] = "-> " + target
			return err
		}
		text, err := os.ReadFile(name)
		files[filepath.ToSlash(rel)] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func wantTree(t testing.TB, folder string, want ...tree) {
	t.Helper()
	got := read(t, folder)
	for _, w := range want {
		if maps.Equal(got, w) {
			return
		}
	}
	t.Fatalf("%s holds\n%v\nwant one of\n%v", folder, got, want)
}

// wantAlone fails if anything but the site stands beside it.
func wantAlone(t testing.TB, out string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(out))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(out) {
			t.Errorf("left beside the site: %s", e.Name())
		}
	}
}

func with(files ...tree) tree {
	all := tree{}
	for _, f := range files {
		maps.Copy(all, f)
	}
	return all
}

var (
	before = tree{"index.html": "old home", "tower/side.html": "tower", "style.css": "css", "helm/roof.html": "roof", "x/y/gone.html": "gone"}
	after  = tree{"index.html": "new home", "tower/side.html": "tower", "style.css": "css", "tower/door.html": "door", "lamp/wick.html": "wick"}
	added  = tree{"CNAME": "lantern.example", ".nojekyll": "", "mine/deep/note.txt": "mine", "tower/sketch.txt": "by hand", "short": "-> mine/deep"}
)

func TestPressWritesKeepsAndRemoves(t *testing.T) {
	out := filepath.Join(t.TempDir(), "new", "pressed")
	if got := press(t, out, before); got.Written != 5 || got.Kept != 0 || got.Removed != 0 {
		t.Errorf("first press: %+v", got)
	}
	wantTree(t, out, before)
	wantAlone(t, out)
	if got := press(t, out, after); got.Written != 3 || got.Kept != 2 || got.Removed != 2 {
		t.Errorf("second press: %+v", got)
	}
	wantTree(t, out, after)
	wantAlone(t, out)
	if _, err := os.Stat(filepath.Join(out, "x")); !errors.Is(err, fs.ErrNotExist) {
		t.Error("a folder with nothing left in it stays")
	}
}

func TestFilesOfAPersonAreCarriedOver(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	lay(t, out, added)
	if err := os.MkdirAll(filepath.Join(out, "mine", "empty"), 0o750); err != nil {
		t.Fatal(err)
	}
	was, _ := os.Stat(filepath.Join(out, "CNAME"))
	press(t, out, after)
	wantTree(t, out, with(after, added))
	wantAlone(t, out)
	if now, _ := os.Stat(filepath.Join(out, "CNAME")); !os.SameFile(was, now) || !was.ModTime().Equal(now.ModTime()) {
		t.Error("a person's file was written anew")
	}
	if info, err := os.Stat(filepath.Join(out, "mine", "empty")); err != nil || info.Mode().Perm() != 0o750 {
		t.Errorf("a person's empty folder: %v, %v", info, err)
	}
	press(t, out, tree{"index.html": "alone"})
	wantTree(t, out, with(tree{"index.html": "alone"}, added))
}

func TestFilesAreCopiedWhereLinksAreNotToBeHad(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	lay(t, out, added)
	withoutLinks(t)
	press(t, out, after)
	wantTree(t, out, with(after, added))
	wantAlone(t, out)
	if got := press(t, out, after); got.Written != 0 || got.Kept != len(after) {
		t.Errorf("press after a copying one: %+v", got)
	}
}

func withoutLinks(t *testing.T) {
	was := link
	t.Cleanup(func() { link = was })
	link = func(string, string) error { return errors.ErrUnsupported }
}

func withoutExchange(t *testing.T) {
	was := tradePlaces
	t.Cleanup(func() { tradePlaces = was })
	tradePlaces = func(string, string) error { return errors.ErrUnsupported }
}

func TestTwoRenamesStandInForAnExchange(t *testing.T) {
	withoutExchange(t)
	TestPressWritesKeepsAndRemoves(t)
	TestFilesOfAPersonAreCarriedOver(t)
}

func TestNothingIsTouchedWhenNothingChanged(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	lay(t, out, added)
	long := time.Now().Add(-48 * time.Hour)
	var names []string
	err := filepath.WalkDir(filepath.Dir(out), func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.Type()&fs.ModeSymlink == 0 {
			names = append(names, name)
			err = os.Chtimes(name, long, long) // pressed files too: their content is compared then
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := press(t, out, before); got.Written != 0 || got.Kept != 5 || got.Removed != 0 || got.Overwritten != nil {
		t.Errorf("%+v", got)
	}
	for _, name := range names {
		if info, err := os.Stat(name); err != nil || !info.ModTime().Equal(long) {
			t.Errorf("touched: %s, %v", name, err)
		}
	}
	wantTree(t, out, with(before, added))
}

func TestChangesByHandAreToldAndNeverLostSilently(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	lay(t, out, tree{"style.css": "mine", "x/y/gone.html": "I wrote here"})
	got := press(t, out, after)
	if !slices.Equal(got.Overwritten, []string{"style.css"}) || !slices.Equal(got.Spared, []string{"x/y/gone.html"}) || got.Removed != 1 {
		t.Errorf("%+v", got)
	}
	wantTree(t, out, with(after, tree{"x/y/gone.html": "I wrote here"}))
}

func TestAPressedFileThatIsOnlyTouchedIsRemoved(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	if err := os.Chtimes(filepath.Join(out, "helm/roof.html"), time.Now(), time.Unix(1e9, 0)); err != nil {
		t.Fatal(err)
	}
	if got := press(t, out, after); got.Removed != 2 || got.Spared != nil {
		t.Errorf("%+v", got)
	}
	wantTree(t, out, after)
}

func TestAPersonsFileIsNeverOverwritten(t *testing.T) {
	for _, theirs := range []tree{
		{"tower/door.html": "mine"}, {"lamp": "a file"}, {"tower/door.html/note": "in a folder"}, {"Lamp/Wick.html": "case"}, {"lamp": "-> mine"},
	} {
		out := filepath.Join(t.TempDir(), "pressed")
		press(t, out, before)
		lay(t, out, theirs)
		_, err := tryPress(out, after)
		if !errors.Is(err, errInTheWay) {
			t.Errorf("%v: %v", theirs, err)
		}
		wantTree(t, out, with(before, theirs))
		wantAlone(t, out)
	}
}

func TestFilesThatComeWhileThePressRunsAreMovedToTheNewSite(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	lay(t, out, added)
	late := tree{"late.txt": "late", "mine/deep/late.txt": "late too"}
	at(t, "before swap", func() {
		lay(t, out, late)
		if err := os.Remove(filepath.Join(out, "CNAME")); err != nil {
			t.Fatal(err)
		}
		lay(t, out, tree{"CNAME": "a later one"})
	})
	press(t, out, after)
	wantTree(t, out, with(after, added, late, tree{"CNAME": "a later one"}))
	wantAlone(t, out)
}

// The late file is as long as the pressed one and may be as old to the tick.
func TestALateFileAtAPressedPathIsKeptAndTold(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	at(t, "before swap", func() { lay(t, out, tree{"tower/door.html": "mine"}) })
	if _, err := tryPress(out, after); err == nil || !strings.Contains(err.Error(), "came while the site was written") {
		t.Error(err)
	}
	wantTree(t, out, after)
	if got := read(t, filepath.Dir(out)); got[".pressed.bevelbook-new/tower/door.html"] != "mine" {
		t.Errorf("the late file is lost: %v", got)
	}
	if _, err := Open(out, ""); err == nil {
		t.Error("the next press goes over it")
	}
}

// at runs do once when the press reaches point.
func at(t *testing.T, point string, do func()) {
	t.Cleanup(func() { reached = func(string) {} })
	var once sync.Once
	reached = func(p string) {
		if p == point {
			once.Do(do)
		}
	}
}

func TestAFailedPressLeavesTheOldSite(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	press(t, out, before)
	p, err := Open(out, "")
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Put("index.html", []byte("new")); err != nil {
		t.Fatal(err)
	}
	if err := p.Put("../index.html", []byte("new")); err == nil {
		t.Error("a path out of the site is taken")
	}
	if _, err := p.Finish(); err == nil || !strings.Contains(err.Error(), "../index.html") {
		t.Errorf("finishing after a failure: %v", err)
	}
	wantTree(t, out, before)
	wantAlone(t, out)
	if err := p.Put("a", nil); err == nil {
		t.Error("a finished press takes files")
	}
	if _, err := p.Finish(); err == nil {
		t.Error("a press finishes twice")
	}
}

func TestAnAbandonedPressLeavesNothing(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	p, err := Open(out, "")
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Put("a/b", []byte("c")); err != nil {
		t.Fatal(err)
	}
	p.Abandon()
	p.Abandon()
	wantAlone(t, out)
	if _, err := os.Stat(out); !errors.Is(err, fs.ErrNotExist) {
		t.Error("the abandoned site exists")
	}
}

func TestASecondPressIsToldOfTheFirst(t *testing.T) {
	for _, there := range []bool{false, true} {
		out := filepath.Join(t.TempDir(), "pressed")
		if there {
			press(t, out, before)
		}
		p, err := Open(out, "")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := tryPress(out, after); !errors.Is(err, errBusy) {
			t.Errorf("second press: %v", err)
		}
		if err := p.Put("a", nil); err != nil {
			t.Error(err)
		}
		if _, err := p.Finish(); err != nil {
			t.Error(err)
		}
		wantTree(t, out, tree{"a": ""})
		press(t, out, after)
	}
}

func TestPutMayBeCalledFromManyGoroutines(t *testing.T) {
	out := filepath.Join(t.TempDir(), "pressed")
	want := tree{}
	for round := range 3 {
		p, err := Open(out, "")
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		for n := range 200 {
			path, text := fmt.Sprintf("f%d/g%d/%d.html", n%7, n%3, n), fmt.Sprint(n*(1+round*(n%2)))
			want[path] = text
			all.Go(func() {
				if err := p.Put(path, []byte(text)); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
		if got, err := p.Finish(); err != nil || got.Written+got.Kept != 200 {
			t.Fatal(got, err)
		}
		wantTree(t, out, want)
	}
}

func BenchmarkPress1000(b *testing.B) {
	files := tree{}
	for n := range 1000 {
		files[fmt.Sprintf("entries/%d/index.html", n)] = strings.Repeat(fmt.Sprint("page ", n, "\n"), 1000)
	}
	b.Run("cold", func(b *testing.B) {
		for n := 0; b.Loop(); n++ {
			out := filepath.Join(b.TempDir(), fmt.Sprint(n))
			press(b, out, files)
		}
	})
	b.Run("unchanged", func(b *testing.B) {
		out := filepath.Join(b.TempDir(), "pressed")
		press(b, out, files)
		for b.Loop() {
			press(b, out, files)
		}
	})
	b.Run("one changed", func(b *testing.B) {
		out := filepath.Join(b.TempDir(), "pressed")
		press(b, out, files)
		for n := 0; b.Loop(); n++ {
			files["entries/7/index.html"] = fmt.Sprint(n)
			press(b, out, files)
		}
	})
}
