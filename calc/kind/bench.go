package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/unit"
)

// Bench is where one block is worked out: its keys, read by name, and the place for what it gives.
type Bench struct {
	Kind    *Kind
	Section string
	Name    string
	At      source.Span
	Style   unit.Style
	Out     *Output

	args  []eval.Arg
	read  eval.Files
	found []finding.Finding
}

// File gives the bytes of one of the journal's files.
func (b *Bench) File(path string) ([]byte, error) { return b.read(path) }

// bailout leaves the working out of one block with a finding.
type bailout struct{ f finding.Finding }

// run checks what the keys hold and works the block out. A block whose keys are broken is not
// worked out: half of an answer would look like a whole one.
func (b *Bench) run(broken bool) (rec *eval.Record, found []finding.Finding) {
	defer func() {
		r := recover()
		if r == nil {
			return
		}
		stop, ok := r.(bailout)
		if !ok {
			panic(r)
		}
		*b.Out = Output{}
		rec, found = nil, append(b.found, stop.f)
	}()
	for _, a := range b.args {
		if f, bad := b.misfit(a); bad {
			b.found = append(b.found, f)
			broken = true
		}
	}
	if broken {
		return nil, b.found
	}
	b.Kind.Work(b)
	return b.Out.Record, b.found
}

// Fail stops the block with a finding.
func (b *Bench) Fail(name eval.Fault, at source.Span, help, format string, args ...any) {
	panic(bailout{eval.Err(name, at, help, format, args...)})
}

// Note adds a finding that does not stop the block from being worked out.
func (b *Bench) Note(severity finding.Severity, name string, at source.Span, help, format string, args ...any) {
	f := eval.Err(eval.Fault(name), at, help, format, args...)
	f.Severity, f.Part = severity, b.Name
	b.found = append(b.found, f)
}

// misfit tells whether a key's value is not what the key wants.
func (b *Bench) misfit(a eval.Arg) (finding.Finding, bool) {
	key, _, ok := b.Kind.key(a.Entry)
	if !ok {
		return finding.Finding{}, false
	}
	at := a.Entry.Value.Span()
	if key.Want == Word || key.Want == Names {
		return b.misfitWords(key, a)
	}
	if why := misfits(key.Want, a.Value); why != "" {
		return eval.Err(eval.WrongValue, at, unitOr(key, a.Value), "%s must be %s, and this is %s", a.Entry.Name(), wants[key.Want].text, why), true
	}
	return finding.Finding{}, false
}

// unitOr is the way out for a value that misfits its key: the unit, where it is all that is missing,
// else what the key is for.
func unitOr(key Key, v eval.Value) string {
	q, ok := v.(eval.Quantity)
	unit := map[Want]string{Length: "10 mm", Angle: "35 deg", Mass: "6 kg", Time: "15 min", Money: "12.50 EUR", Volume: "1 l"}[key.Want]
	if ok && q.Dim.IsNone() && unit != "" {
		return "Write the unit behind the number, as in " + unit
	}
	return key.usage() + ": " + key.Doc
}

func (b *Bench) misfitWords(key Key, a eval.Arg) (finding.Finding, bool) {
	at := a.Entry.Value.Span()
	if a.Value != nil || len(a.Words) == 0 {
		return eval.Err(eval.WrongValue, at, "Write "+oneOf(key), "%s takes a word", a.Entry.Name()), true
	}
	if key.Want == Names {
		return finding.Finding{}, false
	}
	if len(a.Words) > 1 {
		return eval.Err(eval.WrongValue, at, "Write "+oneOf(key), "%s takes one word", a.Entry.Name()), true
	}
	for _, w := range a.Words {
		if !slices.Contains(key.Words, w.Text) {
			help := "Write " + oneOf(key)
			if near := spell.Nearest(w.Text, key.Words); near != "" {
				help = "Did you mean " + near + "? " + help
			}
			return eval.Err(eval.WrongValue, w.At, help, "%s cannot be %s", a.Entry.Name(), w.Text), true
		}
	}
	return finding.Finding{}, false
}

func oneOf(key Key) string {
	switch n := len(key.Words); n {
	case 0:
		return "names separated by commas"
	case 1:
		return key.Words[0]
	default:
		return strings.Join(key.Words[:n-1], ", ") + " or " + key.Words[n-1]
	}
}

// wants says for people what each Want is and tells why a value misfits, "" if it fits.
var wants = [...]struct {
	text   string
	misfit func(eval.Value) string
}{
	Anything:  {"a value", func(eval.Value) string { return "" }},
	Length:    {"a length", positive(unit.Length, true)},
	Angle:     {"an angle", quantity(unit.Angle)},
	Mass:      {"a mass", positive(unit.Mass, true)},
	Time:      {"a time", positive(unit.Time, true)},
	Money:     {"a price", price},
	Density:   {"a density, as in 100 kg/m^3", positive(unit.Dim{Mass: 1, Length: -3}, false)},
	Coverage:  {"an area for a volume, as in 6 m^2/l", positive(unit.Dim{Length: -1}, false)},
	Volume:    {"a volume", positive(unit.Volume, false)},
	Number:    {"a plain number", quantity(unit.None)},
	Count:     {"a whole number", whole},
	Counts:    {"a whole number, or two for left and right, as in 2, 1", counts},
	Truth:     {"yes or no", typed[eval.Bool]},
	Words:     {"a text in quotes", typed[eval.Text]},
	Word:      {"a word", typed[eval.Text]},
	Names:     {"names", typed[eval.Text]},
	Place:     {"a point, as in (20 mm, 45 mm)", typed[eval.Point]},
	Outline:   {"an outline", closable},
	Lines:     {"a path", lines},
	AList:     {"a list", func(eval.Value) string { return "" }},
	Block:     {"another block's name", typed[*eval.Record]},
	AMaterial: {"a material's name", record("material")},
	ATool:     {"a tool's name", record("tool")},
}

func misfits(w Want, v eval.Value) string { return wants[w].misfit(v) }

func typed[T eval.Value](v eval.Value) string {
	if _, ok := v.(T); ok {
		return ""
	}
	return v.Type()
}

func quantity(d unit.Dim) func(eval.Value) string {
	return func(v eval.Value) string {
		q, ok := v.(eval.Quantity)
		if !ok || q.Dim != d && !(q.Dim == unit.None && q.Value == 0) {
			return v.Type()
		}
		return ""
	}
}

func positive(d unit.Dim, zero bool) func(eval.Value) string {
	return func(v eval.Value) string {
		if why := quantity(d)(v); why != "" {
			return why
		}
		switch x := v.(eval.Quantity).Value; {
		case x < 0:
			return "below zero"
		case x == 0 && !zero:
			return "zero"
		}
		return ""
	}
}

func price(v eval.Value) string {
	q, ok := v.(eval.Quantity)
	switch {
	case !ok || !q.Dim.IsMoney():
		return v.Type()
	case q.Value < 0:
		return "below zero"
	}
	return ""
}

func whole(v eval.Value) string {
	if why := quantity(unit.None)(v); why != "" {
		return why
	}
	x := v.(eval.Quantity).Value
	if x != math.Trunc(x) || x < 0 || x > MaxCount {
		return fmt.Sprintf("not one from 0 to %d", MaxCount)
	}
	return ""
}

func closable(v eval.Value) string {
	switch v.(type) {
	case eval.Outline, eval.Path:
		return ""
	}
	return v.Type()
}

func lines(v eval.Value) string {
	switch v := v.(type) {
	case eval.Path, eval.Outline:
		return ""
	case eval.List:
		for _, p := range v {
			if typed[eval.Point](p) != "" {
				return "a list with " + p.Type()
			}
		}
		if len(v) >= 2 {
			return ""
		}
	}
	return v.Type()
}

func record(kind string) func(eval.Value) string {
	return func(v eval.Value) string {
		if r, ok := v.(*eval.Record); !ok || r.Kind != kind {
			return v.Type()
		}
		return ""
	}
}

// arg finds a key by its whole name.
func (b *Bench) arg(name string) (eval.Arg, bool) {
	for _, a := range b.args {
		if a.Entry.Name() == name {
			return a, true
		}
	}
	return eval.Arg{}, false
}

// Has tells whether the key was given.
func (b *Bench) Has(name string) bool {
	_, ok := b.arg(name)
	return ok
}

// Where is the place of a key's value, or of the block when it was not given.
func (b *Bench) Where(name string) source.Span {
	if a, ok := b.arg(name); ok {
		return a.Entry.Value.Span()
	}
	return b.At
}

// Num is a key's quantity in base units, or the default.
func (b *Bench) Num(name string, otherwise float64) float64 {
	if a, ok := b.arg(name); ok {
		if q, ok := a.Value.(eval.Quantity); ok {
			return q.Value
		}
	}
	return otherwise
}

// Yes is a key's truth value, no when it was not given.
func (b *Bench) Yes(name string) bool {
	a, _ := b.arg(name)
	v, _ := a.Value.(eval.Bool)
	return bool(v)
}

// Word is a key's bare word, or the default.
func (b *Bench) Word(name, otherwise string) string {
	if a, ok := b.arg(name); ok && len(a.Words) > 0 {
		return a.Words[0].Text
	}
	return otherwise
}

// Record is the result of the block that a key names, nil when it was not given.
func (b *Bench) Record(name string) *eval.Record {
	a, _ := b.arg(name)
	r, _ := a.Value.(*eval.Record)
	return r
}

// Items is a key's list; one value is a list of one.
func (b *Bench) Items(name string) []eval.Value {
	a, ok := b.arg(name)
	if !ok {
		return nil
	}
	if l, ok := a.Value.(eval.List); ok {
		return l
	}
	return []eval.Value{a.Value}
}

// Argument is one entry of a key that takes a second word: `bevel left`.
type Argument struct {
	Name string
	Arg  eval.Arg
}

// Each lists, in the order of the text, the entries of a key that takes a second word.
func (b *Bench) Each(key string) []Argument {
	var list []Argument
	for _, a := range b.args {
		k, word, ok := b.Kind.key(a.Entry)
		if ok && k.Name == key && word != "" {
			list = append(list, Argument{word, a})
		}
	}
	return list
}

// Give adds a named result with its working; formula and numbers may be "".
func (b *Bench) Give(name string, v eval.Value, formula, numbers string) {
	b.Out.Record.Fields = append(b.Out.Record.Fields, eval.Result{Name: name, Value: v, Formula: formula, Numbers: numbers})
}

// Quiet adds a result that can be asked for by name but is not listed on the card.
func (b *Bench) Quiet(name string, v eval.Value) {
	b.Out.Record.Fields = append(b.Out.Record.Fields, eval.Result{Name: name, Value: v, Quiet: true})
}

// From says which keys the results of these names come from; without it, all keys count.
func (b *Bench) From(keys []string, results ...string) {
	for i, f := range b.Out.Record.Fields {
		if slices.Contains(results, f.Name) {
			b.Out.Record.Fields[i].From = keys
		}
	}
}

// Part adds a part.
func (b *Bench) Part(p part.Part) { b.Out.Parts = append(b.Out.Parts, p) }

// Privacy is the highest of the block's keys.
func (b *Bench) Privacy() eval.Privacy {
	most := eval.Open
	for _, a := range b.args {
		most = max(most, a.Privacy)
	}
	return most
}

// Table adds a table of results.
func (b *Bench) Table(t Table) { b.Out.Tables = append(b.Out.Tables, t) }

// Draw adds a drawing.
func (b *Bench) Draw(d draw.Drawing) { b.Out.Drawings = append(b.Out.Drawings, d) }

// The words of a quantity in the journal's style.
func (b *Bench) mm(v float64) string  { return eval.Num(v, unit.Length).Show(b.Style) }
func (b *Bench) deg(v float64) string { return eval.Num(v, unit.Angle).Show(b.Style) }
