package site

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"bevelbook/journal"
	"bevelbook/journal/entry"
	"bevelbook/journal/journaltest"
	"bevelbook/journal/proof"
)

// onDisk lays a generated journal out in a folder.
func onDisk(tb testing.TB, n int) string {
	tb.Helper()
	dir := tb.TempDir()
	if err := os.CopyFS(dir, journaltest.Big(n)); err != nil {
		tb.Fatal(err)
	}
	return dir
}

// pressed reads, checks and presses a journal into out.
func pressed(tb testing.TB, dir, out string, opt Options) Result {
	tb.Helper()
	fsys := os.DirFS(dir)
	s, err := journal.Load(fsys, journal.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	opt.Out, opt.Root = out, dir
	r, err := Press(s, fsys, proof.Run(s), opt)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// A cold press of 1,000 and of 10,000 entries. Compare with BenchmarkFloor:
//
//	go test ./render/site -run none -bench 'Press|Floor' -benchtime 5x
func BenchmarkPress(b *testing.B) {
	for _, n := range []int{1_000, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			if n > 1_000 && testing.Short() {
				b.Skip("long")
			}
			dir := onDisk(b, n)
			b.ReportAllocs()
			for b.Loop() {
				b.StopTimer()
				out := filepath.Join(b.TempDir(), "site")
				b.StartTimer()
				pressed(b, dir, out, Options{})
			}
		})
	}
}

// A press with nothing changed.
func BenchmarkPressAgain(b *testing.B) {
	dir, out := onDisk(b, 1_000), filepath.Join(b.TempDir(), "site")
	pressed(b, dir, out, Options{})
	for b.Loop() {
		if r := pressed(b, dir, out, Options{}); r.Written != 0 {
			b.Fatalf("%d files were written", r.Written)
		}
	}
}

// The floor: goldmark alone over the same text, and the bytes of the same site written to files, one
// after the other.
func BenchmarkFloor(b *testing.B) {
	dir, out := onDisk(b, 1_000), filepath.Join(b.TempDir(), "site")
	pressed(b, dir, out, Options{})
	texts, site := load(b, dir, ".md"), load(b, out, "")
	for b.Loop() {
		b.StopTimer()
		to := b.TempDir()
		for path := range site {
			if err := os.MkdirAll(filepath.Join(to, filepath.Dir(path)), 0o777); err != nil {
				b.Fatal(err)
			}
		}
		b.StartTimer()
		var html bytes.Buffer
		for _, text := range texts {
			html.Reset()
			if err := entry.Markdown.Convert(text, &html); err != nil {
				b.Fatal(err)
			}
		}
		for path, data := range site {
			if err := os.WriteFile(filepath.Join(to, path), data, 0o666); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// load reads the files of a folder, those with an ending only.
func load(tb testing.TB, dir, ext string) map[string][]byte {
	tb.Helper()
	files := map[string][]byte{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || ext != "" && filepath.Ext(path) != ext {
			return err
		}
		files[path], err = os.ReadFile(filepath.Join(dir, path))
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	return files
}
