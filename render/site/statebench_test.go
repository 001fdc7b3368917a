//go:build unix

package site

import (
	"bytes"
	"fmt"
	"syscall"
	"testing"
	"testing/fstest"

	"bevelbook/journal/journaltest"
)

// edits are those that a maker makes most, each with the page that is looked at: in the prose, of a value
// that nothing else uses, of one that 50 pages use.
var edits = []struct {
	name, path, from, to, looked string
}{
	{"prose", "log/0050.md", "The side is", "The %d side is", "log/0050.html"},
	{"leaf", "log/0050.md", "\nwidth:", "\nwidth: %d mm +", "log/0050.html"},
	{"shared", "log/shared.md", "common: 5 mm", "common: %d mm", "log/0000.html"},
}

// shared is a large journal with a value that 50 entries use.
func shared(tb testing.TB, n int) fstest.MapFS {
	files := copyOf(tb, journaltest.Big(n))
	files["log/shared.md"] = &fstest.MapFile{Data: []byte("---\ntitle: Shared\n---\n```dims shared\ncommon: 5 mm\n```\n")}
	for i := range 50 {
		f := files[fmt.Sprintf("log/%04d.md", i*n/50)]
		f.Data = append(f.Data, fmt.Sprintf("\n\n```dims\nmine_%d: 2 * shared.common\n```\n\nThat is `-> mine_%d`.\n", i, i)...)
	}
	return files
}

// One edit with all that follows, and the page that is looked at drawn again. It is to cost the same in a
// journal of any size. On a machine with other work look at cpu-ns/op, which counts this process alone:
//
//	go test ./render/site -run none -bench With -benchtime 200x
func BenchmarkWith(b *testing.B) {
	for _, n := range []int{100, 1_000, 10_000} {
		if n > 1_000 && testing.Short() {
			continue
		}
		files := shared(b, n)
		s := open(b, files)
		for _, e := range edits {
			text := files[e.path].Data
			look := func() {
				if _, err := s.Page(e.looked); err != nil {
					b.Fatal(err)
				}
			}
			look()
			b.Run(fmt.Sprintf("%s/%d", e.name, n), func(b *testing.B) {
				i, before := 0, cpu(b)
				for b.Loop() {
					i++
					files[e.path] = &fstest.MapFile{Data: bytes.Replace(text, []byte(e.from), fmt.Appendf(nil, e.to, i%1000), 1)}
					c, err := s.Update(e.path)
					if err != nil || c.All || len(c.Pages) == 0 {
						b.Fatal(c, err)
					}
					look()
				}
				b.ReportMetric(float64(cpu(b)-before)/float64(i), "cpu-ns/op")
			})
		}
	}
}

// cpu is the time that this process has worked, in ns.
func cpu(tb testing.TB) int64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return u.Utime.Nano() + u.Stime.Nano()
}
