package editor

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"text/scanner"
)

// The outside judge of what the server says: the type declarations of LSP 3.17 in testdata/lsp.d.ts,
// which its authors publish. Every answer of every exchange is held to the type that the specification
// gives to it; a field that the type does not have is a fault too.

// answers are the types of the answers to requests.
var answers = map[string]string{
	"initialize":                     "InitializeResult",
	"shutdown":                       "null",
	"textDocument/hover":             "Hover | null",
	"textDocument/completion":        "CompletionList | null",
	"textDocument/signatureHelp":     "SignatureHelp | null",
	"textDocument/definition":        "Location[] | null",
	"textDocument/references":        "Location[] | null",
	"textDocument/documentHighlight": "DocumentHighlight[] | null",
	"textDocument/prepareRename":     "{ range: Range; placeholder: string; } | null",
	"textDocument/rename":            "WorkspaceEdit | null",
	"textDocument/documentSymbol":    "DocumentSymbol[] | SymbolInformation[] | null",
	"textDocument/formatting":        "TextEdit[] | null",
	"textDocument/rangeFormatting":   "TextEdit[] | null",
	"textDocument/codeLens":          "CodeLens[] | null",
	"textDocument/inlayHint":         "InlayHint[] | null",
	"textDocument/foldingRange":      "FoldingRange[] | null",
	"textDocument/documentLink":      "DocumentLink[] | null",
	"workspace/symbol":               "SymbolInformation[] | null",
	"workspace/executeCommand":       "null",
}

// sayings are the types of what the server says by itself.
var sayings = map[string]string{
	"textDocument/publishDiagnostics": "PublishDiagnosticsParams",
	"client/registerCapability":       "RegistrationParams",
	"window/showMessage":              "ShowMessageParams",
	"workspace/codeLens/refresh":      "undefined",
	"workspace/inlayHint/refresh":     "undefined",
}

func TestEveryRequestHasItsType(t *testing.T) {
	for method := range requests {
		if answers[method] == "" {
			t.Errorf("no type is known for the answer to %s", method)
		}
	}
}

// judge holds JSON to a type.
func judge(t *testing.T, method string, types map[string]string, content json.RawMessage) {
	t.Helper()
	spelt, known := types[method]
	if !known {
		t.Errorf("no type is known for %s", method)
		return
	}
	if content == nil && spelt == "undefined" {
		return
	}
	var v any
	if err := json.Unmarshal(content, &v); err != nil {
		t.Fatal(err)
	}
	p := newReading(spelt)
	want := p.union()
	if why := specification(t).misfit(v, want); why != "" {
		t.Errorf("%s is no %s: %s\n%s", method, spelt, why, content)
	}
}

func TestTheJudgeRefusesWhatIsWrong(t *testing.T) {
	for spelt, wrong := range map[string]string{
		"Range":         `{"start": {"line": 1, "character": 2}}`,
		"Position":      `{"line": 1, "character": 2, "column": 3}`,
		"Hover":         `{"contents": {"kind": "html", "value": ""}}`,
		"Location[]":    `[{"uri": 5}]`,
		"Diagnostic":    `{"range": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 0}}, "message": "m", "severity": 9}`,
		"null":          `{}`,
		"WorkspaceEdit": `{"changes": {"file:///a": {"newText": "x"}}}`,
	} {
		var v any
		if err := json.Unmarshal([]byte(wrong), &v); err != nil {
			t.Fatal(err)
		}
		if specification(t).misfit(v, newReading(spelt).union()) == "" {
			t.Errorf("%s passes as %s", wrong, spelt)
		}
	}
}

// declarations are the named types of the specification.
type declarations map[string]*shape

// shape is one type: exactly one of its fields says what it is.
type shape struct {
	name    string // a declared or a basic type
	literal any    // this very text or number
	items   *shape // a list
	either  []*shape
	all     []*shape // of everything at once; extends too
	fields  map[string]field
	index   *shape // of fields of any name
	object  bool
}

type field struct {
	shape    *shape
	optional bool
}

var specification = func() func(*testing.T) declarations {
	load := sync.OnceValues(func() (declarations, error) {
		text, err := os.ReadFile("testdata/lsp.d.ts")
		if err != nil {
			return nil, err
		}
		return newReading(string(text)).declarations(), nil
	})
	return func(t *testing.T) declarations {
		d, err := load()
		if err != nil || len(d) < 100 {
			t.Fatalf("%d declarations: %v", len(d), err)
		}
		return d
	}
}()

// reading reads the part of the language of types that the declarations use.
type reading struct {
	scanner.Scanner
	tok string
}

func newReading(text string) *reading {
	r := &reading{}
	r.Init(strings.NewReader(text))
	r.Mode = scanner.ScanIdents | scanner.ScanInts | scanner.ScanChars | scanner.ScanStrings | scanner.ScanComments | scanner.SkipComments
	r.Error = func(*scanner.Scanner, string) {} // 'text' is no Go character
	r.next()
	return r
}

func (r *reading) next() string {
	was := r.tok
	r.tok = ""
	if r.Scan() != scanner.EOF {
		r.tok = r.TokenText()
	}
	return was
}

func (r *reading) take(tok string) bool {
	if r.tok != tok {
		return false
	}
	r.next()
	return true
}

func (r *reading) must(tok string) {
	if !r.take(tok) {
		panic(fmt.Sprintf("line %d: %q stands where %q is expected", r.Pos().Line, r.tok, tok))
	}
}

func (r *reading) declarations() declarations {
	d := declarations{}
	for r.tok != "" {
		r.must("export")
		r.take("declare")
		what := r.next()
		name := r.next()
		if r.take("<") { // parameters of types are all `any` here
			for !r.take(">") {
				r.next()
			}
		}
		s := &shape{}
		if what == "type" {
			r.must("=")
			s = r.union()
			r.must(";")
		} else {
			if r.take("extends") {
				for s.all = append(s.all, r.union()); r.take(","); {
					s.all = append(s.all, r.union())
				}
			}
			own := r.primary()
			s.all = append(s.all, own)
		}
		d[name] = s
	}
	return d
}

func (r *reading) union() *shape {
	r.take("|")
	s := r.both()
	for r.tok == "|" {
		if len(s.either) == 0 {
			s = &shape{either: []*shape{s}}
		}
		r.next()
		s.either = append(s.either, r.both())
	}
	return s
}

func (r *reading) both() *shape {
	s := r.list()
	for r.tok == "&" {
		if len(s.all) == 0 {
			s = &shape{all: []*shape{s}}
		}
		r.next()
		s.all = append(s.all, r.list())
	}
	return s
}

func (r *reading) list() *shape {
	s := r.primary()
	for r.tok == "[" {
		r.next()
		r.must("]")
		s = &shape{items: s}
	}
	return s
}

func (r *reading) primary() *shape {
	switch {
	case r.take("("):
		s := r.union()
		r.must(")")
		return s
	case r.take("{"):
		return r.body()
	case r.take("["): // a list of fixed length
		s := &shape{items: r.union()}
		for r.take(",") {
			r.union()
		}
		r.must("]")
		return s
	case strings.HasPrefix(r.tok, "'"):
		return &shape{literal: strings.Trim(r.next(), "'")}
	}
	if n, err := strconv.ParseFloat(r.tok, 64); err == nil {
		r.next()
		return &shape{literal: n}
	}
	s := &shape{name: r.next()}
	if r.take("<") {
		for !r.take(">") {
			r.next()
		}
	}
	return s
}

func (r *reading) body() *shape {
	s := &shape{object: true, fields: map[string]field{}}
	for !r.take("}") {
		r.take("readonly")
		if r.take("[") {
			for !r.take("]") {
				r.next()
			}
			r.must(":")
			s.index = r.union()
		} else {
			name := r.next()
			optional := r.take("?")
			r.must(":")
			s.fields[name] = field{r.union(), optional}
		}
		r.take(";")
	}
	return s
}

// misfit tells why a value is not of a type, "" if it is.
func (d declarations) misfit(v any, want *shape) string {
	switch {
	case want.literal != nil:
		if v != want.literal {
			return fmt.Sprintf("%v is not %v", v, want.literal)
		}
	case want.items != nil:
		list, ok := v.([]any)
		if !ok {
			return fmt.Sprintf("%v is no list", v)
		}
		for _, item := range list {
			if why := d.misfit(item, want.items); why != "" {
				return why
			}
		}
	case want.either != nil:
		var reasons []string
		for _, one := range want.either {
			why := d.misfit(v, one)
			if why == "" {
				return ""
			}
			reasons = append(reasons, why)
		}
		return strings.Join(reasons, "; and ")
	case want.name != "" && d[want.name] == nil:
		return basic(v, want.name)
	default:
		return d.fields(v, want)
	}
	return ""
}

// basic holds a value to one of the types that need no declaration.
func basic(v any, name string) string {
	ok := false
	switch name {
	case "any", "T":
		ok = true
	case "string":
		_, ok = v.(string)
	case "boolean":
		_, ok = v.(bool)
	case "number", "integer", "uinteger", "decimal":
		n, is := v.(float64)
		ok = is && (name != "uinteger" || n >= 0) && (name == "decimal" || name == "number" || n == float64(int64(n)))
	case "null", "undefined":
		ok = v == nil
	default:
		return "the type " + name + " is not declared"
	}
	if !ok {
		return fmt.Sprintf("%v is no %s", v, name)
	}
	return ""
}

// fields holds an object to a type that is made of fields, of its own and of what it extends.
func (d declarations) fields(v any, want *shape) string {
	whole := &shape{fields: map[string]field{}}
	if !d.gather(want, whole) { // a name for something else
		return d.misfit(v, d[want.name])
	}
	object, ok := v.(map[string]any)
	if !ok {
		return fmt.Sprintf("%v is no %s", v, want.name)
	}
	for name, f := range whole.fields {
		if _, given := object[name]; !given && !f.optional {
			return want.name + " needs " + name
		}
	}
	for name, value := range object {
		f, known := whole.fields[name]
		switch {
		case known:
			if why := d.misfit(value, f.shape); why != "" {
				return name + ": " + why
			}
		case whole.index != nil:
			if why := d.misfit(value, whole.index); why != "" {
				return name + ": " + why
			}
		default:
			return want.name + " has no " + name
		}
	}
	return ""
}

// gather adds up the fields of a type; false if it is not made of fields.
func (d declarations) gather(s *shape, into *shape) bool {
	switch {
	case s.name != "":
		return d[s.name] != nil && d.gather(d[s.name], into)
	case s.object:
		for name, f := range s.fields {
			into.fields[name] = f
		}
		if s.index != nil {
			into.index = s.index
		}
		return true
	case s.all != nil:
		for _, one := range s.all {
			if !d.gather(one, into) {
				return false
			}
		}
		return true
	}
	return false
}
