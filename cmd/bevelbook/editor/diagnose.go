package editor

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/journal"
	"bevelbook/journal/proof"
)

// stale tells whether the client has not been told of a change.
func (s *server) stale() bool {
	if s.phase != running {
		return false
	}
	for _, b := range s.books {
		if b.untold {
			return true
		}
	}
	return false
}

// publish tells the client what has changed among the findings. It stops when messages come in, since
// what it would say may be stale by then.
func (s *server) publish() {
	for _, dir := range slices.Sorted(maps.Keys(s.books)) {
		b := s.books[dir]
		if !b.untold {
			continue
		}
		b.ready()
		if len(s.inbox) > 0 {
			return
		}
		s.tell(b)
	}
}

// tell publishes the findings of those pages of a journal whose findings are others than before.
func (s *server) tell(b *book) {
	b.untold = false
	since := b.since
	defer s.refresh(b, since)
	b.look()
	for _, path := range slices.Sorted(maps.Keys(b.doubtful)) {
		list := s.diagnostics(b, path)
		before, known := b.shown[path]
		if reflect.DeepEqual(list, before) || len(list) == 0 && !known {
			continue
		}
		if len(list) == 0 {
			delete(b.shown, path)
		} else {
			b.shown[path] = list
		}
		p := publishDiagnosticsParams{URI: s.uri(b, path), Diagnostics: list}
		if d := b.docs[path]; d != nil && s.client.Capabilities.TextDocument.PublishDiagnostics.VersionSupport {
			p.Version = &d.version
		}
		s.notify("textDocument/publishDiagnostics", p)
	}
	clear(b.doubtful)
}

// refresh has the client ask anew for lenses and hints where a change reached an open page that was not
// edited itself; those of an edited page it asks for anyway.
func (s *server) refresh(b *book, since journal.Change) {
	reached := false
	for path := range b.docs {
		reached = reached || !b.edited[path] && (since.All || slices.Contains(since.Pages, path))
	}
	clear(b.edited)
	if !reached {
		return
	}
	if s.client.Capabilities.Workspace.CodeLens.RefreshSupport {
		s.request("workspace/codeLens/refresh", nil)
	}
	if s.client.Capabilities.Workspace.InlayHint.RefreshSupport {
		s.request("workspace/inlayHint/refresh", nil)
	}
}

// look brings the findings up to date and notes the pages whose findings may be others now.
func (b *book) look() {
	var pages []string
	all := b.found == nil
	switch {
	case b.snap == nil:
	case all:
		b.found = proof.Follow(b.snap)
	default:
		pages, all = b.found.Update(b.since)
	}
	b.since = journal.Change{}
	for _, path := range pages {
		b.doubtful[path] = true
	}
	if !all {
		return
	}
	for path := range b.shown {
		b.doubtful[path] = true
	}
	if b.snap != nil {
		for _, p := range b.snap.Pages {
			b.doubtful[p.Path] = true
		}
	}
}

// diagnostics are the findings on one page. Those that are nowhere stand at the top of journal.md.
func (s *server) diagnostics(b *book, path string) []Diagnostic {
	list := []Diagnostic{}
	if b.snap == nil {
		return list
	}
	found := b.found.On(path)
	if path == journal.HomeName {
		found = slices.Concat(b.found.On(""), found)
	}
	for _, f := range found {
		list = append(list, s.diagnostic(b, f))
	}
	return list
}

// severities maps how grave a finding is.
var severities = [...]int{finding.Note: severityInformation, finding.Mind: severityWarning, finding.Stop: severityError}

// diagnostic is one finding in the protocol's shape. The way out stands below the message, since not
// every client has a place of its own for it. An accepted finding is a hint with the reason.
func (s *server) diagnostic(b *book, f finding.Finding) Diagnostic {
	can := s.client.Capabilities.TextDocument.PublishDiagnostics
	d := Diagnostic{Severity: severities[f.Severity], Code: f.Name, Source: "bevelbook", Message: f.Message}
	if at, ok := s.location(b, f.At); ok {
		d.Range = at.Range
	}
	if f.Help != "" {
		d.Message += "\n" + f.Help
	}
	if f.Accepted != "" {
		d.Severity = severityHint
		d.Message = "accepted: " + f.Accepted + "\n" + f.Message
	}
	if f.Name == "unused" && slices.Contains(can.TagSupport.ValueSet, tagUnnecessary) {
		d.Tags = []int{tagUnnecessary}
	}
	for _, n := range f.Notes {
		at, ok := s.location(b, n.At)
		switch {
		case !ok:
		case can.RelatedInformation:
			d.Related = append(d.Related, relatedInfo{at, n.Message})
		default:
			d.Message += fmt.Sprintf("\n%s: %s", placed(n.At), n.Message)
		}
	}
	return d
}

// placed is a place for people: "log/roof.md:12".
func placed(at source.Span) string {
	p := at.Place()
	return fmt.Sprintf("%s:%d", p.File, p.Line)
}

// oneLine is a text without line ends, for places that show one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
