package kind

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/solid"
	"bevelbook/calc/unit"
)

var dome = Kind{
	Name: "dome",
	Doc:  "a sphere or a part of one between two levels: of bent gores, or of flat panels in zones",
	Keys: slices.Concat(roundKeys, shellKeys(
		Key{Name: "gores", Want: Count, Doc: "how many equal gores go round, each bent from one piece"},
		Key{Name: "sides", Want: Count, Doc: "in place of gores: how many flat panels go round"},
		Key{Name: "zones", Want: Count, Doc: "with sides: how many rings of panels stand on each other, four if it does not say"},
		Key{Name: "from", Want: Angle, Doc: "the latitude at which it begins: 0° is the widest level, as if it does not say"},
		Key{Name: "to", Want: Angle, Doc: "the latitude at which it ends: 90° is the top, as if it does not say; less leaves a level opening"},
		Key{Name: "open", Want: Names, Doc: "with sides: panels that are left out; lid and floor if it does not say, none to close both"},
	)),
	Work: workDome,
}

func workDome(b *Bench) {
	const help = "Say `gores: 8`, or `sides: 8` with `zones: 4`"
	switch {
	case b.Has("gores") && b.Has("sides"):
		b.Fail(KeysClash, b.Where("sides"), help, "a dome has gores or flat sides, not both")
	case b.Has("gores"):
		b.workGores()
	case b.Has("sides"):
		b.workZones()
	default:
		b.Fail(NeedsKey, b.At, help, "%s does not say what it is made of", b.Kind.called(b.Name))
	}
}

// goreKeys are the keys of a dome that gores understand.
var goreKeys = []string{"gores", "outside", "inside", "girth", "ease", "from", "to", "material", "thickness", "hand", "count", "worn", "grain"}

// workGores bends a dome of gores.
func (b *Bench) workGores() {
	for _, a := range b.args {
		if key := a.Entry.Key[0].Text; !slices.Contains(goreKeys, key) {
			b.Fail(KeysClash, a.Entry.Key[0].At, "Take it out, or make the dome of flat `sides`", "%s goes with sides, not with gores", a.Entry.Name())
		}
	}
	s := b.bentSheet()
	radius := b.round(s)
	from, to := b.latitudes()
	g := roll.Gore{Radius: radius, N: b.counted("gores", 0, 3, mostGores), From: from, To: to}
	flat := b.unrolled(g.Flat())
	p := b.flatPart(b.Name, flat, s, g.N)
	b.Give("meridian", eval.Num(g.Meridian(), unit.Length), "r · (to − from), r on the neutral line", b.mm(radius)+" · ("+b.deg(to)+" − "+b.deg(from)+")")
	b.Give("seam", eval.Num(edgeOf(&p, "right").Length, unit.Length), "", "")
	b.Give("rise", eval.Num(radius*(math.Sin(to)-math.Sin(from)), unit.Length), "r · (sin(to) − sin(from))", b.mm(radius)+" · (sin("+b.deg(to)+") − sin("+b.deg(from)+"))")
	b.join(rolledSeam{a: &p, b: &p, edgeA: "right", edgeB: "left", glue: s.Thickness, dihedral: math.Pi, times: g.N})
	b.Table(b.goreTable(g))
	b.flats([]part.Part{p})
	b.flatFigure([]part.Part{p})
	b.standFigure(domeStanding(g, b.Out.Seams[0].Letter))
}

// Bounds of a dome: more than anyone glues.
const (
	mostGores = 72
	mostZones = 16
)

// workZones builds a dome of flat panels, each zone a ring of them. Measured outside, the corners of the
// show face lie on the sphere; measured inside, no panel stands nearer to the middle than the sphere.
func (b *Bench) workZones() {
	layers := b.panelLayers()
	n := b.counted("sides", 0, 3, 2*mostZones)
	zones := b.counted("zones", 4, 1, mostZones)
	from, to := b.latitudes()
	lat := make([]float64, zones+1)
	for i := range lat {
		lat[i] = from + (to-from)*float64(i)/float64(zones)
	}
	key, v := b.roundKey()
	r := v / 2
	if key == "girth" {
		r = v/(2*math.Pi) + b.Num("ease", 0)
	}
	if key != "outside" {
		r /= solid.ZoneRoom(n, lat)
	}
	b.within(key, r)
	s := solid.Zones(n, r, lat)
	s.Inside = key != "outside"
	b.walled(s, layers, solid.Floor, solid.Lid)
	b.Give("through_corners", eval.Num(2*r, unit.Length), "", "")
	b.Give("rise", eval.Num(r*(math.Sin(to)-math.Sin(from)), unit.Length), "r · (sin(to) − sin(from))", b.mm(r)+" · (sin("+b.deg(to)+") − sin("+b.deg(from)+"))")
	b.shell(shellWork{shell: s, layers: layers, family: zoneFamily})
}

// zoneFamily is the zone of a panel: all of one zone are alike.
func zoneFamily(face string) string {
	zone, _, panel := strings.Cut(face, "_")
	if !panel {
		return ""
	}
	return zone
}

// latitudes reads where a dome begins and ends.
func (b *Bench) latitudes() (from, to float64) {
	const least = 1e-3
	from, to = b.Num("from", 0), b.Num("to", math.Pi/2)
	for key, v := range map[string]float64{"from": from, "to": to} {
		if !(math.Abs(v) <= math.Pi/2+1e-9) {
			b.Fail(eval.WrongValue, b.Where(key), "0° is the widest level, 90° the top, −90° the bottom", "a sphere has no latitude of %s", b.deg(v))
		}
	}
	if !(to-from > least) {
		b.Fail(eval.WrongValue, b.Where("to"), "Give `to` a higher latitude than `from`", "nothing lies between %s and %s", b.deg(from), b.deg(to))
	}
	return from, math.Min(to, math.Pi/2)
}

// goreTable sets a gore out by hand: half-widths at equal steps along the middle.
func (b *Bench) goreTable(g roll.Gore) Table {
	const steps = 8
	t := Table{Title: "Half-widths, from the bottom up", Head: []string{"latitude", "along the middle", "to each side"}}
	for i := range steps + 1 {
		φ := g.From + (g.To-g.From)*float64(i)/steps
		t.Rows = append(t.Rows, []string{b.deg(φ), b.mm(g.Radius * (φ - g.From)), b.mm(g.HalfWidth(φ))})
	}
	return t
}

// domeStanding sets the dome up; every gore has the same seam, lettered once.
func domeStanding(g roll.Gore, letter string) standing {
	const levels = 14
	s := standing{view: -math.Pi / 5 / float64(max(1, g.N/6)), convex: true, facet: max(1, stepsRound/2/g.N)}
	at := func(φ, turn float64) r3.Vec {
		sin, cos := math.Sincos(φ)
		st, ct := math.Sincos(turn)
		return r3.Scale(g.Radius, r3.Vec{X: cos * ct, Y: cos * st, Z: sin})
	}
	for i := range levels + 1 {
		var r ring
		for k := range g.N * s.facet {
			r = append(r, at(g.From+(g.To-g.From)*float64(i)/levels, 2*math.Pi*float64(k)/float64(g.N*s.facet)))
		}
		s.rings = append(s.rings, r)
	}
	for k := range g.N {
		l := seamLine{}
		if k == 0 {
			l.letter = letter
		}
		for i := range levels + 1 {
			p := at(g.From+(g.To-g.From)*float64(i)/levels, 2*math.Pi*float64(k)/float64(g.N))
			l.at, l.out = append(l.at, p), append(l.out, p)
		}
		s.seams = append(s.seams, l)
	}
	return s
}
