package proof_test

import (
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"

	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// Whatever stands on a page, the journal is worked out and checked, and each finding can be read.
func FuzzProof(f *testing.F) {
	for _, pattern := range []string{"testdata/*/*.txtar", "../testdata/errors/*.txtar"} {
		names, _ := filepath.Glob(pattern)
		for _, name := range names {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				f.Fatal(err)
			}
			for _, file := range archive.Files {
				if filepath.Ext(file.Name) == ".md" && len(file.Data) < 4000 {
					f.Add(string(file.Data))
				}
			}
		}
	}
	const shop = "```material foam\nthickness: 10 mm\nsheet: (500 mm, 300 mm)\ndensity: 100 kg/m^3\n```\n```tool saw\ntilt: 45 deg\nheight: 30 mm\nhold: 40 mm\n```\n```limits\nworn_wall: 12 mm\n```\n"
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 {
			return // hangs show in short texts
		}
		s, err := journal.Load(fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: x\n---\n")}, "shop.md": {Data: []byte(shop)}, "page.md": {Data: []byte(text)}}, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range proof.Run(s) {
			if g.Name == "" || g.Message == "" || g.At.IsZero() || g.At.End > len(g.At.File.Text) || g.At.Start > g.At.End {
				t.Fatalf("%q: %+v", text, g)
			}
		}
	})
}
