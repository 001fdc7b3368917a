package editor

import (
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/kind"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/journal"
)

// thing is what stands at a place of a page: a name that is set or used, a key, a kind, a function, a
// number, or a whole inline value. At is where; what else is filled tells what it is.
type thing struct {
	at    source.Span
	asker *eval.Node // the node whose text it stands in, nil outside of expressions

	node    *eval.Node  // a name: what it stands for
	result  string      // of the node, as a path
	chain   syntax.Expr // the names up to this one, nil where the name is set
	section string      // a section
	sets    bool        // the name is set here, not used

	block    *journal.Block // a block whose kind, key or word stands here
	key      *kind.Key
	entry    *syntax.Entry
	function string
	literal  *syntax.Literal
	whole    bool   // an inline value, away from its words
	check    string // the name of a finding that front matter accepts
}

// thing finds what stands at the place; false if it is nothing of ours.
func (sp spot) thing() (thing, bool) {
	for _, b := range sp.page.Blocks {
		if holds(b.Entry.Info, sp.at) {
			return sp.info(b)
		}
		if b.Entry.Fence.Start <= sp.at && sp.at <= b.Entry.Fence.End {
			return sp.inBlock(b)
		}
	}
	for _, x := range sp.page.Spans {
		if holds(x.At, sp.at) && x.Node != nil {
			if t, ok := sp.inExpr(x.Node, x.Expr); ok {
				return t, true
			}
			return thing{at: x.At, asker: x.Node, node: x.Node, whole: true}, true
		}
	}
	if at := sp.page.Doc.Front.At["section"]; holds(at, sp.at) && at.File != nil {
		return thing{at: at, section: sp.page.Section(), sets: true}, true
	}
	for _, a := range sp.page.Doc.Front.Accept {
		if holds(a.At, sp.at) {
			return thing{at: a.At, check: a.Finding}, true
		}
	}
	return thing{}, false
}

// holds tells whether a span touches an offset: an editor's cursor stands between characters, behind a
// word as well as before it.
func holds(s source.Span, at int) bool { return s.File != nil && s.Start <= at && at <= s.End }

// info is what the words behind a fence say: the kind, then the name.
func (sp spot) info(b *journal.Block) (thing, bool) {
	file := sp.page.Doc.File
	if end := b.Entry.Info.Start + len(b.Entry.Kind); sp.at <= end {
		return thing{at: file.Span(b.Entry.Info.Start, end), block: b}, true
	}
	if at := nameOf(b); at.File != nil && holds(at, sp.at) {
		return thing{at: at, node: b.Eval.Node, sets: true}, true
	}
	return thing{}, false
}

// nameOf is where a block's name is written, the zero Span if it has none.
func nameOf(b *journal.Block) source.Span {
	if b.Entry.Name == "" || b.Name == "" {
		return source.Span{}
	}
	i := b.Entry.Info
	return i.File.Span(i.End-len(b.Entry.Name), i.End)
}

// inBlock is what stands on one of the lines of a block.
func (sp spot) inBlock(b *journal.Block) (thing, bool) {
	for _, e := range slices.Concat(b.Syntax.Entries, b.Syntax.Lost) {
		key := e.Key[0].At.To(e.Key[len(e.Key)-1].At)
		if holds(key, sp.at) {
			return sp.atKey(b, e, key)
		}
		if e.Value != nil && holds(e.Value.Span(), sp.at) {
			return sp.atValue(b, e)
		}
	}
	return thing{}, false
}

func (sp spot) atKey(b *journal.Block, e *syntax.Entry, at source.Span) (thing, bool) {
	t := thing{at: at, block: b, entry: e, key: keyOf(b.Kind, e)}
	if t.key == nil && b.Kind.Values {
		t.node, t.sets = member(b, e), true
	}
	return t, true
}

// member is the node that an entry of a block of values sets, nil if it sets none.
func member(b *journal.Block, e *syntax.Entry) *eval.Node {
	for _, m := range b.Eval.Members {
		if m.At == e.Key[0].At {
			return m
		}
	}
	return nil
}

// keyOf is the kind's key that an entry gives, nil if the kind knows none such.
func keyOf(k *kind.Kind, e *syntax.Entry) *kind.Key {
	for i, key := range k.Keys {
		if key.Name == e.Key[0].Text && (key.Arg != "") == (len(e.Key) == 2) && len(e.Key) <= 2 {
			return &k.Keys[i]
		}
	}
	return nil
}

func (sp spot) atValue(b *journal.Block, e *syntax.Entry) (thing, bool) {
	asker := b.Eval.Node
	if b.Kind.Values {
		asker = member(b, e)
	}
	if asker == nil {
		return thing{}, false
	}
	t, ok := sp.inExpr(asker, e.Value)
	if key := keyOf(b.Kind, e); !ok && key != nil {
		// A bare word, or a part of the value that says nothing by itself.
		return thing{at: e.Value.Span(), asker: asker, block: b, entry: e, key: key}, true
	}
	return t, ok
}

// inExpr is what stands at the place inside an expression of a node.
func (sp spot) inExpr(asker *eval.Node, e syntax.Expr) (thing, bool) {
	for _, m := range sp.snap.Program.Mentions(asker) {
		if holds(m.At, sp.at) {
			return thing{at: m.At, asker: asker, node: m.Node, result: m.Result, chain: m.Chain, section: m.Section}, true
		}
	}
	var t thing
	syntax.Walk(e, func(e syntax.Expr) {
		switch e := e.(type) {
		case *syntax.Call:
			if holds(e.Fn.At, sp.at) {
				t = thing{at: e.Fn.At, asker: asker, function: e.Fn.Text}
			}
		case *syntax.Literal:
			if holds(e.At, sp.at) && e.Unit.Name != "" {
				t = thing{at: e.At, asker: asker, literal: e}
			}
		}
	})
	return t, t.at.File != nil
}

// setAt is where a node is set: its key, or the name of its block, or the block's kind where it has no
// name; the zero Span for an inline value.
func (b *book) setAt(n *eval.Node) source.Span {
	if n == nil || n.Block == nil {
		return source.Span{}
	}
	if n.Expr != nil || n.Key != "" {
		return n.At
	}
	if page, ok := b.snap.Page(n.At.File.Name); ok {
		for _, own := range page.Blocks {
			if own.Eval.Node == n {
				if at := nameOf(own); at.File != nil {
					return at
				}
			}
		}
	}
	return n.At
}

// blockOf is the block that a node is, or that it is a value of; nil for an inline value.
func (b *book) blockOf(n *eval.Node) *journal.Block {
	if n == nil || n.Block == nil || n.At.File == nil {
		return nil
	}
	page, ok := b.snap.Page(n.At.File.Name)
	if !ok {
		return nil
	}
	for _, own := range page.Blocks {
		if own.Eval == n.Block {
			return own
		}
	}
	return nil
}

// called is what a node and one of its results are called in the whole journal: "helm.corner.tilt".
func called(n *eval.Node, result string) string {
	name := n.ID
	if result != "" {
		name += "." + result
	}
	return strings.TrimPrefix(name, ".")
}
