package kind

import (
	"bevelbook/calc/eval"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

var material = Kind{
	Name: "material",
	Doc:  "a sheet good, or a glue, primer or paint",
	Keys: []Key{
		{Name: "thickness", Want: Length, Doc: "of the sheet"},
		{Name: "sheet", Want: Place, Doc: "width and height of a whole sheet, as in (1000 mm, 500 mm)"},
		{Name: "density", Want: Density, Doc: "mass for a volume, as in 100 kg/m^3"},
		{Name: "price", Want: Money, Doc: "of one sheet, or of one pack"},
		{Name: "turns", Want: Word, Words: []string{"any", "quarter", "none"}, Doc: "how parts may be turned on the sheet"},
		{Name: "grain", Want: Word, Words: []string{"width", "height"}, Doc: "which side of the sheet its grain or texture runs along"},
		{Name: "offcuts", Want: AList, Doc: "what is left of sheets and used up first, as in (420 mm, 300 mm), 2 x (500 mm, 120 mm)"},
		{Name: "k", Want: Number, Doc: "where the neutral line lies in a bend, from the inside, as a share of the thickness; 0.5 is the middle"},
		{Name: "bend", Want: Length, Doc: "the least radius inside to which it can be bent; twice its thickness if it does not say"},
		{Name: "use", Want: Word, Words: []string{"sheet", "glue", "primer", "paint"}, Doc: "what it is"},
		{Name: "coverage", Want: Coverage, Doc: "how far it goes, as in 6 m^2/l"},
		{Name: "coats", Want: Count, Doc: "how many coats it takes"},
		{Name: "open", Want: Time, Doc: "how long glue may stand before the parts meet"},
		{Name: "cure", Want: Time, Doc: "until it bears load, or the next coat"},
		{Name: "pack", Want: Volume, Doc: "how much one pack holds"},
		{Name: "covers", Want: Names, Doc: "the sections that a glue, primer or paint is for; all if left out"},
		{Name: "share", Want: Number, Doc: "how much of their show faces a primer or paint goes on, as in 40 %; all if left out"},
		{Name: "spare", Want: Number, Doc: "how much more to buy than is worked out, as in 10 %"},
	},
	Work: workMaterial,
}

func workMaterial(b *Bench) {
	b.copyKeys()
	if !b.Has("use") {
		b.Quiet("use", eval.Text("sheet"))
	}
	if !b.Has("turns") {
		b.Quiet("turns", eval.Text("any"))
	}
	if b.Word("use", "sheet") == "sheet" && !b.Has("thickness") {
		b.Fail(NeedsKey, b.At, "Add a line `thickness: 10 mm`; for a liquid say `use: glue`, primer or paint", "the material %s needs thickness", b.Name)
	}
	if b.Has("sheet") {
		s := b.Items("sheet")[0].(eval.Point)
		if s.X <= 0 || s.Y <= 0 {
			b.Fail(eval.WrongValue, b.Where("sheet"), "Write its width and height, as in (1000 mm, 500 mm)", "a sheet has two sizes above zero")
		}
		b.Give("sheet_area", eval.Num(s.X*s.Y, unit.Area), "width · height", b.mm(s.X)+" · "+b.mm(s.Y))
	}
	for _, v := range b.Items("offcuts") {
		if p, ok := v.(eval.Point); !ok || p.X <= 0 || p.Y <= 0 {
			b.Fail(eval.WrongValue, b.Where("offcuts"), "Write width and height of each, as in (420 mm, 300 mm), 2 x (500 mm, 120 mm)", "an offcut has two sizes above zero")
		}
	}
	b.share("share", 1)
	b.share("spare", 10)
	t, d := b.Num("thickness", 0), b.Num("density", 0)
	if t > 0 && d > 0 {
		b.Give("weight_per_area", eval.Num(t*d, unit.Dim{Mass: 1, Length: -2}), "thickness · density",
			b.mm(t)+" · "+eval.Num(d, unit.Dim{Mass: 1, Length: -3}).Show(b.Style))
	}
}

// share refuses a share below zero or past the most.
func (b *Bench) share(key string, most float64) {
	if v := b.Num(key, 0); v < 0 || v > most {
		b.Fail(eval.WrongValue, b.Where(key), "Write it in per cent, as in 15 %", "%s is from 0 to %g %%", key, 100*most)
	}
}

// copyKeys gives each key's value as a result of the same name, bare words as texts. Coverages show
// as area for volume, which the quantity alone would write as one over a length.
func (b *Bench) copyKeys() {
	for _, a := range b.args {
		v := a.Value
		key, _, _ := b.Kind.key(a.Entry)
		switch {
		case key.Want == Names:
			v = namesOf(a.Words)
		case len(a.Words) > 0:
			v = eval.Text(a.Words[0].Text)
		}
		if key.Want == Coverage {
			q := v.(eval.Quantity)
			q.As = coverageUnits[b.Style.Imperial]
			v = q
		}
		b.Out.Record.Fields = append(b.Out.Record.Fields, eval.Result{Name: a.Entry.Name(), Value: v, Privacy: a.Privacy})
	}
}

// namesOf is bare names as a list of texts.
func namesOf(words []syntax.Ident) eval.List {
	var list eval.List
	for _, w := range words {
		list = append(list, eval.Text(w.Text))
	}
	return list
}

// coverageUnits are the units in which coverage is shown: metric, and imperial under true.
var coverageUnits = func() map[bool]*unit.Unit {
	units := map[bool]*unit.Unit{}
	for imperial, name := range map[bool]string{false: "m^2/l", true: "ft^2/gal"} {
		u, err := unit.Parse(name)
		if err != nil {
			panic(err) // a slip in this line, found by any test
		}
		units[imperial] = &u
	}
	return units
}()

var tool = Kind{
	Name: "tool",
	Doc:  "a saw or blade: how far it tilts, how thick it cuts, what it needs to be held by",
	Keys: []Key{
		{Name: "tilt", Want: Angle, Doc: "the greatest tilt"},
		{Name: "height", Want: Length, Doc: "the greatest thickness under the guide"},
		{Name: "kerf", Want: Length, Doc: "the width of the cut"},
		{Name: "hold", Want: Length, Doc: "the least length to hold a piece by hand; defer to the tool's manual"},
		{Name: "use", Want: Word, Words: []string{"saw", "knife"}, Doc: "a saw has limits that the checks hold parts to"},
	},
	Work: func(b *Bench) {
		b.copyKeys()
		if !b.Has("use") {
			b.Quiet("use", eval.Text("saw"))
		}
	},
}

var limits = Kind{
	Name: "limits",
	Doc:  "what the checks hold the build to",
	Keys: []Key{
		{Name: "worn_wall", Want: Length, Doc: "the thickest wall that faces the body"},
		{Name: "ease", Want: Length, Doc: "the room between the body and the inside"},
		{Name: "weight", Want: Mass, Doc: "the greatest weight that is worn"},
		{Name: "door", Want: Length, Doc: "the narrowest door on the way"},
		{Name: "seam_gap", Want: Length, Doc: "how far two edges of a seam may differ"},
	},
	Work: func(b *Bench) { b.copyKeys() },
}
