package journaltest

import (
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
)

// golden is the file of an archive that holds what is expected of the others.
const golden = "findings"

// Golden runs one test for each archive (txtar) that the pattern matches. The archive holds a small
// journal and, in its file "findings", what found must give for it; update writes that file anew. A
// journal.md may be left out. A line "@repeat 3 text" stands for three lines of text.
func Golden(t *testing.T, pattern string, update bool, found func(*testing.T, fs.FS) string) {
	t.Helper()
	names, err := filepath.Glob(pattern)
	if err != nil || len(names) == 0 {
		t.Fatalf("no cases in %s: %v", pattern, err)
	}
	for _, name := range names {
		dir, file := filepath.Split(strings.TrimSuffix(name, ".txtar"))
		t.Run(filepath.Base(dir)+"/"+file, func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			files := fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: Build\nauthor: Nobody\n---\n")}}
			want := -1
			for i, f := range archive.Files {
				if f.Name == golden {
					want = i
					continue
				}
				files[f.Name] = &fstest.MapFile{Data: repeated(f.Data)}
			}
			got := found(t, files)
			if want < 0 {
				want = len(archive.Files)
				archive.Files = append(archive.Files, txtar.File{Name: golden})
			}
			if update {
				archive.Files[want].Data = []byte(got)
				if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got != string(archive.Files[want].Data) {
				t.Errorf("%s\nfound:\n%s\nwant:\n%s", archive.Comment, got, archive.Files[want].Data)
			}
		})
	}
}

// repeated writes out the lines that begin with @repeat.
func repeated(data []byte) []byte {
	if !strings.Contains(string(data), "@repeat ") {
		return data
	}
	var b strings.Builder
	for _, line := range strings.SplitAfter(string(data), "\n") {
		if rest, ok := strings.CutPrefix(line, "@repeat "); ok {
			count, text, _ := strings.Cut(rest, " ")
			n, _ := strconv.Atoi(count)
			line = strings.Repeat(text, n)
		}
		b.WriteString(line)
	}
	return []byte(b.String())
}
