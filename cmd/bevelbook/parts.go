package main

import (
	"fmt"

	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/journal/shopping"
	"bevelbook/render/ledger"
)

var parts = command{
	name: "parts", usage: "[DIR] [--of parts|shopping] [--format text|csv|json]",
	doc:  "lists every piece to cut: hands, counts, material, sizes, weights; or what to buy",
	long: "A piece of a stack is one row a layer; a part with two hands is one row a hand. CSV and JSON carry\ntheir units in the header or the key. --of shopping lists sheets, glue, primer and paint with what they cost.",
	run:  runParts,
}

const noParts = "this journal has no parts yet"

// ledgers are what can be listed, each in its formats.
var ledgers = map[string]map[string]func(*call, *journal.Snapshot) error{
	"parts": {
		"text": func(c *call, s *journal.Snapshot) error {
			return ledger.Text(c.out, s.Ledger.Rows, s.Materials(), s.Settings.Style)
		},
		"csv":  func(c *call, s *journal.Snapshot) error { return ledger.CSV(c.out, s.Ledger.Rows) },
		"json": func(c *call, s *journal.Snapshot) error { return ledger.JSON(c.out, s.Ledger.Rows) },
	},
	"shopping": {
		"text": func(c *call, s *journal.Snapshot) error {
			return ledger.ShoppingText(c.out, c.shopping(s), s.Settings.Style)
		},
		"csv":  func(c *call, s *journal.Snapshot) error { return ledger.ShoppingCSV(c.out, c.shopping(s)) },
		"json": func(c *call, s *journal.Snapshot) error { return ledger.ShoppingJSON(c.out, c.shopping(s)) },
	},
}

// shopping is what to buy; where a block lays out the whole build, by the sheets that it takes.
func (c *call) shopping(s *journal.Snapshot) shopping.List {
	b := layout.BuildBlock(s)
	if b == nil {
		return shopping.Of(s, nil)
	}
	results, _, err := c.laid(s, *b.Out.Sheets, s.Ledger.Rows)
	if err != nil {
		fmt.Fprintf(c.err, "the parts cannot be laid out, so sheets are counted by area: %v\n", err)
	}
	return shopping.Of(s, layout.Counts(results))
}

func runParts(c *call) int {
	format := c.flags.String("format", "text", "`format` of the list: text, csv or json")
	of := c.flags.String("of", "parts", "`what` to list: parts or shopping")
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	formats, ok := ledgers[*of]
	if !ok {
		return c.wrong("there are lists of parts and of shopping, not of %s", *of)
	}
	write, ok := formats[*format]
	if !ok {
		return c.wrong("parts are printed as text, csv or json, not %s", *format)
	}
	o, err := c.open(dirOf(rest), "")
	if err != nil {
		return c.fault(err)
	}
	if err := write(c, o.snap); err != nil {
		return c.fault(err)
	}
	if len(o.snap.Ledger.Rows) == 0 {
		fmt.Fprintln(c.err, noParts)
	}
	return c.stopped(o.found)
}
