package kind

import (
	"fmt"
	"math"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/unit"
)

// sizesKey says which face of a rolled sheet was measured.
var sizesKey = Key{Name: "sizes", Want: Word, Words: []string{"outside", "inside", "neutral"}, Doc: "the face of the sheet on which its sizes are measured, the outside if it does not say"}

var cone = Kind{
	Name: "cone",
	Doc:  "a cone, or one cut off level, rolled from flat sheet",
	Keys: rolledKeys([]Key{
		{Name: "bottom", Want: Length, Required: true, Doc: "the diameter at the bottom"},
		{Name: "top", Want: Length, Doc: "the diameter at the top; 0 closes it to a point"},
		{Name: "height", Want: Length, Required: true, Doc: "between the two rims"},
		sizesKey,
		{Name: "ends", Want: Word, Words: []string{"square", "level"}, Doc: "how the rims are cut, square to the sheet if it does not say; level rims stand flat"},
		{Name: "pieces", Want: Count, Doc: "how many equal pieces go round, one if it does not say"},
		tabKey,
	}),
	Work: workCone,
}

func workCone(b *Bench) {
	s := b.bentSheet()
	given := roll.Cone{Low: b.Num("bottom", 0) / 2, High: b.Num("top", 0) / 2, Height: b.above("height")}
	b.within("bottom", 2*given.Low)
	b.within("top", 2*given.High)
	if given.Low == 0 && given.High == 0 {
		b.Fail(eval.WrongValue, b.Where("bottom"), "Give one of its ends a diameter", "a cone with no width at either end cannot be made")
	}
	level := b.Word("ends", "square") == "level"
	if level {
		b.sane(math.Pi/2-given.Lean(), b.Where("height"))
	}
	c := b.neutralCone(given, s, level)
	b.coneResults(c, s)
	n := b.counted("pieces", 1, 1, mostPieces)
	b.saneTab()
	p := b.flatPart(b.Name, b.unrolled(c.Flat(n)), s, n)
	if level {
		b.levelled(&p, c.Lean())
	}
	b.tabbed(&p)
	b.closing(&p, &p, s, n)
	b.flats([]part.Part{p})
	b.flatFigure([]part.Part{p})
	b.standFigure(coneStanding(c, lettersOf(b.Out.Seams, n)))
}

// neutralCone is the neutral surface under the show face. The wall leans by λ from the horizontal, so
// a layer that lies d below the show face, square to it, is narrower by d·sin λ in radius; between
// two level rims the faces differ by t/sin λ instead. A closed end stays closed.
func (b *Bench) neutralCone(given roll.Cone, s bentSheet, level bool) roll.Cone {
	lean := given.Lean()
	sin := math.Sin(lean)
	depth := map[string]float64{"outside": 0, "inside": s.Thickness, "neutral": s.Outer()}[b.Word("sizes", "outside")]
	out := depth*sin - s.Outer()*sin
	if level {
		out = depth/sin - s.Outer()*sin
	}
	c := roll.Cone{Low: given.Low + out, High: given.High + out, Height: given.Height}
	switch {
	case given.High == 0:
		c.High, c.Height = 0, c.Low*math.Tan(lean)
	case given.Low == 0:
		c.Low, c.Height = 0, -c.High*math.Tan(lean)
	}
	for key, end := range map[string][2]float64{"bottom": {given.Low, c.Low}, "top": {given.High, c.High}} {
		if end[0] > 0 && !(end[1]-s.Inner()*sin > 0) {
			b.Fail(eval.WrongValue, b.Where(key), "Make it wider, use a thinner sheet, or let it close to a point with 0 mm",
				"a wall of %s closes the %s of %s", b.mm(s.Thickness), key, b.mm(2*end[0]))
		}
	}
	return c
}

// coneResults gives the numbers of the radial-line development.
func (b *Bench) coneResults(c roll.Cone, s bentSheet) {
	low, high := b.mm(c.Low), b.mm(c.High)
	b.Give("slant", eval.Num(c.Slant(), unit.Length), "√(height² + (R − r)²), R and r on the neutral line", fmt.Sprintf("√(%s² + (%s − %s)²)", b.mm(c.Height), low, high))
	b.Give("sector", eval.Num(math.Abs(c.Sector()), unit.Angle), "360° · |R − r| / slant", fmt.Sprintf("360° · |%s − %s| / %s", low, high, b.mm(c.Slant())))
	if outer, inner := c.Radii(); outer <= roll.Largest { // beyond, the arcs are as good as straight
		b.Give("outer_radius", eval.Num(outer, unit.Length), "slant · R / |R − r|", fmt.Sprintf("%s · %s / |%s − %s|", b.mm(c.Slant()), b.mm(math.Max(c.Low, c.High)), low, high))
		b.Give("inner_radius", eval.Num(inner, unit.Length), "outer_radius − slant", b.mm(outer)+" − "+b.mm(c.Slant()))
	}
	b.Give("lean", eval.Num(c.Lean(), unit.Angle), "", "")
	// A cone bends to the radius r/sin λ, square to its wall.
	narrow, key := c.High, "top"
	if c.Low < c.High {
		narrow, key = c.Low, "bottom"
	}
	if narrow > 0 {
		b.mindBend(s, narrow/math.Sin(c.Lean())-s.Inner(), key, "the "+key+" of "+b.Name)
		return
	}
	tight := (s.bend + s.Inner()) * math.Abs(math.Tan(c.Lean())) // from the tip, along the wall
	if tight >= c.Slant() {
		b.mindBend(s, math.Max(c.Low, c.High)/math.Sin(c.Lean())-s.Inner(), key, "all of "+b.Name)
		return
	}
	b.Note(finding.Note, TightBend, b.Where(key), "Score the inside of the tip or make it from a solid piece; or try an offcut and write what it takes as `bend` of the material",
		"the last %s to the tip of %s bend tighter than the sheet takes", b.mm(tight), b.Name)
}

// levelled cuts the rims so that both lie level: the bevels are what the wall lacks to upright.
func (b *Bench) levelled(p *part.Part, lean float64) {
	bevels := make([]float64, len(p.Show.Edges))
	for i, e := range p.Show.Edges {
		switch e.Name {
		case "bottom":
			bevels[i] = math.Pi/2 - lean
		case "top":
			bevels[i] = lean - math.Pi/2
		}
	}
	b.bevelled(p, bevels)
}
