package kind

import (
	"math"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
	"bevelbook/calc/unit"
)

var ringKind = Kind{
	Name: "ring",
	Doc:  "a regular n-sided ring, frustum or pyramid: panels, bevels and seams, its floor and lid left open",
	Keys: shellKeys(
		Key{Name: "sides", Want: Count, Required: true, Doc: "how many panels stand round it"},
		Key{Name: "side", Want: Length, Doc: "the width of one side at the bottom"},
		Key{Name: "flats", Want: Length, Doc: "across the flats at the bottom, in place of the side"},
		Key{Name: "corners", Want: Length, Doc: "across the corners at the bottom, in place of the side"},
		Key{Name: "girth", Want: Length, Doc: "the girth of what it goes around at the bottom, taken as round, in place of the side"},
		Key{Name: "ease", Want: Length, Doc: "with a girth: the room between it and the inner faces"},
		Key{Name: "top", Want: Length, Doc: "the same measure at the top; as at the bottom if it does not say, 0 for a point"},
		Key{Name: "slope", Want: Angle, Doc: "in place of the top: how the sides lean, counted from the horizontal; above 90 deg they lean outwards"},
		Key{Name: "height", Want: Length, Doc: "upright"},
		Key{Name: "slant", Want: Length, Doc: "in place of the height: along the middle of a side"},
		Key{Name: "sizes", Want: Word, Words: []string{"outside", "inside"}, Doc: "which side of the walls the sizes are; a girth is inside"},
		Key{Name: "open", Want: Names, Doc: "panels that are left out, as in lid, floor, side4; lid and floor if it does not say, none to close both"},
	),
	Work: workRing,
}

// mostSides bounds what one ring is made of.
const mostSides = 120

// ringMeasures are the ways to say how wide a ring is, each with the distance of a corner from the axis.
var ringMeasures = []struct {
	key    string
	corner func(n int, v float64) float64
}{
	{"side", shape.CircumradiusFromSide},
	{"flats", shape.FromAcrossFlats},
	{"corners", shape.FromAcrossCorners},
	{"girth", func(n int, v float64) float64 { return v / (2 * math.Pi) / math.Cos(math.Pi/float64(n)) }},
}

func workRing(b *Bench) {
	layers := b.panelLayers()
	n := b.counted("sides", 0, 3, mostSides)
	bottom, top, height := b.ringSizes(n)
	s := solid.Ring(n, bottom, top, height)
	s.Inside = b.Word("sizes", "outside") == "inside" || b.Has("girth")
	b.walled(s, layers, solid.Lid, solid.Floor)
	b.ringAngles(n, bottom, top, height)
	b.shell(shellWork{shell: s, layers: layers, family: ringFamily})
}

func ringFamily(face string) string {
	if strings.HasPrefix(face, "side") {
		return "side"
	}
	return ""
}

// ringSizes reads how far corners stand from the axis below and above, and how high the ring is.
func (b *Bench) ringSizes(n int) (bottom, top, height float64) {
	var given []int
	for i, m := range ringMeasures {
		if b.Has(m.key) {
			given = append(given, i)
		}
	}
	const help = "Say `side: 90 mm`, or `flats: 220 mm`, `corners: 240 mm`, or `girth: wearer.forearm_girth` with `ease: 15 mm`"
	switch {
	case len(given) == 0:
		b.Fail(NeedsKey, b.At, help, "%s does not say how wide it is", b.Kind.called(b.Name))
	case len(given) > 1:
		b.Fail(KeysClash, b.Where(ringMeasures[given[1]].key), help+": one of them", "%s and %s both say how wide it is", ringMeasures[given[0]].key, ringMeasures[given[1]].key)
	}
	m := ringMeasures[given[0]]
	ease := b.Num("ease", 0) / math.Cos(math.Pi/float64(n))
	if b.Has("ease") && m.key != "girth" {
		b.Fail(KeysClash, b.Where("ease"), "Add it to the size", "ease goes with a girth, not with %s", m.key)
	}
	if m.key == "girth" && b.Word("sizes", "inside") == "outside" {
		b.Fail(KeysClash, b.Where("sizes"), "Leave it out: what a ring goes around is inside", "a girth is not measured outside")
	}
	bottom = m.corner(n, b.above(m.key)) + ease
	in := math.Cos(math.Pi / float64(n)) // the middle of a side, as a share of the corner's distance
	top = bottom
	switch {
	case b.Has("top") && b.Has("slope"):
		b.Fail(KeysClash, b.Where("slope"), "Keep one of them", "top and slope both say how the sides lean")
	case b.Has("height") == b.Has("slant"):
		b.Fail(NeedsKey, b.At, "Say `height: 120 mm`, or `slant: 130 mm` along a side", "%s needs either a height or a slant", b.Kind.called(b.Name))
	case b.Has("top"):
		if top = b.Num("top", 0); top > 0 {
			b.within("top", top)
			top = m.corner(n, top) + ease
		}
	case b.Has("slope"):
		return b.ringSlope(bottom, in)
	}
	if b.Has("height") {
		return bottom, top, b.above("height")
	}
	slant, across := b.above("slant"), (bottom-top)*in
	if !(slant > math.Abs(across)) {
		b.Fail(eval.WrongValue, b.Where("slant"), "Make it longer, or bottom and top more alike", "a slant of %s does not reach from bottom to top, %s apart in plan", b.mm(slant), b.mm(math.Abs(across)))
	}
	return bottom, top, math.Sqrt(slant*slant - across*across)
}

// ringSlope works the top out from the slope of the sides.
func (b *Bench) ringSlope(bottom, in float64) (_, top, height float64) {
	slope := b.Num("slope", 0)
	if !(slope > 0.5*math.Pi/180 && slope < 179.5*math.Pi/180) {
		b.Fail(eval.WrongValue, b.Where("slope"), "90 deg is upright; less leans inwards, more outwards", "sides cannot lean by %s", b.deg(slope))
	}
	if b.Has("slant") {
		height = b.above("slant") * math.Sin(slope)
	} else {
		height = b.above("height")
	}
	across := height * math.Cos(slope) / math.Sin(slope)
	top = bottom - across/in
	switch {
	case top < -1e-6:
		b.Fail(eval.WrongValue, b.Where("slope"), "Make it lower or steeper", "the sides of %s meet at a height of %s, below its top", b.Name, b.mm(bottom*in*math.Tan(slope)))
	case top < 1e-6:
		top = 0
	}
	return bottom, top, height
}

// ringAngles gives what the bench sets: slope, tilt and mitre of the sides.
func (b *Bench) ringAngles(n int, bottom, top, height float64) {
	in := math.Cos(math.Pi / float64(n))
	slope := math.Atan2(height, (bottom-top)*in)
	turn := math.Pi / float64(n)
	each := b.deg(turn)
	b.Give("slope", eval.Num(slope, unit.Angle), "atan2(height, bottom − top across the flats / 2)", "")
	b.Give("tilt", eval.Num(math.Asin(math.Sin(slope)*math.Sin(turn)), unit.Angle), "asin(sin(slope) · sin(180° / sides))", "asin(sin("+b.deg(slope)+") · sin("+each+"))")
	b.Give("mitre", eval.Num(math.Atan(math.Cos(slope)*math.Tan(turn)), unit.Angle), "atan(cos(slope) · tan(180° / sides))", "atan(cos("+b.deg(slope)+") · tan("+each+"))")
}
