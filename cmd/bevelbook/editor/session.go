package editor

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// The methods, by name. Every one of LSP 3.17 that is not here is answered as unknown.
var requests, notifications map[string]do

func init() {
	requests = map[string]do{
		"initialize":                     on((*server).initialize),
		"shutdown":                       told(func(s *server, _ struct{}) { s.phase = closing }),
		"textDocument/hover":             on((*server).hover),
		"textDocument/completion":        on((*server).completion),
		"textDocument/signatureHelp":     on((*server).signatureHelp),
		"textDocument/definition":        on((*server).definition),
		"textDocument/references":        on((*server).references),
		"textDocument/documentHighlight": on((*server).highlight),
		"textDocument/prepareRename":     on((*server).prepareRename),
		"textDocument/rename":            on((*server).rename),
		"textDocument/documentSymbol":    on((*server).documentSymbols),
		"textDocument/formatting":        on((*server).formatting),
		"textDocument/rangeFormatting":   on((*server).rangeFormatting),
		"textDocument/codeLens":          on((*server).codeLens),
		"textDocument/inlayHint":         on((*server).inlayHints),
		"textDocument/foldingRange":      on((*server).foldingRanges),
		"textDocument/documentLink":      on((*server).documentLinks),
		"workspace/symbol":               on((*server).workspaceSymbols),
		"workspace/executeCommand":       on((*server).execute),
	}
	notifications = map[string]do{
		"initialized":                         told((*server).initialized),
		"textDocument/didOpen":                told((*server).didOpen),
		"textDocument/didChange":              told((*server).didChange),
		"textDocument/didSave":                told((*server).didSave),
		"textDocument/didClose":               told((*server).didClose),
		"workspace/didChangeWatchedFiles":     told((*server).didChangeWatchedFiles),
		"workspace/didChangeWorkspaceFolders": told((*server).didChangeFolders),
	}
}

// client is what the client can do, as far as it changes what is answered.
type client struct {
	initializeParams
	unit encoding
}

// markup is the kind of text to answer with, of those that the client takes.
func markup(formats []string) string {
	if slices.Contains(formats, "markdown") {
		return "markdown"
	}
	return "plaintext"
}

func (s *server) initialize(p initializeParams) (any, *rpc.Error) {
	s.client = client{initializeParams: p}
	if slices.Contains(p.Capabilities.General.PositionEncodings, utf8Bytes.name()) {
		s.client.unit = utf8Bytes
	}
	s.phase = running
	folders := p.WorkspaceFolders
	if len(folders) == 0 && p.RootURI != "" {
		folders = []workspaceFolder{{p.RootURI}}
	}
	s.openFolders(folders)
	return map[string]any{
		"serverInfo": map[string]string{"name": "bevelbook"},
		"capabilities": map[string]any{
			"positionEncoding":                s.client.unit.name(),
			"textDocumentSync":                map[string]any{"openClose": true, "change": 2, "save": true},
			"hoverProvider":                   true,
			"completionProvider":              map[string]any{"triggerCharacters": []string{".", "`", ">", ":"}},
			"signatureHelpProvider":           map[string]any{"triggerCharacters": []string{"(", ","}},
			"definitionProvider":              true,
			"referencesProvider":              true,
			"documentHighlightProvider":       true,
			"renameProvider":                  s.renames(),
			"documentSymbolProvider":          true,
			"workspaceSymbolProvider":         true,
			"documentFormattingProvider":      true,
			"documentRangeFormattingProvider": true,
			"codeLensProvider":                map[string]any{},
			"inlayHintProvider":               true,
			"foldingRangeProvider":            true,
			"documentLinkProvider":            map[string]any{},
			"executeCommandProvider":          map[string]any{"commands": []string{workingCommand}},
			"workspace": map[string]any{
				"workspaceFolders": map[string]any{"supported": true, "changeNotifications": true},
			},
		},
	}, nil
}

// renames offers to look first where the client can ask for that.
func (s *server) renames() any {
	if s.client.Capabilities.TextDocument.Rename.PrepareSupport {
		return map[string]any{"prepareProvider": true}
	}
	return true
}

// initialized asks to be told of changes on the disk, where the client can do that.
func (s *server) initialized(struct{}) {
	if !s.client.Capabilities.Workspace.DidChangeWatchedFiles.DynamicRegistration {
		return
	}
	s.watching = true
	s.request("client/registerCapability", map[string]any{"registrations": []any{map[string]any{
		"id": "files", "method": "workspace/didChangeWatchedFiles",
		"registerOptions": map[string]any{"watchers": []any{map[string]any{"globPattern": "**/*"}}},
	}}})
}

// openFolders opens the journals among folders.
func (s *server) openFolders(folders []workspaceFolder) {
	for _, f := range folders {
		dir := pathOf(f.URI)
		if dir == "" {
			continue
		}
		s.folders = append(s.folders, dir)
		if isFile(filepath.Join(dir, journal.HomeName)) {
			s.book(dir).kept = true
		}
	}
}

func (s *server) didChangeFolders(p didChangeFoldersParams) {
	s.openFolders(p.Event.Added)
	for _, f := range p.Event.Removed {
		s.folders = slices.DeleteFunc(s.folders, func(dir string) bool { return dir == pathOf(f.URI) })
		if b := s.books[pathOf(f.URI)]; b != nil {
			b.kept = false
			s.leave(b)
		}
	}
}

// document is one page that is open in the editor.
type document struct {
	uri     string // as the client writes it
	path    string
	version int
	text    string
}

func (s *server) didOpen(p didOpenParams) {
	path := pathOf(p.TextDocument.URI)
	if path == "" || filepath.Ext(path) != ".md" {
		return
	}
	d := &document{p.TextDocument.URI, path, p.TextDocument.Version, p.TextDocument.Text}
	s.docs[path] = d
	if b := s.bookOf(path); b != nil {
		b.put(d)
	}
}

func (s *server) didChange(p didChangeParams) {
	d := s.docs[pathOf(p.TextDocument.URI)]
	if d == nil {
		return
	}
	for _, c := range p.ContentChanges {
		d.text = newText(d.text, s.client.unit).apply(c)
	}
	d.version = p.TextDocument.Version
	if b := s.bookOf(d.path); b != nil {
		b.put(d)
	}
}

func (s *server) didClose(p documentParams) {
	d := s.docs[pathOf(p.TextDocument.URI)]
	if d == nil {
		return
	}
	delete(s.docs, d.path)
	if b := s.bookOf(d.path); b != nil {
		b.drop(d)
		s.leave(b)
	}
}

// didSave looks at the disk anew where nobody else tells what happened there.
func (s *server) didSave(p documentParams) {
	path := pathOf(p.TextDocument.URI)
	if b := s.bookOf(path); b != nil && !s.watched(b) {
		b.touch(b.dir)
	}
}

// watched tells whether the client tells of changes in a journal's folder: it watches its own folders.
func (s *server) watched(b *book) bool {
	return s.watching && slices.ContainsFunc(s.folders, func(dir string) bool {
		rel, err := filepath.Rel(dir, b.dir)
		return err == nil && filepath.IsLocal(rel)
	})
}

func (s *server) didChangeWatchedFiles(p didChangeWatchedFilesParams) {
	for _, c := range p.Changes {
		path := pathOf(c.URI)
		if b := s.bookOf(path); b != nil {
			b.touch(path)
		}
	}
}

// bookOf is the journal that a file belongs to, nil if it belongs to none: the nearest folder upwards
// that holds journal.md, on the disk or in the editor.
func (s *server) bookOf(path string) *book {
	if path == "" {
		return nil
	}
	for dir := filepath.Dir(path); ; dir = filepath.Dir(dir) {
		home := filepath.Join(dir, journal.HomeName)
		if b := s.books[dir]; b != nil {
			return b
		}
		if s.docs[home] != nil || isFile(home) {
			return s.book(dir)
		}
		if dir == filepath.Dir(dir) {
			return nil
		}
	}
}

// book is the journal of a folder, opened if it was not. What is open in the editor already comes into it.
func (s *server) book(dir string) *book {
	if b := s.books[dir]; b != nil {
		return b
	}
	b := newBook(dir)
	s.books[dir] = b
	for path, d := range s.docs {
		if strings.HasPrefix(path, dir+string(filepath.Separator)) && s.bookOf(path) == b {
			b.put(d)
		}
	}
	return b
}

// leave closes a journal that nothing keeps open.
func (s *server) leave(b *book) {
	if b.kept || len(b.docs) > 0 {
		return
	}
	delete(s.books, b.dir)
	for path := range b.shown {
		s.notify("textDocument/publishDiagnostics", publishDiagnosticsParams{URI: s.uri(b, path), Diagnostics: []Diagnostic{}})
	}
}

// uri is the address of a page of a journal: the client's own where it has the page open.
func (s *server) uri(b *book, path string) string {
	if d := b.docs[path]; d != nil {
		return d.uri
	}
	return uriOf(filepath.Join(b.dir, filepath.FromSlash(path)))
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}
