package report

import (
	"io"
	"net/url"
	"slices"
	"strings"
	"unicode/utf8"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// The parts of the Static Analysis Results Interchange Format (SARIF) Version 2.1.0, OASIS Standard,
// that are written here. Numbers are its sections.
type (
	sarifLog struct { // 3.13
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct { // 3.14
		Tool       sarifTool     `json:"tool"`
		ColumnKind string        `json:"columnKind"`
		Results    []sarifResult `json:"results"`
	}
	sarifTool struct { // 3.18
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct { // 3.19
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct { // 3.49
		ID string `json:"id"`
	}
	sarifResult struct { // 3.27
		RuleID       string             `json:"ruleId"`
		RuleIndex    int                `json:"ruleIndex"`
		Level        string             `json:"level"`
		Message      sarifMessage       `json:"message"`
		Locations    []sarifLocation    `json:"locations"`
		Related      []sarifLocation    `json:"relatedLocations,omitempty"`
		Suppressions []sarifSuppression `json:"suppressions"`
	}
	sarifMessage struct { // 3.11
		Text string `json:"text"`
	}
	sarifLocation struct { // 3.28
		Physical sarifPhysical `json:"physicalLocation"`
		Message  *sarifMessage `json:"message,omitempty"`
	}
	sarifPhysical struct { // 3.29
		Artifact sarifArtifact `json:"artifactLocation"`
		Region   sarifRegion   `json:"region"`
	}
	sarifArtifact struct { // 3.4
		URI string `json:"uri"`
	}
	sarifRegion struct { // 3.30
		StartLine   int `json:"startLine"`
		StartColumn int `json:"startColumn"`
		EndLine     int `json:"endLine"`
		EndColumn   int `json:"endColumn"`
	}
	sarifSuppression struct { // 3.35
		Kind          string `json:"kind"`
		Justification string `json:"justification"`
	}
)

// levels are the words of 3.27.10 for the severities.
var levels = [...]string{finding.Note: "note", finding.Mind: "warning", finding.Stop: "error"}

// SARIF writes the findings, in the order given, as a SARIF 2.1.0 log with one run of this program's
// version. Accepted findings are suppressed in the source, with the reason. File names are URI
// references relative to the journal's folder. The message of a private finding has its numbers
// left out, and no text of the pages is quoted. The error is that of w.
func SARIF(w io.Writer, list []finding.Finding, version string) error {
	rules := ruleNames(list)
	run := sarifRun{
		Tool:       sarifTool{sarifDriver{Name: "bevelbook", Version: version, Rules: make([]sarifRule, len(rules))}},
		ColumnKind: "unicodeCodePoints",
		Results:    make([]sarifResult, len(list)),
	}
	for i, name := range rules {
		run.Tool.Driver.Rules[i].ID = name
	}
	for i, f := range list {
		run.Results[i] = result(f, rules)
	}
	return write(w, sarifLog{
		Schema:  "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
		Version: "2.1.0",
		Runs:    []sarifRun{run},
	})
}

// ruleNames are the names of the findings, each once, sorted.
func ruleNames(list []finding.Finding) []string {
	names := make([]string, 0, len(list))
	for _, f := range list {
		names = append(names, f.Name)
	}
	slices.Sort(names)
	return slices.Compact(names)
}

func result(f finding.Finding, rules []string) sarifResult {
	index, _ := slices.BinarySearch(rules, f.Name)
	r := sarifResult{
		RuleID: f.Name, RuleIndex: index, Level: levels[f.Severity],
		Message:   message(public(f, f.Message), public(f, f.Help)),
		Locations: []sarifLocation{},
		// Present on every result: absent would mean that nobody knows (3.27.23).
		Suppressions: []sarifSuppression{},
	}
	if !f.At.IsZero() {
		r.Locations = append(r.Locations, sarifLocation{Physical: physical(f.At)})
	}
	for i, n := range f.Notes {
		if !n.At.IsZero() && !slices.Contains(f.Notes[:i], n) { // each once (3.27.22)
			m := message(public(f, n.Message))
			r.Related = append(r.Related, sarifLocation{Physical: physical(n.At), Message: &m})
		}
	}
	if f.Accepted != "" {
		r.Suppressions = append(r.Suppressions, sarifSuppression{"inSource", public(f, f.Accepted)})
	}
	return r
}

// message makes sentences of the parts. Braces are doubled, since single ones mark places to fill
// (3.11.5), and what would read as a link is kept from being one
// (3.11.6).
func message(parts ...string) sarifMessage {
	var sentences []string
	for _, s := range parts {
		if s != "" {
			sentences = append(sentences, sentence(s))
		}
	}
	return sarifMessage{plainText.Replace(strings.Join(sentences, " "))}
}

var plainText = strings.NewReplacer("{", "{{", "}", "}}", "](", "] (")

// sentence gives s a full stop.
func sentence(s string) string {
	if last, _ := utf8.DecodeLastRuneInString(s); strings.ContainsRune(".!?", last) {
		return s
	}
	return s + "."
}

func physical(at source.Span) sarifPhysical {
	start, end := at.Place(), at.File.Span(max(at.End, at.Start), at.End).Place()
	return sarifPhysical{
		// A relative reference, percent-encoded, with ./ in front when a colon could be taken for a
		// scheme (RFC 3986, section 4.2).
		Artifact: sarifArtifact{(&url.URL{Path: start.File}).String()},
		Region:   sarifRegion{start.Line, start.Column, end.Line, end.Column},
	}
}
