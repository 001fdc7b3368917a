package eval

import (
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// Value is what an expression gives. Values are immutable.
type Value interface {
	// Type names the value for people, with its article: "a length", "an outline".
	Type() string
	// Show writes the value as a maker reads it.
	Show(unit.Style) string
}

// The values.
type (
	// Quantity is a number with its dimension, and perhaps the unit and step it is to be shown in.
	Quantity struct {
		unit.Quantity
		As   *unit.Unit
		Step float64 // in As, or in the style's unit of length
	}
	// Text is words.
	Text string
	// Bool is yes or no.
	Bool bool
	// Point is a place, in mm. Z is 0 unless three coordinates were given.
	Point struct {
		r2.Vec
		Z       float64
		InSpace bool
	}
	// List is several values.
	List []Value
	// Outline is a closed shape with the holes cut into it.
	Outline struct {
		shape.Outline
		Holes []shape.Outline
	}
	// Path is an open line.
	Path struct{ shape.Path }
	// PathItem is a step of a path that is no straight line: arc(…) or curve(…).
	PathItem struct {
		Step func(pen *shape.Pen)
	}
	// Record is the result of a block: named values in the order in which they are shown.
	Record struct {
		Kind, Name string
		Fields     []Result
	}
	// Unknown stands for a value that could not be worked out.
	Unknown struct{ Waits *Node }
)

// Result is one named value of a block, with how it came about.
type Result struct {
	Name    string
	Value   Value
	Privacy Privacy
	// Formula and Numbers show the work: "t · tan β" and "10 mm · tan 35°". Both may be "".
	Formula, Numbers string
	// From are the keys, by their first word, that the value comes from; nil for all of the block's.
	From []string
	// Quiet results can be asked for by name but are not listed on a card.
	Quiet bool
}

// Num is a quantity as a value, shown in the journal's own way.
func Num(v float64, d unit.Dim) Quantity { return Quantity{Quantity: unit.Quantity{Value: v, Dim: d}} }

// Type names the dimension.
func (q Quantity) Type() string { return article(q.Dim.String()) }

// Show uses the unit and step that the value asks for, else the style's.
func (q Quantity) Show(s unit.Style) string {
	switch {
	case q.As != nil:
		if text, err := unit.FormatIn(q.Quantity, *q.As, q.Step); err == nil {
			return text
		}
	case q.Step != 0:
		s.Step = q.Step
	}
	return s.Format(q.Quantity)
}

// Type names texts.
func (Text) Type() string { return "a text" }

// Show is the text itself.
func (t Text) Show(unit.Style) string { return string(t) }

// Type names truth values.
func (Bool) Type() string { return "yes or no" }

// Show is yes or no.
func (b Bool) Show(unit.Style) string {
	if b {
		return "yes"
	}
	return "no"
}

// Type names points.
func (Point) Type() string { return "a point" }

// Show writes the coordinates as lengths.
func (p Point) Show(s unit.Style) string {
	text := "(" + Num(p.X, unit.Length).Show(s) + ", " + Num(p.Y, unit.Length).Show(s)
	if p.InSpace {
		text += ", " + Num(p.Z, unit.Length).Show(s)
	}
	return text + ")"
}

// Type names lists.
func (List) Type() string { return "a list" }

// Show writes the items with commas, no more of them than people read; a list deep inside lists is
// told by its dots.
func (l List) Show(s unit.Style) string { return l.show(s, 3) }

func (l List) show(s unit.Style, deep int) string {
	const most = 12
	texts := make([]string, 0, min(len(l), most+1))
	for i, v := range l {
		inner, nested := v.(List)
		switch {
		case i == most:
			return strings.Join(append(texts, "…"), ", ")
		case nested && deep == 0:
			texts = append(texts, "…")
		case nested:
			texts = append(texts, inner.show(s, deep-1))
		default:
			texts = append(texts, v.Show(s))
		}
	}
	return strings.Join(texts, ", ")
}

// Type names outlines.
func (Outline) Type() string { return "an outline" }

// Show tells the size of the outline's box.
func (o Outline) Show(s unit.Style) string {
	b := o.Bounds()
	return "outline " + size(b, s)
}

// Type names paths.
func (Path) Type() string { return "a path" }

// Show tells the path's length.
func (p Path) Show(s unit.Style) string {
	return "path " + Num(p.Length(), unit.Length).Show(s) + " long"
}

// Type names the steps of a path.
func (PathItem) Type() string { return "a step of a path" }

// Show names the step.
func (PathItem) Show(unit.Style) string { return "step of a path" }

// Type names the kind of block.
func (r *Record) Type() string { return "the " + r.Kind + " " + r.Name }

// Show names the block, or what sort of thing it is if it has no name, as a layer of a bare thickness.
func (r *Record) Show(unit.Style) string {
	if r.Name == "" {
		return r.Kind
	}
	return r.Name
}

// Field finds a result by its name.
func (r *Record) Field(name string) (Result, bool) {
	for _, f := range r.Fields {
		if f.Name == name {
			return f, true
		}
	}
	return Result{}, false
}

// Number gives the base value of a field that is a quantity, and false if there is none.
func (r *Record) Number(name string) (float64, bool) {
	f, ok := r.Field(name)
	if !ok {
		return 0, false
	}
	q, ok := f.Value.(Quantity)
	return q.Value, ok
}

// Type says that the value is not known.
func (Unknown) Type() string { return "an unknown value" }

// Show is a question mark.
func (Unknown) Show(unit.Style) string { return "?" }

func size(b r2.Box, s unit.Style) string {
	d := r2.Sub(b.Max, b.Min)
	return Num(d.X, unit.Length).Show(s) + " × " + Num(d.Y, unit.Length).Show(s)
}

// article puts "a" or "an" before a dimension's name.
func article(name string) string {
	if strings.ContainsRune("aeio", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

// Cell is a value with its privacy.
type Cell struct {
	Value   Value
	Privacy Privacy
}

// Privacy says how close a value is to a private measurement.
type Privacy uint8

// The steps of privacy, rising.
const (
	Open   Privacy = iota
	Shaped         // worked out with private measurements: the value may be shown, its numbers may not
	Kept           // a private measurement itself, turned or rounded: not shown where others can read it
)

// bareWords reads a value written as bare names, one or several, as choices are.
func bareWords(e syntax.Expr) ([]syntax.Ident, bool) {
	items := []syntax.Expr{e}
	if l, ok := e.(*syntax.List); ok {
		items = l.Items
	}
	var words []syntax.Ident
	for _, x := range items {
		n, ok := x.(*syntax.Name)
		if !ok {
			return nil, false
		}
		words = append(words, syntax.Ident{Text: n.Text, At: n.At})
	}
	return words, true
}
