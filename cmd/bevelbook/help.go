package main

import (
	"flag"
	"fmt"
	"io"
	"maps"
	"runtime/debug"
	"slices"
	"strings"
	"text/tabwriter"

	"bevelbook/calc/eval"
	"bevelbook/calc/kind"
	"bevelbook/calc/spell"
	"bevelbook/calc/unit"
	"bevelbook/journal/proof"
)

var help = command{
	name: "help", usage: "[COMMAND | KIND | language | checks | units]",
	doc:  "tells about a command, a kind of block, the language, the checks or the units",
	long: "Everything it says comes from the tables that the program itself works with.",
	run:  runHelp,
}

// topics are the pages of help that are no command and no kind.
var topics = map[string]func(io.Writer){"language": helpLanguage, "checks": helpChecks, "units": helpUnits}

func runHelp(c *call) int {
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	if len(rest) == 0 {
		usage(c.out)
		return exitDone
	}
	name := rest[0]
	if topic := topics[name]; topic != nil {
		topic(c.out)
		return exitDone
	}
	for _, other := range commands {
		if other.name == name {
			return other.run(&call{command: other, args: []string{"--help"}, out: c.out, err: c.err, flags: silent(name)})
		}
	}
	if k, ok := kind.Find(name); ok {
		helpKind(c.out, k)
		return exitDone
	}
	return c.wrong("there is no page on %s%s", name, didYouMean(name, pageNames()))
}

func silent(name string) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

func usage(w io.Writer) {
	fmt.Fprintln(w, "bevelbook: a build journal that does its own arithmetic")
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	for _, c := range commands {
		fmt.Fprintf(t, "  %s\t%s\n", c.name, c.doc)
	}
	t.Flush()
	fmt.Fprintln(w)
	fmt.Fprintln(w, "bevelbook help COMMAND tells what a command takes; bevelbook help language how blocks are written.")
	fmt.Fprintln(w, "A journal is a folder that holds journal.md; DIR is this folder if it is left out.")
	fmt.Fprintln(w, "Exit 0: done, nothing stops the build; 1: findings that stop it; 2: cannot run.")
}

// help prints a command's page.
func (c *call) help(w io.Writer) {
	fmt.Fprintf(w, "%s\n\n%s.\n", c.command.line(), upper(c.command.doc))
	if c.command.long != "" {
		fmt.Fprintf(w, "\n%s\n", c.command.long)
	}
	first := true
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	c.flags.VisitAll(func(f *flag.Flag) {
		if first {
			fmt.Fprintln(w)
			first = false
		}
		name, text := flag.UnquoteUsage(f)
		if name != "" {
			name = " " + strings.ToUpper(name)
		}
		if f.DefValue != "" && f.DefValue != "false" {
			text += "; " + f.DefValue + " if left out"
		}
		fmt.Fprintf(t, "  --%s%s\t%s\n", f.Name, name, text)
	})
	t.Flush()
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func helpKind(w io.Writer, k *kind.Kind) {
	fmt.Fprintf(w, "%s: %s.\n", k.Name, k.Doc)
	if k.Values {
		fmt.Fprintln(w, "Each key is a name of your own; its value is an expression.")
	}
	if len(k.Keys) == 0 {
		return
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	for _, key := range k.Keys {
		fmt.Fprintf(t, "  %s\t%s\n", key.Usage(), key.Help())
	}
	t.Flush()
}

func helpLanguage(w io.Writer) {
	fmt.Fprint(w, `A block stands in a fence that names its kind and itself:

    `+"```"+`panel cheek
    outline:     trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)
    material:    foam10
    bevel left:  35 deg            # a remark
    `+"```"+`

One rule: name: expression, one a line. An open bracket or a trailing comma continues the line.
Numbers: 12, 12.5, 1/4 in, 3 3/8 in, 5' 10", 35°, 15 %, 12.50 EUR, 100 kg/m^3.
Signs: + - * / ^, = != < <= > >=, and or not. Points (x, y), lists a, b or [a, b], 2 x foam10.
Showing: length as in to 1/16. In prose, `+"`-> length + 2 * wall`"+` is replaced by its value.
Names: a section's own names first, then the journal's; forearm.wall is another section's,
cheek.area a block's result, foam10.thickness a material's.

Kinds of block:

`)
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	for _, k := range kind.All {
		fmt.Fprintf(t, "  %s\t%s\n", k.Name, k.Doc)
	}
	fmt.Fprintln(t, "\nFunctions:")
	fmt.Fprintln(t)
	fmt.Fprintln(t, "  if(condition, then, else)\tone of two values")
	for _, f := range eval.Functions() {
		fmt.Fprintf(t, "  %s\t%s\n", f.Usage(), f.Doc)
	}
	t.Flush()
}

func helpChecks(w io.Writer) {
	fmt.Fprint(w, "stop: do not cut; mind: look before you cut; note: worth knowing.\nAn entry accepts a finding in its front matter: accept: {name or name part: reason}.\n\n")
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	for _, c := range proof.All {
		fmt.Fprintf(t, "  %s\t%s\t%s\n", c.Name, c.Severity, c.Doc)
	}
	t.Flush()
}

func helpUnits(w io.Writer) {
	t := tabwriter.NewWriter(w, 2, 8, 2, ' ', 0)
	for _, u := range unit.All() {
		fmt.Fprintf(t, "  %s\t%s\t%s\n", u.Name, u.Dim, u.Doc)
	}
	t.Flush()
}

func commandNames() []string {
	var names []string
	for _, c := range commands {
		names = append(names, c.name)
	}
	return names
}

// pageNames are all that help has a page on.
func pageNames() []string {
	names := slices.AppendSeq(commandNames(), maps.Keys(topics))
	for _, k := range kind.All {
		names = append(names, k.Name)
	}
	return names
}

// didYouMean names the nearest of what there is.
func didYouMean(name string, known []string) string {
	if near := spell.Nearest(name, known); near != "" {
		return "; did you mean " + near + "?"
	}
	return ""
}

// version is what the build recorded of itself.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(built from source)"
}
