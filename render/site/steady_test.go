package site

import (
	"fmt"
	"os"
	"runtime"
	"testing"
	"testing/fstest"

	"bevelbook/journal/journaltest"
)

// Eight hours of an edit a second, in a lapse: what is in memory at the end is what was there after the
// first of them. Beside a desk with other work a tenth of that must do.
func TestMemoryStaysFlatOverADaysEdits(t *testing.T) {
	edits := 3_000
	if os.Getenv("CI") == "true" {
		edits = 20_000
	}
	files := copyOf(t, journaltest.Big(4))
	text := string(files["log/0001.md"].Data)
	wild := journaltest.NewWild()
	for path, f := range wild.Files {
		if path != "journal.md" && path != "shop.md" && path != "wearer.md" {
			files["wild/"+path] = f
		}
	}
	s := open(t, files)
	edit := func(i int) (path string) {
		switch i % 10 {
		case 0: // a page comes and goes
			path = "log/other.md"
			if files[path] != nil {
				delete(files, path)
			} else {
				files[path] = &fstest.MapFile{Data: fmt.Appendf(nil, "---\ntitle: Other %d\ndate: 2026-01-01\n---\n```dims o%d\nx_%d: 2 mm + wrong\n```\n", i, i%7, i)}
			}
		case 5: // a block comes and goes
			path = "log/0002.md"
			files[path] = &fstest.MapFile{Data: fmt.Appendf(nil, "---\ntitle: Two\ndate: 2026-01-02\nsection: part_0%d\n---\n```panel p%d\noutline: rect(width: %d mm, height: 90 mm)\nmaterial: foam10\n```\n", i%3, i%50, 70+i%9)}
		default:
			path = "log/0001.md"
			files[path] = &fstest.MapFile{Data: fmt.Appendf(nil, "%s\n\nEdit %d.\n\n```dims\nlast: %d mm\n```\n", text, i, i)}
		}
		return path
	}
	heap := func() int {
		runtime.GC()
		runtime.GC() // what pools hold goes with the second
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int(m.HeapAlloc)
	}
	early := 0
	for i := range edits {
		if _, err := s.Update(edit(i)); err != nil {
			t.Fatal(err)
		}
		if i%5 == 0 {
			for _, path := range []string{"log/0001.html", homePath} {
				if _, err := s.Page(path); err != nil {
					t.Fatal(err)
				}
			}
		}
		if i == edits/10 {
			early = heap()
		}
	}
	if late := heap(); late > early+early/10+1<<20 {
		t.Errorf("%d kB in use after %d edits, %d kB after %d", late>>10, edits, early>>10, edits/10)
	} else {
		t.Logf("%d kB in use after %d edits, %d kB after %d", late>>10, edits, early>>10, edits/10)
	}
}
