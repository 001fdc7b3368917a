package folder

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPathsThatDoNotFitASiteAreRefused(t *testing.T) {
	for _, path := range []string{
		"", ".", "..", "/", "/a", "a/", "a//b", "./a", "a/./b", "../a", "a/../b", `a\b`, "a\x00b", "a\nb", "a\u0085b", "a\xffb",
		".bevelbook-pressed", ".Bevelbook-Pressed", ".bevelbook-building/a",
	} {
		if err := checkPath(path); err == nil {
			t.Errorf("%q is taken", path)
		}
	}
	for _, path := range []string{"a", "a b/ü.html", ".nojekyll", "a/.bevelbook-pressed", "a..b/c", "…"} {
		if err := checkPath(path); err != nil {
			t.Errorf("%q is refused: %v", path, err)
		}
	}
}

func TestPathsThatClashAreRefused(t *testing.T) {
	for _, c := range []struct{ paths, want string }{
		{"a a", "put twice"},
		{"a.html A.html", "differ only in case"},
		{"photos/a Photos/b", "differ only in case"},
		{"straße STRAẞE", "differ only in case"}, // ß and ẞ fold alike, Unicode CaseFolding.txt
		{"a a/b", "for a file and for a folder"},
		{"a/b a", "for a file and for a folder"},
		{"a/b/c a/b", "for a file and for a folder"},
	} {
		made := claims{}
		var err error
		for _, path := range strings.Fields(c.paths) {
			err = made.add(path)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.paths, err)
		}
	}
	made := claims{}
	for _, path := range []string{"a/b", "a/c", "d", "a/d/a", "e/a/b"} {
		if err := made.add(path); err != nil {
			t.Error(err)
		}
	}
}

func TestFoldersThatHoldSomethingElseAreRefused(t *testing.T) {
	root := t.TempDir()
	lay(t, root, tree{
		"full/letter.txt": "dear", "file": "x", "link": "-> empty", "broken/.bevelbook-pressed": "nonsense", "home/x": "",
		"build/journal.md": "", "build/log/a.md": "", "unfinished/.bevelbook-building": "", "unfinished/.bevelbook-pressed": manifestHead + "\n",
	})
	if err := os.MkdirAll(filepath.Join(root, "empty"), 0o777); err != nil {
		t.Fatal(err)
	}
	t.Setenv("HOME", filepath.Join(root, "home"))
	t.Setenv("USERPROFILE", filepath.Join(root, "home"))
	was := read(t, root)
	for _, c := range []struct{ out, want string }{
		{"full", "not empty"},
		{"file", "a file"},
		{"file/inside", ""},
		{"link", "a link"},
		{"broken", "line 1"},
		{"home", "home folder"},
		{"build", "the journal itself"},
		{"build/log", "not empty"},
		{".", "holds it"},
		{"/", "root"},
		{"unfinished", "unfinished"},
	} {
		out := filepath.Join(root, c.out)
		if c.out == "/" {
			out = filepath.VolumeName(root) + "/"
		}
		p, err := Open(out, filepath.Join(root, "build"))
		if err == nil {
			p.Abandon()
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.out, err)
		}
	}
	wantTree(t, root, was)
	for _, out := range []string{"empty", "build/pressed", "home/pressed"} {
		p, err := Open(filepath.Join(root, out), filepath.Join(root, "build"))
		if err != nil {
			t.Errorf("%s: %v", out, err)
			continue
		}
		p.Abandon()
	}
	wantTree(t, root, was)
}

func TestALeftoverWithoutOurMarkIsNotTouched(t *testing.T) {
	for _, name := range []string{".pressed.bevelbook-new", ".pressed.bevelbook-old", ".pressed.bevelbook-old/sub", ".pressed.bevelbook-new/sub/sub"} {
		root := t.TempDir()
		lay(t, root, tree{name: "a person's"})
		if _, err := tryPress(filepath.Join(root, "pressed"), before); err == nil {
			t.Errorf("%s does not stop the press", name)
		}
		wantTree(t, root, tree{name: "a person's"})
	}
}

func FuzzParseManifest(f *testing.F) {
	f.Add(manifestHead + "\n")
	f.Add(string(manifestText(map[string]record{"a b": {size: 3, when: -5}, "ü/c": {size: 1 << 40}})))
	f.Add(manifestHead + "\n0 1 2 ../a\n")
	f.Fuzz(func(t *testing.T, text string) {
		records, err := parseManifest(strings.NewReader(text))
		if err != nil {
			return
		}
		for path := range records {
			if err := checkPath(path); err != nil {
				t.Error(err)
			}
		}
		again, err := parseManifest(strings.NewReader(string(manifestText(records))))
		if err != nil || len(again) != len(records) {
			t.Errorf("does not read its own list: %v", err)
		}
		for path, r := range records {
			if again[path] != r {
				t.Errorf("%q: %v, again %v", path, r, again[path])
			}
		}
	})
}
