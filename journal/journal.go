package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/journal/entry"
)

// HomeName is the file that makes a folder a journal.
const HomeName = "journal.md"

// ErrNoJournal is returned by Load for a folder without journal.md.
var ErrNoJournal = errors.New("no journal.md here")

// Snapshot is a whole journal, worked out.
type Snapshot struct {
	Settings Settings
	Pages    []*Page // by path
	Blocks   []*Block
	Sections []*Section // by name; the journal's own space is not among them
	Program  *eval.Program
	Ledger   Ledger
	Files    map[string]int64 // size of every other file, by path

	fsys fs.FS
	opt  Options

	byPath    map[string]*Page
	bySection map[string]*Section
	byKind    map[string][]*Block
	weight    int64          // of all parts, in micrograms
	folders   map[string]int // how many pages and files lie below each
}

// Settings are the front matter of journal.md.
type Settings struct {
	Title, Author, BaseURL, Theme, Language, Description string
	Style                                                unit.Style
}

// Page is one Markdown file.
type Page struct {
	Path   string
	Doc    *entry.Document
	Blocks []*Block
	Spans  []*Span
	Found  []finding.Finding // of its front matter, blocks' syntax and spans' syntax

	passage *eval.Passage
}

// Section is the body section that the page belongs to, "" for the journal's own space.
func (p *Page) Section() string { return p.Doc.Front.Section }

// IsHome tells whether the page is journal.md.
func (p *Page) IsHome() bool { return p.Path == HomeName }

// Dated tells whether the page is an entry of the log.
func (p *Page) Dated() bool { return p.Doc.Front.Date != "" }

// Title is the page's title, from its front matter, its first heading, or its file name.
func (p *Page) Title() string {
	if t := p.Doc.Front.Title; t != "" {
		return t
	}
	if len(p.Doc.Headings) > 0 {
		return p.Doc.Headings[0].Text
	}
	return strings.TrimSuffix(path.Base(p.Path), ".md")
}

// Block is one fence of ours.
type Block struct {
	Page   *Page
	Kind   *kind.Kind
	Name   string // as written; "" if the fence names none
	Entry  entry.Block
	Syntax *syntax.Block
	Eval   *eval.Block
	Out    *kind.Output // filled when the block is worked out
	Found  []finding.Finding
}

// Record is the block's result, nil if it could not be worked out.
func (b *Block) Record() *eval.Record {
	r, _ := b.Eval.Node.Cell.Value.(*eval.Record)
	return r
}

// Findings are all findings of the block: of its text, its keys, its values.
func (b *Block) Findings() []finding.Finding {
	list := slices.Clone(b.Found)
	list = append(list, b.Eval.Node.Findings...)
	for _, m := range b.Eval.Members {
		list = append(list, m.Findings...)
	}
	for i := range list {
		list[i].Section = b.Page.Section()
		if list[i].Part == "" {
			list[i].Part = b.Eval.Name
		}
		list[i].Private = list[i].Private || b.Eval.Private
	}
	finding.Sort(list)
	return list
}

// Private tells whether the block's numbers are kept from what is published.
func (b *Block) Private() bool { return b.Eval.Private }

// Span is one inline expression.
type Span struct {
	entry.Span
	Expr syntax.Expr // nil if it could not be parsed
	Node *eval.Node
	Bad  []finding.Finding
}

// Section is one body section.
type Section struct {
	Name    string
	Sides   []string // none, or left and right
	Pages   []*Page
	Blocks  []*Block
	Minutes float64
}

// Options say what to leave unread.
type Options struct {
	// Skip is the folder of the written site, relative to the journal; "pressed" is always skipped.
	Skip string
}

// Load reads and works out a journal. The error is ErrNoJournal or one of reading; whatever is
// wrong inside the texts becomes findings.
func Load(fsys fs.FS, opt Options) (*Snapshot, error) {
	texts, files, err := read(fsys, opt)
	if err != nil {
		return nil, err
	}
	s := &Snapshot{fsys: fsys, opt: opt, Files: files, byPath: map[string]*Page{}, bySection: map[string]*Section{}, byKind: map[string][]*Block{}}
	s.Pages = parsePages(texts)
	for _, p := range s.Pages {
		s.byPath[p.Path] = p
	}
	s.countFolders()
	s.settle(s.byPath[HomeName])
	s.link()
	s.Program.Files = s.reader()
	s.Program.Run()
	s.group()
	s.tally()
	return s, nil
}

// Page finds a page by its path.
func (s *Snapshot) Page(path string) (*Page, bool) {
	p, ok := s.byPath[path]
	return p, ok
}

// Section finds a section by its name.
func (s *Snapshot) Section(name string) (*Section, bool) {
	sec, ok := s.bySection[name]
	return sec, ok
}

// settle reads the settings from journal.md.
func (s *Snapshot) settle(home *Page) {
	s.Settings = settingsOf(home)
	if units := home.Doc.Front.Units; units != "" {
		if _, err := unit.ParseStyle(units); err != nil {
			at := home.Doc.Front.At["units"]
			home.Found = append(home.Found, eval.Err(eval.WrongValue, at, "Write `units: mm` or `units: in 1/16`", "%v", err))
		}
	}
}

// settingsOf are the settings that journal.md holds.
func settingsOf(home *Page) Settings {
	f := &home.Doc.Front
	units := f.Units
	if units == "" {
		units = "mm"
	}
	style, _ := unit.ParseStyle(units)
	return Settings{Title: home.Title(), Author: f.Author, BaseURL: f.BaseURL, Theme: f.Theme, Language: f.Language, Description: f.Description, Style: style}
}

// link declares all blocks and spans and makes the graph.
func (s *Snapshot) link() {
	passages := make([]*eval.Passage, len(s.Pages))
	for i, p := range s.Pages {
		passages[i] = s.declare(p)
		s.Blocks = append(s.Blocks, p.Blocks...)
		for _, b := range p.Blocks {
			s.byKind[b.Kind.Name] = append(s.byKind[b.Kind.Name], b)
		}
	}
	s.Program = eval.LinkTexts(passages)
	for _, p := range s.Pages {
		p.linked()
	}
}

// declare makes what the graph needs of a page.
func (s *Snapshot) declare(p *Page) *eval.Passage {
	t := &eval.Passage{Key: p.Path}
	for _, b := range p.Blocks {
		var found []finding.Finding
		b.Eval, b.Out, found = b.Kind.Declare(p.Section(), b.Name, b.Entry.Info, b.Syntax, s.Settings.Style)
		b.Found = append(b.Found, found...)
		t.Blocks = append(t.Blocks, b.Eval)
	}
	for _, x := range p.Spans {
		if x.Expr != nil {
			t.Spans = append(t.Spans, eval.Span{Section: p.Section(), Expr: x.Expr})
		}
	}
	p.passage = t
	return t
}

// linked hands the nodes of the page's spans to them.
func (p *Page) linked() {
	i := 0
	for _, x := range p.Spans {
		if x.Expr != nil {
			x.Node = p.passage.Inline[i]
			i++
		}
	}
}

// group gathers the sections from the pages.
func (s *Snapshot) group() {
	for _, p := range s.Pages {
		name := p.Section()
		if name == "" {
			continue
		}
		sec := s.bySection[name]
		if sec == nil {
			sec = &Section{Name: name}
			s.bySection[name] = sec
			s.Sections = append(s.Sections, sec)
		}
		sec.Pages = append(sec.Pages, p)
		sec.Blocks = append(sec.Blocks, p.Blocks...)
	}
	for _, sec := range s.Sections {
		sec.sum()
	}
	slices.SortFunc(s.Sections, func(a, b *Section) int { return strings.Compare(a.Name, b.Name) })
}

// sum works out what a section has of all its pages.
func (sec *Section) sum() {
	sec.Minutes, sec.Sides = 0, nil
	for _, p := range sec.Pages {
		sec.Minutes += p.Doc.Front.Minutes
		for _, side := range p.Doc.Front.Sides {
			if !slices.Contains(sec.Sides, side) {
				sec.Sides = append(sec.Sides, side)
			}
		}
	}
}

// Language lists every finding of the texts themselves: front matter, blocks, inline values.
func (s *Snapshot) Language() []finding.Finding {
	var list []finding.Finding
	for _, p := range s.Pages {
		list = append(list, p.Language()...)
	}
	finding.Sort(list)
	return list
}

// Language lists the findings of the page's text, in no order.
func (p *Page) Language() []finding.Finding {
	var list []finding.Finding
	for _, f := range p.Found {
		f.Section = p.Section()
		list = append(list, f)
	}
	for _, b := range p.Blocks {
		list = append(list, b.Findings()...)
	}
	for _, x := range p.Spans {
		list = append(list, x.Findings(p)...)
	}
	return list
}

// Findings are those of one inline expression.
func (x *Span) Findings(p *Page) []finding.Finding {
	list := slices.Clone(x.Bad)
	if x.Node != nil {
		list = append(list, x.Node.Findings...)
	}
	for i := range list {
		list[i].Section = p.Section()
	}
	return list
}

// parse makes blocks and spans of what the Markdown holds.
func (p *Page) parse() {
	for _, eb := range p.Doc.Blocks {
		k, ok := kind.Find(eb.Kind)
		if !ok {
			p.nearMiss(eb)
			continue
		}
		b := &Block{Page: p, Kind: k, Name: eb.Name, Entry: eb}
		b.Syntax, b.Found = syntax.ParseBlock(p.Doc.File, eb.Lines)
		b.checkName()
		p.Blocks = append(p.Blocks, b)
	}
	for _, es := range p.Doc.Spans {
		x := &Span{Span: es}
		x.Expr, x.Bad = syntax.ParseExpr(es.At)
		p.Spans = append(p.Spans, x)
	}
}

// checkName refuses block names that cannot be referred to.
func (b *Block) checkName() {
	name := b.Name
	if name == "" {
		return
	}
	at := b.Entry.Info
	switch {
	case !syntax.IsName(name):
		help := "Letters, digits and _ make a name, a letter first"
		if joined := strings.NewReplacer("-", "_", " ", "_").Replace(name); syntax.IsName(joined) {
			help = "Write " + joined + "; letters, digits and _ make a name"
		}
		b.Found = append(b.Found, eval.Err(kind.ReservedName, at, help, "%s is no name", name))
		b.Name = ""
	case syntax.Reserved(name) != "":
		b.Found = append(b.Found, eval.Err(kind.ReservedName, at, "Choose another", "%s cannot be a name: it %s", name, syntax.Reserved(name)))
	}
}

// UnknownKind is the finding of a fence whose first word is nearly that of a kind.
const UnknownKind = "unknown-kind"

// nearMiss speaks up when a fence that holds our language names its kind almost right.
func (p *Page) nearMiss(b entry.Block) {
	near := kind.Nearest(b.Kind)
	if near == "" || len(b.Lines) == 0 || !looksOurs(b.Lines) {
		return
	}
	f := eval.Err(UnknownKind, b.Info, "Did you mean "+near+"?", "%s is no kind of block, so this is shown as plain text", b.Kind)
	f.Severity = finding.Mind
	p.Found = append(p.Found, f)
}

// looksOurs tells whether the first line that says anything is `words: something`.
func looksOurs(lines []source.Span) bool {
	for _, l := range lines {
		text := strings.TrimSpace(l.Text())
		if text == "" || text[0] == '#' {
			continue
		}
		return strings.IndexByte(text, ':') > 0
	}
	return false
}

// Anchor is the block's id on its page: its kind and name, or its kind and its number on the page.
func (b *Block) Anchor() string {
	if b.Name != "" {
		return b.Kind.Name + "-" + b.Name
	}
	n := 1
	for _, other := range b.Page.Blocks {
		if other == b {
			break
		}
		if other.Name == "" && other.Kind == b.Kind {
			n++
		}
	}
	if n == 1 {
		return b.Kind.Name
	}
	return fmt.Sprintf("%s-%d", b.Kind.Name, n)
}
