package editor

import (
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bevelbook/calc/eval"
	"bevelbook/journal"
	"bevelbook/journal/journaltest"
)

// journals are what the properties are held to: the small one of the command scripts, the sample build
// and a generated one.
func journals(t *testing.T) map[string]string {
	t.Helper()
	generated, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(generated, journaltest.Big(6)); err != nil {
		t.Fatal(err)
	}
	return map[string]string{"lighthouse": laid(t, "../testdata/lighthouse"), "sample build": laid(t, "../../../sample-build"), "generated": generated}
}

// edited makes the edits of an answer in the texts of a journal's pages.
func edited(t *testing.T, texts map[string]string, edits map[string][]TextEdit) map[string]string {
	t.Helper()
	after := map[string]string{}
	for uri, text := range texts {
		list := slices.Clone(edits[uri])
		slices.SortFunc(list, func(a, b TextEdit) int {
			return int(b.Range.Start.Line)*10000 + int(b.Range.Start.Character) - int(a.Range.Start.Line)*10000 - int(a.Range.Start.Character)
		})
		for _, e := range list {
			text = newText(text, utf16Units).apply(contentChange{&e.Range, e.NewText})
		}
		after[uri] = text
	}
	return after
}

// texts are the pages of a journal, by their address.
func texts(t *testing.T, root string) map[string]string {
	t.Helper()
	m := map[string]string{}
	for _, p := range pages(t, root) {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		m[uriOf(p)] = string(data)
	}
	return m
}

// values are all values of a journal in the order of its pages, names left out.
func values(t *testing.T, root string, texts map[string]string) []string {
	t.Helper()
	over := overlay{os.DirFS(root), map[string]string{}}
	for uri, text := range texts {
		rel, err := filepath.Rel(root, pathOf(uri))
		if err != nil {
			t.Fatal(err)
		}
		over.texts[filepath.ToSlash(rel)] = text
	}
	snap, err := journal.Load(over, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for n := range nodes(snap) {
		list = append(list, spelt(n.Cell.Value, snap))
	}
	return list
}

func spelt(v eval.Value, snap *journal.Snapshot) string {
	rec, ok := v.(*eval.Record)
	if !ok {
		return v.Show(snap.Settings.Style)
	}
	var list []string
	for _, f := range rec.Fields {
		list = append(list, spelt(f.Value, snap))
	}
	return "{" + strings.Join(list, " ") + "}"
}

// changesOf are the edits of a renaming, by address.
func changesOf(w any) map[string][]TextEdit { return w.(workspaceEdit).Changes }

// TestRenamedThereAndBackIsTheSameText renames every name of each journal to one that is free, looks that
// all values stay what they were, and renames it back.
func TestRenamedThereAndBackIsTheSameText(t *testing.T) {
	const free = "für_später"
	stride := map[string]int{"lighthouse": 1, "sample build": 9, "generated": 3} // how many names to pass over: each costs a few loads
	for name, root := range journals(t) {
		t.Run(name, func(t *testing.T) {
			before := texts(t, root)
			were := values(t, root, before)
			s := direct(t, "{}")
			renamed, seen := 0, 0
			for uri, text := range before {
				lay(t, s, uri, text)
			}
			for _, uri := range slices.Sorted(maps.Keys(before)) {
				sp, ok := s.spot(uri, Position{})
				if !ok {
					t.Fatal(uri)
				}
				for n, at := range sp.book.names(sp.page) {
					if seen++; seen%stride[name] != 0 || n.Key == "share" {
						continue // share is a key of its kind
					}
					place := sp.text.position(at.Start)
					there, fault := try(t, s, "textDocument/rename", renameParams{positionParams{documentID{uri}, place}, free})
					if fault != nil {
						t.Errorf("%s cannot be renamed: %s", n.ID, fault.Message)
						continue
					}
					middle := edited(t, before, changesOf(there))
					old := at.Text()
					for i, now := range values(t, root, middle) {
						if now = strings.ReplaceAll(now, free, old); now != were[i] { // a list shows the names of blocks
							t.Fatalf("with %s renamed, %s became %s", n.ID, were[i], now)
						}
					}
					other := direct(t, "{}")
					for uri, text := range middle {
						lay(t, other, uri, text)
					}
					back := ask(t, other, "textDocument/rename", renameParams{positionParams{documentID{uri}, place}, old})
					for uri, text := range edited(t, middle, changesOf(back)) {
						if text != before[uri] {
							t.Fatalf("%s: %s, renamed there and back, is another text", uri, n.ID)
						}
					}
					renamed++
				}
			}
			if renamed < 8 {
				t.Errorf("only %d names were renamed", renamed)
			}
		})
	}
}

// TestFormattedTwiceIsFormattedOnce formats each page of each journal, looks that nothing outside of
// blocks and no value has changed, and finds nothing left to format.
func TestFormattedTwiceIsFormattedOnce(t *testing.T) {
	for name, root := range journals(t) {
		t.Run(name, func(t *testing.T) {
			before := texts(t, root)
			for uri, text := range before { // so that there is something to do
				before[uri] = unkempt(text)
			}
			after := map[string]string{}
			s := direct(t, "{}")
			edits := 0
			for uri, text := range before {
				lay(t, s, uri, text)
				list := ask(t, s, "textDocument/formatting", documentParams{documentID{uri}}).([]TextEdit)
				edits += len(list)
				after[uri] = edited(t, map[string]string{uri: text}, map[string][]TextEdit{uri: list})[uri]
				lay(t, s, uri, after[uri])
				if left := ask(t, s, "textDocument/formatting", documentParams{documentID{uri}}).([]TextEdit); len(left) > 0 {
					t.Errorf("%s: formatted text is formatted again: %+v", uri, left)
				}
				if got, want := outside(after[uri]), outside(text); got != want {
					t.Errorf("%s: what stands outside of blocks has changed", uri)
				}
				if strings.Count(after[uri], "#") != strings.Count(text, "#") {
					t.Errorf("%s: a remark is lost", uri)
				}
			}
			if edits == 0 {
				t.Error("nothing was formatted")
			}
			if !slices.Equal(values(t, root, before), values(t, root, after)) {
				t.Error("a value has changed")
			}
		})
	}
}

// unkempt puts more space between key and value than the printer does.
func unkempt(text string) string { return strings.ReplaceAll(text, ": ", ":     ") }

// outside is a page without what stands between fences.
func outside(text string) string {
	var b strings.Builder
	in := false
	for line := range strings.Lines(text) {
		fence := strings.HasPrefix(strings.TrimLeft(line, " >"), "```")
		if !in || fence {
			b.WriteString(line)
		}
		in = in != fence
	}
	return b.String()
}

// TestAfterAnyEditsTheFindingsAreThoseOfAFreshStart edits pages at random, breaking and mending them, and
// holds what the client was told so far against what a server tells that sees the result first.
func TestAfterAnyEditsTheFindingsAreThoseOfAFreshStart(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2026))
	root := laid(t, "../testdata/lighthouse")
	s := direct(t, clients["a full client"])
	now := texts(t, root)
	uris := slices.Sorted(maps.Keys(now))
	for _, uri := range uris {
		lay(t, s, uri, now[uri])
	}
	pieces := []string{"```\n", "```dims\n", "side: 3 mm\n", "`-> side`", "corner.tilt", "\n", " ", ":", "(", "foam10", "# ", "---\n", "section: forearm\n", "[a](b.md)", "ü🗼", "reach: side\n"}
	undo := map[string]string{}
	for step := range 250 {
		uri := uris[r.IntN(len(uris))]
		text := now[uri]
		lines := newText(text, utf16Units)
		from := r.IntN(len(text) + 1)
		to := min(len(text), from+r.IntN(2)*r.IntN(30))
		change := map[string]any{"range": lines.between(from, to), "text": pieces[r.IntN(len(pieces))]}
		if old, ok := undo[uri]; ok && r.IntN(3) > 0 { // mend what was broken
			change = map[string]any{"text": old}
			delete(undo, uri)
		} else if !ok {
			undo[uri] = text
		}
		ask(t, s, "textDocument/didChange", map[string]any{"textDocument": map[string]any{"uri": uri, "version": step + 2}, "contentChanges": []any{change}})
		now[uri] = s.docs[pathOf(uri)].text
		if r.IntN(4) == 0 {
			continue // typed on before it was told
		}
		if r.IntN(3) == 0 { // a renaming is tried, and made or refused: in either case nothing has changed
			try(t, s, "textDocument/rename", renameParams{positionParams{documentID{uri}, lines.position(r.IntN(len(text) + 1))}, "tried"})
		}
		s.publish()
		if step%3 > 0 {
			continue
		}
		fresh := direct(t, clients["a full client"])
		for _, uri := range uris {
			lay(t, fresh, uri, now[uri])
		}
		fresh.publish()
		if got, want := s.books[root].shown, fresh.books[root].shown; !reflect.DeepEqual(got, want) {
			for path := range now {
				path, _ := filepath.Rel(root, pathOf(path))
				for i := range max(len(got[path]), len(want[path])) {
					if i >= len(got[path]) || i >= len(want[path]) || !reflect.DeepEqual(got[path][i], want[path][i]) {
						t.Fatalf("after %d edits, the last at %s %v, %s has\n%+v\nnot\n%+v", step, uri, change, path, got[path][i:], want[path][i:])
					}
				}
			}
		}
	}
}
