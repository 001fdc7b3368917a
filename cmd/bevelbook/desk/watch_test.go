package desk

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// listening gathers what a watcher tells.
type listening struct {
	*watcher
	mu      sync.Mutex
	paths   map[string]int
	all     int
	batches int
	polling string
}

// listen watches a folder until the test ends.
func listenTo(t testing.TB, dir string, narrow ...func(*watcher)) *listening {
	t.Helper()
	l := &listening{watcher: newWatcher(dir, skipped), paths: map[string]int{}}
	for _, n := range narrow {
		n(l.watcher)
	}
	l.watcher.start()
	ctx, cancel := context.WithCancel(context.Background())
	var wg sync.WaitGroup
	wg.Go(func() { l.run(ctx) })
	wg.Go(func() {
		for {
			select {
			case <-ctx.Done():
				return
			case b := <-l.out:
				l.mu.Lock()
				l.batches++
				l.polling = b.polling
				if b.all {
					l.all++
				}
				for _, p := range b.paths {
					l.paths[p]++
				}
				l.mu.Unlock()
			}
		}
	})
	t.Cleanup(func() { cancel(); wg.Wait() })
	return l
}

func (l *listening) heard(paths ...string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, p := range paths {
		if l.paths[p] == 0 {
			return false
		}
	}
	return true
}

func (l *listening) list() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Sorted(maps.Keys(l.paths))
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// saves are the ways in which editors save, and what else befalls a folder. Each leads to a journal that
// the desk must show as a fresh look at the folder would.
var saves = map[string]func(t *testing.T, dir string){
	"written in place": func(t *testing.T, dir string) {
		f, err := os.OpenFile(filepath.Join(dir, "log", "one.md"), os.O_WRONLY, 0)
		must(t, err)
		_, err = f.WriteAt([]byte(firstEntry("351 mm")), 0)
		must(t, err)
		must(t, f.Close())
	},
	"emptied and written in pieces": func(t *testing.T, dir string) {
		f, err := os.Create(filepath.Join(dir, "log", "one.md"))
		must(t, err)
		text := firstEntry("352 mm")
		for len(text) > 0 {
			n := min(len(text), 2000)
			_, err = f.WriteString(text[:n])
			must(t, err)
			text = text[n:]
			time.Sleep(7 * time.Millisecond)
		}
		must(t, f.Close())
	},
	"written beside and renamed": func(t *testing.T, dir string) {
		write(t, dir, "log/one.md.tmp", firstEntry("353 mm"))
		must(t, os.Rename(filepath.Join(dir, "log", "one.md.tmp"), filepath.Join(dir, "log", "one.md")))
	},
	"moved to a backup and written anew": func(t *testing.T, dir string) {
		write(t, dir, "log/.one.md.swp", "swap")
		write(t, dir, "log/4913", "")
		must(t, os.Remove(filepath.Join(dir, "log", "4913")))
		must(t, os.Rename(filepath.Join(dir, "log", "one.md"), filepath.Join(dir, "log", "one.md~")))
		time.Sleep(20 * time.Millisecond)
		write(t, dir, "log/one.md", firstEntry("354 mm"))
		must(t, os.Remove(filepath.Join(dir, "log", "one.md~")))
		must(t, os.Remove(filepath.Join(dir, "log", ".one.md.swp")))
	},
	"folder replaced": func(t *testing.T, dir string) {
		fresh := dir + ".new"
		must(t, os.CopyFS(fresh, os.DirFS(dir)))
		write(t, fresh, "log/one.md", firstEntry("355 mm"))
		must(t, os.Rename(dir, dir+".old"))
		must(t, os.Rename(fresh, dir))
	},
	"folder replaced, then saved": func(t *testing.T, dir string) {
		must(t, os.CopyFS(dir+".new", os.DirFS(dir)))
		must(t, os.Rename(dir, dir+".old"))
		must(t, os.Rename(dir+".new", dir))
		time.Sleep(30 * time.Millisecond)
		write(t, dir, "log/one.md", firstEntry("356 mm"))
	},
	"folder moved": func(t *testing.T, dir string) {
		must(t, os.Rename(filepath.Join(dir, "log"), filepath.Join(dir, "book")))
	},
	"folder moved, then saved": func(t *testing.T, dir string) {
		must(t, os.MkdirAll(filepath.Join(dir, "log", "deep", "down"), 0o777))
		write(t, dir, "log/deep/down/here.md", "---\ntitle: Here\ndate: 2026-09-08\n---\nHere.\n")
		time.Sleep(30 * time.Millisecond)
		must(t, os.Rename(filepath.Join(dir, "log"), filepath.Join(dir, "book")))
		time.Sleep(30 * time.Millisecond)
		write(t, dir, "book/one.md", firstEntry("357 mm"))
		write(t, dir, "book/deep/down/here.md", "---\ntitle: There\ndate: 2026-09-08\n---\nThere.\n")
	},
	"folder moved away": func(t *testing.T, dir string) {
		must(t, os.Rename(filepath.Join(dir, "log"), dir+".log"))
	},
	"nested folders made": func(t *testing.T, dir string) {
		write(t, dir, "a/b/c/d/e/new.md", "---\ntitle: New\ndate: 2026-09-09\n---\nIt is `-> helm.flats` wide.\n")
	},
	"renamed": func(t *testing.T, dir string) {
		must(t, os.Rename(filepath.Join(dir, "log", "one.md"), filepath.Join(dir, "log", "first.md")))
	},
	"removed": func(t *testing.T, dir string) {
		must(t, os.Remove(filepath.Join(dir, "log", "one.md")))
	},
	"emptied": func(t *testing.T, dir string) {
		write(t, dir, "log/two.md", "")
	},
	"photo deleted": func(t *testing.T, dir string) {
		must(t, os.Remove(filepath.Join(dir, "photos", "lamp.svg")))
	},
	"photo replaced": func(t *testing.T, dir string) {
		write(t, dir, "photos/lamp.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 7 3"><path d="M0 0h7"/></svg>`)
	},
	"a thousand files from version control": func(t *testing.T, dir string) {
		for i := range 1000 {
			write(t, dir, fmt.Sprintf("branch/%02d/%03d.md", i%20, i), fmt.Sprintf("---\ntitle: Entry %d\ndate: 2026-10-%02d\n---\nIt is `-> helm.flats + %d mm`.\n", i, 1+i%28, i))
		}
		must(t, os.Remove(filepath.Join(dir, "log", "two.md")))
	},
	"journal gone and back": func(t *testing.T, dir string) {
		must(t, os.Rename(filepath.Join(dir, "journal.md"), filepath.Join(dir, "away")))
		time.Sleep(200 * time.Millisecond)
		write(t, dir, "log/one.md", firstEntry("358 mm"))
		must(t, os.Rename(filepath.Join(dir, "away"), filepath.Join(dir, "journal.md")))
	},
}

func TestEachWayOfSavingIsSeen(t *testing.T) {
	for _, mode := range []string{"watching", "polling"} {
		for name, save := range saves {
			t.Run(mode+"/"+name, func(t *testing.T) {
				t.Parallel()
				dir := small(t)
				write(t, dir, "photos/lamp.svg", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><path d="M0 0h4"/></svg>`)
				write(t, dir, "log/three.md", "---\ntitle: Three\ndate: 2026-09-07\n---\n![The lamp](../photos/lamp.svg)\n")
				d := runDesk(t, Options{Dir: dir, Poll: mode == "polling"})
				save(t, dir)
				fresh, err := openBook(dir, nil, nil)
				must(t, err)
				defer fresh.root.Close()
				want := siteOf(t, fresh)
				var differs string
				end := time.Now().Add(patience)
				for {
					var got map[string][]byte
					fault := ""
					d.ask(func() { got, fault = siteOf(t, d.book), d.fault })
					if differs = difference(got, want); differs == "" && fault == "" {
						return
					}
					if time.Now().After(end) {
						t.Fatalf("%s (%s)", differs, fault)
					}
					time.Sleep(20 * time.Millisecond)
				}
			})
		}
	}
}

// siteOf is every page of a site; pictures and prints are left out.
func siteOf(t testing.TB, b *book) map[string][]byte {
	t.Helper()
	site := map[string][]byte{}
	for _, p := range b.Paths() {
		if ext := filepath.Ext(p); ext == ".pdf" {
			continue
		}
		data, err := b.Page(p)
		if err != nil {
			t.Error(err)
		}
		site[p] = data
	}
	return site
}

func difference(got, want map[string][]byte) string {
	for p, data := range want {
		if !bytes.Equal(got[p], data) {
			return fmt.Sprintf("%s is not as a fresh look shows it: %d bytes, not %d", p, len(got[p]), len(data))
		}
	}
	for p := range got {
		if _, ok := want[p]; !ok {
			return p + " should not be there"
		}
	}
	return ""
}

func TestAWrittenFileIsToldOnceAndWhatIsHiddenNever(t *testing.T) {
	dir := small(t)
	l := listenTo(t, dir)
	write(t, dir, ".git/HEAD", "x")
	write(t, dir, "pressed/index.html", "x")
	write(t, dir, "log/.one.md.swp", "x")
	write(t, dir, "log/one.md", firstEntry("361 mm"))
	eventually(t, "the save is heard", func() bool { return l.heard("log/one.md") })
	write(t, dir, "log/two.md", "words")
	eventually(t, "the next is heard", func() bool { return l.heard("log/two.md") })
	if got := l.list(); !slices.Equal(got, []string{"log/one.md", "log/two.md"}) {
		t.Errorf("heard of %q", got)
	}
}

// A file that is emptied before it is written, or moved aside, is told when it is whole again.
func TestAFileThatIsBeingWrittenIsNotToldEmpty(t *testing.T) {
	now := time.Now()
	dir := t.TempDir()
	s := settle{root: dir}
	write(t, dir, "a.md", "")
	s.note("a.md", false, now)
	s.note("gone.md", false, now)
	write(t, dir, "b.txt", "words")
	s.note("b.txt", false, now)
	if b, wait := s.take(now); b != nil || wait != settleQuiet {
		t.Fatalf("told %v, to wait %v", b, wait)
	}
	now = now.Add(settleQuiet)
	if b, _ := s.take(now); b == nil || !slices.Equal(b.paths, []string{"b.txt"}) {
		t.Fatalf("told %v", b)
	}
	if b, wait := s.take(now); b != nil || wait != settleHold {
		t.Fatalf("told %v, to wait %v", b, wait)
	}
	write(t, dir, "a.md", "words")
	s.note("a.md", false, now)
	now = now.Add(settleQuiet)
	if b, _ := s.take(now); b == nil || !slices.Equal(b.paths, []string{"a.md"}) {
		t.Fatalf("told %v", b)
	}
	now = now.Add(settleHold)
	if b, _ := s.take(now); b == nil || !slices.Equal(b.paths, []string{"gone.md"}) {
		t.Fatalf("told %v", b)
	}
	if b, wait := s.take(now); b != nil || wait != 0 {
		t.Fatalf("told %v, to wait %v", b, wait)
	}
	// A page that is renamed goes and comes at the same time.
	write(t, dir, "new.md", "words")
	s.note("old.md", false, now)
	s.note("new.md", true, now)
	now = now.Add(settleQuiet)
	if b, _ := s.take(now); b == nil || !slices.Equal(b.paths, []string{"new.md", "old.md"}) {
		t.Fatalf("told %v", b)
	}
}

func TestASaveThatGoesOnIsToldMeanwhileAndABurstWhenItEbbs(t *testing.T) {
	start := time.Now()
	dir := t.TempDir()
	write(t, dir, "a.md", "words")
	s := settle{root: dir}
	for now := start; ; now = now.Add(time.Millisecond) {
		s.note("a.md", false, now)
		if b, _ := s.take(now); b != nil {
			if waited := now.Sub(start); waited > 15*time.Millisecond {
				t.Errorf("a save waits %v", waited)
			}
			break
		}
		if now.Sub(start) > time.Second {
			t.Fatal("a save that goes on is never told")
		}
	}
	told := 0
	for i := range 1000 {
		name := fmt.Sprintf("%03d.md", i)
		write(t, dir, name, "words")
		now := start.Add(time.Second + time.Duration(i)*time.Millisecond/5)
		s.note(name, true, now)
		if b, _ := s.take(now); b != nil {
			told++
		}
	}
	if told > 1 {
		t.Errorf("a burst of 200 ms is told in %d parts before its end", told)
	}
}

func TestWithoutWatchesItPollsAndSaysSo(t *testing.T) {
	dir := small(t)
	must(t, os.MkdirAll(filepath.Join(dir, "photos", "of", "all"), 0o777))
	l := listenTo(t, dir, func(w *watcher) { w.most = 2 })
	eventually(t, "it says so", func() bool {
		l.mu.Lock()
		defer l.mu.Unlock()
		return strings.Contains(l.polling, "no more folders")
	})
	write(t, dir, "log/one.md", firstEntry("371 mm"))
	write(t, dir, "photos/of/all/new.md", "words")
	must(t, os.Remove(filepath.Join(dir, "log", "two.md")))
	eventually(t, "it sees what changed", func() bool { return l.heard("log/one.md", "photos/of/all/new.md", "log/two.md") })
}

// Running out of watches while at work: a folder comes that cannot be watched.
func TestRunningOutOfWatchesLosesNothing(t *testing.T) {
	dir := small(t)
	l := listenTo(t, dir, func(w *watcher) { w.most = 2 })
	if l.watcher.polling != "" {
		t.Fatal("it polls at once")
	}
	write(t, dir, "more/new.md", "words")
	eventually(t, "it goes over to polling", func() bool {
		l.mu.Lock()
		defer l.mu.Unlock()
		return l.polling != "" && l.all > 0
	})
	write(t, dir, "more/new.md", "other")
	eventually(t, "it sees the save", func() bool { return l.heard("more/new.md") })
}

// Two saves of one length within the time that a file system counts in: only the content tells.
func TestPollingSeesASaveOfTheSameLengthAndTime(t *testing.T) {
	dir := small(t)
	at := filepath.Join(dir, "log", "one.md")
	stamp := time.Now().Add(-time.Second).Truncate(time.Second)
	must(t, os.Chtimes(at, stamp, stamp))
	l := listenTo(t, dir, func(w *watcher) { w.poll = true })
	write(t, dir, "log/one.md", firstEntry("381 mm"))
	must(t, os.Chtimes(at, stamp, stamp))
	eventually(t, "it is seen", func() bool { return l.heard("log/one.md") })
}
