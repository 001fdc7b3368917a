package journal

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/journal/journaltest"
)

var wild = flag.Int("wild", 400, "steps of random edits")

// told is all that others can learn of a page, as text.
func told(s *Snapshot, p *Page) string {
	var b strings.Builder
	tell := func(list []finding.Finding) {
		list = slices.Clone(list)
		finding.Sort(list)
		for _, f := range list {
			fmt.Fprintf(&b, "  ! %v %v %s %s %q %q %v\n", f.At.Place(), f.Severity, f.Name, f.Section, f.Message, f.Help, f.Private)
			for _, n := range f.Notes {
				fmt.Fprintf(&b, "    %v %s\n", n.At.Place(), n.Message)
			}
		}
	}
	node := func(n *eval.Node) {
		w := n.Working(s.Settings.Style)
		fmt.Fprintf(&b, "  %s %v: %s %d; %q %v\n", n.ID, n.At.Place(), n.Cell.Value.Show(s.Settings.Style), n.Cell.Privacy, w, n.NearPrivate())
		if r, ok := n.Cell.Value.(*eval.Record); ok {
			for _, f := range r.Fields {
				fmt.Fprintf(&b, "    %s = %s %d %q %q\n", f.Name, f.Value.Show(s.Settings.Style), f.Privacy, f.Formula, f.Numbers)
			}
		}
		fmt.Fprintf(&b, "    reads %q needs", n.Reads)
		for _, m := range n.Needs {
			fmt.Fprintf(&b, " %s", m.ID)
		}
		var users []string
		for _, m := range n.Users {
			users = append(users, m.ID)
		}
		slices.Sort(users)
		fmt.Fprintf(&b, "\n")
		fmt.Fprintf(&b, "    ~ used by %v\n", users)
		tell(n.Findings)
	}
	fmt.Fprintf(&b, "%s %q\n", p.Path, p.Doc.Source)
	tell(p.Found)
	for _, blk := range p.Blocks {
		fmt.Fprintf(&b, " %s %s\n", blk.Kind.Name, blk.Eval.Name)
		for _, m := range blk.Eval.Members {
			node(m)
		}
		node(blk.Eval.Node)
		tell(blk.Findings())
		for _, q := range blk.Out.Parts {
			fmt.Fprintf(&b, "  part %s %s %s %v %v %v %v %v\n", q.Section, q.Name, q.Layer, q.At.Place(), q.Area, q.Show.EdgeLengths(), q.Hand, q.Edges)
		}
		fmt.Fprintf(&b, "  %v %d drawings %v\n", blk.Out.Tables, len(blk.Out.Drawings), blk.Out.Listing)
	}
	for _, x := range p.Spans {
		if x.Node != nil {
			node(x.Node)
		}
		tell(x.Findings(p))
	}
	if sec, ok := s.Section(p.Section()); ok {
		fmt.Fprintf(&b, " made %d\n", len(sec.Sides))
	}
	for _, r := range s.Ledger.Rows {
		if r.Block.Page == p {
			fmt.Fprintf(&b, " row %s %s %d %v\n", r.ID(), r.Hand, r.Count, r.Part.Area)
		}
	}
	return b.String()
}

// toldAll is all that others can learn of a snapshot.
func toldAll(s *Snapshot) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%+v\n", s.Settings)
	for _, p := range s.Pages {
		if q, ok := s.Page(p.Path); !ok || q != p {
			fmt.Fprintf(&b, "%s is another page by its path\n", p.Path)
		}
		b.WriteString(told(s, p))
	}
	for _, sec := range s.Sections {
		fmt.Fprintf(&b, "section %s %v %v:", sec.Name, sec.Sides, sec.Minutes)
		for _, p := range sec.Pages {
			fmt.Fprintf(&b, " %s", p.Path)
		}
		for _, blk := range sec.Blocks {
			fmt.Fprintf(&b, " %v", blk.Entry.Info.Place())
		}
		b.WriteByte('\n')
	}
	for _, blk := range s.Blocks {
		fmt.Fprintf(&b, "block %v\n", blk.Entry.Info.Place())
	}
	for _, r := range s.Ledger.Rows {
		fmt.Fprintf(&b, "row %s %s %s %d\n", r.Block.Page.Path, r.ID(), r.Hand, r.Count)
	}
	for _, u := range s.Materials() {
		fmt.Fprintf(&b, "use %s %v %v %d %d %v\n", u.Name, u.Area, u.Weight, u.Pieces, u.Sheets, u.Price)
	}
	var kept []string
	for _, q := range s.Program.Kept() {
		kept = append(kept, q.Show(s.Settings.Style))
	}
	slices.Sort(kept)
	fmt.Fprintf(&b, "kept %q\n", kept)
	for _, kind := range []string{"dims", "panel", "material", "tool", "stack", "list"} {
		fmt.Fprintf(&b, "%s:", kind)
		for _, blk := range s.OfKind(kind) {
			fmt.Fprintf(&b, " %v", blk.Entry.Info.Place())
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// play does steps one after the other and tells the first at which the snapshot is not that of a fresh
// Load, or at which a page changed of which nobody was told.
func play(t *testing.T, steps []uint64) (at int, why string) {
	w := journaltest.NewWild()
	s := load(t, w.Files)
	before := map[string]string{}
	for i, step := range steps {
		for _, p := range s.Pages {
			before[p.Path] = told(s, p)
		}
		recipe, changed := w.Step(step)
		c, err := s.Update(changed...)
		if err != nil {
			return i, recipe + ": " + err.Error()
		}
		fresh := load(t, w.Files)
		if got, want := toldAll(s), toldAll(fresh); got != want {
			return i, recipe + "\n" + differ(got, want)
		}
		for _, p := range s.Pages {
			if c.All || slices.Contains(c.Pages, p.Path) {
				continue
			}
			if got, want := besideUse(before[p.Path]), besideUse(told(s, p)); got != want {
				return i, recipe + ": nobody was told of " + p.Path + "\n" + differ(got, want)
			}
			if before[p.Path] != told(s, p) && !slices.Contains(c.Used, p.Path) {
				return i, recipe + ": nobody was told of the users of " + p.Path + "\n" + differ(before[p.Path], told(s, p))
			}
		}
	}
	return -1, ""
}

// besideUse leaves out who uses a node: that shows only in what is found.
func besideUse(text string) string {
	lines := slices.DeleteFunc(strings.Split(text, "\n"), func(l string) bool { return strings.HasPrefix(l, "    ~") })
	return strings.Join(lines, "\n")
}

// differ shows the first lines that differ.
func differ(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			lo := max(0, i-3)
			return "is   " + strings.Join(a[lo:min(len(a), i+3)], "\n     ") + "\nwant " + strings.Join(b[lo:min(len(b), i+3)], "\n     ")
		}
	}
	return fmt.Sprintf("%d lines, want %d", len(a), len(b))
}

// shrink takes out steps that a failure does not need.
func shrink(steps []uint64, fails func([]uint64) bool) []uint64 {
	for size := len(steps) / 2; size > 0; size /= 2 {
		for from := 0; from+size <= len(steps); {
			fewer := slices.Concat(steps[:from], steps[from+size:])
			if fails(fewer) {
				steps = fewer
			} else {
				from += size
			}
		}
	}
	return steps
}

// After any edits the snapshot is that of a fresh Load, and every page that reads otherwise is named.
func TestAnUpdateGivesWhatAFreshLoadGives(t *testing.T) {
	const seeds = 4
	for seed := range uint64(seeds) {
		var steps []uint64
		for i := range *wild / seeds {
			steps = append(steps, seed<<32|uint64(i))
		}
		at, why := play(t, steps)
		if at < 0 {
			continue
		}
		short := shrink(steps[:at+1], func(fewer []uint64) bool { i, _ := play(t, fewer); return i >= 0 })
		at, again := play(t, short)
		if at < 0 {
			t.Fatalf("step %d: %s\n(it does not show again)", at, why)
		}
		w := journaltest.NewWild()
		for _, step := range short[:at+1] {
			recipe, _ := w.Step(step)
			t.Logf("%#x %s", step, recipe)
		}
		t.Fatalf("%s", again)
	}
}

func load(t testing.TB, files fstest.MapFS) *Snapshot {
	t.Helper()
	s, err := Load(files, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}
