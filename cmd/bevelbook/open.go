package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/proof"
	"bevelbook/render/report"
)

// opened is a journal that was read, worked out and checked.
type opened struct {
	dir   string
	snap  *journal.Snapshot
	found []finding.Finding
}

// open reads the journal in dir, leaving out the folder of its written site.
func (c *call) open(dir, out string) (*opened, error) {
	c.progress("reading %s", dir)
	snap, err := journal.Load(os.DirFS(dir), journal.Options{Skip: within(dir, out)})
	if errors.Is(err, journal.ErrNoJournal) {
		return nil, fmt.Errorf("%s holds no journal.md; `bevelbook begin DIR` lays out a new journal", named(dir))
	}
	if err != nil {
		return nil, err
	}
	return &opened{dir, snap, proof.Run(snap)}, nil
}

// within is the slash-separated path of out inside dir, "" if it lies elsewhere.
func within(dir, out string) string {
	from, err := filepath.Abs(dir)
	if err != nil || out == "" {
		return ""
	}
	to, err := filepath.Abs(out)
	if err != nil {
		return ""
	}
	rel, err := filepath.Rel(from, to)
	if err != nil || !filepath.IsLocal(rel) || rel == "." {
		return ""
	}
	return filepath.ToSlash(rel)
}

// dirOf is the folder among the arguments, or this one.
func dirOf(rest []string) string {
	if len(rest) == 0 {
		return "."
	}
	return rest[0]
}

// short prints findings that stop or want a look, and a count of all.
func (c *call) short(list []finding.Finding) {
	var some []finding.Finding
	for _, f := range list {
		if f.Stops() || f.Severity == finding.Mind && f.Accepted == "" {
			some = append(some, f)
		}
	}
	if len(some) > 0 {
		report.Text(c.out, some, report.Options{Color: c.colour()})
	}
}

// stopped is the exit code of a command that prints no findings: it says where they are.
func (c *call) stopped(list []finding.Finding) int {
	n := 0
	for _, f := range list {
		if f.Stops() {
			n++
		}
	}
	if n > 0 {
		fmt.Fprintf(c.err, "%s to mend first; `bevelbook proof` shows them\n", counted(n, "finding"))
	}
	return exitOf(list)
}

func exitOf(list []finding.Finding) int {
	if proof.Stops(list) {
		return exitStops
	}
	return exitDone
}

// named is the folder in a sentence.
func named(dir string) string {
	if dir == "." {
		return "this folder"
	}
	return dir
}
