package kind

import (
	"math"

	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
)

// Sheets asks for parts to be laid on their sheets; whoever shows the journal has it worked out, for it
// takes seconds.
type Sheets struct {
	Build     bool     // over the whole build rather than the section
	Materials []string // only these; nil for all
	Kerf      float64  // mm between parts; < 0: the widest kerf of the shop's saws and knives
	Margin    float64  // mm to the rim of a sheet
	Effort    float64  // minutes to search, on a machine like that of Pace
	Seed      uint64
	Holes     bool // small parts may lie in the holes of large ones
}

var layout = Kind{
	Name:    "layout",
	Doc:     "lays parts on the sheets that they are cut from, offcuts first, and counts the sheets",
	Unbound: true,
	Keys: []Key{
		{Name: "over", Want: Word, Words: []string{"section", "build"}, Doc: "for this section, or for the whole build; the section if the page has one"},
		{Name: "of", Want: Names, Doc: "the sheet materials to lay out; all if left out"},
		{Name: "kerf", Want: Length, Doc: "the room between parts; the widest kerf of the shop's tools if left out"},
		{Name: "margin", Want: Length, Doc: "the room to the rim of the sheet; 5 mm if left out"},
		{Name: "holes", Want: Truth, Doc: "no keeps small parts out of the holes of large ones"},
		{Name: "effort", Want: Time, Doc: "how long to search for a better one, up to 5 min; 4 s if left out"},
		{Name: "seed", Want: Count, Doc: "another number tries another way"},
	},
	Work: workLayout,
}

// The bounds and defaults of a layout; common practice, no source.
const (
	mostEffort  = 5.0      // minutes
	usualEffort = 4.0 / 60 // minutes
	usualMargin = 5.0      // mm: factory edges are rarely straight and square
)

func workLayout(b *Bench) {
	if b.Num("effort", 0) > mostEffort {
		b.Fail(eval.WrongValue, b.Where("effort"), "Most layouts are as good after 30 s as they get", "a layout is searched for %s at the most", eval.Num(mostEffort, unit.Time).Show(b.Style))
	}
	s := &Sheets{
		Build: b.Word("over", "section") == "build" || b.Section == "",
		Kerf:  b.Num("kerf", -1), Margin: b.Num("margin", usualMargin), Effort: b.Num("effort", usualEffort),
		Seed: uint64(math.Max(0, b.Num("seed", 1))), Holes: !b.Has("holes") || b.Yes("holes"),
	}
	if a, ok := b.arg("of"); ok {
		for _, w := range a.Words {
			s.Materials = append(s.Materials, w.Text)
		}
	}
	b.Out.Sheets = s
}
