package rpc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

func framed(body string) string { return fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(body), body) }

// told is what came of reading one message, in short.
func told(m *Message, err error) string {
	var fault *Error
	switch {
	case errors.As(err, &fault):
		return fmt.Sprintf("%s fault %d", m.ID, fault.Code)
	case err != nil:
		return err.Error()
	}
	return strings.TrimSpace(fmt.Sprintf("%s %s %s", m.ID, m.Method, m.Params))
}

func TestReadTakesMessagesOneByOne(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"a request", framed(`{"jsonrpc":"2.0","id":1,"method":"hover","params":{"a":1}}`), `1 hover {"a":1}`},
		{"a text as id", framed(`{"id":"x","method":"hover"}`), `"x" hover`},
		{"a notification", framed(`{"method":"exit","params":null}`), `exit`},
		{"an answer", framed(`{"id":7,"result":null}`), `7`},
		{"further fields", "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\n" + framed(`{"method":"a"}`), "a"},
		{"names of fields in any case", "content-LENGTH:14\n\n" + `{"method":"a"}`, "a"},
		{"a line end too many", "\r\n" + framed(`{"method":"a"}`), "a"},
		{"letters beyond ASCII count as bytes", framed(`{"method":"ä🗼"}`), "ä🗼"},
		{"no JSON", framed(`{"method":`), " fault -32700"},
		{"nothing", framed(``), " fault -32700"},
		{"a batch", framed(`[{"id":1,"method":"a"}]`), " fault -32600"},
		{"no object", framed(`17`), " fault -32600"},
		{"no method", framed(`{"params":{}}`), " fault -32600"},
		{"a method that is no text", framed(`{"id":3,"method":3}`), "3 fault -32600"},
		{"an id that is neither", framed(`{"id":{},"method":"a"}`), " fault -32600"},
		{"no length", "Content-Type: x\r\n\r\n", " fault -32700"},
		{"a length that is none", "Content-Length: many\r\n\r\n", " fault -32700"},
		{"a length below zero", "Content-Length: -5\r\n\r\n", " fault -32700"},
		{"an endless line", strings.Repeat("x", 10*maxLine) + "\r\n\r\n", " fault -32700"},
		{"too large", fmt.Sprintf("Content-Length: %d\r\n\r\n%s", MaxMessage+1, strings.Repeat(" ", MaxMessage+1)), " fault -32600"},
		{"an end within the body", "Content-Length: 100\r\n\r\n{}", "EOF"},
		{"an end within the header", "Content-Le", "EOF"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := NewReader(strings.NewReader(c.in + framed(`{"method":"next"}`)))
			if c.want == "EOF" {
				r = NewReader(strings.NewReader(c.in))
			}
			if got := told(r.Read()); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
			if got := told(r.Read()); c.want != "EOF" && got != "next" {
				t.Errorf("then %q, not the next message", got)
			}
		})
	}
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	var b bytes.Buffer
	id := json.RawMessage("4")
	for _, err := range []error{
		Notify(&b, "tell", map[string]string{"text": "5 < 6 & ü"}), Request(&b, 9, "ask", nil),
		Answer(&b, id, nil), Refuse(&b, id, Errorf(MethodNotFound, "no")), Refuse(&b, nil, Errorf(ParseError, "no")),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(b.String(), "5 < 6 & ü") {
		t.Error("signs of HTML are escaped")
	}
	if !strings.Contains(b.String(), `"id":null`) {
		t.Error("a message without an id is not answered with null")
	}
	r := NewReader(&b)
	for _, want := range []string{`tell {"text":"5 < 6 & ü"}`, "9 ask", "4", "4"} {
		if got := told(r.Read()); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// FuzzRead reads whatever comes: it ends, and never panics.
func FuzzRead(f *testing.F) {
	f.Add([]byte(framed(`{"id":1,"method":"hover","params":{}}`) + framed(`{`)))
	f.Add([]byte("Content-Length: 3\r\n\r\n{}"))
	f.Add([]byte("content-length: 99999999999999999999\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r := NewReader(bytes.NewReader(data))
		for range len(data) + 2 {
			m, err := r.Read()
			var fault *Error
			if err != nil && !errors.As(err, &fault) {
				if !errors.Is(err, io.EOF) {
					t.Fatal(err)
				}
				return
			}
			if m == nil || err == nil && m.Method == "" && m.ID == nil {
				t.Fatalf("%+v is no message", m)
			}
		}
		t.Fatal("reading does not end")
	})
}
