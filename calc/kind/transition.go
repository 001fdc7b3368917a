package kind

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/shape"
	"bevelbook/calc/unit"
)

var transition = Kind{
	Name: "transition",
	Doc:  "from a rectangle or an n-gon at the bottom to a circle at the top, of flat triangles and parts of cones",
	Keys: rolledKeys([]Key{
		{Name: "base", Want: Place, Doc: "width and depth of a rectangle, as in (200 mm, 120 mm)"},
		{Name: "sides", Want: Count, Doc: "of a regular base, in place of a rectangle"},
		{Name: "side", Want: Length, Doc: "of a regular base"},
		{Name: "flats", Want: Length, Doc: "of a regular base, across its flats, in place of its side"},
		{Name: "corners", Want: Length, Doc: "of a regular base, across its corners, in place of its side"},
		{Name: "top", Want: Length, Required: true, Doc: "the diameter at the top"},
		{Name: "height", Want: Length, Required: true, Doc: "between base and top"},
		{Name: "shift", Want: Place, Doc: "how far the top stands to the right and to the back of the middle"},
		sizesKey,
		{Name: "pieces", Want: Count, Doc: "one, or two halves; one if it does not say"},
		tabKey,
	}),
	Work: workTransition,
}

func workTransition(b *Bench) {
	s := b.bentSheet()
	t, names := b.transitionBase(s)
	t.Height = b.above("height")
	if p, ok := b.arg("shift"); ok {
		t.Centre = p.Value.(eval.Point).Vec
		b.within("shift", r2.Norm(t.Centre))
	}
	b.mindBend(s, t.Radius-s.Inner(), "top", "the top of "+b.Name)
	n := b.counted("pieces", 1, 1, 2)
	if n == 2 && len(names)%2 == 1 {
		b.Fail(eval.WrongValue, b.Where("pieces"), "Take one piece, or a base with an even number of sides", "a base of %d sides has no two halves with a seam in the middle of a side", len(names))
	}
	b.saneTab()
	parts, lengths := b.transitionParts(t, names, n, s)
	b.Give("seam", eval.Num(edgeOf(&parts[0], "start").Length, unit.Length), "", "")
	b.Give("rim", eval.Num(2*math.Pi*t.Radius, unit.Length), "π · top, on the neutral line", "π · "+b.mm(2*t.Radius))
	b.Table(lengths)
	b.flats(parts)
	b.flatFigure(parts)
	b.standFigure(transitionStanding(t, n, lettersOf(b.Out.Seams, n)))
}

// transitionBase reads the base and the top, moved to the neutral line: by the same share of the
// thickness all round, measured level (mean sizes, as sheet-metal shops take them; common practice, no
// source).
func (b *Bench) transitionBase(s bentSheet) (t roll.Transition, names []string) {
	in := map[string]float64{"outside": s.Outer(), "inside": -s.Inner(), "neutral": 0}[b.Word("sizes", "outside")]
	top := b.above("top")
	if t.Radius = top/2 - in; !(t.Radius-s.Inner() > 0) {
		b.Fail(eval.WrongValue, b.Where("top"), "Make it wider, or use a thinner sheet", "a wall of %s closes a top of %s", b.mm(s.Thickness), b.mm(top))
	}
	var flat shape.Outline
	var err error
	switch {
	case b.Has("base") == b.Has("sides"):
		b.Fail(NeedsKey, b.Where("sides"), "Say `base: (200 mm, 120 mm)`, or `sides: 8` with `flats: 200 mm`", "%s needs one base", b.Kind.called(b.Name))
	case b.Has("base"):
		a, _ := b.arg("base")
		p := a.Value.(eval.Point)
		b.within("base", math.Max(p.X, p.Y))
		if flat, err = shape.Rect(p.X-2*in, p.Y-2*in); err == nil {
			names = []string{"front", "right", "back", "left"}
			flat = flat.Translate(r2.Vec{X: in - p.X/2, Y: in - p.Y/2})
		}
	default:
		flat, err = b.regularBase(in)
		names = flat.EdgeNames()
	}
	if err != nil {
		key := "base"
		if b.Has("sides") {
			key = "sides"
		}
		b.Fail(eval.BadShape, b.Where(key), "Give it sizes above the thickness of the wall", "the base of %s cannot be made: %v", b.Name, err)
	}
	t.Base = flat.Corners()
	return t, names
}

// regularBase is a regular polygon whose flats lie `in` further inside than they were measured.
func (b *Bench) regularBase(in float64) (shape.Outline, error) {
	n := b.counted("sides", 0, 3, 24)
	ways := []struct {
		key    string
		radius func(int, float64) float64
	}{{"side", shape.CircumradiusFromSide}, {"flats", shape.FromAcrossFlats}, {"corners", shape.FromAcrossCorners}}
	radius, given := 0.0, ""
	for _, w := range ways {
		if !b.Has(w.key) {
			continue
		}
		if given != "" {
			b.Fail(KeysClash, b.Where(w.key), "Keep one of them", "%s and %s both say how large the base is", given, w.key)
		}
		given, radius = w.key, w.radius(n, b.above(w.key))
	}
	if given == "" {
		b.Fail(NeedsKey, b.Where("sides"), "Say `side: 80 mm`, `flats: 200 mm` or `corners: 210 mm`", "%s does not say how large its base is", b.Kind.called(b.Name))
	}
	return shape.Regular(n, radius-in/math.Cos(math.Pi/float64(n)))
}

// bendsACorner is how many steps of a corner's cone are marked, about 22° each as layouts by hand do.
func bendsACorner(sides int) int {
	for _, n := range []int{8, 4, 2} {
		if 2*math.Pi/float64(sides*n) >= math.Pi/8-1e-9 {
			return n
		}
	}
	return 1
}

// transitionParts are the whole pattern or its halves, alike halves counted as two of one part, and the
// true lengths of their bend lines.
func (b *Bench) transitionParts(t roll.Transition, names []string, n int, s bentSheet) ([]part.Part, Table) {
	lengths := Table{Title: "True lengths of the bend lines", Head: []string{"corner", "lines, counter-clockwise"}}
	steps := bendsACorner(len(names))
	parts := make([]part.Part, n)
	for i := range parts {
		share := len(names) / n
		flat, err := t.Flat(i*share, (i+1)*share, steps, names)
		b.unrolled(flat.Outline, err)
		name := b.Name
		if n > 1 {
			name = fmt.Sprintf("%s.p%d", b.Name, i+1)
		}
		p := b.flatPart(name, flat.Outline, s, 1)
		row := ""
		for k, l := range flat.Bends {
			p.Lines = append(p.Lines, part.Feature{Name: fmt.Sprintf("bend%d", k+1), Path: l.Line})
			row += b.mm(l.Line.Length())
			if k%(steps+1) < steps {
				row += ", "
				continue
			}
			lengths.Rows = append(lengths.Rows, []string{names[(l.Corner+len(names)-1)%len(names)] + " / " + names[l.Corner], row})
			row = ""
		}
		b.tabbed(&p)
		parts[i] = p
	}
	if n == 2 {
		if _, same := shape.Congruent(parts[0].Figure(), parts[1].Figure(), part.MirrorTolerance); same {
			parts = parts[:1]
			parts[0].Name, parts[0].Count = b.Name, 2*parts[0].Count
		}
	}
	for i := range parts {
		b.closing(&parts[(i+1)%len(parts)], &parts[i], s, n/len(parts))
	}
	return parts, lengths
}

// transitionStanding sets the transition up, its first seam in view, with the sides of its triangles.
func transitionStanding(t roll.Transition, n int, letters []string) standing {
	const steps = 18 // of each corner's cone
	var foot, top, base ring
	for i := range t.Base {
		corner := r3.Vec{X: t.Base[i].X, Y: t.Base[i].Y}
		base = append(base, corner)
		from, to := t.Touch(i+len(t.Base)-1), t.Touch(i+len(t.Base))
		for k := range steps + 1 {
			foot = append(foot, corner)
			top = append(top, t.At(from+(to-from)*float64(k)/steps))
		}
	}
	s := standing{rings: []ring{foot, top}, view: -math.Pi/2 - math.Pi/7}
	for i := range t.Base {
		a, c, tip := base[i], base[(i+1)%len(base)], t.At(t.Touch(i))
		out := r3.Unit(r3.Cross(r3.Sub(c, a), r3.Sub(tip, a)))
		s.seams = append(s.seams, straightSeam(a, tip, out, ""), straightSeam(c, tip, out, ""))
		if share := len(t.Base) / n; i%share == 0 {
			s.seams = append(s.seams, straightSeam(t.Middle(i), tip, out, letters[(i/share+n-1)%n]))
		}
	}
	return s
}
