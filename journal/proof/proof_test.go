package proof_test

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/journaltest"
	"bevelbook/journal/proof"
	"bevelbook/render/report"
)

var update = flag.Bool("update", false, "write the expected findings anew")

func TestChecksFindWhatTheirCasesSay(t *testing.T) {
	journaltest.Golden(t, "testdata/*/*.txtar", *update, func(t *testing.T, folder fs.FS) string {
		s, err := journal.Load(folder, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		list := proof.Run(s)
		for _, f := range list {
			if f.Help == "" || f.Message == "" || f.At.IsZero() {
				t.Errorf("%s says no place or no way out: %s", f.Name, f.Message)
			}
		}
		var b strings.Builder
		if err := report.Text(&b, list, report.Options{}); err != nil {
			t.Fatal(err)
		}
		return b.String()
	})
}

// Each check has at least one small journal in which it finds something, and one in which it does not.
func TestEveryCheckHasACaseEachWay(t *testing.T) {
	for _, c := range proof.All {
		found, clean := 0, 0
		names, _ := filepath.Glob(filepath.Join("testdata", c.Name, "*.txtar"))
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			_, findings, _ := strings.Cut(string(data), "-- findings --\n")
			if strings.Contains(findings, " "+c.Name+": ") {
				found++
			} else {
				clean++
			}
		}
		if found == 0 || clean == 0 {
			t.Errorf("%s: %d cases find it, %d do not", c.Name, found, clean)
		}
		if c.Doc == "" {
			t.Errorf("%s says nothing about itself", c.Name)
		}
	}
}

func TestAnAcceptedFindingDoesNotStop(t *testing.T) {
	list := []finding.Finding{{Severity: finding.Stop, Accepted: "cut with a knife"}, {Severity: finding.Mind}}
	if proof.Stops(list) {
		t.Error("accepted findings stop the build")
	}
	if !proof.Stops(append(list, finding.Finding{Severity: finding.Stop})) {
		t.Error("a finding that is not accepted does not stop the build")
	}
}
