package kind

import (
	"fmt"
	"math"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/unit"
)

var tube = Kind{
	Name: "tube",
	Doc:  "a round tube rolled from flat sheet, its ends square or cut at an angle",
	Keys: rolledKeys(roundKeys, []Key{
		{Name: "length", Want: Length, Required: true, Doc: "on the axis"},
		{Name: "cut", Arg: "END", Want: Angle, Doc: "how far the `top` or the `bottom` leans from a square cut; above 0 it is shortest at the seam"},
		{Name: "seam", Want: Angle, Doc: "how far round from the shortest side the seam lies, 0° if it does not say"},
		{Name: "pieces", Want: Count, Doc: "how many equal pieces go round, one if it does not say"},
		tabKey,
	}),
	Work: workTube,
}

// Bounds of what is rolled: steeper cuts and more pieces than anyone glues.
const (
	steepestCut = 80 * math.Pi / 180
	mostPieces  = 36
)

func workTube(b *Bench) {
	s := b.bentSheet()
	t := roll.Tube{Radius: b.round(s), Length: b.above("length")}
	b.flatLength(s, t.Radius)
	for _, e := range b.Each("cut") {
		angle := e.Arg.Value.(eval.Quantity).Value
		if !(math.Abs(angle) <= steepestCut) {
			b.Fail(eval.WrongValue, e.Arg.Entry.Value.Span(), "Count it from a square cut: 0° is square, 45° a mitre for a right angle", "a cut of %s cannot be made", b.deg(angle))
		}
		switch e.Name {
		case "top":
			t.Top = angle
		case "bottom":
			t.Bottom = angle
		default:
			b.Fail(eval.UnknownName, e.Arg.Entry.Key[1].At, "Its ends are top and bottom", "%s has no end %s", b.Name, e.Name)
		}
	}
	if !(t.Shortest() > 0) {
		b.Fail(eval.BadShape, b.Where("length"), "Make it longer, or cut it less steep", "the two cuts of %s meet", b.Name)
	}
	n := b.counted("pieces", 1, 1, mostPieces)
	b.saneTab()
	parts := b.tubeParts(t, s, n)
	b.Give("seam", eval.Num(parts[0].Edges[len(parts[0].Edges)-1].Length, unit.Length), "", "")
	if t.Top != 0 || t.Bottom != 0 {
		b.Give("shortest", eval.Num(t.Shortest(), unit.Length), "length − flat / 2π · tan(cut)", "")
		b.Table(b.ordinates(t, b.Num("seam", 0)))
	}
	b.flats(parts)
	b.flatFigure(parts)
	b.standFigure(tubeStanding(t, b.Num("seam", 0), lettersOf(b.Out.Seams, n)))
}

// tubeParts are the pieces of a tube: one, as often as it goes round, where both ends are square.
func (b *Bench) tubeParts(t roll.Tube, s bentSheet, n int) []part.Part {
	step, seam := 2*math.Pi/float64(n), b.Num("seam", 0)
	if t.Top == 0 && t.Bottom == 0 {
		p := b.flatPart(b.Name, b.unrolled(t.Flat(0, step)), s, n)
		b.tabbed(&p)
		b.closing(&p, &p, s, n)
		return []part.Part{p}
	}
	parts := make([]part.Part, n)
	for i := range parts {
		name := b.Name
		if n > 1 {
			name = fmt.Sprintf("%s.p%d", b.Name, i+1)
		}
		from := seam + step*float64(i)
		parts[i] = b.flatPart(name, b.unrolled(t.Flat(from, from+step)), s, 1)
		b.tabbed(&parts[i])
	}
	for i := range parts {
		b.closing(&parts[(i+1)%n], &parts[i], s, 1)
	}
	return parts
}

// ordinates is the table from which the cut lines are set out by hand: heights over the square base
// line at twelve equal steps round the tube.
func (b *Bench) ordinates(t roll.Tube, seam float64) Table {
	const steps = 12
	table := Table{Title: "Cut lines, from the seam round", Head: []string{"step", "along"}}
	type end struct {
		name     string
		mid, tan float64
	}
	ends := slices.DeleteFunc([]end{{"bottom", 0, math.Tan(t.Bottom)}, {"top", t.Length, -math.Tan(t.Top)}},
		func(e end) bool { return e.tan == 0 })
	for _, e := range ends {
		table.Head = append(table.Head, e.name)
	}
	for i := range steps + 1 {
		turn := 2 * math.Pi * float64(i) / steps
		row := []string{fmt.Sprint(i), b.mm(t.Radius * turn)}
		for _, e := range ends {
			row = append(row, b.mm(e.mid+e.tan*t.Radius*math.Cos(seam+turn)))
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}
