package kind

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
	"bevelbook/calc/unit"
)

var loft = Kind{
	Name: "loft",
	Doc:  "a shell through outlines at given heights, as many corners each: its sides, folded where they are not flat, with their bevels and seams",
	Keys: shellKeys(
		Key{Name: "station", Arg: "NAME", Want: AList, Doc: "an outline in plan, its height, and if need be how far its middle is shifted, as in rect(width: 90 mm, height: 70 mm), 0 mm, (5 mm, 0 mm); from the lowest up"},
		Key{Name: "fold", Want: Word, Words: []string{"rising", "falling"}, Doc: "how sides that are not flat are split: rising from the lower left to the upper right seen from outside, or falling"},
		Key{Name: "fold", Arg: "PANEL", Want: Word, Words: []string{"rising", "falling"}, Doc: "how one side is split"},
		Key{Name: "sizes", Want: Word, Words: []string{"outside", "inside"}, Doc: "which side of the walls the outlines are; outside if it does not say"},
		Key{Name: "open", Want: Names, Doc: "panels that are left out; lid and floor if it does not say, none to close both"},
	),
	Work: workLoft,
}

// NotFlat is the fault of a side whose corners do not lie in one plane.
const NotFlat = "not-flat"

// mostCorners bounds a station, mostStations a loft.
const (
	mostCorners  = 120
	mostStations = 40
)

// station is one outline of a loft.
type station struct {
	name string
	ring []r3.Vec
}

func workLoft(b *Bench) {
	layers := b.panelLayers()
	stations, sides := b.stations()
	rings := make([][]r3.Vec, len(stations))
	for i, st := range stations {
		rings[i] = st.ring
	}
	name := func(level, edge int) string {
		if len(stations) == 2 {
			return sides[edge]
		}
		return stations[level].name + "_" + sides[edge]
	}
	folds := b.folds(len(stations)-1, len(sides), name)
	// With a fold for all, only those that are not flat are split.
	_, twists := solid.Loft(rings, sides, name, func(face string) solid.Fold { return folds[face] }, solid.Flat)
	if b.Has("fold") {
		for _, t := range twists {
			folds[t.Face] = foldWords[b.Word("fold", "")]
		}
		twists = nil
	}
	b.twisted(twists)
	s, _ := solid.Loft(rings, sides, name, func(face string) solid.Fold { return folds[face] }, solid.Flat)
	s.Inside = b.Word("sizes", "outside") == "inside"
	b.walled(s, layers, solid.Lid, solid.Floor)
	made := b.shell(shellWork{shell: s, layers: layers, family: func(face string) string { return loftFamily(face, sides) }})
	b.foldAngles(made)
}

var foldWords = map[string]solid.Fold{"rising": solid.Rising, "falling": solid.Falling}

// loftFamily takes the numbered sides of one level together: those of a regular outline.
func loftFamily(face string, sides []string) string {
	for _, s := range sides {
		level, ok := strings.CutSuffix(face, s)
		if ok && strings.HasPrefix(s, "side") && (level == "" || strings.HasSuffix(level, "_")) {
			return level + "side"
		}
	}
	return ""
}

// stations reads the outlines from the lowest up, and the names of the sides.
func (b *Bench) stations() (list []station, sides []string) {
	height := 0.0
	for _, e := range b.Each("station") {
		at := e.Arg.Entry.Value.Span()
		o, z, shift := b.station(e)
		corners := o.Corners()
		switch {
		case len(list) == 0:
			sides = sideNames(o)
		case len(corners) != len(list[0].ring):
			b.Fail(eval.BadShape, at, "Give all stations as many corners; a corner on a straight edge counts too",
				"station %s has %d corners, station %s %d", e.Name, len(corners), list[0].name, len(list[0].ring))
		case z < height:
			b.Fail(eval.BadShape, at, "Write the stations from the lowest up", "station %s stands at %s, below the one before it", e.Name, b.mm(z))
		}
		height = z
		box := o.Bounds()
		mid := r2.Scale(0.5, r2.Add(box.Min, box.Max))
		st := station{name: e.Name}
		for _, c := range corners {
			p := r2.Add(r2.Sub(c, mid), shift)
			st.ring = append(st.ring, r3.Vec{X: p.X, Y: p.Y, Z: z})
		}
		list = append(list, st)
	}
	if len(list) < 2 || len(list) > mostStations {
		b.Fail(NeedsKey, b.At, "Write lines like `station wrist: regular(n: 8, flats: 90 mm), 0 mm`, one for each height",
			"a loft has 2 to %d stations, and %s has %d", mostStations, b.Name, len(list))
	}
	return list, sides
}

// station reads one station: outline, height and shift.
func (b *Bench) station(e Argument) (o shape.Outline, z float64, shift r2.Vec) {
	at := e.Arg.Entry.Value.Span()
	const help = "Write an outline, a height and, if need be, a shift: rect(width: 90 mm, height: 70 mm), 240 mm, (5 mm, 0 mm)"
	bad := func(format string, args ...any) {
		b.Fail(eval.WrongValue, at, help, "station %s %s", e.Name, fmt.Sprintf(format, args...))
	}
	items, _ := e.Arg.Value.(eval.List)
	if len(items) != 2 && len(items) != 3 {
		bad("needs an outline and a height")
	}
	closed, err := eval.Closed(items[0])
	if err != nil {
		bad("begins with %s, which is no outline", items[0].Type())
	}
	if len(closed.Holes) > 0 {
		bad("has holes in its outline")
	}
	for _, edge := range closed.Edges {
		if len(edge.Segs) != 1 || edge.Segs[0].Kind != shape.Line {
			bad("has the edge %s, which is not one straight line", edge.Name)
		}
	}
	if n := len(closed.Edges); n > mostCorners {
		bad("has %d corners; the most is %d", n, mostCorners)
	}
	if why := misfits(Length, items[1]); why != "" {
		bad("needs a height behind its outline, not %s", items[1].Type())
	}
	z = items[1].(eval.Quantity).Value
	b.within("station "+e.Name, z)
	if len(items) == 3 {
		p, ok := items[2].(eval.Point)
		if !ok {
			bad("needs a point as its shift, not %s", items[2].Type())
		}
		shift = p.Vec
	}
	return closed.Outline, z, shift
}

// sideNames names the sides after the edges of the lowest outline: those of a rectangle front right back
// left, numbered ones side1, side2, …
func sideNames(o shape.Outline) []string {
	var list []string
	for i, name := range o.EdgeNames() {
		switch {
		case name == fmt.Sprintf("e%d", i+1):
			name = fmt.Sprintf("side%d", i+1)
		case name == "bottom":
			name = "front"
		case name == "top":
			name = "back"
		}
		list = append(list, name)
	}
	return list
}

// folds reads `fold PANEL`.
func (b *Bench) folds(levels, sides int, name func(level, edge int) string) map[string]solid.Fold {
	var names []string
	for level := range levels {
		for k := range sides {
			names = append(names, name(level, k))
		}
	}
	known := map[string]bool{}
	for _, n := range names {
		known[n] = true
	}
	folds := map[string]solid.Fold{}
	for _, e := range b.Each("fold") {
		if !known[e.Name] {
			b.Fail(eval.UnknownName, e.Arg.Entry.Key[1].At, nearOr(e.Name, names, "Its sides are "), "%s has no side %s", b.Name, e.Name)
		}
		folds[e.Name] = foldWords[e.Arg.Words[0].Text]
	}
	return folds
}

// twisted stops with all sides that are not flat and have no fold.
func (b *Bench) twisted(twists []solid.Twist) {
	if len(twists) == 0 {
		return
	}
	var words []string
	for _, t := range twists[:min(len(twists), mostFaults)] {
		words = append(words, t.Face+" by "+b.mm(t.Off))
	}
	if len(twists) > mostFaults {
		words = append(words, "…")
	}
	b.Fail(NotFlat, b.At, "Split them along a diagonal: `fold: rising` for all, or `fold "+twists[0].Face+": falling` for one; or turn and shift the stations until they are flat",
		"sides of %s are twisted, so no flat panel fits: %s", b.Name, strings.Join(words, ", "))
}

// foldAngles gives the inner angle of each fold.
func (b *Bench) foldAngles(s *shelled) {
	for _, seam := range s.body.Seams {
		f := s.body.Faces[seam.A.Face]
		if side, ok := strings.CutSuffix(f.Name, "_low"); ok && f.EdgeName(seam.A.Edge) == "fold" {
			b.Give(side+"_fold", eval.Num(seam.Dihedral, unit.Angle), "the angle inside at its fold", "")
		}
	}
}
