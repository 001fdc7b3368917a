// Package kind holds the kinds of block, one file each. A kind declares its keys, works out its
// results from them, and says which parts, drawings and findings follow. It returns plain data and
// never draws SVG, reads a file or touches a page, so that the same kind serves the site, the
// templates, the editor and the browser.
//
// Inside are millimetres, grams, minutes and radians. The package never imports journal or render.
package kind

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/solid"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Kind is one row of the table of kinds; help, completion and the reference read it too.
type Kind struct {
	Name string
	Doc  string // one sentence: what it works out
	Keys []Key
	// Values: the author names the values; Keys then lists names with a meaning of their own.
	Values bool
	// Unbound blocks cannot be referred to by name, so several may stand in a section.
	Unbound bool
	// Private tells from its keys whether the block's values are kept from what is published.
	Private func(*syntax.Block) bool
	// Check looks at one value of a Values kind.
	Check func(key string, v eval.Value, at source.Span, style unit.Style) []finding.Finding
	// Work works out the block; nil for Values kinds.
	Work func(*Bench)
}

// Key is one key that a kind understands.
type Key struct {
	Name string // one word
	Arg  string // what the second word stands for, as in `bevel EDGE`; "" if there is none
	More bool   // a third word may follow: `cut roof side` means the panel roof.side
	Want Want
	// Words lists the bare words that a key takes; with Want Word it takes nothing else.
	Words    []string
	Required bool
	Doc      string
}

// usage is how the key is written in messages and help.
func (k Key) usage() string {
	if k.Arg != "" {
		return k.Name + " " + k.Arg
	}
	return k.Name
}

// Want is what the value of a key must be.
type Want uint8

// The wants.
const (
	Anything  Want = iota
	Length         // ≥ 0
	Angle          // any sign
	Mass           // ≥ 0
	Time           // ≥ 0
	Money          // ≥ 0
	Density        // mass / volume, > 0
	Coverage       // area / volume, > 0
	Volume         // > 0
	Number         // a plain number
	Count          // a whole number from 0 to MaxCount
	Counts         // the same, or two of them for left and right
	Truth          // yes or no
	Words          // a text
	Word           // one of the bare words that the key lists
	Names          // bare words with commas, not looked up
	Place          // a point
	Outline        // an outline, or a path to be closed
	Lines          // a path or a list of points
	AList          // a list; one value is a list of one
	Block          // the result of another block
	AMaterial      // the result of a material block
	ATool          // the result of a tool block
)

// MaxCount bounds how often one part is cut.
const MaxCount = 10_000

// Output is all that a block gives besides its named results.
type Output struct {
	Record   *eval.Record
	Parts    []part.Part
	Seams    []part.Seam
	Tally    []Tallied
	Shell    *solid.Shell // of the kinds that close flat faces to a shape in space; nil otherwise
	Drawings []draw.Drawing
	Tables   []Table
	Listing  *Listing
	Sheets   *Sheets
}

// Table is a small table of a block's results, in words of the journal's style.
type Table struct {
	Title string
	Head  []string
	Rows  [][]string
}

// Listing asks for a table drawn from the ledger; the pages fill it in.
type Listing struct {
	Of    string // parts, materials, shopping, hours, findings or templates
	Build bool   // over the whole build rather than the section
}

// Find returns the kind of that name.
func Find(name string) (*Kind, bool) {
	for _, k := range All {
		if k.Name == name {
			return k, true
		}
	}
	return nil, false
}

// Nearest is the kind that a mistyped name most likely means, or "".
func Nearest(name string) string {
	var names []string
	for _, k := range All {
		names = append(names, k.Name)
	}
	return spell.Nearest(name, names)
}

// key finds the declaration of an entry's key and the second word of a key that takes one.
func (k *Kind) key(e *syntax.Entry) (Key, string, bool) {
	for _, key := range k.Keys {
		if key.Name != e.Key[0].Text {
			continue
		}
		switch {
		case len(e.Key) == 1 && key.Arg == "":
			return key, "", true
		case len(e.Key) == 2 && key.Arg != "":
			return key, e.Key[1].Text, true
		case len(e.Key) == 3 && key.More:
			return key, e.Key[1].Text + "." + e.Key[2].Text, true
		}
	}
	return Key{}, "", false
}

// Declare makes the evaluator's block for one block of this kind. What its Work gives beyond the
// record is written to the Output, by one goroutine, before any node that needs the block is worked
// out, each time anew. Keys that the kind does not know are reported and left out.
func (k *Kind) Declare(section, name string, at source.Span, parsed *syntax.Block, style unit.Style) (*eval.Block, *Output, []finding.Finding) {
	kept, found := k.check(name, at, parsed)
	if name == "" && !k.Values || name == "" && k.Name == "wearer" {
		name = k.Name
	}
	out := &Output{}
	b := &eval.Block{
		Section: section, Name: name, Kind: k.Name, At: at, Syntax: kept,
		Values: k.Values, Unbound: k.Unbound,
		Private: k.Private != nil && k.Private(parsed),
	}
	if k.Values {
		if k.Check != nil {
			b.Check = func(key string, v eval.Value, at source.Span) []finding.Finding { return k.Check(key, v, at, style) }
		}
		return b, out, found
	}
	b.Clear = func() { *out = Output{} }
	b.Word = func(key string) bool { return k.takesWord(kept, key) }
	broken := parsed.Broken || hasStop(found)
	b.Work = func(args []eval.Arg, read eval.Files) (*eval.Record, []finding.Finding) {
		bench := &Bench{Kind: k, Section: section, Name: name, At: at, Style: style, Out: out, args: args, read: read}
		bench.Out.Record = &eval.Record{Kind: k.Name, Name: name}
		return bench.run(broken)
	}
	return b, out, found
}

func hasStop(list []finding.Finding) bool {
	return slices.ContainsFunc(list, func(f finding.Finding) bool { return f.Severity == finding.Stop })
}

func (k *Kind) takesWord(b *syntax.Block, name string) bool {
	for _, e := range b.Entries {
		if e.Name() == name {
			key, _, ok := k.key(e)
			return ok && (key.Words != nil || key.Want == Word || key.Want == Names)
		}
	}
	return false
}

// The faults of a block's keys.
const (
	// UnknownKey: the kind does not understand this key.
	UnknownKey = "unknown-key"
	// NeedsKey: a key without which the block cannot be worked out is missing.
	NeedsKey = "needs-key"
	// ReservedName: a unit, a function or a word of the language used as a name.
	ReservedName = "reserved-name"
)

// check looks at the keys of a block before anything is worked out.
func (k *Kind) check(name string, at source.Span, parsed *syntax.Block) (*syntax.Block, []finding.Finding) {
	kept := *parsed
	kept.Entries = nil
	var found []finding.Finding
	seen := map[string]*syntax.Entry{}
	for _, e := range parsed.Entries {
		if f, ok := k.refuse(e, seen); ok {
			found = append(found, f)
			continue
		}
		seen[e.Name()] = e
		kept.Entries = append(kept.Entries, e)
	}
	for _, key := range k.Keys {
		if key.Required && seen[key.Name] == nil && !parsed.Broken { // it may be what could not be read
			found = append(found, eval.Err(NeedsKey, at, fmt.Sprintf("Add a line `%s: …` (%s)", key.Name, key.Doc),
				"%s needs %s", k.called(name), key.Name))
		}
	}
	return &kept, found
}

// article is that of the kind's name.
func (k *Kind) article() string {
	if strings.IndexByte("aeiou", k.Name[0]) >= 0 {
		return "an"
	}
	return "a"
}

func (k *Kind) called(name string) string {
	if name == "" {
		return "this " + k.Name
	}
	return "the " + k.Name + " " + name
}

// refuse tells what is wrong with the key of an entry, if anything is.
func (k *Kind) refuse(e *syntax.Entry, seen map[string]*syntax.Entry) (finding.Finding, bool) {
	at := e.Key[0].At.To(e.Key[len(e.Key)-1].At)
	if k.Values {
		return refuseName(e, at)
	}
	if first := seen[e.Name()]; first != nil {
		f := eval.Err(eval.SetTwice, at, "Keep one of them", "%s is set twice", e.Name())
		f.Notes = []finding.Related{{At: first.At, Message: "it was set here first"}}
		return f, true
	}
	if _, _, ok := k.key(e); ok {
		return finding.Finding{}, false
	}
	var names []string
	for _, key := range k.Keys {
		names = append(names, key.usage())
		if key.Name == e.Key[0].Text && key.Arg != "" && len(e.Key) == 1 {
			return eval.Err(UnknownKey, at, "Write "+key.usage()+": …, with the name of the one you mean", "%s needs a name behind it", key.Name), true
		}
	}
	help := strings.ToUpper(k.article()[:1]) + k.article()[1:] + " " + k.Name + " takes " + strings.Join(names, ", ")
	if near := k.nearestKey(e); near != "" {
		help = "Did you mean " + near + "?"
	}
	return eval.Err(UnknownKey, at, help, "%s %s has no key %s", k.article(), k.Name, e.Name()), true
}

// nearestKey is the key that an entry most likely means, written with the entry's own second word
// where the key takes one.
func (k *Kind) nearestKey(e *syntax.Entry) string {
	var plain, taking []string
	for _, key := range k.Keys {
		if key.Arg == "" {
			plain = append(plain, key.Name)
		} else {
			taking = append(taking, key.Name)
		}
	}
	if len(e.Key) == 2 {
		if near := spell.Nearest(e.Key[0].Text, taking); near != "" {
			return near + " " + e.Key[1].Text
		}
	}
	return spell.Nearest(e.Name(), plain)
}

// refuseName keeps units, functions and words of the language from being names.
func refuseName(e *syntax.Entry, at source.Span) (finding.Finding, bool) {
	name := e.Name()
	if len(e.Key) > 1 {
		return eval.Err(ReservedName, at, "Join the words with _, as in "+strings.ReplaceAll(name, " ", "_"), "a name is one word"), true
	}
	if what := syntax.Reserved(name); what != "" {
		return eval.Err(ReservedName, at, "Choose another, such as "+name+"_1", "%s cannot be a name: it %s", name, what), true
	}
	if eval.IsConstant(name) {
		return eval.Err(ReservedName, at, "Choose another, such as "+name+"_1", "%s cannot be a name: it is a constant", name), true
	}
	return finding.Finding{}, false
}

// Usage is how the key is written: "bevel EDGE".
func (k Key) Usage() string { return k.usage() }

// Help is one line for people: what the key is for, what it must be, whether it is needed.
func (k Key) Help() string {
	text := k.Doc
	if k.Want == Word {
		text += ": " + oneOf(k)
	} else if k.Want != Anything {
		text += "; " + wants[k.Want].text
	}
	if k.Required {
		text += " (needed)"
	}
	return text
}
