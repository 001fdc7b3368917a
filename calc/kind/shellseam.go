package kind

import (
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/part"
)

// Match marks are small ticks at equal places on both edges of a seam, so that they are glued without
// creeping and not upside down. An edge of 150 mm or more has them, about 100 mm apart (matchSpacing); the
// first, counted from where the edge of the seam's first panel starts, is a double one, with a second
// tick 8 mm beyond. Where both edges of a seam are one edge of one part, the marks are the same seen from
// both ends, without a double one. Common practice, no source.
const doubleMark = 8.0

// MatchMarks are the places of match marks on an edge of that length, mm from where it starts.
func MatchMarks(length float64, double bool) []float64 {
	list := spaced(length)
	if double && len(list) > 0 {
		list = slices.Insert(list, 1, list[0]+doubleMark)
	}
	return list
}

// edgeAt is an edge of a part of a shell.
type edgeAt struct{ part, edge int }

// shellSeams letters the seams, puts letters, partners and match marks on the parts' edges, and puts the
// seams out. All seams of parts that are cut alike share a letter: any of them fits any.
func (b *Bench) shellSeams(s *shelled) {
	list := s.body.Seams
	pair := make([][2]edgeAt, len(list))
	same := classes{}
	for i, seam := range list {
		p, q := s.body.Panel(seam.A.Face), s.body.Panel(seam.B.Face)
		pair[i] = [2]edgeAt{{s.partOf(p.Face), seam.A.Edge}, {s.partOf(q.Face), seam.B.Edge}}
		same.join(pair[i][0], pair[i][1])
	}
	letter := map[edgeAt]string{}
	members := map[edgeAt][]int{}
	var order []edgeAt
	for i := range list {
		root := same.root(pair[i][0])
		if letter[root] == "" {
			letter[root] = Letter(len(letter))
			order = append(order, root)
		}
		members[root] = append(members[root], i)
	}
	s.letters = make([]string, len(list))
	for _, root := range order {
		b.letterSeams(s, members[root], pair, letter[root])
	}
	for i, seam := range list {
		s.letters[i] = letter[same.root(pair[i][0])]
		b.Out.Seams = append(b.Out.Seams, part.Seam{
			A: b.sideOf(s, pair[i][0]), B: b.sideOf(s, pair[i][1]), Letter: s.letters[i],
			Dihedral: seam.Dihedral, Butt: seam.Butt, GlueArea: seam.GlueArea, At: b.At,
		})
	}
}

// partOf is the part of a face's panel.
func (s *shelled) partOf(face int) int { return s.panels[s.body.PanelIndex(face)].part }

// letterSeams puts one letter on all edges of the seams that share it, with what they meet and the marks.
func (b *Bench) letterSeams(s *shelled, seams []int, pair [][2]edgeAt, letter string) {
	edge := func(e edgeAt) *part.Edge { return &s.parts[e.part].whole.Edges[e.edge] }
	label := func(e edgeAt) string { return s.parts[e.part].name + "." + edge(e).Name }
	meets := map[edgeAt][]string{}
	meet := func(a, c edgeAt) {
		if !slices.Contains(meets[a], label(c)) {
			meets[a] = append(meets[a], label(c))
			edge(a).Meets = strings.Join(meets[a], " or ")
		}
		edge(a).Letter = letter
	}
	for _, i := range seams {
		meet(pair[i][0], pair[i][1])
		meet(pair[i][1], pair[i][0])
	}
	marks := s.classMarks(seams, pair)
	for e, list := range marks {
		edge(e).Matches = list
	}
}

// classMarks works out the match marks of all edges that share a letter. Marks are set on the edge that is
// butted, or on the first of a mitred seam, and carried over to what it meets in space.
func (s *shelled) classMarks(seams []int, pair [][2]edgeAt) map[edgeAt][]float64 {
	double := twoSided(seams, pair)
	marks := map[edgeAt][]float64{}
	for changed := true; changed; {
		changed = false
		for n, i := range seams {
			seam := s.body.Seams[i]
			a, c := pair[i][0], pair[i][1]
			_, okA := marks[a]
			_, okC := marks[c]
			switch {
			case okA && okC:
				continue
			case okA:
				marks[c] = s.carried(marks[a], i, false)
			case okC:
				marks[a] = s.carried(marks[c], i, true)
			case n > 0:
				continue
			case seam.Butt:
				marks[c] = MatchMarks(s.parts[c.part].whole.Edges[c.edge].Length, double)
			default:
				marks[a] = MatchMarks(s.parts[a.part].whole.Edges[a.edge].Length, double)
			}
			changed = true
		}
	}
	return marks
}

// twoSided tells whether the edges of seams can be told into two sorts so that each seam has one of each.
func twoSided(seams []int, pair [][2]edgeAt) bool {
	side := map[edgeAt]int{}
	for changed := true; changed; {
		changed = false
		for n, i := range seams {
			a, c := pair[i][0], pair[i][1]
			switch {
			case a == c || side[a] != 0 && side[a] == side[c]:
				return false
			case side[a] != 0 && side[c] == 0:
				side[c], changed = -side[a], true
			case side[c] != 0 && side[a] == 0:
				side[a], changed = -side[c], true
			case n == 0 && side[a] == 0:
				side[a], side[c], changed = 1, -1, true
			}
		}
	}
	return true
}

// carried takes marks from one edge of a seam to the other, by where they are in space. back says that
// they stand on the second edge.
func (s *shelled) carried(list []float64, seam int, back bool) []float64 {
	from, to := s.body.Seams[seam].A, s.body.Seams[seam].B
	if back {
		from, to = to, from
	}
	a1, a2 := s.body.Panel(from.Face).Ends(from.Edge)
	c1, c2 := s.body.Panel(to.Face).Ends(to.Edge)
	along, back2 := r3.Unit(r3.Sub(a2.Show, a1.Show)), r3.Sub(c2.Show, c1.Show)
	length := r3.Norm(back2)
	other := r3.Scale(1/length, back2)
	out := make([]float64, 0, len(list))
	for _, m := range list {
		p := r3.Add(a1.Show, r3.Scale(m, along))
		if at := r3.Dot(r3.Sub(p, c1.Show), other); at > 0 && at < length {
			out = append(out, at)
		}
	}
	slices.Sort(out)
	return out
}

// sideOf is an edge of a part as a seam sees it.
func (b *Bench) sideOf(s *shelled, at edgeAt) part.Side {
	p := s.parts[at.part].whole
	e := p.Edges[at.edge]
	return part.Side{Part: idOf(p), Edge: e.Name, Length: e.Length, BackLength: e.BackLength, Bevel: e.Bevel, CutWidth: e.CutWidth}
}

// idOf names a part within the build: "forearm.cheek".
func idOf(p part.Part) string {
	if p.Section == "" {
		return p.Name
	}
	return p.Section + "." + p.Name
}

// classes are sets of edges that share a letter.
type classes map[edgeAt]edgeAt

func (c classes) root(e edgeAt) edgeAt {
	for {
		up, ok := c[e]
		if !ok || up == e {
			return e
		}
		if top, ok := c[up]; ok {
			c[e] = top // halves the way for the next
		}
		e = up
	}
}

func (c classes) join(a, b edgeAt) {
	if a, b = c.root(a), c.root(b); a != b {
		c[b] = a
	}
}
