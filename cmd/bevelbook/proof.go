package main

import (
	"io"

	"bevelbook/calc/finding"
	"bevelbook/render/report"
)

var proofCommand = command{
	name: "proof", usage: "[DIR] [--format text|json|sarif]",
	doc:  "works everything out and prints the findings",
	long: "Findings go to standard output. A finding that stops the build gives exit code 1; one that an entry\naccepts with a reason does not.",
	run:  runProof,
}

// formats of findings.
var formats = map[string]func(io.Writer, []finding.Finding, bool) error{
	"text": func(w io.Writer, list []finding.Finding, colour bool) error {
		return report.Text(w, list, report.Options{Color: colour})
	},
	"json":  func(w io.Writer, list []finding.Finding, _ bool) error { return report.JSON(w, list) },
	"sarif": func(w io.Writer, list []finding.Finding, _ bool) error { return report.SARIF(w, list, version()) },
}

func runProof(c *call) int {
	format := c.flags.String("format", "text", "`format` of the findings: text, json or sarif")
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	write, ok := formats[*format]
	if !ok {
		return c.wrong("findings are printed as text, json or sarif, not %s", *format)
	}
	o, err := c.open(dirOf(rest), "")
	if err != nil {
		return c.fault(err)
	}
	if err := write(c.out, o.found, c.colour()); err != nil {
		return c.fault(err)
	}
	return exitOf(o.found)
}
