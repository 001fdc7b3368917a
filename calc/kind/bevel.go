package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/unit"
)

var bevel = Kind{
	Name: "bevel",
	Doc:  "works out saw tilt, mitre angle, run and width of the cut where two panels meet",
	Keys: []Key{
		{Name: "dihedral", Want: Angle, Doc: "the angle between the two panels, measured inside; above 180° the corner is hollow"},
		{Name: "sides", Want: Count, Doc: "how many equal panels stand round an open shell"},
		{Name: "slope", Want: Angle, Doc: "how far the panel leans, counted from the horizontal: 90° is upright, 0° flat"},
		{Name: "other", Want: Angle, Doc: "the slope of the panel that this one meets"},
		{Name: "corner", Want: Angle, Doc: "the angle between the lower edges of the two panels in plan, measured inside; above 180° the corner is hollow"},
		{Name: "material", Want: AMaterial, Doc: "the sheet that is cut: gives run and width of the cut"},
		{Name: "thickness", Want: Length, Doc: "in place of a material"},
		{Name: "saw", Want: ATool, Doc: "the tool that is to cut it: minds its tilt and height"},
	},
	Work: workBevel,
}

const (
	// KeysClash is the fault of keys that answer the same question twice.
	KeysClash = "keys-clash"
	// BeyondSaw is the finding of a cut that the tool cannot reach.
	BeyondSaw = "beyond-saw"
)

// ways are the ways to say what a corner is. A block takes exactly one.
var ways = []struct {
	keys []string
	work func(*Bench) joint
}{
	{[]string{"dihedral"}, fromDihedral},
	{[]string{"sides", "slope"}, fromSides},
	{[]string{"slope", "other", "corner"}, fromSlopes},
}

// joint is a corner of two panels, each cut by half the turn from one to the next. Radians.
type joint struct {
	tilt float64 // β, the cut from square: above 0 the back face is the smaller one
	// tiltHow and dihedralHow show how the two angles come about, with names and with numbers.
	tiltHow, dihedralHow [2]string
	mitres               []mitre
}

// mitre is how far the seam leans, in the plane of a panel, from the line square to the panel's
// lower edge. Above 0 the panel narrows upwards.
type mitre struct {
	name  string
	angle float64
	how   [2]string
}

func (j joint) dihedral() float64 { return math.Pi - 2*j.tilt }

func workBevel(b *Bench) {
	j := b.way()(b)
	b.sane(j.tilt, b.Where("dihedral"))
	b.Give("dihedral", eval.Num(j.dihedral(), unit.Angle), j.dihedralHow[0], j.dihedralHow[1])
	b.Give("tilt", eval.Num(j.tilt, unit.Angle), j.tiltHow[0], j.tiltHow[1])
	for _, m := range j.mitres {
		b.Give(m.name, eval.Num(m.angle, unit.Angle), m.how[0], m.how[1])
	}
	corner := []string{"dihedral", "sides", "slope", "other", "corner"}
	b.From(corner, "dihedral", "tilt", "mitre", "other_mitre")
	cut := bevelCut{joint: j}
	if cut.thickness = b.bevelThickness(); cut.thickness > 0 {
		// Run r = t·tan β and cut width w = t/cos β: plane trigonometry of the section.
		cut.inset, cut.width = cut.thickness*math.Tan(j.tilt), cut.thickness/math.Cos(j.tilt)
		t := b.mm(cut.thickness)
		b.Give("run", eval.Num(cut.inset, unit.Length), "thickness · tan(tilt)", t+" · tan("+b.deg(j.tilt)+")")
		b.Give("cut_width", eval.Num(cut.width, unit.Length), "thickness / cos(tilt)", t+" / cos("+b.deg(j.tilt)+")")
	}
	b.From(append(corner, "material", "thickness"), "run", "cut_width")
	b.Give("long_face", eval.Text(longFace(j.tilt)), "", "")
	b.mindTilt(j.tilt)
	b.mindHeight(cut.width, "the cut is", "Cut it with a long blade along a guide, or cut the layers one by one before they are glued")
	b.bevelFigure(cut)
	if len(j.mitres) > 0 {
		b.mitreFigure(j.mitres[0])
	}
}

// bevelCut is a joint in a sheet; thickness 0 is a sheet that nobody named.
type bevelCut struct {
	joint
	thickness, inset, width float64 // inset is the run
}

// longFace names the face on which a panel measures more.
func longFace(tilt float64) string {
	const square = 1e-9
	switch {
	case tilt > square:
		return "show"
	case tilt < -square:
		return "back"
	}
	return "both alike"
}

// way finds the one way in which the corner is given.
func (b *Bench) way() func(*Bench) joint {
	var given []string
	for _, key := range []string{"dihedral", "sides", "slope", "other", "corner"} {
		if b.Has(key) {
			given = append(given, key)
		}
	}
	var missing []string
	for _, w := range ways {
		if slices.Equal(w.keys, given) || len(given) == len(w.keys) && subset(given, w.keys) {
			return w.work
		}
		if subset(given, w.keys) {
			missing = append(missing, joined(without(w.keys, given), "and"))
		}
	}
	const help = "Give `dihedral`, or `sides` and `slope`, or `slope`, `other` and `corner`"
	switch {
	case len(given) == 0:
		b.Fail(NeedsKey, b.At, help, "%s does not say what its corner is", b.Kind.called(b.Name))
	case len(missing) > 0:
		b.Fail(NeedsKey, b.Where(given[0]), help, "with %s goes %s", joined(given, "and"), strings.Join(missing, ", or "))
	}
	b.Fail(KeysClash, b.Where(given[len(given)-1]), help+": one way only", "%s do not go together", joined(given, "and"))
	return nil
}

func subset(a, of []string) bool { return len(without(a, of)) == 0 }

func without(a, taken []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(s string) bool { return slices.Contains(taken, s) })
}

// joined writes a list as people do: "a, b and c".
func joined(words []string, and string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " " + and + " " + words[n-1]
	}
	return strings.Join(words, "")
}

// fromDihedral is a symmetric mitre: β = (180° − δ)/2. The corner is hollow, and β below zero, for δ
// above 180°.
func fromDihedral(b *Bench) joint {
	δ := b.Num("dihedral", 0)
	if !(δ > 0 && δ < 2*math.Pi) {
		b.Fail(eval.WrongValue, b.Where("dihedral"), "It is the angle inside: 90° for a square corner, 180° for a flat one, more for a hollow one",
			"a dihedral lies between 0° and 360°, and this is %s", b.deg(δ))
	}
	return joint{tilt: (math.Pi - δ) / 2, tiltHow: [2]string{"(180° − dihedral) / 2", "(180° − " + b.deg(δ) + ") / 2"}}
}

// fromSides is a shell of n equal panels, all leaning at α from the horizontal:
// sin β = sin α · sin(180°/n), tan μ = cos α · tan(180°/n), the compound-angle formulas of
// woodworking handbooks.
func fromSides(b *Bench) joint {
	n, α := b.Num("sides", 0), b.slope("slope")
	if n < 3 || n > 1000 {
		b.Fail(eval.WrongValue, b.Where("sides"), "A shell has 3 to 1000 sides", "a shell cannot have %v sides", n)
	}
	turn, a := math.Pi/n, b.deg(α)
	tilt := math.Asin(math.Sin(α) * math.Sin(turn))
	share := fmt.Sprintf("(180° / %v)", n)
	return b.withDihedral(joint{
		tilt:    tilt,
		tiltHow: [2]string{"asin(sin(slope) · sin(180° / sides))", "asin(sin(" + a + ") · sin" + share + ")"},
		mitres: []mitre{{"mitre", math.Atan(math.Cos(α) * math.Tan(turn)),
			[2]string{"atan(cos(slope) · tan(180° / sides))", "atan(cos(" + a + ") · tan" + share + ")"}}},
	})
}

func (b *Bench) withDihedral(j joint) joint {
	j.dihedralHow = [2]string{"180° − 2 · tilt", "180° − 2 · " + b.deg(j.tilt)}
	return j
}

// slope reads a slope from the horizontal.
func (b *Bench) slope(key string) float64 {
	const slack = 1e-9
	α := b.Num(key, 0)
	if α < 0 || α > math.Pi/2+slack {
		b.Fail(eval.WrongValue, b.Where(key), "Count it from the horizontal: 0° lies flat, 90° stands upright; a panel that leans out counts as one that leans in, turned over",
			"a slope lies between 0° and 90°, and this is %s", b.deg(α))
	}
	return α
}

// fromSlopes is a corner of two panels that lean inwards at α and α′ from the horizontal and whose
// lower edges meet in plan at the inside angle κ. With face normals n, n′ pointing outwards,
// n·n′ = cos α·cos α′ − sin α·sin α′·cos κ = cos 2β, or, without its loss of digits near a flat corner,
// sin² β = sin²((α − α′)/2) + sin α·sin α′·cos²(κ/2); κ above 180° makes a hollow corner, β below
// zero. For equal slopes and κ = 180°·(n − 2)/n it is the shell of n sides.
func fromSlopes(b *Bench) joint {
	α, α2, κ := b.slope("slope"), b.slope("other"), b.Num("corner", 0)
	const flat = 1e-9
	if !(κ > flat && κ < 2*math.Pi-flat) || math.Abs(κ-math.Pi) < flat {
		b.Fail(eval.WrongValue, b.Where("corner"), "Measure it inside, in plan: 90° for a square corner, above 180° for a hollow one; for panels one above the other give `dihedral`",
			"a corner lies between 0° and 360° and is not 180°, and this is %s", b.deg(κ))
	}
	if (α < flat || α2 < flat) && math.Abs(α-α2) > flat {
		b.Fail(eval.WrongValue, b.Where("other"), "Give `dihedral` for a seam that lies level", "a flat panel and a leaning one meet along the lower edge, not at a corner")
	}
	tilt := math.Asin(math.Sqrt(math.Pow(math.Sin((α-α2)/2), 2) + math.Sin(α)*math.Sin(α2)*math.Pow(math.Cos(κ/2), 2)))
	if κ > math.Pi {
		tilt = -tilt
	}
	a, a2, k := b.deg(α), b.deg(α2), b.deg(κ)
	j := joint{tilt: tilt, tiltHow: [2]string{
		"asin √(sin²((slope − other) / 2) + sin(slope) · sin(other) · cos²(corner / 2))",
		fmt.Sprintf("asin √(sin²((%s − %s) / 2) + sin(%s) · sin(%s) · cos²(%s / 2))", a, a2, a, a2, k)}}
	for _, m := range []struct {
		name, mine, its string
		α, α2           float64
	}{{"mitre", "slope", "other", α, α2}, {"other_mitre", "other", "slope", α2, α}} {
		formula := "atan((cos(%s) · cos(%s) + sin(%[1]s) / tan(%[3]s)) / sin(%[2]s))"
		j.mitres = append(j.mitres, mitre{m.name, mitreOf(m.α, m.α2, κ), [2]string{
			fmt.Sprintf(formula, m.mine, "corner", m.its), fmt.Sprintf(formula, b.deg(m.α), k, b.deg(m.α2))}})
	}
	return b.withDihedral(j)
}

// mitreOf is μ of the panel at slope α: the direction of the line in which the two planes meet, seen
// in the panel. tan μ = (sin α·cot α′ + cos α·cos κ)/sin κ; for α = α′ that is cos α·cot(κ/2).
func mitreOf(α, α2, κ float64) float64 {
	if α == α2 {
		return math.Atan(math.Cos(α) / math.Tan(κ/2))
	}
	return math.Atan((math.Sin(α)/math.Tan(α2) + math.Cos(α)*math.Cos(κ)) / math.Sin(κ))
}

// bevelThickness is the sheet's, 0 if neither material nor thickness was given.
func (b *Bench) bevelThickness() float64 {
	if b.Has("material") && b.Has("thickness") {
		b.Fail(KeysClash, b.Where("thickness"), "Keep one of them", "material and thickness both say how thick the sheet is")
	}
	if r := b.Record("material"); r != nil {
		t, _ := r.Number("thickness")
		return b.thick("material", t)
	}
	if b.Has("thickness") {
		return b.thick("thickness", b.Num("thickness", 0))
	}
	return 0
}

// sawLimit is a limit of the tool that the block names, false if it names none or the tool is a
// knife, which a hand holds at any angle.
func (b *Bench) sawLimit(name string) (float64, string, bool) {
	saw := b.Record("saw")
	if saw == nil {
		return 0, "", false
	}
	if f, ok := saw.Field("use"); ok && f.Value == eval.Text("knife") {
		return 0, "", false
	}
	limit, ok := saw.Number(name)
	return limit, saw.Name, ok
}

// mindTilt tells when a cut leans more than the saw tilts.
func (b *Bench) mindTilt(tilt float64) {
	const slack = 1e-9
	most, saw, ok := b.sawLimit("tilt")
	if !ok || math.Abs(tilt) <= most+slack {
		return
	}
	help := "Cut it with a knife along a slanting guide, or clamp the piece upright in a jig and cut the complement, " +
		b.deg(math.Pi/2-math.Abs(tilt)) + ", from the other face; keep hands out of line with the blade"
	b.Note(finding.Mind, BeyondSaw, b.Where("saw"), help, "a bevel of %s is beyond the %s, which tilts to %s", b.deg(math.Abs(tilt)), saw, b.deg(most))
}

// mindHeight tells when the way through the foam, along the blade, is more than fits under the guide.
func (b *Bench) mindHeight(through float64, what, help string) {
	const slack = 1e-9
	most, saw, ok := b.sawLimit("height")
	if !ok || through <= most+slack {
		return
	}
	b.Note(finding.Mind, BeyondSaw, b.Where("saw"), help, "%s %s through, more than the %s that the %s takes", what, b.mm(through), b.mm(most), saw)
}
