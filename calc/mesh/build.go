package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Options say how exactly a model is taken. Millimetres.
type Options struct {
	Weld float64 // points this near to each other are one
	Flat float64 // triangles are of one plane while their corners stray no further from it
	Most int     // the most panels; 0 sets no limit
}

// Panel is a flat face with its corners.
type Panel struct {
	Group string // its group, object or solid in the file, "" for none
	Loop  []int  // indices of Model.Points, counter-clockwise seen from outside
	Place string // where the first of its triangles stands in the file
	// Part counts the pieces of a face with windows, which is cut into simple ones, from 1; else 0.
	Part int
	Area float64 // of the file's triangles that it was merged from, windows left out, mm²
}

// Model is panels over shared points.
type Model struct {
	Points []r3.Vec
	Panels []Panel
	Rims   [][]int // open edges, chained, in the order in which the panels run along them
	// Volume and Area are those of the welded triangles, mm³ and mm². The volume of an open model
	// means nothing.
	Volume, Area float64
	Pieces       int     // components that hang together by edges
	Moved        float64 // how far, at most, a corner was moved to lie in all its panels' planes, mm
}

// Build welds, turns and merges the triangles. The facets are used up. A flaw leaves no model, save
// for Touching and Pinched ones, which are told beside it.
func (f *Facets) Build(o Options) (*Model, []Flaw) {
	if o.Most <= 0 {
		o.Most = MaxFacets
	}
	f.Weld(o.Weld)
	l, flaw := f.link()
	if flaw != nil {
		return nil, []Flaw{*flaw}
	}
	regions, of, flaw := l.merge(o.Flat, o.Most)
	if flaw != nil {
		return nil, []Flaw{*flaw}
	}
	m := &Model{Volume: f.Volume(), Area: f.Area(), Pieces: len(l.open)}
	loops := l.outlines(of, regions, o.Flat)
	flaws := m.panels(l, regions, loops)
	m.rims(l)
	m.compact()
	m.flatten()
	return m, append(flaws, m.touching(o.Weld)...)
}

// panels makes a panel of each region in the order of the file; those with windows are cut.
func (m *Model) panels(l *linked, regions []region, loops [][][]int32) (flaws []Flaw) {
	order := make([]int, len(regions))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(regions[a].first, regions[b].first) })
	m.Points = l.Points
	for _, i := range order {
		r := regions[i]
		p := Panel{Group: l.Groups[l.Group[r.first]], Place: l.Where(int(r.first)), Area: r.area}
		if len(loops[i]) == 0 {
			continue // so narrow that its border strays nowhere: its neighbours close over it
		}
		pieces, ok := m.parted(loops[i], r.normal)
		if !ok {
			flaws = append(flaws, Flaw{Pinched, 1, p.Place, l.Points[loops[i][0][0]]})
		}
		for k, loop := range pieces {
			q := p
			q.Loop = loop
			if len(pieces) > 1 {
				q.Part = k + 1
			}
			m.Panels = append(m.Panels, q)
		}
	}
	return flaws
}

// rims chains the open edges over the corners that were kept.
func (m *Model) rims(l *linked) {
	corner := map[int]bool{}
	for _, p := range m.Panels {
		for _, i := range p.Loop {
			corner[i] = true
		}
	}
	for _, rim := range l.rims() {
		var list []int
		for _, i := range rim {
			if corner[int(i)] {
				list = append(list, int(i))
			}
		}
		if len(list) > 2 { // one there and back is a seam: corners on it that one side lacked are gone
			m.Rims = append(m.Rims, list)
		}
	}
}

// compact keeps only the points that panels have, in the order in which they come to them.
func (m *Model) compact() {
	to := map[int]int{}
	var points []r3.Vec
	number := func(i int) int {
		k, ok := to[i]
		if !ok {
			k = len(points)
			to[i] = k
			points = append(points, m.Points[i])
		}
		return k
	}
	for i := range m.Panels {
		for k, at := range m.Panels[i].Loop {
			m.Panels[i].Loop[k] = number(at)
		}
	}
	for _, rim := range m.Rims {
		for k, at := range rim {
			rim[k] = number(at)
		}
	}
	m.Points = points
}

// around lists for each point the panels that it is a corner of.
func (m *Model) around() [][]int {
	list := make([][]int, len(m.Points))
	for p, panel := range m.Panels {
		for _, i := range panel.Loop {
			if n := len(list[i]); n == 0 || list[i][n-1] != p {
				list[i] = append(list[i], p)
			}
		}
	}
	return list
}

// flatten moves each corner to where the planes of its panels meet, until all panels are flat: with
// three planes at once; with more by turns of fitting planes and corners, which come nearer each time.
func (m *Model) flatten() {
	const exact, turns = 1e-9, 60
	around := m.around()
	before := slices.Clone(m.Points)
	for range turns {
		planes := m.Planes()
		off := 0.0
		for i, list := range around {
			worst := 0.0
			for _, p := range list {
				worst = math.Max(worst, math.Abs(planes[p].Over(m.Points[i])))
			}
			if worst > exact {
				m.Points[i], _ = Meet(planes, list, m.Points[i])
			}
			off = math.Max(off, worst)
		}
		if off <= exact {
			break
		}
	}
	for i, p := range before {
		m.Moved = math.Max(m.Moved, r3.Norm(r3.Sub(p, m.Points[i])))
	}
}
