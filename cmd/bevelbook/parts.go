package main

import (
	"fmt"
	"io"

	"bevelbook/journal"
	"bevelbook/render/ledger"
)

var parts = command{
	name: "parts", usage: "[DIR] [--format text|csv|json]",
	doc:  "lists every piece to cut: hands, counts, material, sizes, weights",
	long: "A piece of a stack is one row a layer; a part with two hands is one row a hand. CSV and JSON carry\ntheir units in the header or the key.",
	run:  runParts,
}

const noParts = "this journal has no parts yet"

// ledgers are the formats of the list of parts.
var ledgers = map[string]func(io.Writer, *journal.Snapshot) error{
	"text": func(w io.Writer, s *journal.Snapshot) error { return ledger.Text(w, s.Ledger, s.Settings.Style) },
	"csv":  func(w io.Writer, s *journal.Snapshot) error { return ledger.CSV(w, s.Ledger.Rows) },
	"json": func(w io.Writer, s *journal.Snapshot) error { return ledger.JSON(w, s.Ledger.Rows) },
}

func runParts(c *call) int {
	format := c.flags.String("format", "text", "`format` of the list: text, csv or json")
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	write, ok := ledgers[*format]
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
