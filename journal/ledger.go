package journal

import (
	"math"
	"slices"
	"sort"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// Ledger is what the build needs: every piece to cut, and where pieces meet; in the order of pages and
// text. What it adds up to is worked out when it is asked for (Materials, Minutes).
type Ledger struct {
	Rows  []Row
	Seams []Joint
}

// Joint is one seam of the build, for one side of its section.
type Joint struct {
	Seam  *part.Seam
	Block *Block
	Sides int // how often it is glued: once for each side of the section
}

// Row is one template: a part in one hand, and how many of it.
type Row struct {
	Part  *part.Part
	Block *Block
	Hand  string // "left", "right", or "" for a part that is its own mirror image or has no side
	Count int
}

// ID names the row's piece within the build: "forearm.cheek".
func (r Row) ID() string { return PartID(r.Part) }

// PartID names a part within the build, without its layer.
func PartID(p *part.Part) string {
	if p.Section == "" {
		return p.Name
	}
	return p.Section + "." + p.Name
}

// Mirrored tells whether the row is cut as the mirror image of the part as drawn.
func (r Row) Mirrored() bool { return r.Part.Hand == part.Pair && r.Hand == "right" }

// Outlines are the row's two faces as cut: mirrored for the other hand of a pair.
func (r Row) Outlines() (show, back shape.Outline) {
	if r.Mirrored() {
		return r.Part.Show.Mirror(), r.Part.Back.Mirror()
	}
	return r.Part.Show, r.Part.Back
}

// Edges are the part's edges in the order of the row's outline: a mirrored outline runs the other
// way round, so its edges come in another order.
func (r Row) Edges() []part.Edge {
	if !r.Mirrored() {
		return r.Part.Edges
	}
	show, _ := r.Outlines()
	edges := make([]part.Edge, len(show.Edges))
	for i, e := range show.Edges {
		edges[i] = r.Part.Edges[r.Part.Show.EdgeIndex(e.Name)]
	}
	return edges
}

// Use is how much of one material the build takes.
type Use struct {
	Name   string // of the material's block, "" for bare thicknesses
	Block  *Block // nil if the build has no such block
	Area   float64
	Weight float64 // g
	Pieces int
	// Sheets is the least number of whole sheets that hold the area; waste between parts comes on
	// top. 0 if the sheet's size is not known.
	Sheets   int
	Price    float64 // of those sheets
	Currency string
}

// tally makes the ledger.
func (s *Snapshot) tally() {
	for _, p := range s.Pages {
		l := s.share(p)
		s.Ledger.Rows, s.Ledger.Seams = append(s.Ledger.Rows, l.Rows...), append(s.Ledger.Seams, l.Seams...)
	}
	s.weight = weigh(s.Ledger.Rows)
}

// share is one page's part of the ledger.
func (s *Snapshot) share(p *Page) Ledger {
	var l Ledger
	sides := 1
	if sec, ok := s.Section(p.Section()); ok && len(sec.Sides) == 2 {
		sides = 2
	}
	for _, b := range p.Blocks {
		for i := range b.Out.Seams {
			l.Seams = append(l.Seams, Joint{&b.Out.Seams[i], b, sides})
		}
		for i := range b.Out.Parts {
			for _, r := range Rows(&b.Out.Parts[i], sides) {
				r.Block = b
				l.Rows = append(l.Rows, r)
			}
		}
	}
	return l
}

// Rows are the ledger's rows of one page.
func (s *Snapshot) Rows(p *Page) []Row { return s.rowsOn(p.Path) }

func (s *Snapshot) rowsOn(path string) []Row {
	of := func(r Row) string { return r.Block.Page.Path }
	from := sort.Search(len(s.Ledger.Rows), func(i int) bool { return of(s.Ledger.Rows[i]) >= path })
	to := from
	for to < len(s.Ledger.Rows) && of(s.Ledger.Rows[to]) == path {
		to++
	}
	return s.Ledger.Rows[from:to:to]
}

// Weight is that of all parts, g. It is kept as a whole number of micrograms, so that the order in which
// parts are added makes no difference.
func (s *Snapshot) Weight() float64 { return float64(s.weight) / 1e6 }

// weigh is the weight of rows in micrograms.
func weigh(rows []Row) int64 {
	sum := int64(0)
	for _, r := range rows {
		sum += int64(r.Count) * int64(math.Round(1e6*r.Part.Weight))
	}
	return sum
}

// Materials are what the whole build takes.
func (s *Snapshot) Materials() []Use { return s.Uses(s.Ledger.Rows) }

// Minutes are the time spent on the whole build.
func (s *Snapshot) Minutes() float64 {
	sum := 0.0
	for _, p := range s.Pages {
		sum += p.Doc.Front.Minutes
	}
	return sum
}

// Rows says which hands of a part are cut, and how many. Geometry decides, not a flag: a part that
// is its own mirror image is one template, counted for every side.
func Rows(p *part.Part, sides int) []Row {
	n := p.Count
	switch {
	case p.SelfMirrored && p.Hand == part.Pair:
		return []Row{{Part: p, Count: 2 * n}}
	case p.SelfMirrored && p.Hand == part.Auto:
		return []Row{{Part: p, Count: sides * n}}
	case p.SelfMirrored:
		return []Row{{Part: p, Count: n}}
	case p.Hand == part.Pair:
		return []Row{{Part: p, Hand: "left", Count: n}, {Part: p, Hand: "right", Count: n}}
	case p.Hand == part.Auto:
		return []Row{{Part: p, Count: sides * n}}
	}
	return []Row{{Part: p, Hand: string(p.Hand), Count: n}}
}

// Uses adds up the materials of rows, by name.
func (s *Snapshot) Uses(rows []Row) []Use {
	byName := map[string]*Use{}
	for _, r := range rows {
		u := byName[r.Part.Material]
		if u == nil {
			u = &Use{Name: r.Part.Material}
			byName[r.Part.Material] = u
		}
		// What is taken from the sheet is the larger face.
		u.Area += float64(r.Count) * math.Max(r.Part.Area, r.Part.BackArea)
		u.Weight += float64(r.Count) * r.Part.Weight
		u.Pieces += r.Count
	}
	var list []Use
	for _, u := range byName {
		s.buy(u)
		list = append(list, *u)
	}
	slices.SortFunc(list, func(a, b Use) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// buy works out sheets and price of a use.
func (s *Snapshot) buy(u *Use) {
	b := s.Material(u.Name)
	if b == nil || b.Record() == nil {
		return
	}
	u.Block = b
	sheet, ok := b.Record().Number("sheet_area")
	if !ok || sheet <= 0 {
		return
	}
	u.Sheets = int(math.Ceil(u.Area/sheet - 1e-9))
	price, ok := b.Record().Field("price")
	if !ok {
		return
	}
	if q, is := quantityOf(price); is {
		u.Price, u.Currency = float64(u.Sheets)*q.Value, q.Dim.Currency
	}
}

// Material finds the block of a material by its name, nil if there is none. Materials stand in the
// journal's own space; one in a section is found by its plain name too.
func (s *Snapshot) Material(name string) *Block {
	for _, b := range s.OfKind("material") {
		if b.Eval.Name == name && name != "" {
			return b
		}
	}
	return nil
}

// OfKind lists the blocks of a kind, in the order of pages and text.
func (s *Snapshot) OfKind(name string) []*Block { return s.byKind[name] }

// Limit is a value of the section's own `limits` block, else of the journal's; false if neither says.
func (s *Snapshot) Limit(section, key string) (float64, bool) {
	for _, space := range []string{section, ""} {
		for _, b := range s.OfKind("limits") {
			if b.Page.Section() != space || b.Record() == nil {
				continue
			}
			if v, ok := b.Record().Number(key); ok {
				return v, true
			}
		}
	}
	return 0, false
}

func quantityOf(r eval.Result) (eval.Quantity, bool) {
	q, ok := r.Value.(eval.Quantity)
	return q, ok
}
