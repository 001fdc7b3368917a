// Package shopping works out what to buy for a build, what of it is used up already, and what the
// build weighs: sheets from the parts, glue from seams and layers, primer and paint from show faces.
//
// Areas in mm², volumes in mm³, weights in grams. It reads a snapshot and never imports proof or render.
package shopping

import (
	"cmp"
	"math"
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/journal"
)

// Line is one thing to buy.
type Line struct {
	Name   string         // of the material's block; "" for pieces of a bare thickness
	Block  *journal.Block // nil if there is none
	Use    string         // sheet, glue, primer or paint
	Faces  float64        // area that it covers in one coat, mm²; of sheets, the area that the parts take
	Coats  int            // 0 for sheets
	Spare  float64        // share bought on top
	Volume float64        // mm³, with the spare; 0 for sheets
	Whole  int            // sheets or packs to buy; 0 if their size is not known
	// Laid tells that the sheets were laid out, and so count the waste between the parts; otherwise Whole
	// is the least number whose area is enough.
	Laid     bool
	Used     float64 // share of the sheets' area that the parts take, 0 if not known
	Price    float64 // of Whole
	Currency string  // "" if the price is not known
	Done     float64 // share that the tallies say is used up, 0 to 1
}

// SoFar is what of the price has been worked up.
func (l Line) SoFar() float64 { return l.Done * l.Price }

// Weight is what a section weighs.
type Weight struct {
	Section  string // "" for the journal's own space
	Foam     float64
	Facing   float64 // of Foam, the parts whose back is towards the body
	Unknown  int     // pieces whose density is not known
	Done     float64 // share that is cut, by area
	Finished float64 // share that is painted, by area
}

// Total is a sum of money in one currency.
type Total struct {
	Currency     string
	Price, SoFar float64
}

// List is what a build needs.
type List struct {
	Lines   []Line
	Totals  []Total
	Weights []Weight
	Foam    float64 // weight of all, g
	Tallied bool    // there is a tally, so that Done and SoFar say something
}

// Sheets tells how many whole sheets of a material a layout took, and how much of their area was used;
// false if it has not been laid out.
type Sheets func(material string) (whole int, used float64, ok bool)

// Of works out the list of a snapshot. laid may be nil.
func Of(s *journal.Snapshot, laid Sheets) List {
	w := &work{Snapshot: s, laid: laid}
	w.gather()
	var l List
	l.Lines = append(w.sheets(), w.liquids()...)
	l.Weights, l.Foam = w.weights()
	l.Totals = totals(l.Lines)
	l.Tallied = len(s.OfKind("tally")) > 0
	return l
}

// work is one working out.
type work struct {
	*journal.Snapshot
	laid  Sheets
	needs []need // in the order of the sections
}

// need is a part with what has been done of it.
type need struct {
	*journal.Need
	section string
	share   map[string]float64 // by stage
}

func (w *work) gather() {
	sections := []string{}
	for _, sec := range w.Sections {
		sections = append(sections, sec.Name)
	}
	for _, name := range append(sections, "") {
		done := w.Done(name)
		for _, n := range w.Needs(name) {
			x := need{Need: n, section: name, share: map[string]float64{}}
			for _, stage := range stages {
				x.share[stage] = n.Share(done[n.Part], stage)
			}
			w.needs = append(w.needs, x)
		}
	}
}

// stages are the steps of the work by what they use up.
var stages = map[string]string{"sheet": "cut", "glue": "glued", "primer": "sealed", "paint": "painted"}

// sums adds up a quantity of parts and how much of it is done.
type sums struct{ all, done float64 }

func (s *sums) add(v, share float64) {
	s.all += v
	s.done += v * share
}

// ratio is the share that is done.
func (s sums) ratio() float64 {
	if s.all == 0 {
		return 0
	}
	return s.done / s.all
}

// sheets is a line for each sheet material, in the order of the ledger.
func (w *work) sheets() []Line {
	cut := map[string]*sums{}
	for _, n := range w.needs {
		for _, r := range n.Rows {
			m := r.Part.Material
			if cut[m] == nil {
				cut[m] = &sums{}
			}
			cut[m].add(float64(r.Count)*math.Max(r.Part.Area, r.Part.BackArea), n.share["cut"])
		}
	}
	var lines []Line
	for _, u := range w.Materials() {
		l := Line{Name: u.Name, Block: u.Block, Use: "sheet", Faces: u.Area, Spare: number(u.Block, "spare"), Done: cut[u.Name].ratio()}
		if size := number(u.Block, "sheet_area"); size > 0 {
			l.Whole = ceil(u.Area * (1 + l.Spare) / size)
			if w.laid != nil {
				if whole, used, ok := w.laid(u.Name); ok {
					l.Whole, l.Used, l.Laid = ceil(float64(whole)*(1+l.Spare)), used, true
				}
			}
			if !l.Laid && l.Whole > 0 {
				l.Used = u.Area / (float64(l.Whole) * size)
			}
			l.price()
		}
		lines = append(lines, l)
	}
	return lines
}

// ceil is the least whole number that is enough, but for the last bits of a sum.
func ceil(v float64) int { return int(math.Ceil(v - 1e-9)) }

// price is that of the whole sheets or packs.
func (l *Line) price() {
	if l.Block == nil || l.Block.Record() == nil {
		return
	}
	f, _ := l.Block.Record().Field("price")
	if q, ok := f.Value.(eval.Quantity); ok {
		l.Price, l.Currency = float64(l.Whole)*q.Value, q.Dim.Currency
	}
}

// number is a value of a material, 0 if it says none.
func number(b *journal.Block, field string) float64 {
	if b == nil || b.Record() == nil {
		return 0
	}
	v, _ := b.Record().Number(field)
	return v
}

// use is what a material is for.
func use(b *journal.Block) string {
	if b.Record() == nil {
		return ""
	}
	f, _ := b.Record().Field("use")
	t, _ := f.Value.(eval.Text)
	return string(t)
}

// covers lists the sections that a material is for; nil for all.
func covers(b *journal.Block) []string {
	f, ok := b.Record().Field("covers")
	if !ok {
		return nil
	}
	var list []string
	names, _ := f.Value.(eval.List)
	for _, v := range names {
		if t, ok := v.(eval.Text); ok {
			list = append(list, string(t))
		}
	}
	return list
}

// liquids is a line for each glue, primer and paint, in the order of the shop.
func (w *work) liquids() []Line {
	var lines []Line
	for _, kind := range []string{"glue", "primer", "paint"} {
		for _, b := range w.OfKind("material") {
			if use(b) == kind {
				lines = append(lines, w.liquid(b, kind))
			}
		}
	}
	return lines
}

// liquid works out how much of one glue, primer or paint it takes: area times coats over coverage.
func (w *work) liquid(b *journal.Block, kind string) Line {
	l := Line{Name: b.Eval.Name, Block: b, Use: kind, Coats: max(1, int(number(b, "coats"))), Spare: number(b, "spare")}
	var faces sums
	share := 1.0
	if _, ok := b.Record().Field("share"); ok {
		share = number(b, "share")
	}
	mine := w.takes(b, kind)
	for _, n := range w.needs {
		if !mine(n.section) {
			continue
		}
		area := n.laminated()
		if kind != "glue" {
			area = share * n.shown()
		}
		faces.add(area, n.share[stages[kind]])
	}
	if kind == "glue" {
		for _, j := range w.Ledger.Seams {
			if section := j.Block.Page.Section(); mine(section) {
				faces.add(2*j.Seam.GlueArea*float64(j.Sides), w.glued(section))
			}
		}
	}
	l.Faces, l.Done = faces.all, faces.ratio()
	if coverage := number(b, "coverage"); coverage > 0 {
		l.Volume = l.Faces * float64(l.Coats) / coverage * (1 + l.Spare)
		if pack := number(b, "pack"); pack > 0 {
			l.Whole = ceil(l.Volume / pack)
			l.price()
		}
	}
	return l
}

// takes tells which sections a liquid is for: those that it names; one that names none is for all, but
// of several such glues only the first, for a seam is glued once.
func (w *work) takes(b *journal.Block, kind string) func(section string) bool {
	if own := covers(b); own != nil {
		return func(section string) bool { return slices.Contains(own, section) }
	}
	if kind != "glue" {
		return func(string) bool { return true }
	}
	named := map[string]bool{}
	var first *journal.Block
	for _, other := range w.OfKind("material") {
		if use(other) != kind {
			continue
		}
		list := covers(other)
		for _, section := range list {
			named[section] = true
		}
		if list == nil && first == nil {
			first = other
		}
	}
	return func(section string) bool { return first == b && !named[section] }
}

// laminated is the area of the faces of a stack's pieces that are glued to each other, both of each pair.
func (n need) laminated() float64 {
	sum := 0.0
	for i, r := range n.Rows {
		if i == 0 || r.Hand != n.Rows[i-1].Hand || r.Part.Depth <= n.Rows[i-1].Part.Depth {
			continue // the first layer of a hand
		}
		sum += 2 * float64(r.Count) * math.Min(n.Rows[i-1].Part.BackArea, r.Part.Area)
	}
	return sum
}

// shown is the area of the show faces: of the outermost layer alone.
func (n need) shown() float64 {
	sum := 0.0
	for _, r := range n.Rows {
		if r.Part.Layer == n.Rows[0].Part.Layer {
			sum += float64(r.Count) * r.Part.Area
		}
	}
	return sum
}

// glued is how much of a section's parts is glued, by show area.
func (w *work) glued(section string) float64 {
	var s sums
	for _, n := range w.needs {
		if n.section == section {
			s.add(n.shown(), n.share["glued"])
		}
	}
	return s.ratio()
}

// weights is what each section weighs, the heaviest first.
func (w *work) weights() (list []Weight, all float64) {
	at := map[string]int{}
	cut, painted := map[string]*sums{}, map[string]*sums{}
	for _, n := range w.needs {
		i, ok := at[n.section]
		if !ok {
			i = len(list)
			at[n.section] = i
			list = append(list, Weight{Section: n.section})
			cut[n.section], painted[n.section] = &sums{}, &sums{}
		}
		for _, r := range n.Rows {
			g := float64(r.Count) * r.Part.Weight
			list[i].Foam += g
			if r.Part.Worn {
				list[i].Facing += g
			}
			if r.Part.Weight == 0 {
				list[i].Unknown += r.Count
			}
			all += g
		}
		cut[n.section].add(n.shown(), n.share["cut"])
		painted[n.section].add(n.shown(), n.share["painted"])
	}
	for i := range list {
		list[i].Done, list[i].Finished = cut[list[i].Section].ratio(), painted[list[i].Section].ratio()
	}
	slices.SortStableFunc(list, func(a, b Weight) int { return cmp.Compare(b.Foam, a.Foam) })
	return list, all
}

// totals adds up prices by currency, sorted by its name.
func totals(lines []Line) []Total {
	var list []Total
	for _, l := range lines {
		if l.Currency == "" {
			continue
		}
		i := slices.IndexFunc(list, func(t Total) bool { return t.Currency == l.Currency })
		if i < 0 {
			i = len(list)
			list = append(list, Total{Currency: l.Currency})
		}
		list[i].Price += l.Price
		list[i].SoFar += l.SoFar()
	}
	slices.SortFunc(list, func(a, b Total) int { return cmp.Compare(a.Currency, b.Currency) })
	return list
}
