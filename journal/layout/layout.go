// Package layout lays the parts of a journal on the sheets that they are cut from: it turns the ledger's
// rows into jobs for package nest, one a material, keeps their answers by what they were worked out
// from, and draws each sheet.
//
// Millimetres. The same rows, materials, effort and seed give the same layout. The package writes no
// file; answers can be kept in a Store. It never imports proof or render.
package layout

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/kind"
	"bevelbook/calc/nest"
	"bevelbook/calc/shape"
	"bevelbook/journal"
)

// Pace is how many placements a second of effort stands for. It is a fixed number, so that the same
// effort gives the same layout everywhere; on two cores of 2026 it is about a second for parts with windows, and less for plain ones.
const Pace = 60_000

// starts are the independent searches of which the best counts: as many as small machines have cores.
const starts = 2

// flat is how far a chord may lie from a curve, in mm; it is kept clear on top of the kerf.
const flat = 0.2

// Plan is one material's parts and sheets, ready to be laid out.
type Plan struct {
	Material string
	Block    *journal.Block // the material's
	Rows     []journal.Row  // of Job.Items, in their order
	Turned   []float64      // by how much each item was turned before, so that its grain lies along the sheet's, radians
	Job      nest.Job
	Effort   nest.Effort
}

// Left is a material whose parts cannot be laid out, and why.
type Left struct{ Material, Why string }

// Plans makes the plans of a layout block from rows, by material. Rows of other sections, for a layout of
// its own section, and of materials that it does not name are passed over.
func Plans(s *journal.Snapshot, b *journal.Block, rows []journal.Row) (plans []Plan, left []Left) {
	return PlansOf(s, *b.Out.Sheets, b.Page.Section(), rows)
}

// Usual is how a build is laid out that has no layout block over all of it.
var Usual = kind.Sheets{Build: true, Kerf: -1, Margin: 5, Effort: 4.0 / 60, Seed: 1, Holes: true}

// ForBuild is what the journal's first layout block over the whole build asks for, else Usual.
func ForBuild(s *journal.Snapshot) kind.Sheets {
	if b := BuildBlock(s); b != nil {
		return *b.Out.Sheets
	}
	return Usual
}

// PlansOf is Plans by what a block asks for.
func PlansOf(s *journal.Snapshot, ask kind.Sheets, section string, rows []journal.Row) (plans []Plan, left []Left) {
	byMaterial := map[string][]journal.Row{}
	for _, r := range rows {
		if (ask.Build || r.Part.Section == section) && (ask.Materials == nil || slices.Contains(ask.Materials, r.Part.Material)) && r.Count > 0 {
			byMaterial[r.Part.Material] = append(byMaterial[r.Part.Material], r)
		}
	}
	for name, rows := range byMaterial {
		switch m := s.Material(name); {
		case name == "":
			left = append(left, Left{name, "parts of a bare thickness belong to no sheet"})
		case m == nil || m.Record() == nil:
			left = append(left, Left{name, "the material is not worked out"})
		default:
			if p, why := plan(s, ask, m, rows); why == "" {
				plans = append(plans, p)
			} else {
				left = append(left, Left{name, why})
			}
		}
	}
	shareOut(plans, ask.Effort)
	slices.SortFunc(plans, func(a, b Plan) int { return cmp.Compare(a.Material, b.Material) })
	slices.SortFunc(left, func(a, b Left) int { return cmp.Compare(a.Material, b.Material) })
	return plans, left
}

// shareOut shares the effort, in minutes, among the materials by their pieces.
func shareOut(plans []Plan, effort float64) {
	all := 0
	for _, p := range plans {
		all += p.pieces()
	}
	for i := range plans {
		plans[i].Effort.Steps = int64(effort * 60 * Pace * float64(plans[i].pieces()) / float64(all))
	}
}

func (p *Plan) pieces() (n int) {
	for _, it := range p.Job.Items {
		n += it.Count
	}
	return n
}

// plan makes the job of one material.
func plan(s *journal.Snapshot, ask kind.Sheets, m *journal.Block, rows []journal.Row) (Plan, string) {
	sheets, ok := sheetsOf(m.Record())
	if !ok {
		return Plan{}, "its block says no sheet size"
	}
	p := Plan{Material: m.Eval.Name, Block: m, Rows: rows}
	p.Job = nest.Job{Sheets: sheets, Gap: ask.Kerf, Margin: ask.Margin, FillHoles: ask.Holes}
	if ask.Kerf < 0 {
		p.Job.Gap = widestKerf(s)
	}
	p.Effort = nest.Effort{Starts: starts, Random: ask.Seed}
	turns, grain := turnsOf(m.Record())
	least := math.Inf(1)
	for _, r := range rows {
		least = math.Min(least, math.Min(r.Part.Show.Area(), r.Part.Back.Area()))
	}
	for _, r := range rows {
		it, turned := item(r, turns, grain, least)
		p.Job.Items = append(p.Job.Items, it)
		p.Turned = append(p.Turned, turned)
	}
	return p, ""
}

// sheetsOf are the offcuts of a material, the largest last, and then its whole sheets.
func sheetsOf(r *eval.Record) ([]nest.Sheet, bool) {
	f, _ := r.Field("sheet")
	size, ok := f.Value.(eval.Point)
	if !ok {
		return nil, false
	}
	var sheets []nest.Sheet
	if f, ok := r.Field("offcuts"); ok {
		list, many := f.Value.(eval.List)
		if !many {
			list = eval.List{f.Value}
		}
		for _, v := range list {
			p, ok := v.(eval.Point)
			if !ok {
				continue
			}
			i := slices.IndexFunc(sheets, func(s nest.Sheet) bool { return s.Width == p.X && s.Height == p.Y })
			if i < 0 {
				i = len(sheets)
				sheets = append(sheets, nest.Sheet{Name: "offcut", Width: p.X, Height: p.Y})
			}
			sheets[i].Count++
		}
	}
	slices.SortStableFunc(sheets, func(a, b nest.Sheet) int { return cmp.Compare(a.Width*a.Height, b.Width*b.Height) })
	return append(sheets, nest.Sheet{Name: "sheet", Width: size.X, Height: size.Y}), true
}

// widestKerf is that of the shop's tools.
func widestKerf(s *journal.Snapshot) float64 {
	most := 0.0
	for _, b := range s.OfKind("tool") {
		if r := b.Record(); r != nil {
			k, _ := r.Number("kerf")
			most = max(most, k)
		}
	}
	return most
}

// turnsOf are the turns that a material allows, and where the grain of its sheet runs; NaN for none.
func turnsOf(r *eval.Record) (nest.Turns, float64) {
	word := func(field string) string {
		f, _ := r.Field(field)
		t, _ := f.Value.(eval.Text)
		return string(t)
	}
	turns := map[string]nest.Turns{"any": nest.Any, "quarter": nest.Quarter, "none": nest.None}[word("turns")]
	grain := map[string]float64{"width": 0, "height": math.Pi / 2}
	if g, ok := grain[word("grain")]; ok {
		return max(turns, nest.Half), g // turned by a half it still runs along
	}
	return turns, math.NaN()
}

// item is a row as nest takes it: all that is cut, both faces of a bevelled part together, turned so that
// its grain lies along the sheet's.
func item(r journal.Row, turns nest.Turns, grain, least float64) (it nest.Item, turned float64) {
	o := Whole(r)
	var holes []shape.Outline
	for _, h := range r.Part.Holes {
		if r.Mirrored() {
			h.Shape = h.Shape.Mirror()
		}
		holes = append(holes, h.Shape)
	}
	if r.Part.Grained && !math.IsNaN(grain) {
		own := r.Part.Grain
		if r.Mirrored() {
			own = math.Pi - own
		}
		turned = grain - own
		o = o.Rotate(turned, r2.Vec{})
		for i := range holes {
			holes[i] = holes[i].Rotate(turned, r2.Vec{})
		}
	}
	it = nest.FromOutline(name(r), o, nil, flat)
	it.Holes = roomy(holes, least)
	it.Count, it.Turns = r.Count, turns
	return it, turned
}

// coarse is how far chords may lie from the rim of a hole, mm. In a hole that bulges they lie inside, so
// that the foam round it only seems larger, and the fewer there are, the faster is the search.
const coarse = 2.0

// roomy are the holes that could take the least part there is; a part in another is laid clear of the others'
// rims without them.
func roomy(holes []shape.Outline, least float64) (rings [][]r2.Vec) {
	for _, h := range holes {
		if h.Area() < least {
			continue
		}
		ring := h.Flatten(coarse)
		if !bulges(ring) {
			ring = h.Flatten(flat)
		}
		rings = append(rings, ring)
	}
	return rings
}

// bulges tells whether a ring is convex.
func bulges(ring []r2.Vec) bool {
	for i, p := range ring {
		q, r := ring[(i+1)%len(ring)], ring[(i+2)%len(ring)]
		if r2.Cross(r2.Sub(q, p), r2.Sub(r, q)) < 0 {
			return false
		}
	}
	return true
}

// name is a row's piece for people: section, part, layer, hand.
func name(r journal.Row) string {
	text := r.ID()
	for _, more := range []string{r.Part.Layer, r.Hand} {
		if more != "" {
			text += " " + more
		}
	}
	return text
}

// Whole is the outline of all that a row's piece takes from the sheet. Where a bevel leans outwards, the
// edge of the back face is the outer one.
func Whole(r journal.Row) shape.Outline {
	show, back := r.Outlines()
	inward := make([]float64, len(show.Edges))
	outer := false
	for i, e := range r.Edges() {
		inward[i] = math.Min(0, e.Run)
		outer = outer || e.Run < 0
	}
	if !outer || len(inward) != len(show.Edges) {
		return show
	}
	if o, err := show.OffsetEdges(inward); err == nil {
		return o
	}
	if back.Area() > show.Area() {
		return back
	}
	return show
}

// Piece is a part as it lies on a sheet.
type Piece struct {
	Row   journal.Row
	Copy  int
	Shape func(shape.Outline) shape.Outline // carries the row's outlines to the sheet
	Path  func(shape.Path) shape.Path
}

// Sheet is one sheet with the parts on it.
type Sheet struct {
	Name          string // "sheet 2", "offcut 1"
	Width, Height float64
	Offcut        bool
	Share         float64 // of its area that is parts
	Pieces        []Piece
}

// Result is a plan, laid out.
type Result struct {
	Plan
	Layout nest.Layout
	// Rough: the first layout at hand, while a better one is still searched for.
	Rough bool
}

// Sheets are the sheets of the result, offcuts first.
func (r *Result) Sheets() []Sheet {
	list := make([]Sheet, len(r.Layout.Sheets))
	count := map[bool]int{}
	for i, u := range r.Layout.Sheets {
		s := r.Job.Sheets[u.Sheet]
		offcut := u.Sheet < len(r.Job.Sheets)-1
		count[offcut]++
		list[i] = Sheet{Name: s.Name + " " + itoa(count[offcut]), Width: s.Width, Height: s.Height, Offcut: offcut, Share: u.Share}
	}
	for _, p := range r.Layout.Placed {
		row, turned, move := r.Rows[p.Item], r.Turned[p.Item], p.Move
		flip := row.Mirrored()
		s := &list[p.Sheet]
		s.Pieces = append(s.Pieces, Piece{Row: row, Copy: p.Copy,
			Shape: func(o shape.Outline) shape.Outline {
				if flip {
					o = o.Mirror()
				}
				return move.Outline(o.Rotate(turned, r2.Vec{}))
			},
			Path: func(q shape.Path) shape.Path {
				if flip {
					q = q.Mirror()
				}
				return move.Path(q.Rotate(turned, r2.Vec{}))
			}})
	}
	return list
}

// Whole counts the whole sheets that are used up, offcuts left out.
func (r *Result) Whole() int {
	n := 0
	for _, u := range r.Layout.Sheets {
		if u.Sheet == len(r.Job.Sheets)-1 {
			n++
		}
	}
	return n
}

// Share is how much of the area of all used sheets, offcuts too, is parts.
func (r *Result) Share() float64 {
	parts, all := 0.0, 0.0
	for _, u := range r.Layout.Sheets {
		s := r.Job.Sheets[u.Sheet]
		parts += u.Area
		all += s.Width * s.Height
	}
	if all == 0 {
		return 0
	}
	return parts / all
}

// Missing names the pieces that found no place, each with the reason.
func (r *Result) Missing() []string {
	var list []string
	counts := map[[2]int]int{}
	var order [][2]int
	for _, l := range r.Layout.Left {
		k := [2]int{l.Item, int(l.Reason)}
		if counts[k]++; counts[k] == 1 {
			order = append(order, k)
		}
	}
	for _, k := range order {
		text := r.Job.Items[k[0]].Name + " " + nest.Reason(k[1]).String()
		if n := counts[k]; n > 1 {
			text = itoa(n) + " of " + text
		}
		list = append(list, text)
	}
	return list
}

// BuildBlock is the journal's first layout block over the whole build, nil if there is none.
func BuildBlock(s *journal.Snapshot) *journal.Block {
	for _, b := range s.OfKind("layout") {
		if b.Out.Sheets != nil && b.Out.Sheets.Build {
			return b
		}
	}
	return nil
}

// Counts tells of each material how many whole sheets its layout over the whole build takes, and which
// share of their area is parts; false for a material that is not laid out over the build, or not all of it.
func Counts(results []Result) func(material string) (whole int, used float64, ok bool) {
	return func(material string) (int, float64, bool) {
		i := slices.IndexFunc(results, func(r Result) bool { return r.Material == material })
		if i < 0 || len(results[i].Layout.Left) > 0 {
			return 0, 0, false
		}
		return results[i].Whole(), results[i].Share(), true
	}
}
