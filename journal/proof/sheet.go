package proof

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/journal"
)

var offSheet = Check{
	Name: "off-sheet", Severity: finding.Stop,
	Doc:   "a part that fits its material's sheet in no allowed turn",
	block: checkOffSheet, reads: []string{"material"}, looks: hasParts,
}

var tightBend = Check{
	Name: kind.TightBend, Severity: finding.Mind,
	Doc: "a sheet rolled tighter than it takes; found while the block is worked out",
}

// turnsTried are the angles in degrees at which a part is laid on its sheet, by the material's `turns`.
var turnsTried = map[string][]float64{"none": {0}, "quarter": {0, 90}, "any": everyDegree()}

func everyDegree() []float64 {
	list := make([]float64, 180)
	for i := range list {
		list[i] = float64(i)
	}
	return list
}

func checkOffSheet(r *report, b *journal.Block) {
	for _, row := range r.drawn(b) { // what fits one way fits the other
		m := r.Material(row.Part.Material)
		if m == nil || m.Record() == nil {
			continue
		}
		sheet, turns, ok := sheetOf(m)
		if !ok {
			continue
		}
		// Both faces together: with bevels of both signs neither covers the other.
		pts := append(row.Part.Show.Flatten(measured), row.Part.Back.Flatten(measured)...)
		if fits(pts, sheet, turns) {
			continue
		}
		w, h := extent(pts, 0)
		r.part(row.Part, "Split it with a seam, choose a larger sheet, or allow more turns",
			"%s is %s by %s and does not fit a sheet of %s, %s by %s", pieceName(row.Part),
			r.mm(w), r.mm(h), row.Part.Material, r.mm(sheet.X), r.mm(sheet.Y))
	}
}

func sheetOf(m *journal.Block) (sheet r2.Vec, turns string, ok bool) {
	f, ok := m.Record().Field("sheet")
	if !ok {
		return r2.Vec{}, "", false
	}
	p, ok := f.Value.(eval.Point)
	t, _ := m.Record().Field("turns")
	word, _ := t.Value.(eval.Text)
	return p.Vec, string(word), ok
}

// fits tries a part, given by points of its rims, in every allowed turn.
func fits(pts []r2.Vec, sheet r2.Vec, turns string) bool {
	for _, deg := range turnsTried[turns] {
		w, h := extent(pts, deg*math.Pi/180)
		if w <= sheet.X+measured && h <= sheet.Y+measured {
			return true
		}
	}
	return false
}

// extent is the size of the box around points turned by an angle.
func extent(pts []r2.Vec, angle float64) (w, h float64) {
	sin, cos := math.Sincos(angle)
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range pts {
		q := r2.Vec{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
		lo = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	return hi.X - lo.X, hi.Y - lo.Y
}
