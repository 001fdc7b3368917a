package journal

import (
	"maps"
	"slices"
	"strings"

	"bevelbook/calc/kind"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// Joined is what `seam` blocks say of the edges of parts: letters, partners and match marks. A seam is
// known only when its parts are, so it does not stand in them; shells bring their own in their parts.
type Joined map[string]*joinedPart // by the part's ID

type joinedPart struct {
	show  shape.Outline // of the whole part
	edges map[string]*part.Edge
}

// Joined gathers what the seam blocks of the build say. Their letters are small ones, so that nobody takes
// them for those of a shell, and stand for one seam each among the parts of a section.
func (s *Snapshot) Joined() Joined {
	j := Joined{}
	if len(s.OfKind("seam")) == 0 {
		return j
	}
	sections := map[string]string{}
	for _, b := range s.OfKind("seam") {
		for _, seam := range b.Out.Seams {
			j[seam.A.Part], j[seam.B.Part] = nil, nil
		}
	}
	for section := range j.Sections() {
		for r := range s.rowsOf(section) {
			id := r.ID()
			if known, asked := j[id]; asked && known == nil && r.Part.Depth == 0 {
				j[id] = newJoinedPart(r.Part)
				sections[id] = r.Part.Section
			}
		}
	}
	used := map[[2]string]bool{} // section and letter
	for _, b := range s.OfKind("seam") {
		for _, seam := range b.Out.Seams {
			one, two := j.edge(seam.A), j.edge(seam.B)
			if one == nil || two == nil {
				continue
			}
			join(one, two, func() string {
				return freeLetter(used, b.Page.Section(), sections[seam.A.Part], sections[seam.B.Part])
			})
			meet(one, seam.B, sections[seam.A.Part])
			meet(two, seam.A, sections[seam.B.Part])
		}
	}
	return j
}

// Sections are those that may hold the parts: what stands before the first dot of an ID is a section, or a
// shell of the journal's own space.
func (j Joined) Sections() map[string]bool {
	list := map[string]bool{}
	for id := range j {
		section, _, _ := strings.Cut(id, ".")
		list[section], list[""] = true, true
	}
	return list
}

// Names tells whether a seam block names a part of these rows.
func (j Joined) Names(rows []Row) bool {
	return len(j) > 0 && slices.ContainsFunc(rows, func(r Row) bool { _, named := j[r.ID()]; return named })
}

func newJoinedPart(p *part.Part) *joinedPart {
	q := &joinedPart{p.Show, map[string]*part.Edge{}}
	for _, e := range p.Edges {
		q.edges[e.Name] = &part.Edge{Name: e.Name, Length: e.Length, Matches: e.Matches}
	}
	return q
}

func (j Joined) edge(s part.Side) *part.Edge {
	if p := j[s.Part]; p != nil {
		return p.edges[s.Edge]
	}
	return nil
}

// join gives two edges one letter and match marks at equal distances from the end where the first starts
// and the second ends. An edge that has them from another seam keeps them and hands them on.
func join(one, two *part.Edge, letter func() string) {
	if one.Letter == "" && two.Letter == "" {
		one.Letter = letter()
	}
	if one.Letter == "" {
		one.Letter = two.Letter
	}
	if two.Letter == "" {
		two.Letter = one.Letter
	}
	if len(one.Matches) == 0 && len(two.Matches) == 0 {
		one.Matches = kind.MatchMarks(one.Length, one != two)
	}
	if len(one.Matches) == 0 {
		one.Matches = against(two.Matches, one.Length)
	}
	if len(two.Matches) == 0 {
		two.Matches = against(one.Matches, two.Length)
	}
}

// against are marks seen from the other end of an edge that runs the other way.
func against(marks []float64, length float64) []float64 {
	var list []float64
	for _, m := range slices.Backward(marks) {
		if m < length {
			list = append(list, length-m)
		}
	}
	return list
}

// meet notes what an edge meets, by its short name within its section.
func meet(e *part.Edge, other part.Side, section string) {
	name := strings.TrimPrefix(other.Part, section+".") + "." + other.Edge
	if !slices.Contains(strings.Split(e.Meets, " or "), name) {
		e.Meets = strings.TrimPrefix(e.Meets+" or "+name, " or ")
	}
}

// freeLetter is the first small letter that none of the sections has used: a to z, then aa.
func freeLetter(used map[[2]string]bool, sections ...string) string {
	for n := 0; ; n++ {
		letter := strings.ToLower(kind.Letter(n))
		if !slices.ContainsFunc(sections, func(s string) bool { return used[[2]string{s, letter}] }) {
			for _, s := range sections {
				used[[2]string{s, letter}] = true
			}
			return letter
		}
	}
}

// Same tells whether both say the same of a part.
func (j Joined) Same(other Joined, id string) bool {
	one, two := j[id], other[id]
	if one == nil || two == nil {
		return one == two
	}
	return maps.EqualFunc(one.edges, two.edges, func(a, b *part.Edge) bool {
		return a.Letter == b.Letter && a.Meets == b.Meets && slices.Equal(a.Matches, b.Matches)
	})
}

// Part is the part with what seam blocks say of its edges; a layer has its marks where they are in space.
func (j Joined) Part(p *part.Part) part.Part {
	q := *p
	known := j[PartID(p)]
	if known == nil || len(known.show.Edges) != len(p.Edges) {
		return q
	}
	q.Edges = slices.Clone(p.Edges)
	for i := range q.Edges {
		e := &q.Edges[i]
		said := known.edges[e.Name]
		if said == nil || said.Letter == "" {
			continue
		}
		if len(e.Matches) == 0 {
			e.Matches = said.Matches
		}
		if e.Letter == "" {
			e.Letter, e.Meets = said.Letter, said.Meets
		} else {
			e.Letter, e.Meets = e.Letter+" "+said.Letter, e.Meets+" or "+said.Meets
		}
	}
	if p.Depth > 0 {
		own := q
		own.Edges = slices.Clone(q.Edges)
		own.MoveMatches(known.show)
		for i := range q.Edges {
			if len(p.Edges[i].Matches) == 0 { // those of a shell stand already as they should
				q.Edges[i].Matches = own.Edges[i].Matches
			}
		}
	}
	return q
}
