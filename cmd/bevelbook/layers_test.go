package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layers is the order of the packages, lowest first. A package imports only packages of lines above
// its own. This list is policy: a red test is no reason to edit it, a better design is.
const layers = `
calc/source calc/spell calc/shape journal/journaltest
calc/finding calc/unit calc/solid calc/roll calc/nest
calc/part calc/draw calc/syntax calc/trace calc/mesh
calc/eval
calc/kind
journal/entry
journal
journal/proof journal/shopping journal/layout
themes
render/report render/ledger render/figure render/photo render/site/folder
render/template
render/page
render/site
cmd/bevelbook/desk
cmd/bevelbook/editor/rpc
cmd/bevelbook/editor
cmd/bevelbook
`

// impure packages have no place under calc, which runs in the browser and asks neither disk nor clock.
var impure = []string{"os", "io/fs", "os/exec", "net", "net/http", "time", "path/filepath", "html", "html/template", "syscall"}

// imports lists what each package of the tree imports, tests left out.
func imports(t *testing.T) map[string][]string {
	t.Helper()
	root := filepath.Join("..", "..")
	list := map[string][]string{}
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && p != root) {
			return fs.SkipDir
		}
		if !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, filepath.Dir(p))
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), p, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, im := range f.Imports {
			name, _ := strconv.Unquote(im.Path.Value)
			list[filepath.ToSlash(rel)] = append(list[filepath.ToSlash(rel)], name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestPackagesImportOnlyLowerOnes(t *testing.T) {
	rank := map[string]int{}
	for i, line := range strings.Split(strings.TrimSpace(layers), "\n") {
		for _, name := range strings.Fields(line) {
			rank[name] = i + 1
		}
	}
	for name, list := range imports(t) {
		if rank[name] == 0 {
			t.Errorf("%s has no place in the order of packages", name)
		}
		for _, im := range list {
			other, ours := strings.CutPrefix(im, "bevelbook/")
			if ours && rank[other] >= rank[name] {
				t.Errorf("%s imports %s, which is not below it", name, other)
			}
		}
	}
}

func TestCalcAsksNeitherDiskNorClockNorPage(t *testing.T) {
	for name, list := range imports(t) {
		if !strings.HasPrefix(name, "calc/") {
			continue
		}
		for _, im := range list {
			if slices.Contains(impure, im) {
				t.Errorf("%s imports %s", name, im)
			}
		}
	}
}

// TestNothingStandsAtTheTopThatHasNoPlaceThere keeps the top level to what the design fixes and what tools ask for.
func TestNothingStandsAtTheTopThatHasNoPlaceThere(t *testing.T) {
	known := strings.Fields("cmd journal render calc themes sample-build go.mod go.sum README.md DEVELOPERS.md LICENSE .ci .git .gitignore .gitattributes")
	list, err := os.ReadDir(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range list {
		if ext := path.Ext(e.Name()); ext == ".test" || ext == ".out" {
			continue // a profile's leavings, which git ignores
		}
		if !slices.Contains(known, path.Base(e.Name())) {
			t.Errorf("%s has no place at the top level", e.Name())
		}
	}
}
