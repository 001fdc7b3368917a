package editor

import (
	"encoding/json"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/syntax"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// workingCommand shows how what stands at a place came about; a lens carries it.
const workingCommand = "bevelbook.working"

// codeLens shows the first results of each block above it. Where the client has no inlay hints, each
// value that is worked out has a lens too. Private measurements are left out: a lens is seen by
// everybody who looks at the screen.
func (s *server) codeLens(p documentParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, Position{})
	if !ok {
		return nil, nil
	}
	list := []codeLens{}
	add := func(at Range, title string) {
		if title != "" {
			list = append(list, codeLens{at, &Command{title, workingCommand, []any{p.TextDocument.URI, at.Start}}})
		}
	}
	for _, b := range sp.page.Blocks {
		add(sp.text.span(b.Entry.Info), sp.headline(b))
		if s.client.Capabilities.TextDocument.InlayHint != nil {
			continue
		}
		for _, m := range b.Eval.Members {
			if shown := sp.shown(m.Cell); !outright(m.Expr) && shown != "" {
				add(sp.text.span(m.At), m.Key+" = "+shown)
			}
		}
	}
	return list, nil
}

// headline is the first few results of a block.
func (sp spot) headline(b *journal.Block) string {
	const most = 3
	rec := b.Record()
	if rec == nil || b.Kind.Values {
		return ""
	}
	var list []string
	for _, f := range rec.Fields {
		if _, is := f.Value.(eval.Quantity); !is || f.Quiet || given(b, f.Name) {
			continue
		}
		if list = append(list, f.Name+" "+sp.shown(eval.Cell{Value: f.Value, Privacy: f.Privacy})); len(list) == most {
			break
		}
	}
	return strings.Join(list, " · ")
}

// given tells whether a result only repeats a key of the block.
func given(b *journal.Block, name string) bool {
	for _, e := range b.Syntax.Entries {
		if e.Name() == name {
			return true
		}
	}
	return false
}

// outright tells whether an expression says its value as it stands.
func outright(e syntax.Expr) bool {
	switch e := e.(type) {
	case nil, *syntax.Literal, *syntax.Words, *syntax.Truth:
		return true
	case *syntax.Unary:
		return outright(e.X)
	}
	return false
}

// inlayHints show values behind the expressions that they come from: those of keys, of named values
// and of inline values. Private measurements are left out, as in lenses.
func (s *server) inlayHints(p rangeParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, Position{})
	if !ok {
		return nil, nil
	}
	from, to := sp.text.offset(p.Range.Start), sp.text.offset(p.Range.End)
	list := []inlayHint{}
	add := func(e syntax.Expr, c eval.Cell) {
		switch c.Value.(type) {
		case eval.Quantity, eval.Point, eval.Text, eval.Bool, eval.List:
		default:
			return
		}
		if shown := sp.shown(c); shown != "" && c.Privacy != eval.Kept {
			list = append(list, inlayHint{sp.text.position(e.Span().End), "= " + shown, true})
		}
	}
	inRange := func(e syntax.Expr) bool {
		return e != nil && !outright(e) && from <= e.Span().End && e.Span().End <= to
	}
	for _, b := range sp.page.Blocks {
		for _, e := range b.Syntax.Entries {
			switch m := member(b, e); {
			case !inRange(e.Value):
			case m != nil:
				add(e.Value, m.Cell)
			case !b.Kind.Values && !isBare(b, e):
				n := sp.snap.Program.AskAs(b.Eval.Node, e.Value)
				add(e.Value, n.Cell)
			}
		}
	}
	for _, x := range sp.page.Spans {
		if x.Node != nil && inRange(x.Expr) {
			add(x.Expr, x.Node.Cell)
		}
	}
	return list, nil
}

// isBare tells whether a key takes bare words, which stand for nothing.
func isBare(b *journal.Block, e *syntax.Entry) bool {
	return b.Eval.Word != nil && b.Eval.Word(e.Name())
}

// execute carries out the command of a lens: the working is shown as a message.
func (s *server) execute(p executeParams) (any, *rpc.Error) {
	var uri string
	var at Position
	if p.Command != workingCommand {
		return nil, rpc.Errorf(rpc.InvalidParams, "there is no command %s here", short(p.Command))
	}
	if len(p.Arguments) != 2 || json.Unmarshal(p.Arguments[0], &uri) != nil || json.Unmarshal(p.Arguments[1], &at) != nil {
		return nil, rpc.Errorf(rpc.InvalidParams, "%s takes a document and a position", workingCommand)
	}
	sp, ok := s.spot(uri, at)
	if !ok {
		return nil, nil
	}
	t, ok := sp.thing()
	if !ok {
		return nil, nil
	}
	if t.block != nil && t.entry == nil {
		t.node = t.block.Eval.Node
	}
	if t.node == nil {
		return nil, nil
	}
	lines := eval.ChainOf(t.node, t.result, sp.snap.Settings.Style)
	s.notify("window/showMessage", map[string]any{"type": messageInfo, "message": strings.Join(lines, "\n")})
	return nil, nil
}
