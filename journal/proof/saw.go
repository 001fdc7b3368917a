package proof

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/journal"
)

var bevelsCollide = Check{
	Name: kind.BevelsCollide, Severity: finding.Stop,
	Doc: "bevels that meet before the back face is reached; found while the panel is worked out",
}

var beyondSaw = Check{
	Name: "beyond-saw", Severity: finding.Stop,
	Doc:   "a bevel steeper, or a cut higher, than any saw of the shop can make",
	block: checkBeyondSaw, reads: []string{"tool"}, looks: hasParts,
}

// saw is a tool block's limits; +Inf where it sets none.
type saw struct {
	name               string
	tilt, height, hold float64
}

// saws lists the tools that are saws.
func saws(s *journal.Snapshot) []saw {
	var list []saw
	for _, b := range s.OfKind("tool") {
		rec := b.Record()
		if rec == nil {
			continue
		}
		if f, ok := rec.Field("use"); ok && f.Value == eval.Value(eval.Text("knife")) {
			continue
		}
		limit := func(key string, none float64) float64 {
			if v, ok := rec.Number(key); ok {
				return v
			}
			return none
		}
		list = append(list, saw{b.Eval.Name, limit("tilt", math.Inf(1)), limit("height", math.Inf(1)), limit("hold", 0)})
	}
	return list
}

// checkBeyondSaw looks for edges that no saw can cut: tilted by the bevel, the cut is t/cos β high.
func checkBeyondSaw(r *report, b *journal.Block) {
	if len(r.saws) == 0 {
		return
	}
	for _, row := range r.drawn(b) {
		var edges []string
		for _, e := range row.Part.Edges {
			if !anyCuts(r.saws, e) {
				edges = append(edges, e.Name+" ("+r.deg(e.Bevel)+", "+r.mm(e.CutWidth)+" high)")
			}
		}
		if len(edges) > 0 {
			r.part(row.Part, "Cut it with a knife along a guide, split it into thinner layers, or share the angle with its neighbour",
				"no saw here can cut %s of %s", strings.Join(edges, ", "), pieceName(row.Part))
		}
	}
}

// angleTolerance is how finely a saw's tilt is set, in radians.
const angleTolerance = 0.05 * math.Pi / 180

func anyCuts(saws []saw, e part.Edge) bool {
	for _, s := range saws {
		if math.Abs(e.Bevel) <= s.tilt+angleTolerance && e.CutWidth <= s.height+measured {
			return true
		}
	}
	return false
}

func pieceName(p *part.Part) string {
	if p.Layer == "" {
		return p.Name
	}
	return p.Name + " (" + p.Layer + ")"
}

var tooSmallToHold = Check{
	Name: "too-small-to-hold", Severity: finding.Stop,
	Doc:   "a part shorter than the least length that its saw wants between hand and blade",
	block: checkTooSmallToHold, reads: []string{"tool"}, looks: hasParts,
}

// checkTooSmallToHold compares the longest extent of each part with the saw that asks the least.
func checkTooSmallToHold(r *report, b *journal.Block) {
	least := math.Inf(1)
	for _, s := range r.saws {
		least = min(least, s.hold)
	}
	if math.IsInf(least, 1) || least == 0 {
		return
	}
	for _, row := range r.drawn(b) {
		if long := longest(row.Part.Show); long < least-measured {
			r.part(row.Part, "Cut it with a knife, or part it from a longer strip last; keep to the saw's manual and use a push stick",
				"%s is %s at its longest; the saw wants %s to hold", pieceName(row.Part), r.mm(long), r.mm(least))
		}
	}
}

// longest is the greatest distance between two points of an outline.
func longest(o shape.Outline) float64 {
	pts := o.Flatten(0.5)
	most := 0.0
	for i, p := range pts {
		for _, q := range pts[i+1:] {
			most = max(most, r2.Norm2(r2.Sub(p, q)))
		}
	}
	return math.Sqrt(most)
}
