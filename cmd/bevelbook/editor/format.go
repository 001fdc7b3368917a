package editor

import (
	"strings"

	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal"
)

// formatting prints the blocks of a page in their plain form: values below each other, remarks kept.
// Nothing outside of blocks is touched.
func (s *server) formatting(p documentParams) (any, *rpc.Error) {
	return s.format(p.TextDocument.URI, func(Range) bool { return true })
}

// rangeFormatting does the same for those blocks that a range touches.
func (s *server) rangeFormatting(p rangeParams) (any, *rpc.Error) {
	return s.format(p.TextDocument.URI, func(block Range) bool {
		return block.Start.Line <= p.Range.End.Line && p.Range.Start.Line <= block.End.Line
	})
}

func (s *server) format(uri string, wanted func(Range) bool) (any, *rpc.Error) {
	sp, ok := s.spot(uri, Position{})
	if !ok {
		return nil, nil
	}
	edits := []TextEdit{}
	for _, b := range sp.page.Blocks {
		if wanted(sp.text.span(b.Entry.Fence)) {
			edits = append(edits, sp.plain(b)...)
		}
	}
	return edits, nil
}

// plain lists the lines of a block that the printer writes otherwise. Lines are replaced one by one, so
// that the marks of a quote or the indentation of a list before them stay. A block that is not yet
// understood is left as it is.
func (sp spot) plain(b *journal.Block) []TextEdit {
	if b.Syntax.Broken {
		return nil
	}
	lines := strings.Split(strings.TrimSuffix(b.Syntax.Format(), "\n"), "\n")
	if len(lines) != len(b.Syntax.Lines) {
		return nil
	}
	var edits []TextEdit
	for i, at := range b.Syntax.Lines {
		if at.Text() != lines[i] {
			edits = append(edits, TextEdit{sp.text.span(at), lines[i]})
		}
	}
	return edits
}
