package kind

import (
	"math"
	"slices"
	"strings"

	"bevelbook/calc/part"
)

// matchSpacing is about how far match marks stand apart on a long seam, mm. Common practice, no source.
const matchSpacing = 100.0

// Letter is the letter of seam i: A to Z, then AA.
func Letter(i int) string {
	const letters = 26
	text := string(rune('A' + i%letters))
	if i >= letters {
		return Letter(i/letters-1) + text
	}
	return text
}

// panelOf is a part's name without its block's.
func panelOf(p part.Part) string { return strings.TrimPrefix(p.Name, p.Block+".") }

// edgeOf finds an edge of a part; where a tab stands in its place, that.
func edgeOf(p *part.Part, name string) *part.Edge {
	i := slices.IndexFunc(p.Edges, func(e part.Edge) bool { return e.Name == name })
	if i < 0 {
		i = slices.IndexFunc(p.Edges, func(e part.Edge) bool { return e.Name == "tab" })
	}
	return &p.Edges[i]
}

// rolledSeam is two edges of flat parts that meet.
type rolledSeam struct {
	a, b         *part.Part
	edgeA, edgeB string
	glue         float64 // how wide the glue stands, mm
	dihedral     float64 // radians, 0 if it changes along the seam
	times        int     // how often it is glued round the shape where all its pieces are alike; 0 is once
	// matches are where match marks stand, as distances along edge a; nil spaces them equally.
	matches []float64
}

// join makes the seam: the next letter on both edges, what each meets, match marks.
func (b *Bench) join(s rolledSeam) {
	letter := Letter(b.lettered())
	one, two := edgeOf(s.a, s.edgeA), edgeOf(s.b, s.edgeB)
	length := one.Length
	one.Letter, two.Letter = letter, letter
	one.Meets, two.Meets = metName(s.b, two.Name), metName(s.a, one.Name)
	if s.matches == nil {
		s.matches = MatchMarks(length, true)
	}
	one.Matches = s.matches
	two.Matches = slices.Clone(s.matches)
	for i, m := range s.matches {
		two.Matches[i] = length - m
	}
	slices.Sort(two.Matches)
	if two.Name == "tab" {
		two.Matches = alongTab(two.Matches, two.Length, length)
	}
	side := func(p *part.Part, e *part.Edge) part.Side {
		// A tab's own rim is another: the line that it is folded or glued along counts.
		return part.Side{Part: idOf(*p), Edge: e.Name, Length: length, BackLength: length, Bevel: e.Bevel, CutWidth: e.CutWidth}
	}
	first, second := side(s.a, one), side(s.b, two)
	if two.Name != "tab" {
		second.Length, second.BackLength = two.Length, two.BackLength
	}
	first.BackLength = one.BackLength
	for range max(1, s.times) {
		b.Out.Seams = append(b.Out.Seams, part.Seam{
			A: first, B: second, Letter: letter, Dihedral: s.dihedral, GlueArea: length * s.glue, At: b.At,
		})
	}
}

// lettered is how many letters the block's seams have so far.
func (b *Bench) lettered() int {
	seen := map[string]bool{}
	for _, s := range b.Out.Seams {
		seen[s.Letter] = true
	}
	return len(seen)
}

// metName names an edge of another part: by its panel if both come from one block of several.
func metName(other *part.Part, edge string) string {
	if other.Name == other.Block {
		return edge
	}
	return panelOf(*other) + "." + edge
}

// spaced are match marks at equal distances, none on an edge that is short.
func spaced(length float64) []float64 {
	n := int(math.Round(length / matchSpacing))
	var list []float64
	for i := 1; i < n; i++ {
		list = append(list, length*float64(i)/float64(n))
	}
	return list
}

// alongTab moves marks from the straight line of a tab, by its length, to the tab's rim: a slope, a
// straight stretch and a slope.
func alongTab(marks []float64, rim, line float64) []float64 {
	out := make([]float64, len(marks))
	for i, m := range marks {
		out[i] = m + (rim-line)/2
	}
	return out
}

// closing is the seam of a piece with itself or with the next one: start meets end. times says how often
// where all pieces round the axis are alike.
func (b *Bench) closing(p, next *part.Part, s bentSheet, times int) {
	glue := s.Thickness
	if tab := b.Num("tab", 0); tab > 0 {
		glue = tab
	}
	b.join(rolledSeam{a: p, b: next, edgeA: "start", edgeB: "end", glue: glue, dihedral: math.Pi, times: times})
}
