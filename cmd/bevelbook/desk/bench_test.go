package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bevelbook/journal/journaltest"
)

// big lays a generated journal out in a folder: n entries, three blocks each, and a value that the
// first fifty entries use.
func big(t testing.TB, n int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "build")
	must(t, os.CopyFS(dir, journaltest.Big(n)))
	write(t, dir, "common.md", common(20))
	for i := range min(n, 50) {
		name := fmt.Sprintf("log/%04d.md", i)
		text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		must(t, err)
		write(t, dir, name, string(text)+fmt.Sprintf("\nThe shared seam is `-> shared_seam + %d mm` wide.\n", i))
	}
	return dir
}

func common(mm int) string {
	return fmt.Sprintf("---\ntitle: What all have in common\n---\n```dims\nshared_seam: %d mm\n```\n", mm)
}

// edits are those whose way to the page is measured: the i-th of a kind, and what the page then holds.
var edits = []struct {
	name  string
	holds func(i int) string
	edit  func(t testing.TB, dir string, i int)
}{
	{"prose", func(i int) string { return fmt.Sprintf("Words number %d.", i) }, func(t testing.TB, dir string, i int) {
		again(t, dir, "log/0007.md", func(text string) string { return fmt.Sprintf("%s\nWords number %d.\n", text, i) })
	}},
	{"leaf", func(i int) string { return fmt.Sprintf("%d mm", 7000+i) }, func(t testing.TB, dir string, i int) {
		again(t, dir, "log/0007.md", func(text string) string {
			return strings.Replace(text, "wall:   foam10.thickness", fmt.Sprintf("leaf:   %d mm\nwall:   foam10.thickness", 7000+i), 1)
		})
	}},
	{"shared", func(i int) string { return fmt.Sprintf("%d mm", 9000+i+7) }, func(t testing.TB, dir string, i int) {
		write(t, dir, "common.md", common(9000+i))
	}},
}

// originals are the texts before any edit.
var originals = map[string]string{}

// again writes a file as edited from what it was at first.
func again(t testing.TB, dir, name string, edited func(string) string) {
	t.Helper()
	at := filepath.Join(dir, filepath.FromSlash(name))
	if _, ok := originals[at]; !ok {
		text, err := os.ReadFile(at)
		must(t, err)
		originals[at] = string(text)
	}
	must(t, os.WriteFile(at, []byte(edited(originals[at])), 0o666))
}

// The time from the write returning to the page in Chromium holding what was written: median and 95th
// percentile. The page stamps each patch with its own clock, which is that of the test.
//
//	go test ./cmd/bevelbook/desk -run '^$' -bench Save -benchtime 60x
func BenchmarkSave(b *testing.B) {
	for _, n := range []int{1_000, 10_000} {
		for _, e := range edits {
			b.Run(fmt.Sprintf("%d/%s", n, e.name), func(b *testing.B) {
				if n > 1_000 && testing.Short() {
					b.Skip("long")
				}
				d := runDesk(b, Options{Dir: big(b, n)})
				page := newTab(b, 1280, 900)
				page.open(d.Address() + "log/0007.html")
				page.until(`document.getElementById("dims-d7") !== null`)
				page.run(`window.at = {}; new MutationObserver(() => {
					const now = performance.timeOrigin + performance.now(), text = document.getElementById("content").textContent;
					if (window.sought && text.includes(window.sought) && !window.at[window.sought]) { window.at[window.sought] = now; }
				}).observe(document.getElementById("content"), {subtree: true, childList: true, characterData: true})`)
				e.edit(b, d.dir, 999) // the first save finds everything cold
				time.Sleep(100 * time.Millisecond)
				var took []float64
				for i := 0; b.Loop(); i++ {
					b.StopTimer()
					h := e.holds(i)
					page.run(fmt.Sprintf("window.sought = %q", h))
					b.StartTimer()
					e.edit(b, d.dir, i)
					written := float64(time.Now().UnixMicro()) / 1000
					page.until(fmt.Sprintf("window.at[%q]", h))
					took = append(took, get[float64](page, fmt.Sprintf("window.at[%q]", h))-written)
				}
				slices.Sort(took)
				b.ReportMetric(took[len(took)/2], "ms/median")
				b.ReportMetric(took[min(len(took)-1, len(took)*95/100)], "ms/p95")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}

// The time from opening a journal to its first page served.
func BenchmarkStart(b *testing.B) {
	for _, n := range []int{1_000, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			if n > 1_000 && testing.Short() {
				b.Skip("long")
			}
			dir := big(b, n)
			for b.Loop() {
				d, err := Open(Options{Dir: dir})
				must(b, err)
				if d.view("log/0007.html").html == nil {
					b.Fatal("no page")
				}
				d.laid("log/0007.html", d.view("log/0007.html").html)
				b.StopTimer()
				d.listener.Close()
				d.watch.close()
				d.book.root.Close()
				b.StartTimer()
			}
		})
	}
}
