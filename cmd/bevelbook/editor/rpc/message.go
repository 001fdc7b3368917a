package rpc

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
)

// Message is one message as it came: a request has an ID and a Method, a notification a Method only,
// the answer to a request of ours an ID only.
type Message struct {
	ID     json.RawMessage // a number or a text, as it was written; nil if there is none
	Method string
	Params json.RawMessage // nil if there are none
	Error  *Error          // of an answer
}

// IsRequest tells whether the message wants an answer.
func (m *Message) IsRequest() bool { return m.ID != nil && m.Method != "" }

// Error is what a request is answered with when it cannot be carried out.
type Error struct {
	Code    int    `json:"code"`
	Message string `json:"message"`
}

// Error is the message with its code.
func (e *Error) Error() string { return fmt.Sprintf("%s (%d)", e.Message, e.Code) }

// Errorf makes an error of a code.
func Errorf(code int, format string, args ...any) *Error {
	return &Error{code, fmt.Sprintf(format, args...)}
}

// The codes of JSON-RPC 2.0, section 5.1, and of LSP 3.17, "Response Message".
const (
	ParseError           = -32700 // what came is no JSON
	InvalidRequest       = -32600 // JSON, and no message
	MethodNotFound       = -32601
	InvalidParams        = -32602
	InternalError        = -32603
	ServerNotInitialized = -32002 // a request before initialize
	RequestCancelled     = -32800
	RequestFailed        = -32803 // understood, and refused for a reason of its own
)

// decode reads the JSON of one message. Its error is an *Error; the message has its ID then, if that
// could be read.
func decode(body []byte) (*Message, error) {
	var raw struct {
		ID     json.RawMessage `json:"id"`
		Method json.RawMessage `json:"method"`
		Params json.RawMessage `json:"params"`
		Error  *Error          `json:"error"`
	}
	m := &Message{}
	if !json.Valid(body) {
		return m, Errorf(ParseError, "this is not JSON")
	}
	if bytes.TrimSpace(body)[0] != '{' {
		return m, Errorf(InvalidRequest, "a message is one JSON object")
	}
	if err := json.Unmarshal(body, &raw); err != nil {
		return m, Errorf(InvalidRequest, "a message has another shape")
	}
	if !isID(raw.ID) {
		return m, Errorf(InvalidRequest, "an id is a number or a text")
	}
	m.ID, m.Params, m.Error = raw.ID, raw.Params, raw.Error
	if string(raw.Params) == "null" {
		m.Params = nil
	}
	if raw.Method == nil && m.ID != nil {
		return m, nil // an answer
	}
	if err := json.Unmarshal(raw.Method, &m.Method); err != nil || m.Method == "" {
		m.Method = ""
		return m, Errorf(InvalidRequest, "a message has a method")
	}
	return m, nil
}

// isID tells whether an id is missing, a number or a text.
func isID(id json.RawMessage) bool {
	return id == nil || id[0] == '"' || id[0] == '-' || '0' <= id[0] && id[0] <= '9'
}

// Answer writes the result of a request.
func Answer(w io.Writer, id json.RawMessage, result any) error {
	return write(w, struct {
		Version string          `json:"jsonrpc"`
		ID      json.RawMessage `json:"id"`
		Result  any             `json:"result"`
	}{"2.0", id, result})
}

// Refuse answers a request with an error; id is nil for a message whose id could not be read.
func Refuse(w io.Writer, id json.RawMessage, fault *Error) error {
	if id == nil {
		id = json.RawMessage("null")
	}
	return write(w, struct {
		Version string          `json:"jsonrpc"`
		ID      json.RawMessage `json:"id"`
		Error   *Error          `json:"error"`
	}{"2.0", id, fault})
}

// Notify writes a notification.
func Notify(w io.Writer, method string, params any) error {
	return write(w, struct {
		Version string `json:"jsonrpc"`
		Method  string `json:"method"`
		Params  any    `json:"params"`
	}{"2.0", method, params})
}

// Request writes a request of our own.
func Request(w io.Writer, id int, method string, params any) error {
	return write(w, struct {
		Version string `json:"jsonrpc"`
		ID      int    `json:"id"`
		Method  string `json:"method"`
		Params  any    `json:"params,omitempty"`
	}{"2.0", id, method, params})
}
