package journal_test

import (
	"testing"

	"bevelbook/calc/eval"
	"bevelbook/journal"
	"bevelbook/journal/journaltest"
)

func BenchmarkLoadAThousandEntries(b *testing.B) {
	folder := journaltest.Big(1000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := journal.Load(folder, journal.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Of the blocks of a thousand entries, linking and working out alone: what a change of one number costs.
func BenchmarkLinkAndRunThreeThousandBlocks(b *testing.B) {
	s, err := journal.Load(journaltest.Big(1000), journal.Options{})
	if err != nil {
		b.Fatal(err)
	}
	var blocks []*eval.Block
	var spans []eval.Span
	for _, p := range s.Pages {
		for _, blk := range p.Blocks {
			blocks = append(blocks, blk.Eval)
		}
		for _, x := range p.Spans {
			spans = append(spans, eval.Span{Section: p.Section(), Expr: x.Expr})
		}
	}
	b.ReportAllocs()
	b.ReportMetric(float64(len(blocks)), "blocks")
	for b.Loop() {
		for _, blk := range s.Blocks {
			blk.Out.Parts, blk.Out.Drawings, blk.Out.Tables = nil, nil, nil
		}
		eval.Link(blocks, spans).Run()
	}
}
