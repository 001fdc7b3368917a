package solid

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// grid keeps the faces of a picture by squares, about one to a face, so that those near a place are
// found without asking all of them.
type grid struct {
	box   r2.Box
	step  float64
	nx    int
	ny    int
	cells [][]int32
	seen  []uint32 // the question that a face was last found for
	asked uint32
	found []int
}

func newGrid(faces []seenFace) grid {
	inf := math.Inf(1)
	g := grid{box: r2.Box{Min: r2.Vec{X: inf, Y: inf}, Max: r2.Vec{X: -inf, Y: -inf}}, seen: make([]uint32, len(faces))}
	n := 0
	for i := range faces {
		if f := &faces[i]; f.facing != 0 {
			g.box.Min = r2.Vec{X: min(g.box.Min.X, f.box.Min.X), Y: min(g.box.Min.Y, f.box.Min.Y)}
			g.box.Max = r2.Vec{X: max(g.box.Max.X, f.box.Max.X), Y: max(g.box.Max.Y, f.box.Max.Y)}
			n++
		}
	}
	if n == 0 {
		g.box = r2.Box{}
		return g
	}
	size := r2.Sub(g.box.Max, g.box.Min)
	g.step = math.Max(math.Sqrt(size.X*size.Y/float64(n)), math.Max(size.X, size.Y)/float64(n))
	if !(g.step > 0) {
		g.step = 1
	}
	g.nx, g.ny = int(size.X/g.step)+1, int(size.Y/g.step)+1
	g.cells = make([][]int32, g.nx*g.ny)
	for i := range faces {
		if faces[i].facing != 0 {
			g.each(faces[i].box, func(cell int) { g.cells[cell] = append(g.cells[cell], int32(i)) })
		}
	}
	return g
}

// each calls do for the squares that a box touches.
func (g *grid) each(b r2.Box, do func(cell int)) {
	column := func(x float64) int { return min(max(int((x-g.box.Min.X)/g.step), 0), g.nx-1) }
	row := func(y float64) int { return min(max(int((y-g.box.Min.Y)/g.step), 0), g.ny-1) }
	for y := row(b.Min.Y); y <= row(b.Max.Y); y++ {
		for x := column(b.Min.X); x <= column(b.Max.X); x++ {
			do(y*g.nx + x)
		}
	}
}

// near lists, in their order, the faces of the squares that a box touches; it holds until the next
// question.
func (g *grid) near(b r2.Box) []int {
	g.found = g.found[:0]
	if len(g.cells) == 0 {
		return nil
	}
	g.asked++
	g.each(b, func(cell int) {
		for _, i := range g.cells[cell] {
			if g.seen[i] != g.asked {
				g.seen[i] = g.asked
				g.found = append(g.found, int(i))
			}
		}
	})
	slices.Sort(g.found)
	return g.found
}
