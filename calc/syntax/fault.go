package syntax

import (
	"bevelbook/calc/finding"
	"bevelbook/calc/source"
)

// Fault is the name of an error of the language. Each says when it occurs and shows a block that has it.
type Fault string

// The faults of reading a block.
const (
	// StrayCharacter: a character that the language has no use for.
	//
	//	wall: 10 mm ;
	StrayCharacter Fault = "stray-character"

	// TextNotClosed: a text begins with a double quote and has no second one on its line.
	//
	//	label: "front
	TextNotClosed Fault = "text-not-closed"

	// BracketNotClosed: a bracket is opened and not closed, or closed and not opened.
	//
	//	wall: (10 mm + 2 mm
	BracketNotClosed Fault = "bracket-not-closed"

	// KeyMissing: a line is not `key: expression`.
	//
	//	10 mm
	KeyMissing Fault = "key-missing"

	// ValueMissing: nothing stands where a value must stand.
	//
	//	wall:
	ValueMissing Fault = "value-missing"

	// NotUnderstood: a word or sign stands where it means nothing.
	//
	//	wall: 10 mm 5 mm
	NotUnderstood Fault = "not-understood"

	// UnknownUnit: a word behind a number is no unit.
	//
	//	wall: 10 mmm
	UnknownUnit Fault = "unknown-unit"

	// NumberTooLarge: a number beyond what a build can hold.
	//
	//	wall: 1e999 mm
	NumberTooLarge Fault = "number-too-large"

	// TooDeep: brackets, signs or operators nested beyond MaxDepth.
	TooDeep Fault = "too-deep"

	// TooLong: a block of more than MaxTokens words and signs.
	TooLong Fault = "too-long"
)

// Limits that keep a hostile or slipped text from taking the program's stack and memory.
const (
	MaxDepth  = 200
	MaxTokens = 200_000
	MaxRepeat = 10_000 // of `N x item`
)

// bailout leaves the parsing of one entry; only ParseBlock and ParseExpr recover it.
type bailout struct{ f finding.Finding }

func fault(name Fault, at source.Span, message, help string) finding.Finding {
	return finding.Finding{Name: string(name), Severity: finding.Stop, At: at, Message: message, Help: help}
}
