package desk

import (
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"bevelbook/journal/journaltest"
)

// lapse is how many edits make eight hours, one a second while somebody writes. A run outside of CI makes
// fewer.
const lapse = 20_000

// A day at the desk leaves its memory as it was: 20,000 edits go through the desk's own loop as the
// watcher would hand them over, one as soon as the other is done. The first tenth is left for what is
// kept once.
func TestEightHoursOfEditsLeaveMemoryFlat(t *testing.T) {
	count := lapse / 20
	if os.Getenv("CI") == "true" {
		count = lapse
	}
	dir := t.TempDir()
	must(t, os.CopyFS(dir, journaltest.Big(10)))
	write(t, dir, "common.md", common(20))
	d := runDesk(t, Options{Dir: dir})
	// Two pages are open. One takes what it is told, one never does: neither may pile up.
	takes := &stream{page: "log/0007.html", wake: make(chan struct{}, 1)}
	d.ask(func() {
		d.join(takes)
		d.join(&stream{page: "index.html", wake: make(chan struct{}, 1)})
	})
	begun := time.Now()
	var first uint64
	told := 0
	for i := range count {
		name := lapseEdit(t, dir, i)
		d.ask(func() { d.update(batch{paths: []string{name}}) })
		if text, _ := takes.take(); strings.Contains(text, "event: page") {
			told++
		}
		if i == count/10 {
			first = live()
		}
	}
	last := live()
	t.Logf("%d edits in %v; %d times the page changed; in use after a tenth %d kB, at the end %d kB", count, time.Since(begun).Round(time.Second), told, first>>10, last>>10)
	if told < count/2 {
		t.Errorf("the page that is open was told of %d of %d edits", told, count)
	}
	if last > first+first/20+1<<20 {
		t.Errorf("memory grew from %d to %d bytes", first, last)
	}
}

// lapseEdit makes the i-th edit of a long day, which comes round to the same texts: prose, a leaf, a value
// that others use, a fault and its mending, a new page and its end.
func lapseEdit(t testing.TB, dir string, i int) (name string) {
	name = "log/0007.md"
	switch i % 8 {
	case 0:
		again(t, dir, name, func(s string) string { return fmt.Sprintf("%s\nMore words, %d.\n", s, i%100) })
	case 1, 2, 3:
		again(t, dir, name, func(s string) string {
			return strings.Replace(s, "wall:   foam10.thickness", fmt.Sprintf("leaf: %d mm\nwall: foam10.thickness", 1+i%90), 1)
		})
	case 4:
		again(t, dir, name, func(s string) string { return strings.Replace(s, "foam10.thickness", "foam10.thicknes", 1) })
	case 5:
		name = "common.md"
		write(t, dir, name, common(1+i%50))
	case 6:
		name = fmt.Sprintf("log/new-%d.md", i%7)
		write(t, dir, name, fmt.Sprintf("---\ntitle: New %d\ndate: 2020-01-01\n---\nIt is `-> shared_seam * %d`.\n", i, i%9))
	case 7:
		name = fmt.Sprintf("log/new-%d.md", (i-1)%7)
		must(t, os.Remove(dir+"/"+name))
	}
	return name
}

// live is what is in use after everything that can be freed was.
func live() uint64 {
	debug.FreeOSMemory()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
