package proof_test

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/journaltest"
	"bevelbook/journal/proof"
)

var wild = flag.Int("wild", 400, "steps of random edits")

func told(list []finding.Finding) string {
	var b strings.Builder
	for _, f := range list {
		fmt.Fprintf(&b, "%v-%d %v %s %s.%s %q %q %q %v\n", f.At.Place(), f.At.End, f.Severity, f.Name, f.Section, f.Part, f.Message, f.Help, f.Accepted, f.Private)
		for _, n := range f.Notes {
			fmt.Fprintf(&b, "    %v %s\n", n.At.Place(), n.Message)
		}
	}
	return b.String()
}

// After any edits the findings are those of a run from scratch, and every page that has others is named.
func TestFindingsThatAreKeptAreThoseOfAFreshRun(t *testing.T) {
	journaltest.Follow(t, *wild, func(files fstest.MapFS) func([]string) string {
		s, err := journal.Load(files, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f := proof.Follow(s)
		before := map[string]string{}
		return func(changed []string) string {
			clear(before)
			for _, p := range s.Pages {
				before[p.Path] = told(f.On(p.Path))
			}
			c, err := s.Update(changed...)
			if err != nil {
				return err.Error()
			}
			pages, all := f.Update(c)
			fresh, err := journal.Load(files, journal.Options{})
			if err != nil {
				return err.Error()
			}
			if wrong := journaltest.Differ(told(f.All()), told(proof.Run(fresh))); wrong != "" {
				return wrong
			}
			for _, p := range s.Pages {
				if wrong := journaltest.Differ(before[p.Path], told(f.On(p.Path))); wrong != "" && !all && !slices.Contains(pages, p.Path) {
					return "nobody was told of " + p.Path + "\n" + wrong
				}
			}
			return ""
		}
	})
}
