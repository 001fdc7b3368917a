package journal_test

import (
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bevelbook/journal"
	"bevelbook/journal/journaltest"
	"bevelbook/render/report"
)

var update = flag.Bool("update", false, "write the expected findings anew")

func TestEveryFaultIsToldAsAMakerReadsIt(t *testing.T) {
	journaltest.Golden(t, "testdata/errors/*.txtar", *update, func(t *testing.T, folder fs.FS) string {
		s, err := journal.Load(folder, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		if err := report.Text(&b, s.Language(), report.Options{}); err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(t.Name())
		if !strings.Contains(b.String(), " "+name+": ") {
			t.Errorf("%s is not among the findings:\n%s", name, b.String())
		}
		return b.String()
	})
}

// faultName is what the name of a finding looks like.
var faultName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// declaredFaults collects the constants that name findings: those of a type Fault, and, where kinds and
// journals name theirs without a type, exported ones that look so.
func declaredFaults(t *testing.T, dir string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", dir, "*.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no source in %s: %v", dir, err)
	}
	var names []string
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			decl, ok := d.(*ast.GenDecl)
			if !ok || decl.Tok != token.CONST {
				continue
			}
			for _, spec := range decl.Specs {
				names = append(names, faultsOf(spec.(*ast.ValueSpec))...)
			}
		}
	}
	return names
}

func faultsOf(spec *ast.ValueSpec) (names []string) {
	typed, _ := spec.Type.(*ast.Ident)
	for i, v := range spec.Values {
		lit, ok := v.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING || !spec.Names[i].IsExported() {
			continue
		}
		text, _ := strconv.Unquote(lit.Value)
		if typed != nil && typed.Name == "Fault" || typed == nil && faultName.MatchString(text) {
			names = append(names, text)
		}
	}
	return names
}

func TestEveryFaultHasACase(t *testing.T) {
	seen := map[string]bool{}
	for _, dir := range []string{"calc/syntax", "calc/eval", "calc/kind", "journal", "journal/entry"} {
		for _, name := range declaredFaults(t, dir) {
			seen[name] = true
			if _, err := os.Stat(filepath.Join("testdata", "errors", name+".txtar")); err != nil {
				t.Errorf("%s has no case for the fault %s", dir, name)
			}
		}
	}
	cases, _ := filepath.Glob("testdata/errors/*.txtar")
	for _, c := range cases {
		if name := strings.TrimSuffix(filepath.Base(c), ".txtar"); !seen[name] {
			t.Errorf("%s is the case of no fault", c)
		}
	}
	if len(seen) < 30 {
		t.Errorf("only %d faults are declared: are they found?", len(seen))
	}
}
