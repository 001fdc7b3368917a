package editor

import (
	"cmp"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/calc/source"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// definition leads to where a name is set: a value's key, a block's name, a result's own key where it
// has one, the pages of a section.
func (s *server) definition(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok || t.whole {
		return nil, nil
	}
	list := []Location{}
	for _, at := range sp.setPlaces(t) {
		if l, ok := s.location(sp.book, at); ok {
			list = append(list, l)
		}
	}
	return list, nil
}

// setPlaces lists where a thing is set.
func (sp spot) setPlaces(t thing) []source.Span {
	switch {
	case t.section != "":
		return sp.sectionPlaces(t.section)
	case t.node == nil:
		return nil
	case t.result != "":
		if b := sp.book.blockOf(t.node); b != nil {
			for _, e := range b.Syntax.Entries {
				if e.Name() == t.result {
					return []source.Span{e.Key[0].At}
				}
			}
		}
	}
	return []source.Span{sp.book.setAt(t.node)}
}

// sectionPlaces lists where pages say that they belong to a section.
func (sp spot) sectionPlaces(name string) []source.Span {
	var list []source.Span
	if sec, ok := sp.snap.Section(name); ok {
		for _, p := range sec.Pages {
			list = append(list, p.Doc.Front.At["section"])
		}
	}
	return list
}

// references lists every place that speaks of a name, in the order of pages and text.
func (s *server) references(p referenceParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok || t.whole {
		return nil, nil
	}
	places := sp.usePlaces(t)
	if p.Context.IncludeDeclaration {
		places = append(sp.setPlaces(t), places...)
	}
	list := []Location{}
	for _, at := range sorted(places) {
		if l, ok := s.location(sp.book, at); ok {
			list = append(list, l)
		}
	}
	return list, nil
}

// usePlaces lists where a thing is used, over the whole journal.
func (sp spot) usePlaces(t thing) []source.Span {
	if t.node == nil && t.section == "" {
		return nil
	}
	var list []source.Span
	for n := range nodes(sp.snap) {
		for _, m := range sp.snap.Program.Mentions(n) {
			if m.Node == t.node && m.Result == t.result && m.Section == t.section {
				list = append(list, m.At)
			}
		}
	}
	return list
}

// nodes goes through all nodes whose expressions may speak of others, in the order of pages, blocks
// and inline values.
func nodes(snap *journal.Snapshot) func(yield func(*eval.Node) bool) {
	return func(yield func(*eval.Node) bool) {
		for _, p := range snap.Pages {
			for _, b := range p.Blocks {
				for _, m := range b.Eval.Members {
					if !yield(m) {
						return
					}
				}
				if b.Eval.Node != nil && !yield(b.Eval.Node) {
					return
				}
			}
			for _, x := range p.Spans {
				if x.Node != nil && !yield(x.Node) {
					return
				}
			}
		}
	}
}

// sorted puts places into the order of pages and text, each once.
func sorted(list []source.Span) []source.Span {
	list = slices.DeleteFunc(list, source.Span.IsZero)
	slices.SortFunc(list, func(a, b source.Span) int {
		return cmp.Or(cmp.Compare(a.File.Name, b.File.Name), cmp.Compare(a.Start, b.Start))
	})
	return slices.Compact(list)
}

// highlight marks the places of this page that speak of the same name.
func (s *server) highlight(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok || t.whole {
		return nil, nil
	}
	list := []documentHighlight{}
	mark := func(places []source.Span, kind int) {
		for _, at := range sorted(places) {
			if at.File == sp.page.Doc.File {
				list = append(list, documentHighlight{sp.text.span(at), kind})
			}
		}
	}
	mark(sp.setPlaces(t), highlightWrite)
	mark(sp.usePlaces(t), highlightRead)
	return list, nil
}
