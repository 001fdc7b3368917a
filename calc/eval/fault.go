package eval

import (
	"fmt"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// Fault is the name of an error of linking or working out.
type Fault string

// The faults.
const (
	// UnknownName: nothing of this name is in reach.
	//
	//	wall: thicknes + 2 mm
	UnknownName Fault = "unknown-name"

	// UnknownField: a block or material has no result of this name.
	//
	//	cheek.aera
	UnknownField Fault = "unknown-result"

	// UnknownFunction: no function has this name.
	//
	//	wall: maxx(1 mm, 2 mm)
	UnknownFunction Fault = "unknown-function"

	// SetTwice: the same name is set at two places.
	//
	//	wall: 10 mm
	//	wall: 12 mm
	SetTwice Fault = "set-twice"

	// Loop: a value needs itself.
	//
	//	a: b + 1 mm
	//	b: a
	Loop Fault = "loop"

	// UnitsDiffer: two dimensions that do not go together.
	//
	//	wall: 10 mm + 5 deg
	UnitsDiffer Fault = "units-differ"

	// WrongValue: a value of another type than the place asks for, or out of its range.
	//
	//	wall: sqrt("two")
	WrongValue Fault = "wrong-value"

	// NoTrace: a drawing, or a line in it, that cannot be read.
	//
	//	outline: trace("traces/cheek.svg#plaet")
	NoTrace Fault = "no-trace"

	// TracedPartly: a traced drawing of which something was passed over, or without a real size.
	//
	//	outline: trace("traces/scan.svg#plate")
	TracedPartly Fault = "traced-partly"

	// WrongArguments: a function is given too many, too few or unknown arguments.
	//
	//	wall: hypot()
	WrongArguments Fault = "wrong-arguments"

	// NoResult: a sum has no answer: division by zero, the root of a negative number, too large.
	//
	//	wall: 10 mm / 0
	NoResult Fault = "no-result"

	// BadShape: an outline that cannot be made.
	//
	//	side: rect(width: 0 mm, height: 5 mm)
	BadShape Fault = "bad-shape"

	// TooMuch: a list or outline larger than anyone can cut.
	//
	//	points: [10000 x [1000 x 1 mm]]
	TooMuch Fault = "too-much"

	// Waiting: what this needs cannot be worked out; mend that first.
	//
	//	wall: 10 mmm
	//	twice: 2 * wall
	Waiting Fault = "waiting"
)

// MaxItems bounds lists and paths while they are worked out.
const MaxItems = 100_000

// bailout leaves the working out of one node.
type bailout struct {
	f     finding.Finding
	waits *Node // what must be mended first, nil if it is this node
}

// Err makes a stopping finding.
func Err(name Fault, at source.Span, help, format string, args ...any) finding.Finding {
	return finding.Finding{Name: string(name), Severity: finding.Stop, At: at, Message: fmt.Sprintf(format, args...), Help: help}
}

func fail(name Fault, at source.Span, help, format string, args ...any) {
	panic(bailout{f: Err(name, at, help, format, args...)})
}
