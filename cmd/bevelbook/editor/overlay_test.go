package editor

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/journal"
)

func TestUnsavedTextsLieOverTheDisk(t *testing.T) {
	disk := fstest.MapFS{
		"journal.md": {Data: []byte("disk")}, "log/a.md": {Data: []byte("disk")}, "log/c.md": {Data: []byte("disk")},
	}
	over := overlay{disk, map[string]string{"log/a.md": "editor", "log/b.md": "editor, new", "nowhere/d.md": "editor"}}
	var got []string
	err := fs.WalkDir(over, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(over, p)
		info, statErr := fs.Stat(over, p)
		if err != nil || statErr != nil || info.Size() != int64(len(data)) || info.Name() != d.Name() {
			t.Errorf("%s: %v %v %v", p, err, statErr, info)
		}
		got = append(got, p+" "+string(data))
		return nil
	})
	want := []string{"journal.md disk", "log/a.md editor", "log/b.md editor, new", "log/c.md disk"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("got %q, %v", got, err)
	}
}

func TestAJournalIsReadThroughTheOverlay(t *testing.T) {
	disk := fstest.MapFS{"journal.md": {Data: []byte("```dims\na: 1 mm\n```\n")}}
	s, err := journal.Load(overlay{disk, map[string]string{"more.md": "```dims\nb: 2 * a\n```\n"}}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Program.Lookup("", "b").Cell.Value.Show(s.Settings.Style); got != "2 mm" {
		t.Errorf("b is %s", got)
	}
}

func TestAddressesAndPathsGoThereAndBack(t *testing.T) {
	for _, path := range []string{"/build/log/a.md", "/build/Größe 🗼/a b.md", "/a#b/50%/c?.md", "/a%20b.md"} {
		if got := pathOf(uriOf(path)); got != path {
			t.Errorf("%s became %s by way of %s", path, got, uriOf(path))
		}
	}
	for _, uri := range []string{"untitled:1", "https://lighthouse.example/a.md", "file://elsewhere/a.md", "file:a.md", "%", ""} {
		if got := pathOf(uri); got != "" {
			t.Errorf("%s became %s", uri, got)
		}
	}
	if got := pathOf("file:///c%3A/build/a.md"); !strings.HasPrefix(got, "c:") {
		t.Errorf("a drive became %s", got)
	}
}
