package template

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// most edges that are named on one piece: a traced outline may have thousands, and the longest
// are the ones that a maker looks for. Odd and lettered edges come before them.
const mostNamed = 40

// edges writes along each edge what it is called, how it is cut and what it meets.
func (s *sheetPiece) edges() {
	edges := s.part.Edges
	order := make([]int, min(len(edges), len(s.near.Edges)))
	for i := range order {
		order[i] = i
	}
	if len(order) > mostNamed {
		rank := func(i int) float64 {
			if edges[i].Letter != "" || slices.Contains(s.part.Odd, edges[i].Name) {
				return math.Inf(1)
			}
			return edges[i].Length
		}
		slices.SortStableFunc(order, func(a, b int) int {
			switch ra, rb := rank(a), rank(b); {
			case ra > rb:
				return -1
			case ra < rb:
				return 1
			}
			return a - b
		})
		order = order[:mostNamed]
		slices.Sort(order)
	}
	for _, i := range order {
		s.edge(edges[i], s.run(i))
	}
}

// run is the edge on the face that is up, followed in short steps.
func (s *sheetPiece) run(i int) []r2.Vec { return edgeSteps(s.near, i) }

func edgeSteps(o shape.Outline, i int) []r2.Vec { return steps(o.EdgePath(i)) }

// edgeWords are the ways to say it, the fullest first.
func edgeWords(e part.Edge) []string {
	cut := "square"
	if math.Abs(e.Bevel) > 1e-6 {
		cut = degrees(e.Bevel)
		if e.Bevel < 0 {
			cut = "−" + cut
		}
	}
	words := []string{e.Name + sep(cut) + sep(e.Letter)}
	if e.Meets != "" {
		words = []string{words[0] + " → " + e.Meets, words[0]}
	}
	if e.Letter != "" {
		words = append(words, e.Letter+" "+cut)
	}
	return append(words, cut)
}

// place is a spot on an edge: the point, the direction of lettering, and the way to the inside.
type place struct{ at, dir, in r2.Vec }

// edge finds room for the words of an edge inside of it, or outside if there is none.
func (s *sheetPiece) edge(e part.Edge, points []r2.Vec) {
	leans := math.Abs(e.Bevel) > 1e-6
	odd := slices.Contains(s.part.Odd, e.Name)
	words := edgeWords(e)
	for _, size := range []float64{0.8, 0.65} {
		for _, text := range words[:max(len(words)-1, 1)] {
			for _, t := range []float64{0.5, 0.38, 0.62, 0.25, 0.75} {
				at, ok := s.on(points, t)
				if ok && s.alongEdge(e, at, text, size, leans, odd) {
					return
				}
			}
		}
	}
	if at, ok := s.on(points, 0.5); ok {
		s.outsideEdge(e, at, words, leans, odd)
	}
}

// on finds the place at a share t of the edge's length.
func (s *sheetPiece) on(points []r2.Vec, t float64) (place, bool) {
	total := 0.0
	for i := 1; i < len(points); i++ {
		total += r2.Norm(r2.Sub(points[i], points[i-1]))
	}
	left := t * total
	for i := 1; i < len(points); i++ {
		step := r2.Sub(points[i], points[i-1])
		n := r2.Norm(step)
		if n == 0 || n < left {
			left -= n
			continue
		}
		dir := r2.Scale(1/n, step)
		p := place{at: r2.Add(points[i-1], r2.Scale(left, dir)), in: r2.Vec{X: -dir.Y, Y: dir.X}}
		// The outline may run either way round: try which side is inside.
		if !within(r2.Add(p.at, r2.Scale(0.05, p.in)), s.ring) {
			p.in = r2.Scale(-1, p.in)
		}
		angle := draw.Upright(math.Atan2(dir.Y, dir.X))
		p.dir = r2.Vec{X: math.Cos(angle), Y: math.Sin(angle)}
		return p, true
	}
	return place{}, false
}

// signs need this much room in Em before and after the words.
const (
	arrowRoom = 1.2
	crossRoom = 1.3
)

// alongEdge writes the words inside along the edge if they are clear there.
func (s *sheetPiece) alongEdge(e part.Edge, p place, text string, size float64, leans, odd bool) bool {
	h := size * s.em
	before, after := 0.0, 0.0
	if leans {
		before = arrowRoom * h
	}
	if odd {
		after = crossRoom * h
	}
	w := wide(text)*h + before + after
	mid := r2.Add(p.at, r2.Scale(s.inset(e, h), p.in))
	up := r2.Vec{X: -p.dir.Y, Y: p.dir.X}
	corners := around(mid, p.dir, up, w+0.4*h, 1.5*h)
	if !s.clear(corners) {
		return false
	}
	s.taken = append(s.taken, corners)
	start := r2.Add(mid, r2.Scale(-w/2, p.dir))
	s.d.Add(draw.Label{Role: draw.Note, Text: text, Size: size, Anchor: draw.Start,
		Angle: math.Atan2(p.dir.Y, p.dir.X), At: r2.Add(start, r2.Scale(before, p.dir))})
	// The signs stand on the edge itself, at the ends of the words.
	foot := r2.Add(p.at, r2.Scale(-w/2+0.4*h, p.dir))
	if leans {
		s.arrow(e, place{at: foot, in: p.in}, h)
	}
	if odd {
		s.cross(r2.Add(mid, r2.Scale(w/2-0.5*h, p.dir)), 0.45*h)
	}
	return true
}

// inset is how far inside of the edge words stand: clear of the other face's dashed line, or
// between the two when there is room.
func (s *sheetPiece) inset(e part.Edge, h float64) float64 {
	run := e.Run * s.lean
	switch {
	case run > 2.4*h:
		return run / 2
	case run > 0.2*h:
		return run + 1.1*h
	}
	return 1.05 * h
}

// outsideEdge writes the words level outside of a short edge.
func (s *sheetPiece) outsideEdge(e part.Edge, p place, words []string, leans, odd bool) {
	const size = 0.65
	h := size * s.em
	text := words[0]
	out := r2.Scale(-1, p.in)
	away := 1.2 * h
	if leans || odd {
		away = 2.2 * h
	}
	l := draw.Label{Role: draw.Note, Text: text, Size: size}
	for range 8 {
		l.At = r2.Add(p.at, r2.Scale(away, out))
		l.At.X += out.X * draw.TextWidth(text) * h / 2
		if !s.touches(l.Corners(s.em)) {
			break
		}
		away += h
	}
	s.d.Add(l)
	s.taken = append(s.taken, l.Corners(s.em))
	if away > 3*h {
		s.d.Add(draw.Stroke{Role: draw.Note, Path: shape.Path{Start: r2.Add(p.at, r2.Scale(0.4*h, out)),
			Segs: []shape.Seg{{End: r2.Add(p.at, r2.Scale(away-0.8*h, out))}}}})
	}
	if leans {
		s.arrow(e, p, h)
	}
	if odd {
		s.cross(r2.Add(p.at, r2.Scale(1.1*h, p.dir)), 0.45*h)
	}
}

// touches tells whether a box outside of the piece meets the piece or other words.
func (s *sheetPiece) touches(box [4]r2.Vec) bool {
	for _, t := range s.taken {
		if draw.Overlap(box, t) {
			return true
		}
	}
	return crosses(box, s.ring, true) || within(box[0], s.ring) || crosses(box, s.farRing, true)
}

// arrow points from the edge to where the edge of the other face lies: into the piece when the other
// face is the smaller one, out of it when it is the larger one.
func (s *sheetPiece) arrow(e part.Edge, p place, h float64) {
	way := p.in
	if e.Bevel*s.lean < 0 {
		way = r2.Scale(-1, way)
	}
	side := r2.Vec{X: -way.Y, Y: way.X}
	tip := r2.Add(p.at, r2.Scale(1.5*h, way))
	neck := r2.Add(p.at, r2.Scale(0.9*h, way))
	line := func(path ...r2.Vec) {
		segs := make([]shape.Seg, len(path)-1)
		for i, q := range path[1:] {
			segs[i] = shape.Seg{End: q}
		}
		s.d.Add(draw.Stroke{Role: draw.Mark, Path: shape.Path{Start: path[0], Segs: segs}})
	}
	line(p.at, tip)
	line(r2.Add(neck, r2.Scale(0.3*h, side)), tip, r2.Add(neck, r2.Scale(-0.3*h, side)))
}

// cross marks an edge whose bevel differs from its likes.
func (s *sheetPiece) cross(at r2.Vec, r float64) {
	for _, y := range []float64{-r, r} {
		s.d.Add(draw.Stroke{Role: draw.Accent, Path: shape.Path{
			Start: r2.Vec{X: at.X - r, Y: at.Y + y}, Segs: []shape.Seg{{End: r2.Vec{X: at.X + r, Y: at.Y - y}}}}})
	}
}
