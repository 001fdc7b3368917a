package editor

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bevelbook/cmd/bevelbook/editor/rpc"
)

// direct is a server without streams: a test hands it messages and gets the answers.
func direct(t testing.TB, capabilities string) *server {
	t.Helper()
	s := newServer(strings.NewReader(""), io.Discard, os.Stderr)
	ask(t, s, "initialize", json.RawMessage(`{"capabilities": `+capabilities+`}`))
	return s
}

// ask carries out one request, which must not be refused.
func ask(t testing.TB, s *server, method string, params any) any {
	t.Helper()
	result, fault := try(t, s, method, params)
	if fault != nil {
		t.Fatalf("%s: %v", method, fault)
	}
	return result
}

// try carries out one request. A fault of the program is a failure in any case.
func try(t testing.TB, s *server, method string, params any) (any, *rpc.Error) {
	t.Helper()
	raw, err := json.Marshal(params)
	if err != nil {
		t.Fatal(err)
	}
	if notifications[method] != nil {
		s.hear(&rpc.Message{Method: method, Params: raw})
		return nil, nil
	}
	result, fault := s.carryOut(&rpc.Message{ID: json.RawMessage("1"), Method: method, Params: raw})
	if fault != nil && fault.Code == rpc.InternalError {
		t.Fatalf("%s %s: %v", method, raw, fault)
	}
	return result, fault
}

// open opens a page in a server.
func open(t testing.TB, s *server, path string) (uri, text string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	uri = uriOf(path)
	lay(t, s, uri, string(data))
	return uri, string(data)
}

func lay(t testing.TB, s *server, uri, text string) {
	t.Helper()
	ask(t, s, "textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": uri, "version": 1, "text": text}})
}

// laid copies a journal into a folder of the test's own.
func laid(t testing.TB, from string) string {
	t.Helper()
	root, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(root, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	return root
}

// pages lists the Markdown files of a folder.
func pages(t testing.TB, root string) []string {
	t.Helper()
	var list []string
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err == nil && filepath.Ext(p) == ".md" {
			list = append(list, p)
		}
		return err
	})
	if err != nil || len(list) == 0 {
		t.Fatal(list, err)
	}
	return list
}

// TestEveryRequestTakesEveryPlace asks everything at every place of a journal, in whole pages and in
// pages that end in the middle of a word, as they do while somebody types.
func TestEveryRequestTakesEveryPlace(t *testing.T) {
	root := laid(t, "../testdata/lighthouse")
	s := direct(t, clients["a full client"])
	given := 0
	for _, path := range pages(t, root) {
		uri, text := open(t, s, path)
		lines := newText(text, utf16Units)
		for at := range len(text) {
			p := lines.position(at)
			for method := range requests {
				switch method {
				case "initialize", "shutdown":
					continue
				}
				result, _ := try(t, s, method, map[string]any{
					"textDocument": map[string]any{"uri": uri}, "position": p, "range": Range{p, p},
					"context": map[string]any{"includeDeclaration": true}, "newName": "other", "query": "a",
				})
				if result == nil {
					continue
				}
				if given++; given%50 == 0 {
					said, err := json.Marshal(result)
					if err != nil {
						t.Fatal(err)
					}
					judge(t, method, answers, said)
				}
			}
		}
		cut := lines
		for at := 0; at < len(text); at += 7 {
			lay(t, s, uri, text[:at])
			cut = newText(text[:at], utf16Units)
			for _, method := range []string{"textDocument/completion", "textDocument/hover"} {
				ask(t, s, method, positionParams{documentID{uri}, cut.position(at)})
			}
		}
		lay(t, s, uri, text)
	}
	if given < 1000 {
		t.Errorf("only %d answers say anything", given)
	}
}

// FuzzMessages lets a server take whatever comes on its stream.
func FuzzMessages(f *testing.F) {
	frame := func(bodies ...string) []byte {
		var b bytes.Buffer
		for _, body := range bodies {
			fmt.Fprintf(&b, "Content-Length: %d\r\n\r\n%s", len(body), body)
		}
		return b.Bytes()
	}
	f.Add(frame(`{"id":1,"method":"initialize","params":{"capabilities":{}}}`, `{"id":2,"method":"textDocument/hover","params":{"position":{"line":-1}}}`, `{"method":"exit"}`))
	f.Add(frame(`{"id":1,"method":"initialize"}`, `{"method":"textDocument/didChange","params":{"contentChanges":[{}]}}`, `{"id":"x","method":"shutdown"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if bytes.Contains(data, []byte("file:")) {
			t.Skip("it would read the disk")
		}
		var out, log bytes.Buffer
		newServer(bytes.NewReader(data), &out, &log).run()
		if strings.Contains(log.String(), "goroutine") {
			t.Fatal(log.String())
		}
	})
}
