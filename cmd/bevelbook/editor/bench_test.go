package editor

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bevelbook/journal/journaltest"
)

// BenchmarkKey is one key that is typed in a journal of many entries, until its findings are told: in
// prose, in a value that its own page uses, and in the shop's foam, which every panel uses.
func BenchmarkKey(b *testing.B) {
	for _, entries := range []int{100, 1000} {
		root := filepath.Join(b.TempDir(), fmt.Sprint(entries))
		if err := os.CopyFS(root, journaltest.Big(entries)); err != nil {
			b.Fatal(err)
		}
		for _, c := range []struct{ name, page, before string }{
			{"prose", "log/0050.md", "\n\n## "}, {"value", "log/0050.md", "width:  "}, {"foam", "shop.md", "thickness: "},
		} {
			b.Run(fmt.Sprintf("%s/%d", c.name, entries), func(b *testing.B) {
				s := direct(b, clients["a full client"])
				s.out = io.Discard
				uri, text := open(b, s, filepath.Join(root, filepath.FromSlash(c.page)))
				s.publish()
				at := newText(text, utf16Units).position(strings.Index(text, c.before) + len(c.before))
				next := at
				next.Character++
				for i := 0; b.Loop(); i++ {
					change := contentChange{&Range{at, at}, "1"}
					if i%2 == 1 {
						change = contentChange{&Range{at, next}, ""}
					}
					ask(b, s, "textDocument/didChange", map[string]any{"textDocument": map[string]any{"uri": uri, "version": i + 2},
						"contentChanges": []any{map[string]any{"range": change.Range, "text": change.Text}}})
					s.publish()
				}
			})
		}
	}
}
