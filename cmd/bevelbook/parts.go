package main

import (
	"fmt"
	"io"

	"bevelbook/journal"
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
var ledgers = map[string]map[string]func(io.Writer, *journal.Snapshot) error{
	"parts": {
		"text": func(w io.Writer, s *journal.Snapshot) error {
			return ledger.Text(w, s.Ledger.Rows, s.Materials(), s.Settings.Style)
		},
		"csv":  func(w io.Writer, s *journal.Snapshot) error { return ledger.CSV(w, s.Ledger.Rows) },
		"json": func(w io.Writer, s *journal.Snapshot) error { return ledger.JSON(w, s.Ledger.Rows) },
	},
	"shopping": {
		"text": func(w io.Writer, s *journal.Snapshot) error {
			return ledger.ShoppingText(w, shopping.Of(s, nil), s.Settings.Style)
		},
		"csv":  func(w io.Writer, s *journal.Snapshot) error { return ledger.ShoppingCSV(w, shopping.Of(s, nil)) },
		"json": func(w io.Writer, s *journal.Snapshot) error { return ledger.ShoppingJSON(w, shopping.Of(s, nil)) },
	},
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
	if err := write(c.out, o.snap); err != nil {
		return c.fault(err)
	}
	if len(o.snap.Ledger.Rows) == 0 {
		fmt.Fprintln(c.err, noParts)
	}
	return c.stopped(o.found)
}
