package syntax

import (
	"strconv"
	"strings"

	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// String prints an expression in the canonical spelling; it parses to the same tree.
func String(e Expr) string {
	var b strings.Builder
	write(&b, e, nil)
	return b.String()
}

// StringWith prints an expression with some names and fields replaced: replace returns the text that
// stands for an expression, and false to print it as it is. Formulas with numbers in them are made so.
func StringWith(e Expr, replace func(Expr) (string, bool)) string {
	var b strings.Builder
	write(&b, e, replace)
	return b.String()
}

// binding is the level of an expression's outermost operator; brackets are printed where a
// looser one stands inside a tighter one.
func binding(e Expr) int {
	switch e := e.(type) {
	case *Show, *Repeat, *List:
		if l, ok := e.(*List); ok && l.Bracketed {
			return levelPower + 2
		}
		return -1
	case *Binary:
		if e.Op == "^" {
			return levelPower
		}
		for level, ops := range levels {
			for _, op := range ops {
				if op == e.Op {
					return level
				}
			}
		}
	case *Unary:
		if e.Op == "not" {
			return levelCompare
		}
		return levelPower
	case *Literal:
		if strings.ContainsAny(e.Text, "/ ") {
			return levelPower + 1
		}
	}
	return levelPower + 2
}

func write(b *strings.Builder, e Expr, replace func(Expr) (string, bool)) {
	if replace != nil {
		if s, ok := replace(e); ok {
			b.WriteString(s)
			return
		}
	}
	inner := func(x Expr, least int) {
		if binding(x) >= least {
			write(b, x, replace)
			return
		}
		b.WriteByte('(')
		write(b, x, replace)
		b.WriteByte(')')
	}
	switch e := e.(type) {
	case *Literal:
		b.WriteString(e.Text)
	case *Words:
		b.WriteString(`"` + e.Text + `"`)
	case *Truth:
		b.WriteString(map[bool]string{true: "yes", false: "no"}[e.Yes])
	case *Name:
		b.WriteString(e.Text)
	case *Field:
		inner(e.X, levelPower+2)
		b.WriteString("." + e.Name.Text)
	case *Call:
		writeCall(b, e, replace)
	case *Unary:
		writeUnary(b, e, inner)
	case *Binary:
		writeBinary(b, e, inner)
	case *Point:
		writeItems(b, "(", e.Items, ")", replace)
	case *List:
		if e.Bracketed {
			writeItems(b, "[", e.Items, "]", replace)
		} else {
			writeItems(b, "", e.Items, "", replace)
		}
	case *Repeat:
		b.WriteString(strconv.Itoa(e.Count) + " x ")
		inner(e.X, levelOr)
	case *Show:
		inner(e.X, levelOr)
		if e.Unit.Text != "" {
			b.WriteString(" as " + e.Unit.Text)
		}
		if e.Step != nil {
			b.WriteString(" to ")
			writeStep(b, e.Step, inner)
		}
	}
}

func writeUnary(b *strings.Builder, e *Unary, inner func(Expr, int)) {
	if e.Op == "-" {
		b.WriteString("-")
		inner(e.X, levelPower)
		return
	}
	b.WriteString("not ")
	least := levelCompare + 1
	if u, ok := e.X.(*Unary); ok && u.Op == "not" {
		least = levelCompare // not not a
	}
	inner(e.X, least)
}

// writeStep prints a fraction of plain numbers closed up, as steps are written on a rule: 1/16.
func writeStep(b *strings.Builder, step Expr, inner func(Expr, int)) {
	if f, ok := step.(*Binary); ok && f.Op == "/" {
		num, ok1 := f.X.(*Literal)
		den, ok2 := f.Y.(*Literal)
		if ok1 && ok2 && !isMeasure(den) {
			b.WriteString(num.Text + "/" + den.Text)
			return
		}
	}
	inner(step, levelSum)
}

func writeBinary(b *strings.Builder, e *Binary, inner func(Expr, int)) {
	level := binding(e)
	left, right := level, level+1
	if e.Op == "^" {
		left, right = levelPower+1, levelPower
		if l, ok := e.X.(*Literal); ok && l.Q.Dim != unit.None {
			left = levelPower + 3 // (2 mm)^2, for 2 mm^2 is an area
		}
	}
	switch {
	case level == levelCompare:
		left++ // not a = b is not (a = b)
	case e.Op == "/" && endsInNumber(e.X) && isMeasure(e.Y):
		right = levelPower + 3 // 1 / (2 mm), for 1 / 2 mm is half a millimetre
	}
	inner(e.X, left)
	b.WriteString(" " + e.Op + " ")
	inner(e.Y, right)
}

// endsInNumber tells whether the last thing printed of e is a whole number without a unit.
func endsInNumber(e Expr) bool {
	switch e := e.(type) {
	case *Literal:
		return isWhole(Token{Text: e.Text})
	case *Unary:
		return endsInNumber(e.X)
	case *Binary:
		return endsInNumber(e.Y)
	}
	return false
}

func isMeasure(e Expr) bool {
	l, ok := e.(*Literal)
	return ok && l.Unit.Name != ""
}

func writeCall(b *strings.Builder, e *Call, replace func(Expr) (string, bool)) {
	b.WriteString(e.Fn.Text + "(")
	for i, a := range e.Args {
		if i > 0 {
			b.WriteString(", ")
		}
		if a.Name.Text != "" {
			b.WriteString(a.Name.Text + ": ")
		}
		write(b, a.Value, replace)
	}
	b.WriteByte(')')
}

func writeItems(b *strings.Builder, open string, items []Expr, closing string, replace func(Expr) (string, bool)) {
	b.WriteString(open)
	for i, x := range items {
		if i > 0 {
			b.WriteString(", ")
		}
		if l, ok := x.(*List); ok && !l.Bracketed {
			x = &List{node: l.node, Items: l.Items, Bracketed: true}
		}
		write(b, x, replace)
	}
	b.WriteString(closing)
}

// Format prints a block: keys aligned at their values, remarks and empty lines kept. An entry that
// goes over several lines is left as it is written, but for the space before its value.
func (b *Block) Format() string {
	var out strings.Builder
	width := b.keyWidth()
	next := 0
	for _, e := range b.Entries {
		for ; next < e.first; next++ {
			loose(&out, b.Lines[next])
		}
		b.entry(&out, e, width)
		next = e.last + 1
	}
	for ; next < len(b.Lines); next++ {
		loose(&out, b.Lines[next])
	}
	return out.String()
}

func loose(out *strings.Builder, line source.Span) {
	out.WriteString(strings.TrimSpace(line.Text()))
	out.WriteByte('\n')
}

// keyWidth is the column of the values: behind the longest key, within reason.
func (b *Block) keyWidth() int {
	width := 0
	for _, e := range b.Entries {
		if n := len([]rune(e.Name())); n <= 24 {
			width = max(width, n)
		}
	}
	return width
}

func (b *Block) entry(out *strings.Builder, e *Entry, width int) {
	key := e.Name() + ":"
	out.WriteString(key + strings.Repeat(" ", max(1, width+2-len([]rune(key)))))
	if e.first != e.last || e.inside {
		b.asWritten(out, e)
		return
	}
	out.WriteString(String(e.Value))
	if e.comment != "" {
		out.WriteString("  " + e.comment)
	}
	out.WriteByte('\n')
}

// asWritten prints the lines of an entry from its colon on, the further ones set in by two spaces.
func (b *Block) asWritten(out *strings.Builder, e *Entry) {
	for i, line := range b.Lines[e.first : e.last+1] {
		text := line.Text()
		if i == 0 {
			_, text, _ = strings.Cut(text, ":")
		}
		text = strings.TrimSpace(text)
		if i > 0 && text != "" {
			out.WriteString("  ")
		}
		out.WriteString(text + "\n")
	}
}

// place notes which lines each entry covers and the remark behind it.
func (b *Block) place() {
	line := 0
	for _, e := range b.Entries {
		for line < len(b.Lines) && b.Lines[line].End < e.At.Start {
			line++
		}
		e.first = line
		for line < len(b.Lines)-1 && b.Lines[line].End < e.At.End {
			line++
		}
		e.last = line
		if line < len(b.Lines) {
			rest := b.Lines[line].File.Text[min(e.At.End, b.Lines[line].End):b.Lines[line].End]
			if i := strings.IndexByte(rest, '#'); i >= 0 {
				e.comment = strings.TrimSpace(rest[i:])
			}
			e.inside = strings.TrimLeft(rest, ", \t") != e.comment && strings.TrimSpace(rest) != e.comment
		}
	}
}
