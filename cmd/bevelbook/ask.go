package main

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/render/report"
)

var ask = command{
	name: "ask", usage: "[DIR] 'EXPR' [--section NAME] [--format text|json]",
	doc: "works out one value and shows how it came about",
	long: "EXPR is what a block or a sentence of the journal may say: forearm.cheek.area, shop values, sums.\n" +
		"With --format json the value is in mm, degrees, g, min or the currency, and in products of them.",
	run: runAsk,
}

func runAsk(c *call) int {
	section := c.flags.String("section", "", "`name` of the section to ask from")
	format := c.flags.String("format", "text", "`format` of the answer: text or json")
	rest, code, ok := c.parse(2)
	if !ok {
		return code
	}
	switch {
	case *format != "text" && *format != "json":
		return c.wrong("a value is printed as text or json, not %s", *format)
	case len(rest) == 0 || len(rest) == 1 && isJournal(rest[0]):
		return c.wrong("say what to work out, as in bevelbook ask 'forearm.cheek.area'")
	}
	o, err := c.open(dirOf(rest[:len(rest)-1]), "")
	if err != nil {
		return c.fault(err)
	}
	if _, known := o.snap.Section(*section); *section != "" && !known {
		return c.wrong("no section is called %s%s", *section, didYouMean(*section, o.sections()))
	}
	n, found := o.ask(*section, rest[len(rest)-1])
	if len(found) > 0 {
		report.Text(c.err, found, report.Options{})
		return c.unanswered(o, found)
	}
	style := o.snap.Settings.Style
	working := eval.Chain(n, style)
	text := n.Cell.Value.Show(style)
	if *format == "json" {
		return c.answer(text, n.Cell.Value, working)
	}
	fmt.Fprintln(c.out, text)
	for _, line := range working {
		fmt.Fprintln(c.out, "  "+line)
	}
	return exitDone
}

// unanswered tells a journal that has to be mended first from an expression that is wrong in itself.
func (c *call) unanswered(o *opened, found []finding.Finding) int {
	if slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Name != string(eval.Waiting) }) {
		return exitWrong
	}
	c.stopped(o.found)
	return exitStops
}

func (o *opened) sections() []string {
	var names []string
	for _, s := range o.snap.Sections {
		names = append(names, s.Name)
	}
	return names
}

// ask works out an expression in the journal.
func (o *opened) ask(section, text string) (*eval.Node, []finding.Finding) {
	f := source.NewFile("(asked)", text)
	e, faults := syntax.ParseExpr(f.Span(0, len(text)))
	if len(faults) > 0 {
		return nil, faults
	}
	n := o.snap.Program.Ask(section, e)
	return n, n.Findings
}

// answer prints a value as JSON.
func (c *call) answer(text string, v eval.Value, working []string) int {
	a := struct {
		Text    string `json:"text"`
		Value   any    `json:"value"`
		Unit    string `json:"unit"`
		Working string `json:"working"`
	}{Text: text, Working: strings.Join(working, "\n")}
	a.Value, a.Unit = plainValue(v)
	enc := json.NewEncoder(c.out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(a); err != nil {
		return c.fault(err)
	}
	return exitDone
}

// plainValue is a value as JSON gives it, and the unit of its numbers. A list is given if all of its
// items have the same unit; an outline, a path and a block have no plain value.
func plainValue(v eval.Value) (any, string) {
	switch v := v.(type) {
	case eval.Quantity:
		return plainNumber(v.Quantity)
	case eval.Bool:
		return bool(v), ""
	case eval.Text:
		return string(v), ""
	case eval.Point:
		return []float64{rounded(v.X), rounded(v.Y)}, "mm"
	case eval.List:
		var list []any
		unit := ""
		for i, item := range v {
			one, its := plainValue(item)
			if one == nil || i > 0 && its != unit {
				return nil, ""
			}
			list, unit = append(list, one), its
		}
		return list, unit
	}
	return nil, ""
}

// rounded takes off the bits that a change of unit adds: 0.09999999999999999 is 0.1.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// plainNumber is a quantity in mm, degrees, g, min and the currency, and the name of that unit.
func plainNumber(q unit.Quantity) (float64, string) {
	v := rounded(q.Value * math.Pow(180/math.Pi, float64(q.Dim.Angle)))
	var over, under []string
	for _, p := range []struct {
		name  string
		power int8
	}{{"mm", q.Dim.Length}, {"g", q.Dim.Mass}, {"min", q.Dim.Time}, {"deg", q.Dim.Angle}, {q.Dim.Currency, q.Dim.Money}} {
		name := p.name
		if n := max(p.power, -p.power); n > 1 {
			name = fmt.Sprintf("%s^%d", name, n)
		}
		switch {
		case p.power > 0:
			over = append(over, name)
		case p.power < 0:
			under = append(under, name)
		}
	}
	text := strings.Join(over, "*")
	if text == "" && len(under) > 0 {
		text = "1"
	}
	for _, u := range under {
		text += "/" + u
	}
	return v, text
}
