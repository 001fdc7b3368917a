package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"bevelbook/calc/source"
)

// object is a JSON object being held to the standard.
type object map[string]any

func (o object) object(t *testing.T, key string) object {
	t.Helper()
	v, ok := o[key].(map[string]any)
	if !ok {
		t.Fatalf("%s is not an object but %T", key, o[key])
	}
	return v
}

func (o object) list(t *testing.T, key string) (list []object) {
	t.Helper()
	items, ok := o[key].([]any)
	if !ok {
		t.Fatalf("%s is not an array but %T", key, o[key])
	}
	for _, item := range items {
		v, ok := item.(map[string]any)
		if !ok {
			t.Fatalf("an element of %s is not an object but %T", key, item)
		}
		list = append(list, v)
	}
	return list
}

// TestSARIFHasWhatTheStandardRequires holds the log to Static Analysis Results Interchange Format
// (SARIF) Version 2.1.0, OASIS Standard; the sections stand beside the checks.
func TestSARIFHasWhatTheStandardRequires(t *testing.T) {
	var b bytes.Buffer
	if err := SARIF(&b, findings(), "1.2.3"); err != nil {
		t.Fatal(err)
	}
	var log object
	if err := json.Unmarshal(b.Bytes(), &log); err != nil {
		t.Fatal(err)
	}
	if log["version"] != "2.1.0" { // 3.13.2
		t.Errorf("version %v", log["version"])
	}
	schema, _ := log["$schema"].(string) // 3.13.3: an absolute URI
	if u, err := url.Parse(schema); err != nil || !u.IsAbs() {
		t.Errorf("$schema %q", schema)
	}
	runs := log.list(t, "runs") // 3.13.4
	if len(runs) != 1 {
		t.Fatalf("%d runs", len(runs))
	}
	run := runs[0]
	if run["columnKind"] != "unicodeCodePoints" { // 3.14.17
		t.Errorf("columnKind %v", run["columnKind"])
	}
	driver := run.object(t, "tool").object(t, "driver") // 3.14.6, 3.18.2
	if name, _ := driver["name"].(string); name == "" { // 3.19.8
		t.Error("the driver has no name")
	}
	rules := driver.list(t, "rules") // 3.19.23: unique
	ids := map[string]bool{}
	for _, rule := range rules {
		id, _ := rule["id"].(string) // 3.49.3
		if id == "" || ids[id] {
			t.Errorf("rule id %q is empty or there twice", id)
		}
		ids[id] = true
	}
	results := run.list(t, "results") // 3.14.23
	if len(results) != len(findings()) {
		t.Fatalf("%d results for %d findings", len(results), len(findings()))
	}
	for i, r := range results {
		checkResult(t, r, rules, i)
	}
}

var (
	placeholder = regexp.MustCompile(`\{+|\}+`)
	link        = regexp.MustCompile(`\]\(`)
)

func checkResult(t *testing.T, r object, rules []object, i int) {
	t.Helper()
	f := findings()[i]
	index, _ := r["ruleIndex"].(float64) // 3.27.6: into rules, and the same rule as 3.27.5
	if r["ruleId"] != f.Name || int(index) >= len(rules) || rules[int(index)]["id"] != f.Name {
		t.Errorf("result %d: rule %v, index %v", i, r["ruleId"], index)
	}
	want := map[string]string{"stop": "error", "mind": "warning", "note": "note"}[f.Severity.String()]
	if r["level"] != want { // 3.27.10
		t.Errorf("result %d: level %v, want %s", i, r["level"], want)
	}
	text, _ := r.object(t, "message")["text"].(string) // 3.27.11, 3.11.2
	if text == "" || link.MatchString(text) {          // 3.11.6
		t.Errorf("result %d: message %q", i, text)
	}
	for _, braces := range placeholder.FindAllString(text, -1) { // 3.11.5: braces are doubled
		if len(braces)%2 != 0 {
			t.Errorf("result %d: %q in %q", i, braces, text)
		}
	}
	locations := r.list(t, "locations") // 3.27.12
	if f.At.IsZero() != (len(locations) == 0) || len(locations) > 1 {
		t.Errorf("result %d: %d locations", i, len(locations))
	}
	if r["relatedLocations"] != nil { // 3.27.22
		locations = append(locations, r.list(t, "relatedLocations")...)
	}
	for _, l := range locations {
		checkLocation(t, l, i)
	}
	suppressions := r.list(t, "suppressions") // 3.27.23: an array for all results, or for none
	if (f.Accepted != "") != (len(suppressions) == 1) {
		t.Errorf("result %d: %d suppressions", i, len(suppressions))
	}
	for _, s := range suppressions {
		if s["kind"] != "inSource" || s["justification"] != f.Accepted { // 3.35.2, 3.35.6
			t.Errorf("result %d: suppression %v", i, s)
		}
	}
}

// Characters of a URI reference (RFC 3986, section 2).
var reference = regexp.MustCompile(`^(?:[A-Za-z0-9\-._~!$&'()*+,;=:@/]|%[0-9A-F]{2})+$`)

func checkLocation(t *testing.T, l object, i int) {
	t.Helper()
	place := l.object(t, "physicalLocation")                                              // 3.28.3
	uri, _ := place.object(t, "artifactLocation")["uri"].(string)                         // 3.29.3, 3.4.3
	if u, err := url.Parse(uri); err != nil || u.IsAbs() || !reference.MatchString(uri) { // 3.10.1
		t.Errorf("result %d: %q is not a relative reference", i, uri)
	}
	region := place.object(t, "region") // 3.29.4
	number := func(key string) int { n, _ := region[key].(float64); return int(n) }
	startLine, startColumn, endLine, endColumn := number("startLine"), number("startColumn"), number("endLine"), number("endColumn")
	if startLine < 1 || startColumn < 1 || endLine < startLine || endLine == startLine && endColumn < startColumn { // 3.30.5 to 3.30.8
		t.Errorf("result %d: region %v", i, region)
	}
}

func TestSARIFColumnsCountCharactersAndEndBehindTheLast(t *testing.T) {
	for _, c := range []struct{ word, want string }{
		{"lamp", "7:18-7:22"}, // hand: 左右 left, 🏮 lamp: 3.14.17, one column each
		{"widht", "5:39-5:44"},
		{"foam10\nhand", "6:12-7:5"}, // 3.30.7
	} {
		file := findings()[0].At.File
		start := strings.Index(file.Text, c.word)
		r := physical(file.Span(start, start+len(c.word))).Region
		if got := fmt.Sprintf("%d:%d-%d:%d", r.StartLine, r.StartColumn, r.EndLine, r.EndColumn); got != c.want {
			t.Errorf("%q: got %s, want %s", c.word, got, c.want)
		}
	}
}

func TestSARIFNamesFilesByRelativeReferences(t *testing.T) {
	for name, want := range map[string]string{ // RFC 3986, sections 2.1 and 4.2
		"log/a b.md":    "log/a%20b.md",
		"a:b.md":        "./a:b.md",
		"log/Größe.md":  "log/Gr%C3%B6%C3%9Fe.md",
		"100%?#.md":     "100%25%3F%23.md",
		"log/plain.md":  "log/plain.md",
		"a[1]{2}|\".md": "a%5B1%5D%7B2%7D%7C%22.md",
	} {
		if got := physical(source.NewFile(name, "").Span(0, 0)).Artifact.URI; got != want {
			t.Errorf("%q: got %q, want %q", name, got, want)
		}
	}
}
