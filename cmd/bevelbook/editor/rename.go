package editor

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// prepareRename tells whether what stands at a place can be renamed, and what it is called now.
func (s *server) prepareRename(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok {
		return nil, nil
	}
	r, fault := sp.renaming(t)
	if fault != nil {
		return nil, fault
	}
	at := t.at
	if t.section != "" && t.sets {
		at = wordIn(at, r.old)
	}
	return struct {
		Range       Range  `json:"range"`
		Placeholder string `json:"placeholder"`
	}{sp.text.span(at), r.old}, nil
}

// rename renames a value, a block or a section wherever the journal speaks of it. It is refused unless
// the journal means the same afterwards.
func (s *server) rename(p renameParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, refused("this page is in no journal")
	}
	t, ok := sp.thing()
	if !ok {
		return nil, refused("nothing that stands here has a name of its own")
	}
	r, fault := sp.renaming(t)
	if fault != nil {
		return nil, fault
	}
	if fault := r.to(p.NewName); fault != nil {
		return nil, fault
	}
	edits := r.edits()
	if fault := r.trial(edits); fault != nil {
		return nil, fault
	}
	return s.workspaceEdit(sp.book, edits, r.name), nil
}

func refused(format string, args ...any) *rpc.Error {
	return rpc.Errorf(rpc.RequestFailed, format, args...)
}

// renaming is one thing that gets another name.
type renaming struct {
	spot
	old, name string
	node      *eval.Node     // a value or a block; nil for a section
	block     *journal.Block // the block it is, nil if it is none
	owner     *journal.Block // the named block of values that a value stands in, nil if it stands in none
}

// renaming tells what is to be renamed at a place, or why it cannot be.
func (sp spot) renaming(t thing) (*renaming, *rpc.Error) {
	r := &renaming{spot: sp, node: t.node}
	switch {
	case t.section != "":
		r.old = t.section
		return r, nil
	case t.node == nil || t.whole:
		return nil, refused("nothing that stands here has a name of its own")
	case t.result != "":
		return nil, refused("%s is a result of the %s; its name is not the journal's own", t.result, t.node.Block.Kind)
	}
	b := sp.book.blockOf(t.node)
	if b == nil {
		return nil, refused("nothing that stands here has a name of its own")
	}
	if r.old = t.node.Key; r.old == "" {
		if nameOf(b).File == nil {
			return nil, refused("this %s has no name of its own; write one behind the word", b.Kind.Name)
		}
		r.old, r.block = b.Name, b
	} else if b.Eval.Name != "" {
		r.owner = b
	}
	if hasKey(b.Kind, r.old) && b.Kind.Values && r.block == nil {
		return nil, refused("%s has a meaning of its own in a %s", r.old, b.Kind.Name)
	}
	if !b.Kind.Unbound && r.declared(r.old) != t.node {
		return nil, refused("%s is set twice; mend that first", r.old)
	}
	return r, nil
}

// hasKey tells whether a kind has a key of that name.
func hasKey(k *kind.Kind, name string) bool {
	return slices.ContainsFunc(k.Keys, func(key kind.Key) bool { return key.Name == name })
}

// declared is what has a name where the renamed thing has its own, nil for nothing.
func (r *renaming) declared(name string) *eval.Node {
	if r.owner != nil {
		for _, m := range r.owner.Eval.Members {
			if m.Key == name {
				return m
			}
		}
		return nil
	}
	for other, n := range r.snap.Program.Space(r.node.Section) {
		if other == name {
			return n
		}
	}
	return nil
}

// to sets the new name, or tells why it cannot be one.
func (r *renaming) to(name string) *rpc.Error {
	name = strings.TrimSpace(name)
	switch why := syntax.Reserved(name); {
	case !syntax.IsName(name):
		return refused("%s is no name: letters, digits and _ make one, a letter first", short(name))
	case why != "":
		return refused("%s cannot be a name: it %s", name, why)
	case eval.IsConstant(name):
		return refused("%s cannot be a name: it is a constant", name)
	case name == r.old:
	case r.node == nil:
		if _, taken := r.snap.Section(name); taken {
			return refused("there is a section %s already", name)
		}
	case r.block != nil && r.block.Kind.Unbound: // nothing but links can speak of it
	case r.declared(name) != nil:
		return refused("%s is taken: it is set at %s", name, placed(r.book.setAt(r.declared(name))))
	case r.block == nil && hasKey(r.book.blockOf(r.node).Kind, name):
		return refused("%s has a meaning of its own in a %s", name, r.node.Block.Kind)
	}
	r.name = name
	return nil
}

// edits lists the words to put the new name in the place of, by page, in the order of the text.
func (r *renaming) edits() map[string][]source.Span {
	t := thing{node: r.node}
	places := r.accepted()
	if r.node == nil {
		t.section = r.old
		for _, at := range r.sectionPlaces(r.old) {
			places = append(places, wordIn(at, r.old))
		}
	} else {
		places = append(places, r.book.setAt(r.node))
	}
	places = append(places, r.usePlaces(t)...)
	places = append(places, r.bareWords()...)
	if r.block != nil {
		places = append(places, r.links()...)
	}
	edits := map[string][]source.Span{}
	for _, at := range sorted(places) {
		edits[at.File.Name] = append(edits[at.File.Name], at)
	}
	return edits
}

// wordIn is where a word stands in a span, the zero Span if it does not.
func wordIn(at source.Span, word string) source.Span {
	i := strings.Index(at.Text(), word)
	if i < 0 {
		return source.Span{}
	}
	return at.File.Span(at.Start+i, at.Start+i+len(word))
}

// accepted lists where acceptances in front matter name the renamed thing, or, for a section, a part of it.
func (r *renaming) accepted() []source.Span {
	var list []source.Span
	for _, p := range r.snap.Pages {
		for _, a := range p.Doc.Front.Accept {
			before, ok := r.speaksOf(p, a.Part)
			text := a.At.Text()
			i := strings.LastIndex(text, a.Part)
			if ok && i >= 0 {
				start := a.At.Start + i + before
				list = append(list, a.At.File.Span(start, start+len(r.old)))
			}
		}
	}
	return list
}

// bareWords lists where blocks name the renamed thing in words that the graph does not look up: a part in the
// tallies of its section, a material in layouts, a section in what a glue or paint covers.
func (r *renaming) bareWords() []source.Span {
	var list []source.Span
	of := func(kindName, key string) {
		for _, b := range r.snap.OfKind(kindName) {
			for _, e := range b.Syntax.Entries {
				if e.Name() != key {
					continue
				}
				syntax.Walk(e.Value, func(x syntax.Expr) {
					if n, ok := x.(*syntax.Name); ok && n.Text == r.old {
						list = append(list, n.At)
					}
				})
			}
		}
	}
	switch {
	case r.node == nil:
		of("material", "covers")
	case r.block == nil:
	case r.block.Kind.Name == "material":
		of("layout", "of")
	default:
		for _, b := range r.snap.OfKind("tally") {
			for _, e := range b.Syntax.Entries {
				if len(e.Key) > 1 && e.Key[1].Text == r.old && b.Page.Section() == r.node.Section {
					list = append(list, e.Key[1].At)
				}
			}
		}
	}
	return list
}

// speaksOf tells whether the part of an acceptance on a page is the renamed thing or begins with it, and
// behind how many bytes of it the name stands.
func (r *renaming) speaksOf(p *journal.Page, part string) (before int, ok bool) {
	begins := func(part, name string) bool { return part == name || strings.HasPrefix(part, name+".") }
	if r.node == nil {
		return 0, strings.HasPrefix(part, r.old+".")
	}
	section := r.node.Section
	switch {
	case section != "" && begins(part, section+"."+r.old):
		return len(section) + 1, true
	case begins(part, r.old):
		return 0, section != "" && p.Section() == section || p.Doc.File == r.node.At.File
	}
	return 0, false
}

// links lists where links of the journal lead to the card of the renamed block.
func (r *renaming) links() []source.Span {
	var list []source.Span
	anchor := r.block.Anchor()
	for _, p := range r.snap.Pages {
		for _, l := range p.Doc.Links {
			t := p.Resolve(l.Target)
			if t.Outside || t.Escapes || t.Fragment != anchor || t.Path != r.block.Page.Path && (t.Path != "" || p != r.block.Page) {
				continue
			}
			for _, name := range []string{r.old, url.PathEscape(r.old)} {
				written := "#" + strings.TrimSuffix(anchor, r.old) + name
				if i := strings.LastIndex(l.At.Text(), written); i >= 0 {
					end := l.At.Start + i + len(written)
					list = append(list, p.Doc.File.Span(end-len(name), end))
					break
				}
			}
		}
	}
	return list
}

// trial makes the edits in the journal, looks what is another than before, and takes them back. It costs
// what the edits change, twice.
func (r *renaming) trial(edits map[string][]source.Span) *rpc.Error {
	b := r.book
	b.look()
	was, before := meanings(r.snap), slices.Clone(b.found.All())
	texts := maps.Clone(b.over.texts)
	defer func() {
		for path := range edits {
			delete(b.over.texts, path)
		}
		maps.Copy(b.over.texts, texts)
		b.again(edits)
	}()
	for path, list := range edits {
		page, _ := r.snap.Page(path)
		b.over.texts[path] = replaced(page.Doc.File.Text, list, r.name)
	}
	if !b.again(edits) {
		return refused("the journal cannot be read")
	}
	if other := r.otherMeaning(was, meanings(b.snap)); other != "" {
		return refused("%s cannot become %s: %s", r.old, r.name, other)
	}
	if f, ok := newFinding(before, b.found.All()); ok {
		return refused("%s cannot become %s: then, at %s, %s", r.old, r.name, placed(f.At), f.Message)
	}
	return nil
}

// again works the journal out anew after pages were laid over it or taken away; false if it cannot be read.
func (b *book) again(pages map[string][]source.Span) bool {
	for path := range pages {
		b.changed[path] = true
	}
	if b.ready() == nil {
		return false
	}
	b.look()
	return true
}

// replaced is a text with a name in the place of each span.
func replaced(text string, list []source.Span, name string) string {
	var b strings.Builder
	last := 0
	for _, at := range list {
		b.WriteString(text[last:at.Start] + name)
		last = at.End
	}
	return b.String() + text[last:]
}

// otherMeaning tells the first word that stands for something else after the renaming, "" if none does.
// Names change no lines, so what a word stands for is known by its line.
func (r *renaming) otherMeaning(was, is []meaning) string {
	for i := range max(len(was), len(is)) {
		switch {
		case i >= len(was), i < len(is) && was[i].node != is[i].node && was[i].node > is[i].node:
			return fmt.Sprintf("at %s, %s would stand for what is set at %s", placed(is[i].At), is[i].At.Text(), is[i].node)
		case i >= len(is) || was[i].node != is[i].node || was[i].Result != is[i].Result || r.section(was[i]) != is[i].Section:
			return fmt.Sprintf("at %s, %s would no longer stand for what it does now", placed(was[i].At), was[i].At.Text())
		}
	}
	return ""
}

// section is the section that a word stood for, under its new name.
func (r *renaming) section(m meaning) string {
	if r.node == nil && m.Section == r.old {
		return r.name
	}
	return m.Section
}

// meaning is what one word stands for, and the line where that is set.
type meaning struct {
	eval.Mention
	node string
}

// meanings lists what all words of a journal stand for, in the order of pages and text.
func meanings(snap *journal.Snapshot) []meaning {
	var list []meaning
	for n := range nodes(snap) {
		for _, m := range snap.Program.Mentions(n) {
			w := meaning{Mention: m}
			if m.Node != nil {
				w.node = placed(m.Node.At)
			}
			list = append(list, w)
		}
	}
	return list
}

// newFinding is a finding, graver than a note and not accepted, that was not there before.
func newFinding(before, after []finding.Finding) (finding.Finding, bool) {
	type about struct{ name, at string }
	known := map[about]int{}
	for _, f := range before {
		if f.Severity > finding.Note && f.Accepted == "" {
			known[about{f.Name, placed(f.At)}]++
		}
	}
	for _, f := range after {
		if f.Severity == finding.Note || f.Accepted != "" {
			continue
		}
		if known[about{f.Name, placed(f.At)}]--; known[about{f.Name, placed(f.At)}] < 0 {
			return f, true
		}
	}
	return finding.Finding{}, false
}

// workspaceEdit puts a name in the place of spans on several pages.
func (s *server) workspaceEdit(b *book, edits map[string][]source.Span, name string) workspaceEdit {
	w := workspaceEdit{}
	documents := s.client.Capabilities.Workspace.WorkspaceEdit.DocumentChanges
	if !documents {
		w.Changes = map[string][]TextEdit{}
	}
	for _, path := range slices.Sorted(maps.Keys(edits)) {
		page, _ := b.snap.Page(path)
		text := b.text(page, s.client.unit)
		var list []TextEdit
		for _, at := range edits[path] {
			list = append(list, TextEdit{text.span(at), name})
		}
		if !documents {
			w.Changes[s.uri(b, path)] = list
			continue
		}
		id := versionedID{URI: s.uri(b, path)}
		if d := b.docs[path]; d != nil {
			id.Version = &d.version
		}
		w.DocumentChanges = append(w.DocumentChanges, textDocumentEdit{id, list})
	}
	return w
}
