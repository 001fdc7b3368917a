package shape

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Crossing says that two edges of an outline cross, touch or lie on one another.
type Crossing struct {
	Edges [2]string
	At    r2.Vec // about where, in mm
}

// Error is a sentence with both names.
func (c *Crossing) Error() string {
	at := fmt.Sprintf("near (%s, %s)", number(math.Round(c.At.X*10)/10), number(math.Round(c.At.Y*10)/10))
	if c.Edges[0] == c.Edges[1] {
		return fmt.Sprintf("the edge %s crosses itself %s", c.Edges[0], at)
	}
	return fmt.Sprintf("the edges %s and %s cross %s", c.Edges[0], c.Edges[1], at)
}

// IsSimple is nil if no two edges cross, touch or fold back on one another, else a *Crossing that
// names them; an outline without edges is refused. Curves are held against each other as chords that stray by a micrometre. Outlines of
// more than 100,000 segments, or so tangled that the check would take long, are refused.
func (o Outline) IsSimple() error {
	list, edge := o.curves()
	if len(list) == 0 {
		return errors.New("nothing is left of the outline")
	}
	if len(list) > maxSegments {
		return fmt.Errorf("the outline has %d segments; the most that is checked is %d", len(list), maxSegments)
	}
	i, j, at, err := crossing(o, list)
	if err != nil || i < 0 {
		return err
	}
	return &Crossing{Edges: [2]string{o.Edges[edge[i]].Name, o.Edges[edge[j]].Name}, At: at}
}

// crossing finds two segments that cross, i ≤ j, or -1.
func crossing(o Outline, list []curve) (i, j int, at r2.Vec, err error) {
	box := o.Bounds().Size()
	tol := math.Min(checkFlat, checkShare*(box.X+box.Y))
	pts, owner := flatten(o.Start, list, tol)
	ring := newChords(pts, owner)
	if len(ring.owner) < 3 {
		return 0, len(list) - 1, o.Start, nil
	}
	ring.within(1)
	if ring.work > tooManyPairs {
		return -1, -1, at, errors.New("the outline is too tangled to check")
	}
	if !ring.found {
		return -1, -1, at, nil
	}
	a, b := ring.owner[ring.hit[0]], ring.owner[ring.hit[1]]
	return min(a, b), max(a, b), ring.where(), nil
}

// chords is a closed ring of chords under a tree of boxes: node k covers what 2k and 2k+1 cover, the
// leaves a few chords each, in the order of the ring.
type chords struct {
	pts   []r2.Vec // one more than chords; the last is the first
	owner []int    // the curve that each chord belongs to
	boxes []r2.Box
	spans [][2]int
	work  int
	found bool
	hit   [2]int
}

const chordsInLeaf = 4

// newChords leaves out chords without length.
func newChords(pts []r2.Vec, owner []int) *chords {
	c := &chords{pts: []r2.Vec{pts[0]}}
	for i, k := range owner {
		if dist(c.pts[len(c.pts)-1], pts[i+1]) > samePoint {
			c.pts, c.owner = append(c.pts, pts[i+1]), append(c.owner, k)
		}
	}
	leaves := 1
	for leaves*chordsInLeaf < len(c.owner) {
		leaves *= 2
	}
	c.boxes, c.spans = make([]r2.Box, 2*leaves), make([][2]int, 2*leaves)
	c.plant(1, 0, len(c.owner), leaves)
	return c
}

func (c *chords) plant(node, lo, hi, leaves int) {
	c.spans[node] = [2]int{lo, hi}
	if node >= leaves {
		for i := lo; i < hi; i++ {
			b := boxOf(c.pts[i], c.pts[i+1])
			if i > lo {
				b = join(c.boxes[node], b)
			}
			c.boxes[node] = b
		}
		return
	}
	mid := (lo + hi) / 2
	c.plant(2*node, lo, mid, leaves)
	c.plant(2*node+1, mid, hi, leaves)
	switch {
	case lo == mid:
		c.boxes[node] = c.boxes[2*node+1]
	default:
		c.boxes[node] = join(c.boxes[2*node], c.boxes[2*node+1])
	}
}

func (c *chords) leaf(node int) bool  { return 2*node >= len(c.boxes) }
func (c *chords) empty(node int) bool { return c.spans[node][0] == c.spans[node][1] }

// within looks for a crossing among the chords below one node.
func (c *chords) within(node int) {
	if c.found || c.empty(node) {
		return
	}
	if c.leaf(node) {
		c.compare(node, node)
		return
	}
	c.within(2 * node)
	c.within(2*node + 1)
	c.between(2*node, 2*node+1)
}

// between looks for a crossing of a chord below a with one below b.
func (c *chords) between(a, b int) {
	c.work++
	if c.found || c.work > tooManyPairs || c.empty(a) || c.empty(b) || apart(c.boxes[a], c.boxes[b], samePoint) {
		return
	}
	switch {
	case c.leaf(a) && c.leaf(b):
		c.compare(a, b)
	case c.leaf(b) || !c.leaf(a) && c.size(a) >= c.size(b):
		c.between(2*a, b)
		c.between(2*a+1, b)
	default:
		c.between(a, 2*b)
		c.between(a, 2*b+1)
	}
}

func (c *chords) size(node int) int { return c.spans[node][1] - c.spans[node][0] }

func (c *chords) compare(a, b int) {
	for i := c.spans[a][0]; i < c.spans[a][1]; i++ {
		for j := max(i+1, c.spans[b][0]); j < c.spans[b][1]; j++ {
			c.work++
			if c.clash(i, j) {
				c.found, c.hit = true, [2]int{i, j}
				return
			}
		}
	}
}

// where is about the point at which the two chords that were found meet.
func (c *chords) where() r2.Vec {
	i, j := c.hit[0], c.hit[1]
	if p, ok := linesMeet(c.pts[i], r2.Sub(c.pts[i+1], c.pts[i]), c.pts[j], r2.Sub(c.pts[j+1], c.pts[j])); ok {
		return p
	}
	return c.pts[j]
}

// clash tells whether chords i < j touch where they should not.
func (c *chords) clash(i, j int) bool {
	n := len(c.owner)
	switch {
	case j == i+1:
		return folded(c.pts[i], c.pts[j], c.pts[j+1])
	case i == 0 && j == n-1:
		return folded(c.pts[j], c.pts[0], c.pts[1])
	}
	return touch(c.pts[i], c.pts[i+1], c.pts[j], c.pts[j+1])
}

// folded tells whether the way from a over b to c comes back on itself.
func folded(a, b, c r2.Vec) bool {
	u, v := r2.Sub(b, a), r2.Sub(c, b)
	return r2.Dot(u, v) < 0 && math.Abs(r2.Cross(u, v)) <= foldedTurn*r2.Norm(u)*r2.Norm(v)
}

// touch tells whether the segments ab and cd share a point.
func touch(a, b, c, d r2.Vec) bool {
	if apart(boxOf(a, b), boxOf(c, d), samePoint) {
		return false
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// side is 1 if p lies to the left of the line from a to b, -1 to the right, 0 on it.
func side(a, b, p r2.Vec) int {
	u := r2.Sub(b, a)
	cross := r2.Cross(u, r2.Sub(p, a))
	switch tol := samePoint * r2.Norm(u); {
	case cross > tol:
		return 1
	case cross < -tol:
		return -1
	}
	return 0
}
