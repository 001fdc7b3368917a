package editor

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "renew the recorded exchanges")

// The exchanges are archives of a small journal and, in the file "exchange", what client and server say
// to each other: a line "--> METHOD PARAMS" for the client (a request where the specification has one),
// "<--" for what the server answers or says by itself. Pages hold marks such as ‹a›, which are taken out
// of the text; "@a" in the client's parameters stands for the place. Everything else goes over the
// server's streams as it is written here; ROOT is the folder of the journal.
func TestExchanges(t *testing.T) {
	names, err := filepath.Glob("testdata/exchange/*.txtar")
	if err != nil || len(names) == 0 {
		t.Fatalf("no exchanges: %v", err)
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range archive.Files {
				if f.Name != "exchange" {
					continue
				}
				got := converse(t, archive.Files, string(f.Data))
				if *update {
					archive.Files[i].Data = []byte(got)
					if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
						t.Fatal(err)
					}
				} else if got != string(f.Data) {
					t.Errorf("%sgot:\n%s\nwant:\n%s", archive.Comment, got, f.Data)
				}
			}
		})
	}
}

// converse plays the client's lines of an exchange and gives the whole of it.
func converse(t *testing.T, files []txtar.File, exchange string) string {
	c := newConversation(t, files)
	c.whole = strings.HasSuffix(t.Name(), "/lifecycle")
	defer c.close()
	var out strings.Builder
	var said string
	flush := func() {
		if said != "" {
			c.say(said)
			out.WriteString(c.heard())
			said = ""
		}
	}
	for line := range strings.Lines(exchange) {
		switch {
		case strings.HasPrefix(line, "--> "):
			flush()
			said = line
			out.WriteString(line)
		case said != "" && strings.HasPrefix(line, "    "):
			said += line
			out.WriteString(line)
		case strings.HasPrefix(line, "#"), strings.TrimSpace(line) == "":
			flush()
			out.WriteString(line)
		default:
			flush() // what the server said is written anew
		}
	}
	flush()
	return out.String()
}

// conversation is a client of a server that runs over its own streams.
type conversation struct {
	t      *testing.T
	root   string
	unit   encoding
	marks  map[string]mark
	in     io.WriteCloser
	out    lockedBuffer
	log    lockedBuffer
	rested chan int
	ended  chan int
	sent   int
	ids    int
	asked  map[string]string // methods of the requests, by id
	whole  bool              // what the server can do is written out
	brief  bool              // the next answer is a list of proposals, told in short
}

type mark struct {
	file string
	at   Position
}

// lockedBuffer is written by the server and read by the test.
type lockedBuffer struct {
	sync.Mutex
	bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.Lock()
	defer b.Unlock()
	return b.Buffer.Write(p)
}

func (b *lockedBuffer) take() string {
	b.Lock()
	defer b.Unlock()
	s := b.String()
	b.Reset()
	return s
}

var marker = regexp.MustCompile("‹[a-z0-9]+›")

func newConversation(t *testing.T, files []txtar.File) *conversation {
	t.Helper()
	root, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	c := &conversation{t: t, root: root, marks: map[string]mark{}, rested: make(chan int, 1000), ended: make(chan int, 1), asked: map[string]string{}}
	for _, f := range files {
		if f.Name == "exchange" {
			continue
		}
		c.write(f.Name, c.marked(f.Name, string(f.Data)))
	}
	in, w := io.Pipe()
	c.in = w
	s := newServer(in, &c.out, &c.log)
	s.rest = 0
	s.rested = func(handled int) { c.rested <- handled }
	go func() { c.ended <- s.run() }()
	return c
}

// marked takes the marks out of a page and notes where they were.
func (c *conversation) marked(name, text string) string {
	for {
		at := marker.FindStringIndex(text)
		if at == nil {
			return text
		}
		label := strings.Trim(text[at[0]:at[1]], "‹›")
		text = text[:at[0]] + text[at[1]:]
		c.marks[label] = mark{name, newText(text, c.unit).position(at[0])}
	}
}

func (c *conversation) write(name, text string) {
	c.t.Helper()
	path := filepath.Join(c.root, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		c.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		c.t.Fatal(err)
	}
}

func (c *conversation) close() {
	c.in.Close()
	<-c.ended
	if log := c.log.take(); strings.Contains(log, "goroutine") {
		c.t.Error(log)
	}
}

// say sends what a line of an exchange says, and waits until the server rests.
func (c *conversation) say(line string) {
	method, params, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), "--> "), " ")
	switch method {
	case "write": // not said: a file is written behind the editor's back
		name, text, _ := strings.Cut(params, " ")
		c.write(name, strings.ReplaceAll(text, `\n`, "\n"))
		return
	case "remove":
		if err := os.Remove(filepath.Join(c.root, params)); err != nil {
			c.t.Fatal(err)
		}
		return
	case "raw":
		c.send(params)
		return
	case "brief": // said, and of the proposals in the answer only the words are shown
		c.brief = true
		method, params, _ = strings.Cut(params, " ")
	}
	c.send(c.message(method, c.meant(params)))
}

// message is a request or a notification with its parameters.
func (c *conversation) message(method, params string) string {
	m := map[string]any{"jsonrpc": "2.0", "method": method}
	if params != "" {
		m["params"] = json.RawMessage(params)
	}
	if requests[method] != nil || strings.HasPrefix(method, "unknown/") {
		c.ids++
		m["id"] = c.ids
		c.asked[fmt.Sprint(c.ids)] = method
	}
	body, err := json.Marshal(m)
	if err != nil {
		c.t.Fatalf("%s: %v\n%s", method, err, params)
	}
	return string(body)
}

func (c *conversation) send(body string) {
	c.sent++
	if _, err := fmt.Fprintf(c.in, "Content-Length: %d\r\n\r\n%s", len(body), body); err != nil {
		c.t.Fatal(err)
	}
	for {
		select {
		case handled := <-c.rested:
			if handled >= c.sent {
				return
			}
		case code := <-c.ended:
			c.ended <- code
			return
		}
	}
}

var (
	placeHere  = regexp.MustCompile(`"at": *"@([a-z0-9]+)"`)
	fromTo     = regexp.MustCompile(`"@([a-z0-9]+)-([a-z0-9]+)"`)
	opened     = regexp.MustCompile(`"open": *"([^"]+)"`)
	documentOf = regexp.MustCompile(`"file": *"([^"]+)"`)
)

// meant puts real parameters in the place of an exchange's short ones.
func (c *conversation) meant(params string) string {
	position := func(name string) string {
		m, ok := c.marks[name]
		if !ok {
			c.t.Fatalf("there is no mark %s", name)
		}
		b, _ := json.Marshal(m.at)
		return string(b)
	}
	params = placeHere.ReplaceAllStringFunc(params, func(s string) string {
		name := placeHere.FindStringSubmatch(s)[1]
		return fmt.Sprintf(`"textDocument": {"uri": "ROOT/%s"}, "position": %s`, c.marks[name].file, position(name))
	})
	params = fromTo.ReplaceAllStringFunc(params, func(s string) string {
		m := fromTo.FindStringSubmatch(s)
		return fmt.Sprintf(`{"start": %s, "end": %s}`, position(m[1]), position(m[2]))
	})
	params = opened.ReplaceAllStringFunc(params, func(s string) string {
		name := opened.FindStringSubmatch(s)[1]
		text, err := os.ReadFile(filepath.Join(c.root, name))
		if err != nil {
			c.t.Fatal(err)
		}
		body, _ := json.Marshal(string(text))
		return fmt.Sprintf(`"textDocument": {"uri": "ROOT/%s", "languageId": "markdown", "version": 1, "text": %s}`, name, body)
	})
	params = documentOf.ReplaceAllString(params, `"textDocument": {"uri": "ROOT/$1"}`)
	for name, set := range clients {
		params = strings.ReplaceAll(params, `"`+name+`"`, set)
	}
	return strings.ReplaceAll(params, "ROOT", uriOf(c.root))
}

// clients are what two clients can do: one that can do everything, and one of little words.
var clients = map[string]string{
	"a full client": `{"general": {"positionEncodings": ["utf-16"]},
		"workspace": {"workspaceEdit": {"documentChanges": true}, "didChangeWatchedFiles": {"dynamicRegistration": true},
			"codeLens": {"refreshSupport": true}, "inlayHint": {"refreshSupport": true}},
		"textDocument": {"hover": {"contentFormat": ["markdown", "plaintext"]},
			"completion": {"completionItem": {"snippetSupport": true, "documentationFormat": ["markdown"]}},
			"documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
			"publishDiagnostics": {"relatedInformation": true, "versionSupport": true, "tagSupport": {"valueSet": [1, 2]}},
			"inlayHint": {}, "rename": {"prepareSupport": true}}}`,
	"a plain client": `{}`,
}

// heard is what the server has said since, in the form of an exchange.
func (c *conversation) heard() string {
	var out strings.Builder
	for _, body := range c.messages() {
		var m struct {
			ID     json.RawMessage
			Method string
			Params json.RawMessage
			Result json.RawMessage
			Error  json.RawMessage
		}
		if err := json.Unmarshal([]byte(body), &m); err != nil {
			c.t.Fatal(err)
		}
		what, content := "", m.Result
		switch {
		case m.Method != "":
			what, content = m.Method+" ", m.Params
			judge(c.t, m.Method, sayings, m.Params)
		case m.Error != nil:
			what, content = "error ", m.Error
		default:
			if method := c.asked[string(m.ID)]; method != "" {
				judge(c.t, method, answers, m.Result)
			}
		}
		if c.asked[string(m.ID)] == "initialize" && m.Result != nil && !c.whole {
			content = json.RawMessage(`"what it can do"`)
		}
		if c.brief {
			c.brief = false
			out.WriteString(proposed(c.t, content))
			continue
		}
		if content == nil {
			fmt.Fprintf(&out, "<-- %s\n", strings.TrimSpace(what))
			continue
		}
		text := strings.ReplaceAll(readable(c.t, content), uriOf(c.root), "ROOT")
		fmt.Fprintf(&out, "<-- %s%s\n", what, text)
	}
	return out.String()
}

// proposed lists the words of a completion, what is shown beside them, and what would be written.
func proposed(t *testing.T, result json.RawMessage) string {
	var list completionList
	if err := json.Unmarshal(result, &list); err != nil {
		t.Fatalf("%v: %s", err, result)
	}
	if len(list.Items) == 0 {
		return "<-- nothing\n"
	}
	var b strings.Builder
	const most = 12
	for i, item := range list.Items {
		if i == most {
			b.WriteString("<-- … and more\n")
			break
		}
		fmt.Fprintf(&b, "<-- %s", item.Label)
		if item.Detail != "" {
			fmt.Fprintf(&b, " (%s)", item.Detail)
		}
		if item.TextEdit.NewText != item.Label {
			fmt.Fprintf(&b, " writes %q", item.TextEdit.NewText)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// messages are the bodies of what the server has written since.
func (c *conversation) messages() []string {
	var list []string
	for rest := c.out.take(); rest != ""; {
		var n int
		header, body, ok := strings.Cut(rest, "\r\n\r\n")
		if _, err := fmt.Sscanf(header, "Content-Length: %d", &n); err != nil || !ok || n > len(body) {
			c.t.Fatalf("%q is no frame", rest)
		}
		list = append(list, body[:n])
		rest = body[n:]
	}
	return list
}

// readable prints JSON with what is short on one line, keys in their order.
func readable(t *testing.T, raw json.RawMessage) string {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	text, _ := printed(t, dec, "")
	return text
}

// printed prints the next value of dec behind an indent; short tells that it is on one line.
func printed(t *testing.T, dec *json.Decoder, indent string) (string, bool) {
	t.Helper()
	tok, err := dec.Token()
	if err != nil {
		t.Fatal(err)
	}
	open, is := tok.(json.Delim)
	if !is {
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(tok); err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(b.String()), true
	}
	const deeper, wide = "    ", 140
	var items []string
	short := true
	width := len(indent)
	for dec.More() {
		key := ""
		if open == '{' {
			k, err := dec.Token()
			if err != nil {
				t.Fatal(err)
			}
			key = fmt.Sprintf("%q: ", k)
		}
		item, one := printed(t, dec, indent+deeper)
		items = append(items, key+item)
		short = short && one
		width += len(key) + len(item) + 2
	}
	end, err := dec.Token()
	if err != nil {
		t.Fatal(err)
	}
	if short && width < wide {
		return fmt.Sprint(open) + strings.Join(items, ", ") + fmt.Sprint(end), true
	}
	sep := "\n" + indent + deeper
	return fmt.Sprint(open) + sep + strings.Join(items, ","+sep) + "\n" + indent + fmt.Sprint(end), false
}
