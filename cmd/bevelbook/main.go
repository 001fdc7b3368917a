// Command bevelbook works out, checks and publishes a build journal. Each command is one file and
// one row of the table below; the commands hold no rules of the trade.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"bevelbook/calc/spell"
)

// The exit codes.
const (
	exitDone  = 0 // done, and nothing stops the build
	exitStops = 1 // findings that stop the build
	exitWrong = 2 // cannot run: bad usage, no journal, a fault of the disk
)

// command is one row of the table of commands.
type command struct {
	name  string
	usage string // what follows the name
	doc   string // one line
	long  string // paragraphs for `bevelbook help NAME`
	run   func(c *call) int
}

// line is how the command is typed.
func (c command) line() string { return strings.TrimSpace("bevelbook " + c.name + " " + c.usage) }

// commands in the order in which help shows them.
var commands []command

func init() {
	commands = []command{begin, deskCommand, proofCommand, press, plot, parts, ask, editorCommand, help}
}

// call is one run of a command: its arguments and where it speaks.
type call struct {
	command command
	args    []string
	flags   *flag.FlagSet
	out     io.Writer // findings and answers
	err     io.Writer // progress and faults
}

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, err io.Writer) int {
	if len(args) == 0 {
		usage(err)
		return exitWrong
	}
	name := args[0]
	switch name {
	case "-h", "--help", "-help":
		name = "help"
	case "--version", "-version", "version":
		fmt.Fprintln(out, "bevelbook", version())
		return exitDone
	}
	for _, c := range commands {
		if c.name == name {
			cl := &call{command: c, args: args[1:], out: out, err: err}
			cl.flags = flag.NewFlagSet(c.name, flag.ContinueOnError)
			cl.flags.SetOutput(io.Discard)
			return c.run(cl)
		}
	}
	fmt.Fprintf(err, "bevelbook: there is no command %s%s\n", name, didYouMean(name, commandNames()))
	fmt.Fprintln(err, "`bevelbook help` lists them")
	return exitWrong
}

// parse reads flags wherever they stand among the arguments and returns the other arguments.
// ok is false when the command is over: help was asked for, or the usage was wrong.
func (c *call) parse(most int) (rest []string, code int, ok bool) {
	for args := c.args; len(args) > 0; {
		err := c.flags.Parse(args)
		if errors.Is(err, flag.ErrHelp) {
			c.help(c.out)
			return nil, exitDone, false
		}
		if err != nil {
			return nil, c.wrong("%s", c.flagFault(err)), false
		}
		left := c.flags.Args()
		if taken := len(args) - len(left); taken > 0 && args[taken-1] == "--" {
			rest = append(rest, left...) // behind -- nothing is a flag
			break
		}
		if len(left) == 0 {
			break
		}
		rest, args = append(rest, left[0]), left[1:]
	}
	if most >= 0 && len(rest) > most {
		return nil, c.wrong("too many arguments: %q", rest[most]), false
	}
	return rest, exitDone, true
}

// plainly puts what the flag package says into our words.
var plainly = strings.NewReplacer("flag needs an argument: -", "a value is missing after --",
	"invalid boolean value", "yes or no is wanted, not", " for -", " for --", ": parse error", "", "bad flag syntax: ", "this is no flag: ")

// flagFault says in our words what is wrong with a flag, with the nearest one there is.
func (c *call) flagFault(err error) string {
	name, unknown := strings.CutPrefix(err.Error(), "flag provided but not defined: -")
	if !unknown {
		return plainly.Replace(err.Error())
	}
	var known []string
	c.flags.VisitAll(func(f *flag.Flag) { known = append(known, f.Name) })
	text := "there is no flag --" + name
	if near := spell.Nearest(name, known); near != "" {
		return text + "; did you mean --" + near + "?"
	}
	if strings.ContainsAny(name, "0123456789( ") {
		return text + "; write -- before an expression that begins with a minus"
	}
	return text
}

// wrong reports bad usage.
func (c *call) wrong(format string, args ...any) int {
	fmt.Fprintf(c.err, "bevelbook %s: %s\n", c.command.name, fmt.Sprintf(format, args...))
	fmt.Fprintf(c.err, "usage: %s\n", c.command.line())
	return exitWrong
}

// fault reports what kept the command from running.
func (c *call) fault(err error) int {
	fmt.Fprintf(c.err, "bevelbook %s: %v\n", c.command.name, err)
	return exitWrong
}

// progress tells on a terminal what is going on; elsewhere it is silent.
func (c *call) progress(format string, args ...any) {
	if isTerminal(c.err) {
		fmt.Fprintf(c.err, format+"\n", args...)
	}
}

// colour tells whether findings may be coloured: on a terminal, unless NO_COLOR is set.
func (c *call) colour() bool {
	return isTerminal(c.out) && os.Getenv("NO_COLOR") == ""
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
