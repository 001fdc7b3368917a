package editor

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/source"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// documentSymbols is the outline of a page: headings, in them blocks, in them values or keys.
func (s *server) documentSymbols(p documentParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, Position{})
	if !ok {
		return nil, nil
	}
	tree := sp.outline()
	if s.client.Capabilities.TextDocument.DocumentSymbol.Hierarchical {
		return tree, nil
	}
	flat := []symbolInformation{}
	uri := p.TextDocument.URI
	var walk func(list []documentSymbol, container string)
	walk = func(list []documentSymbol, container string) {
		for _, d := range list {
			flat = append(flat, symbolInformation{d.Name, d.Kind, Location{uri, d.Range}, container})
			walk(d.Children, d.Name)
		}
	}
	walk(tree, "")
	return flat, nil
}

// entryOf is one line of the outline; a block stands below all headings.
type entryOf struct {
	level, start int
	symbol       documentSymbol
}

const blockLevel = 7

// outline is the tree of a page's headings, blocks and values.
func (sp spot) outline() []documentSymbol {
	s := sp.page.Doc.File.Text
	var list []entryOf
	for i, h := range sp.page.Doc.Headings {
		start := strings.LastIndexByte(s[:h.At.Start], '\n') + 1
		end := len(s)
		for _, next := range sp.page.Doc.Headings[i+1:] {
			if next.Level <= h.Level {
				end = strings.LastIndexByte(s[:next.At.Start], '\n') + 1
				break
			}
		}
		list = append(list, entryOf{h.Level, start, documentSymbol{Name: cmp.Or(oneLine(h.Text), "(no words)"), Kind: symbolString,
			Range: sp.text.between(start, max(end, h.At.End)), SelectionRange: sp.text.span(h.At)}})
	}
	for _, b := range sp.page.Blocks {
		list = append(list, entryOf{blockLevel, b.Entry.Fence.Start, sp.blockSymbol(b)})
	}
	slices.SortStableFunc(list, func(a, b entryOf) int { return a.start - b.start })
	tree, _ := nested(list, 0)
	return tree
}

// nested makes a tree of a list, as long as its entries stand deeper than a level, and gives the rest.
func nested(list []entryOf, above int) (tree []documentSymbol, rest []entryOf) {
	tree = []documentSymbol{}
	for len(list) > 0 && list[0].level > above {
		e := list[0]
		var below []documentSymbol
		below, list = nested(list[1:], e.level)
		e.symbol.Children = append(e.symbol.Children, below...)
		tree = append(tree, e.symbol)
	}
	return tree, list
}

// blockSymbol is a block with its values, or its keys.
func (sp spot) blockSymbol(b *journal.Block) documentSymbol {
	at := nameOf(b)
	if at.File == nil {
		at = b.Entry.Info
	}
	d := documentSymbol{Name: cmp.Or(b.Name, b.Kind.Name), Kind: symbolStruct, Range: sp.text.span(b.Entry.Fence), SelectionRange: sp.text.span(at)}
	if b.Name != "" {
		d.Detail = b.Kind.Name
	}
	for _, e := range b.Syntax.Entries {
		key := e.Key[0].At.To(e.Key[len(e.Key)-1].At)
		child := documentSymbol{Name: e.Name(), Kind: symbolProperty, Range: sp.text.span(e.At), SelectionRange: sp.text.span(key)}
		if m := member(b, e); m != nil {
			child.Kind, child.Detail = symbolVariable, sp.shown(m.Cell)
		}
		d.Children = append(d.Children, child)
	}
	return d
}

// shown is a value that nobody has asked for. A private measurement is not shown then: others may look
// at the screen.
func (sp spot) shown(c eval.Cell) string {
	switch {
	case c.Value == nil || isUnknown(c.Value):
		return ""
	case c.Privacy == eval.Kept:
		return "private"
	}
	return oneLine(c.Value.Show(sp.snap.Settings.Style))
}

// mostSymbols bounds what a search over journals gives.
const mostSymbols = 500

// workspaceSymbols searches the names of all open journals.
func (s *server) workspaceSymbols(p workspaceSymbolParams) (any, *rpc.Error) {
	query := strings.ToLower(p.Query)
	list := []symbolInformation{}
	for _, dir := range slices.Sorted(maps.Keys(s.books)) {
		b := s.books[dir]
		if b.ready() == nil {
			continue
		}
		for _, page := range b.snap.Pages {
			for n, at := range b.names(page) {
				if len(list) == mostSymbols {
					return list, nil
				}
				where, ok := s.location(b, at)
				if !ok || !strings.Contains(strings.ToLower(n.ID), query) {
					continue
				}
				kind := symbolVariable
				if n.Key == "" {
					kind = symbolStruct
				}
				list = append(list, symbolInformation{n.ID, kind, where, page.Title()})
			}
		}
	}
	return list, nil
}

// names goes through the named blocks and values of a page, with the places where they are set.
func (b *book) names(page *journal.Page) func(yield func(*eval.Node, source.Span) bool) {
	return func(yield func(*eval.Node, source.Span) bool) {
		for _, own := range page.Blocks {
			if at := nameOf(own); at.File != nil && !yield(own.Eval.Node, at) {
				return
			}
			for _, m := range own.Eval.Members {
				if !yield(m, m.At) {
					return
				}
			}
		}
	}
}

// foldingRanges are the front matter, the blocks, and what stands below each heading.
func (s *server) foldingRanges(p documentParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, Position{})
	if !ok {
		return nil, nil
	}
	list := []foldingRange{}
	add := func(r Range, kind string) {
		if r.End.Line > r.Start.Line {
			list = append(list, foldingRange{r.Start.Line, r.End.Line, kind})
		}
	}
	if body := sp.page.Doc.Body; body > 0 {
		add(sp.text.between(0, body-1), "region")
	}
	for _, b := range sp.page.Doc.Blocks {
		add(sp.text.span(b.Fence), "region")
	}
	for _, d := range headingsOnly(sp.outline()) {
		end := d.Range.End
		if end.Character == 0 && end.Line > 0 {
			end.Line--
		}
		add(Range{d.Range.Start, end}, "")
	}
	return list, nil
}

// headingsOnly lists the headings of an outline, those inside others too.
func headingsOnly(tree []documentSymbol) []documentSymbol {
	var list []documentSymbol
	for _, d := range tree {
		if d.Kind == symbolString {
			list = append(list, d)
			list = append(list, headingsOnly(d.Children)...)
		}
	}
	return list
}

// documentLinks lead to the pages and files of the journal that a page links to.
func (s *server) documentLinks(p documentParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, Position{})
	if !ok {
		return nil, nil
	}
	list := []documentLink{}
	add := func(target string, at source.Span) {
		t := sp.page.Resolve(target)
		if t.Outside || t.Escapes || t.Path == "" || !sp.snap.Has(t.Path) {
			return
		}
		list = append(list, documentLink{sp.text.span(at), s.uri(sp.book, t.Path)})
	}
	for _, l := range sp.page.Doc.Links {
		add(l.Target, l.At)
	}
	for _, i := range sp.page.Doc.Images {
		add(i.Target, i.At)
	}
	return list, nil
}
