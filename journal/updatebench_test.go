package journal

import (
	"bytes"
	"fmt"
	"io/fs"
	"testing"
	"testing/fstest"

	"bevelbook/journal/journaltest"
)

// edits are those that a maker makes most: in the prose, of a value that nothing else uses, and of one
// that 50 pages use.
var edits = []struct {
	name, path, from, to string
}{
	{"prose", "log/0050.md", "The side is", "The %d side is"},
	{"leaf", "log/0050.md", "\nwidth:", "\nwidth: %d mm +"},
	{"shared", "log/shared.md", "common: 5 mm", "common: %d mm"},
}

// shared is a large journal with a value that 50 entries use.
func shared(tb testing.TB, n int) fstest.MapFS {
	tb.Helper()
	files := fstest.MapFS{}
	big := journaltest.Big(n)
	err := fs.WalkDir(big, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(big, path)
		files[path] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	files["log/shared.md"] = &fstest.MapFile{Data: []byte("---\ntitle: Shared\n---\n```dims shared\ncommon: 5 mm\n```\n")}
	for i := range 50 {
		f := files[fmt.Sprintf("log/%04d.md", i*n/50)]
		f.Data = append(f.Data, "\n\n```dims\nmine_"+fmt.Sprint(i)+": 2 * shared.common\n```\n"...)
	}
	return files
}

// An update after one edit: that of reading, working out and putting in order. It is to cost the same
// in a journal of any size.
//
//	go test ./journal -run none -bench Update
func BenchmarkUpdate(b *testing.B) {
	for _, n := range []int{100, 1_000, 10_000} {
		if n > 1_000 && testing.Short() {
			continue
		}
		files := shared(b, n)
		s := load(b, files)
		for _, e := range edits {
			text := files[e.path].Data
			b.Run(fmt.Sprintf("%s/%d", e.name, n), func(b *testing.B) {
				i := 0
				for b.Loop() {
					i++
					files[e.path] = &fstest.MapFile{Data: bytes.Replace(text, []byte(e.from), fmt.Appendf(nil, e.to, i%1000), 1)}
					if _, err := s.Update(e.path); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
