package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Figure is all of a part that decides whether another is like it.
type Figure struct {
	Outline Outline
	Bevels  []float64 // radians, one for each edge of Outline; missing ones are 0
	Holes   []Outline
	Lines   []Path // either direction
	Marks   []r2.Vec
}

// Congruent tells whether a can be turned and shifted, without mirroring, to lie on b within tol mm,
// and how. How an outline is split into edges and segments, and the order of holes, lines and marks,
// do not matter; bevels must agree within a millionth of a radian. Two outlines so long and so nearly
// regular that more than fifty million joints would have to be looked at may count as unlike. A tol that is no positive number
// counts as a millionth of a millimetre.
func Congruent(a, b Figure, tol float64) (Motion, bool) {
	if !(tol > onEdge) {
		tol = onEdge
	}
	if len(a.Holes) != len(b.Holes) || len(a.Lines) != len(b.Lines) || len(a.Marks) != len(b.Marks) {
		return Motion{}, false
	}
	fa, fb := newForm(a, tol), newForm(b, tol)
	if len(fa.outer.list) == 0 || len(fb.outer.list) == 0 || math.Abs(fa.outer.length-fb.outer.length) > lengthSlack(fa.outer, tol) {
		return Motion{}, false
	}
	for _, m := range fa.ways(fb, tol) {
		if fa.lies(fb, m, tol) {
			return m, true
		}
	}
	return Motion{}, false
}

// lengthSlack is how much the lengths of two loops may differ if each joint is off by tol.
func lengthSlack(l loop, tol float64) float64 { return 2 * tol * float64(len(l.list)+1) }

// MirrorImages tells whether b is a in a mirror, within tol mm, wherever the two lie.
func MirrorImages(a, b Figure, tol float64) bool {
	_, ok := Congruent(a.Mirror(), b, tol)
	return ok
}

// SelfMirrored tells whether some line of the plane mirrors the figure onto itself, within tol mm.
func SelfMirrored(a Figure, tol float64) bool { return MirrorImages(a, a, tol) }

// Mirror is the figure with x → −x, each bevel with its edge.
func (f Figure) Mirror() Figure {
	n := len(f.Outline.Edges)
	out := Figure{Outline: f.Outline.Mirror(), Bevels: make([]float64, n)}
	for i := range n {
		out.Bevels[i] = f.bevel((n - i) % n)
	}
	for _, h := range f.Holes {
		out.Holes = append(out.Holes, h.Mirror())
	}
	for _, l := range f.Lines {
		out.Lines = append(out.Lines, l.Mirror())
	}
	for _, p := range f.Marks {
		out.Marks = append(out.Marks, r2.Vec{X: -p.X, Y: p.Y})
	}
	return out
}

func (f Figure) bevel(edge int) float64 {
	if edge < len(f.Bevels) {
		return f.Bevels[edge]
	}
	return 0
}

// form is a figure made ready for comparing.
type form struct {
	outer  loop
	centre r2.Vec
	holes  []loop
	lines  [][]curve
	marks  []r2.Vec
}

func newForm(f Figure, tol float64) form {
	out := form{outer: newLoop(f.Outline, f.bevel, tol), centre: f.Outline.Centroid(), marks: f.Marks}
	for _, h := range f.Holes {
		out.holes = append(out.holes, newLoop(h, func(int) float64 { return 0 }, tol))
	}
	for _, l := range f.Lines {
		out.lines = append(out.lines, withLength(l.curves()))
	}
	return out
}

func withLength(list []curve) []curve {
	var out []curve
	for _, c := range list {
		if c.length() > samePoint {
			out = append(out, c)
		}
	}
	return out
}

// ways are the motions that may lay f on g: they take centre to centre, and one landmark of f to a
// landmark of the same sort of g at the same distance. Without any landmark all turns are alike.
func (f form) ways(g form, tol float64) []Motion {
	from, to := f.landmarks(loop.firm, tol), g.landmarks(loop.all, tol)
	for sort, list := range from {
		if len(list) == 0 {
			continue
		}
		mark := r2.Sub(furthest(list, f.centre), f.centre)
		var out []Motion
		for _, p := range to[sort] {
			q := r2.Sub(p, g.centre)
			if math.Abs(r2.Norm(q)-r2.Norm(mark)) <= 4*tol {
				m := Motion{Angle: turn(r2.Vec{}, mark, q)}
				m.Shift = r2.Sub(g.centre, m.turn(f.centre))
				out = append(out, m)
			}
		}
		return out[:min(len(out), 1+maxWalked/len(f.outer.list))]
	}
	return []Motion{{Shift: r2.Sub(g.centre, f.centre)}}
}

// landmarks are points that any motion of the figure onto its like takes to points of the same sort:
// the outline's joints, centres of holes, joints of holes, marks, ends of lines. Points in the centre
// are none.
func (f form) landmarks(joints func(loop) []int, tol float64) [5][]r2.Vec {
	var out [5][]r2.Vec
	add := func(sort int, p r2.Vec) {
		if dist(p, f.centre) > 8*tol {
			out[sort] = append(out[sort], p)
		}
	}
	for _, k := range joints(f.outer) {
		add(0, f.outer.list[k].from)
	}
	for _, h := range f.holes {
		add(1, h.centre)
		for _, k := range joints(h) {
			add(2, h.list[k].from)
		}
	}
	for _, p := range f.marks {
		add(3, p)
	}
	for _, l := range f.lines {
		if len(l) > 0 {
			add(4, l[0].from)
			add(4, l[len(l)-1].End)
		}
	}
	return out
}

func furthest(list []r2.Vec, from r2.Vec) r2.Vec {
	best := list[0]
	for _, p := range list {
		if dist(p, from) > dist(best, from) {
			best = p
		}
	}
	return best
}

// lies tells whether the motion lays f on g: the few things first, the outline last.
func (f form) lies(g form, m Motion, tol float64) bool {
	holes := paired(len(f.holes), tol,
		func(i int) r2.Vec { return m.Apply(f.holes[i].centre) },
		func(j int) r2.Vec { return g.holes[j].centre },
		func(i, j int) bool { return f.holes[i].lies(g.holes[j], m, tol) })
	lines := holes && paired(len(f.lines), tol,
		func(i int) r2.Vec { return m.Apply(middle(f.lines[i])) },
		func(j int) r2.Vec { return middle(g.lines[j]) },
		func(i, j int) bool { return lineLies(f.lines[i], g.lines[j], m, tol) })
	marks := lines && paired(len(f.marks), tol,
		func(i int) r2.Vec { return m.Apply(f.marks[i]) },
		func(j int) r2.Vec { return g.marks[j] },
		func(i, j int) bool { return true })
	return marks && f.outer.lies(g.outer, m, tol)
}

// middle is the point half way between the ends.
func middle(l []curve) r2.Vec {
	if len(l) == 0 {
		return r2.Vec{}
	}
	return lerp(l[0].from, l[len(l)-1].End, 0.5)
}

func lineLies(a, b []curve, m Motion, tol float64) bool {
	if len(a) == 0 || len(b) == 0 {
		return len(a) == len(b)
	}
	back := make([]curve, len(b))
	for i, c := range b {
		back[len(b)-1-i] = c.reversed()
	}
	return walk(plain(a), plain(b), 0, 0, m, tol) || walk(plain(a), plain(back), 0, 0, m, tol)
}

// paired gives each of n things a partner of its own among n others: one that lies within 2·tol and
// is alike.
func paired(n int, tol float64, mine, theirs func(int) r2.Vec, alike func(i, j int) bool) bool {
	others := newSquares(n, tol, theirs)
	taken := make([]bool, n)
	for i := range n {
		j := others.near(mine(i), func(j int) bool { return !taken[j] && alike(i, j) })
		if j < 0 {
			return false
		}
		taken[j] = true
	}
	return true
}

// squares keep points by squares of the plane, so that those near a place are found at once.
type squares struct {
	tol  float64
	at   func(int) r2.Vec
	cell map[[2]int64][]int
}

func newSquares(n int, tol float64, at func(int) r2.Vec) squares {
	s := squares{tol, at, make(map[[2]int64][]int, n)}
	for i := range n {
		k := s.square(at(i))
		s.cell[k] = append(s.cell[k], i)
	}
	return s
}

func (s squares) square(p r2.Vec) [2]int64 {
	return [2]int64{int64(math.Floor(p.X / (4 * s.tol))), int64(math.Floor(p.Y / (4 * s.tol)))}
}

// near is the first point within 2·tol of p that will do, or -1.
func (s squares) near(p r2.Vec, will func(int) bool) int {
	mid := s.square(p)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, i := range s.cell[[2]int64{mid[0] + dx, mid[1] + dy}] {
				if dist(p, s.at(i)) <= 2*s.tol && will(i) {
					return i
				}
			}
		}
	}
	return -1
}
