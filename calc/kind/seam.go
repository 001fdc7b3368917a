package kind

import (
	"math"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/unit"
)

var seam = Kind{
	Name: "seam",
	Doc:  "two edges that meet, of any parts: how their lengths and bevels go together, and the glue area",
	Keys: []Key{
		{Name: "edges", Want: AList, Required: true, Doc: "the two edges, as in cheek.edge.left, roof.side.edge.right"},
		{Name: "dihedral", Want: Angle, Doc: "the angle between the two panels, measured inside; above 180 deg the corner is hollow"},
		{Name: "butt", Want: Truth, Doc: "yes if the first panel runs through and the second stands against it: the bevels need not share the angle"},
		{Name: "order", Want: Count, Doc: "when it is glued: 1 is first"},
	},
	Work: workSeam,
}

func workSeam(b *Bench) {
	items := b.Items("edges")
	if len(items) != 2 {
		b.Fail(eval.WrongValue, b.Where("edges"), "Write two edges, as in cheek.edge.left, roof.side.edge.right", "a seam joins two edges, not %d", len(items))
	}
	s := part.Seam{A: b.seamSide(items[0]), B: b.seamSide(items[1]), Butt: b.Yes("butt"), Order: int(b.Num("order", 0)), At: b.At}
	length := func(name string, v float64, formula, numbers string) {
		b.Give(name, eval.Num(v, unit.Length), formula, numbers)
	}
	length("length", min(s.A.Length, s.B.Length), "the shorter of the two", b.mm(s.A.Length)+" and "+b.mm(s.B.Length))
	length("difference", math.Abs(s.A.Length-s.B.Length), "of the show edges", "")
	length("back_difference", math.Abs(s.A.BackLength-s.B.BackLength), "of the back edges", "")
	sum := s.A.Bevel + s.B.Bevel
	b.Give("bevels", eval.Num(sum, unit.Angle), "sum of the two bevels", b.deg(s.A.Bevel)+" + "+b.deg(s.B.Bevel))
	if b.Has("dihedral") {
		s.Dihedral = b.Num("dihedral", 0)
		if !(s.Dihedral > 0 && s.Dihedral < 2*math.Pi) {
			b.Fail(eval.WrongValue, b.Where("dihedral"), "180 deg is flat, less a ridge, more a hollow", "two panels cannot meet at %s", b.deg(s.Dihedral))
		}
		b.Give("lacking", eval.Num(math.Pi-s.Dihedral-sum, unit.Angle), "180° − dihedral − bevels", "180° − "+b.deg(s.Dihedral)+" − "+b.deg(sum))
	} else if !s.Butt {
		b.Give("closes_to", eval.Num(math.Pi-sum, unit.Angle), "180° − bevels", "180° − "+b.deg(sum))
	}
	area := func(side part.Side) float64 { return (side.Length + side.BackLength) / 2 * side.CutWidth }
	s.GlueArea = min(area(s.A), area(s.B))
	if s.Butt {
		s.GlueArea = area(s.B)
	}
	b.Give("glue_area", eval.Num(s.GlueArea, unit.Area), "mean length · cut width, of the smaller cut", "")
	if s.Order > 0 {
		b.Quiet("order", eval.Num(float64(s.Order), unit.None))
	}
	b.Out.Seams = append(b.Out.Seams, s)
}

// seamSide reads an edge that a part's record gave.
func (b *Bench) seamSide(v eval.Value) part.Side {
	r, ok := v.(*eval.Record)
	if !ok || r.Kind != "edge" {
		b.Fail(eval.WrongValue, b.Where("edges"), "Write an edge of a part, as in cheek.edge.left or roof.side.edge.right", "a seam joins edges, and this is %s", v.Type())
	}
	var s part.Side
	s.Edge = r.Name
	if f, ok := r.Field("of"); ok {
		name, _ := f.Value.(eval.Text)
		s.Part = string(name)
	}
	s.Length, _ = r.Number("length")
	s.BackLength, _ = r.Number("back_length")
	s.Bevel, _ = r.Number("bevel")
	s.CutWidth, _ = r.Number("cut_width")
	return s
}
