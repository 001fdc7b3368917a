package editor

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"bevelbook/cmd/bevelbook/editor/rpc"
)

// readAhead lets a server read all messages before it carries out the first, as it does when they come
// faster than it works, and gives what it says.
func readAhead(t *testing.T, bodies ...string) string {
	t.Helper()
	var in strings.Builder
	for _, body := range bodies {
		fmt.Fprintf(&in, "Content-Length: %d\r\n\r\n%s", len(body), body)
	}
	var out, log lockedBuffer
	s := newServer(strings.NewReader(in.String()), &out, &log)
	s.rest = 0
	ahead := s.inbox
	s.listen()
	// The stream has ended; the server is to rest before it is told.
	s.inbox = make(chan incoming, queue)
	for m := range ahead {
		s.inbox <- m
	}
	s.rested = func(int) { close(s.inbox) }
	s.serve()
	if log.take() != "" {
		t.Error(log.String())
	}
	return out.take()
}

const hello = `{"id":1,"method":"initialize","params":{"capabilities":{"textDocument":{"publishDiagnostics":{"versionSupport":true}}}}}`

func TestABurstOfKeysIsWorkedOutOnce(t *testing.T) {
	root := laid(t, "../testdata/lighthouse")
	uri := uriOf(filepath.Join(root, "log", "2026-09-05-lantern-room.md"))
	text := func(s string) string { b, _ := json.Marshal(s); return string(b) }
	bodies := []string{hello, fmt.Sprintf(`{"method":"textDocument/didOpen","params":{"textDocument":{"uri":%q,"version":1,"text":%s}}}`, uri, text("```dims\na: \n```\n"))}
	const keys = 300
	for i := range keys {
		bodies = append(bodies, fmt.Sprintf(`{"method":"textDocument/didChange","params":{"textDocument":{"uri":%q,"version":%d},"contentChanges":[{"range":{"start":{"line":1,"character":3},"end":{"line":1,"character":3}},"text":"x"}]}}`, uri, i+2))
	}
	said := readAhead(t, bodies...)
	if n := strings.Count(said, "publishDiagnostics"); n != 1 {
		t.Errorf("%d keys were told of %d times", keys, n)
	}
	if want := fmt.Sprintf(`"version":%d`, keys+1); !strings.Contains(said, want) || !strings.Contains(said, strings.Repeat("x", keys)[:30]) {
		t.Errorf("what was told is not about the last text: %s", said)
	}
}

func TestACancelledRequestIsNotCarriedOut(t *testing.T) {
	said := readAhead(t, hello,
		`{"id":"a","method":"workspace/symbol","params":{"query":""}}`,
		`{"id":2,"method":"workspace/symbol","params":{"query":""}}`,
		`{"method":"$/cancelRequest","params":{"id":2}}`,
		`{"method":"$/cancelRequest","params":{"id":"a"}}`,
		`{"method":"$/cancelRequest","params":{"id":77}}`,
		`{"method":"$/cancelRequest","params":[]}`,
		`{"id":3,"method":"workspace/symbol","params":{"query":""}}`)
	for _, want := range []string{
		fmt.Sprintf(`"id":"a","error":{"code":%d,`, rpc.RequestCancelled), fmt.Sprintf(`"id":2,"error":{"code":%d,`, rpc.RequestCancelled), `"id":3,"result":[]`,
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%s is missing from %s", want, said)
		}
	}
}

func TestAFaultOfTheProgramIsAnswered(t *testing.T) {
	requests["test/fault"] = func(*server, json.RawMessage) (any, *rpc.Error) { panic("a test's own") }
	defer delete(requests, "test/fault")
	var log lockedBuffer
	s := newServer(strings.NewReader(""), &lockedBuffer{}, &log)
	s.phase = running
	if _, fault := s.carryOut(&rpc.Message{Method: "test/fault"}); fault == nil || fault.Code != rpc.InternalError {
		t.Errorf("it is answered with %v", fault)
	}
	if !strings.Contains(log.take(), "a test's own") {
		t.Error("nothing is said on standard error")
	}
}

func TestAClientThatDoesNotListenEndsTheServer(t *testing.T) {
	in := "Content-Length: " + fmt.Sprint(len(hello)) + "\r\n\r\n" + hello
	s := newServer(strings.NewReader(in+in+in), deaf{}, &lockedBuffer{})
	if code := s.run(); code != 1 {
		t.Errorf("it ends with %d", code)
	}
}

type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, fmt.Errorf("nobody listens") }
