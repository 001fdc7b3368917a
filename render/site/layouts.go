package site

import (
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/journal/shopping"
)

// lay lays out what a layout block asks for, of the parts that the site shows.
func (p *plan) lay(b *journal.Block) ([]layout.Result, []layout.Left, error) {
	plans, left := layout.Plans(p.Snapshot, b, p.book.Rows())
	results := make([]layout.Result, len(plans))
	for i, plan := range plans {
		var err error
		if p.later != nil {
			results[i], err = p.layouts.Ready(b.Page.Path+"#"+b.Anchor()+" "+plan.Material, plan, p.later)
		} else {
			results[i], err = p.layouts.Solve(plan, nil)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	return results, left, nil
}

// shopping is what to buy; where a block lays out the whole build, by the sheets that it takes.
func (p *plan) shopping() shopping.List {
	var laid shopping.Sheets
	if b := layout.BuildBlock(p.Snapshot); b != nil {
		if results, _, err := p.lay(b); err == nil {
			laid = layout.Counts(results)
		}
	}
	return shopping.Of(p.Snapshot, laid)
}
