package editor

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A part in tallies, a material in layouts and a section in what a paint covers are words that no value
// hangs on: renaming follows them all the same.
func TestRenamingFollowsWordsThatNoValueHangsOn(t *testing.T) {
	const shop = "---\ntitle: Words\n---\n```material foam\nthickness: 10 mm\nsheet: (1 m, 1 m)\n```\n" +
		"```material white\nuse: paint\ncoverage: 9 m^2/l\ncovers: arm, leg\n```\n```layout\nof: foam\nover: build\n```\n"
	const arm = "---\nsection: arm\n---\n```panel plate\noutline: rect(width: 90 mm, height: 60 mm)\nmaterial: foam\n```\n```tally\ncut plate: 1\n```\n"
	for _, c := range []struct {
		page, at string // the place to rename at: the word's first appearance behind
		want     []string
	}{
		{"arm.md", "panel plate", []string{"panel new", "cut new: 1"}},
		{"journal.md", "material foam", []string{"material new", "of: new", "material: new"}},
		{"arm.md", "section: arm", []string{"section: new", "covers: new, leg"}},
	} {
		root, err := filepath.EvalSymlinks(t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		texts := map[string]string{}
		s := direct(t, "{}")
		for name, text := range map[string]string{"journal.md": shop, "arm.md": arm} {
			if err := os.WriteFile(filepath.Join(root, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			texts["file://"+filepath.ToSlash(filepath.Join(root, name))] = text
		}
		uri := "file://" + filepath.ToSlash(filepath.Join(root, c.page))
		for u, text := range texts {
			lay(t, s, u, text)
		}
		word := c.at[strings.LastIndexByte(c.at, ' ')+1:]
		before, _, _ := strings.Cut(texts[uri], c.at)
		offset := len(before) + len(c.at) - len(word)
		line := strings.Count(texts[uri][:offset], "\n")
		place := Position{Line: uint32(line), Character: uint32(offset - strings.LastIndexByte(texts[uri][:offset], '\n') - 1)}
		result := ask(t, s, "textDocument/rename", renameParams{positionParams{documentID{uri}, place}, "new"})
		all := ""
		for _, text := range edited(t, texts, changesOf(result)) {
			all += text
		}
		for _, want := range c.want {
			if !strings.Contains(all, want) {
				t.Errorf("renamed at %q, %q is missing in\n%s", c.at, want, all)
			}
		}
	}
}
