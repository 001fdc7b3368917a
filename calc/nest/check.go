package nest

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tolerance is by how many millimetres Check lets a gap or a margin fall short, or a part reach into
// another one that it touches.
const Tolerance = 1e-6

// Overlap is what Check says of two parts that are too near, or of one that is too near the rim.
type Overlap struct {
	A, B  Placement // B.Item is −1 for the rim of the sheet
	names [2]string
	want  float64
}

// Error is a sentence with both names and the sheet.
func (o *Overlap) Error() string {
	if o.B.Item < 0 {
		return fmt.Sprintf("%s, copy %d, lies nearer than %g mm to the rim of sheet %d", o.names[0], o.A.Copy+1, o.want, o.A.Sheet+1)
	}
	if o.want <= Tolerance {
		return fmt.Sprintf("%s, copy %d, and %s, copy %d, overlap on sheet %d", o.names[0], o.A.Copy+1, o.names[1], o.B.Copy+1, o.A.Sheet+1)
	}
	return fmt.Sprintf("%s, copy %d, and %s, copy %d, lie nearer than %g mm on sheet %d", o.names[0], o.A.Copy+1, o.names[1], o.B.Copy+1, o.want, o.A.Sheet+1)
}

// Check refuses a layout that cannot be cut: a copy that is missing or there twice, a turn that is not
// allowed, a sheet that does not exist, a part nearer to the rim than the margin, two parts nearer to one another
// than the gap. It looks at the polygons as they were handed in, every pair that could touch, edge by edge.
func Check(job Job, l Layout) error {
	if err := job.valid(); err != nil {
		return err
	}
	if err := checkSheets(job, l); err != nil {
		return err
	}
	if err := checkCopies(job, l); err != nil {
		return err
	}
	regions := make([]*region, len(l.Placed))
	for i, p := range l.Placed {
		regions[i] = newRegion(job, p)
		if err := checkRim(job, l, p, regions[i]); err != nil {
			return err
		}
	}
	return checkPairs(job, l, regions)
}

func checkSheets(job Job, l Layout) error {
	seen := map[[2]int]bool{}
	for i, u := range l.Sheets {
		if u.Sheet < 0 || u.Sheet >= len(job.Sheets) {
			return fmt.Errorf("sheet %d of the layout is of no known size", i+1)
		}
		if n := job.Sheets[u.Sheet].Count; u.Number < 0 || n > 0 && u.Number >= n {
			return fmt.Errorf("sheet %d of the layout is number %d of %d", i+1, u.Number+1, n)
		}
		if key := [2]int{u.Sheet, u.Number}; seen[key] {
			return fmt.Errorf("sheet %d of the layout is used twice", i+1)
		} else {
			seen[key] = true
		}
	}
	return nil
}

func checkCopies(job Job, l Layout) error {
	seen := map[[2]int]bool{}
	note := func(item, copy int) error {
		if item < 0 || item >= len(job.Items) || copy < 0 || copy >= job.Items[item].Count {
			return fmt.Errorf("the layout has copy %d of item %d, which is not wanted", copy+1, item+1)
		}
		if key := [2]int{item, copy}; seen[key] {
			return fmt.Errorf("%s, copy %d, is there twice", named(job.Items[item].Name, "item", item), copy+1)
		} else {
			seen[key] = true
		}
		return nil
	}
	for _, p := range l.Placed {
		if err := note(p.Item, p.Copy); err != nil {
			return err
		}
		if err := checkMove(job, l, p); err != nil {
			return fmt.Errorf("%s, copy %d: %w", named(job.Items[p.Item].Name, "item", p.Item), p.Copy+1, err)
		}
	}
	for _, p := range l.Left {
		if err := note(p.Item, p.Copy); err != nil {
			return err
		}
	}
	for i, it := range job.Items {
		for c := range it.Count {
			if !seen[[2]int{i, c}] {
				return fmt.Errorf("%s, copy %d, is missing", named(it.Name, "item", i), c+1)
			}
		}
	}
	return nil
}

func checkMove(job Job, l Layout, p Placement) error {
	m := p.Move
	switch {
	case p.Sheet < 0 || p.Sheet >= len(l.Sheets):
		return fmt.Errorf("lies on sheet %d of %d", p.Sheet+1, len(l.Sheets))
	case m.Mirror:
		return errors.New("is mirrored")
	case !(math.Abs(m.Angle) <= maxSize && math.Abs(m.Shift.X) <= 3*maxSize && math.Abs(m.Shift.Y) <= 3*maxSize):
		return errors.New("is moved to no place")
	}
	step := map[Turns]float64{Quarter: math.Pi / 2, Half: math.Pi, None: 2 * math.Pi}[job.Items[p.Item].Turns]
	if step > 0 && math.Abs(math.Remainder(m.Angle, step)) > 1e-9 {
		return fmt.Errorf("is turned by %.6g°, which is not allowed", m.Angle*180/math.Pi)
	}
	return nil
}

// region is a placed part: what lies inside an odd number of its rings.
type region struct {
	rings [][]r2.Vec
	box   r2.Box
	inner r2.Vec // a point well inside
	slack float64
}

func newRegion(job Job, p Placement) *region {
	it := job.Items[p.Item]
	r := &region{slack: it.Slack}
	for _, ring := range append([][]r2.Vec{it.Outline}, job.holes(p.Item)...) {
		placed := make([]r2.Vec, len(ring))
		for i, v := range ring {
			placed[i] = p.Move.Apply(v)
		}
		r.rings = append(r.rings, placed)
	}
	r.box, r.inner = ringBox(r.rings[0]), innerPoint(r.rings)
	return r
}

// innerPoint is the middle of the widest stretch of material on a few level lines.
func innerPoint(rings [][]r2.Vec) r2.Vec {
	box := ringBox(rings[0])
	best, at := -1.0, box.Min
	const lines = 31
	for k := range lines {
		y := box.Min.Y + (float64(k)+0.5127)/lines*(box.Max.Y-box.Min.Y)
		var xs []float64
		for _, ring := range rings {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				if (a.Y > y) != (b.Y > y) {
					xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
				}
			}
		}
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			if w := xs[i+1] - xs[i]; w > best {
				best, at = w, r2.Vec{X: (xs[i] + xs[i+1]) / 2, Y: y}
			}
		}
	}
	return at
}

func checkRim(job Job, l Layout, p Placement, r *region) error {
	s := job.Sheets[l.Sheets[p.Sheet].Sheet]
	wrong := &Overlap{A: p, B: Placement{Item: -1}, names: [2]string{named(job.Items[p.Item].Name, "item", p.Item), ""}, want: job.Margin}
	if s.Outline == nil {
		m := job.Margin + r.slack - Tolerance
		if r.box.Min.X < m || r.box.Min.Y < m || r.box.Max.X > s.Width-m || r.box.Max.Y > s.Height-m {
			return wrong
		}
		return nil
	}
	// What lies around the sheet is a frame with the sheet as its hole.
	box := ringBox(s.Outline)
	if r.box.Min.X < box.Min.X-Tolerance || r.box.Min.Y < box.Min.Y-Tolerance || r.box.Max.X > box.Max.X+Tolerance || r.box.Max.Y > box.Max.Y+Tolerance {
		return wrong
	}
	d := 1 + box.Size().X + box.Size().Y
	outer := []r2.Vec{{X: box.Min.X - d, Y: box.Min.Y - d}, {X: box.Max.X + d, Y: box.Min.Y - d}, {X: box.Max.X + d, Y: box.Max.Y + d}, {X: box.Min.X - d, Y: box.Max.Y + d}}
	around := &region{rings: [][]r2.Vec{outer, s.Outline}}
	around.box, around.inner = ringBox(outer), outer[0]
	if !apartBy(r, around, job.Margin+r.slack) {
		return wrong
	}
	return nil
}

// checkPairs looks at all pairs on one sheet whose boxes come near each other.
func checkPairs(job Job, l Layout, regions []*region) error {
	order := make([]int, len(regions))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(l.Placed[a].Sheet, l.Placed[b].Sheet), cmp.Compare(regions[a].box.Min.X, regions[b].box.Min.X), cmp.Compare(a, b))
	})
	widest := 0.0 // slack of any other
	for _, r := range regions {
		widest = math.Max(widest, r.slack)
	}
	for n, i := range order {
		for _, k := range order[n+1:] {
			a, b := regions[i], regions[k]
			if l.Placed[k].Sheet != l.Placed[i].Sheet || b.box.Min.X > a.box.Max.X+job.Gap+a.slack+widest {
				break
			}
			if !apartBy(a, b, job.Gap+a.slack+b.slack) {
				p, q := l.Placed[i], l.Placed[k]
				return &Overlap{A: p, B: q, want: job.Gap, names: [2]string{named(job.Items[p.Item].Name, "item", p.Item), named(job.Items[q.Item].Name, "item", q.Item)}}
			}
		}
	}
	return nil
}

// apartBy tells whether two regions keep the gap, within Tolerance.
func apartBy(a, b *region, gap float64) bool {
	if a.box.Max.X+gap <= b.box.Min.X || b.box.Max.X+gap <= a.box.Min.X || a.box.Max.Y+gap <= b.box.Min.Y || b.box.Max.Y+gap <= a.box.Min.Y {
		return true
	}
	if gap <= 10*Tolerance {
		return touchAtMost(a, b) && touchAtMost(b, a)
	}
	// Boundaries that keep the gap do not cross: then all of a ring lies on one side of the other part.
	for _, ring := range a.rings {
		if b.holds(ring[0]) {
			return false
		}
	}
	for _, ring := range b.rings {
		if a.holds(ring[0]) {
			return false
		}
	}
	return keepDistance(a.near(b.box, gap), b.near(a.box, gap), gap-Tolerance)
}

// holds tells whether p lies in the material, by the crossings of a ray to the right.
func (r *region) holds(p r2.Vec) bool {
	in := false
	for _, ring := range r.rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
			a = b
		}
	}
	return in
}

// segment is one edge of a boundary.
type segment struct{ a, b r2.Vec }

func (s segment) left() float64  { return math.Min(s.a.X, s.b.X) }
func (s segment) right() float64 { return math.Max(s.a.X, s.b.X) }

// near are the edges that come within d of a box, by their left ends.
func (r *region) near(box r2.Box, d float64) []segment {
	var out []segment
	for _, ring := range r.rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if math.Max(a.X, b.X) >= box.Min.X-d && math.Min(a.X, b.X) <= box.Max.X+d && math.Max(a.Y, b.Y) >= box.Min.Y-d && math.Min(a.Y, b.Y) <= box.Max.Y+d {
				out = append(out, segment{a, b})
			}
			a = b
		}
	}
	slices.SortFunc(out, func(s, t segment) int { return cmp.Compare(s.left(), t.left()) })
	return out
}

// keepDistance tells whether no two edges come nearer than d.
func keepDistance(as, bs []segment, d float64) bool {
	widest := 0.0
	for _, t := range bs {
		widest = math.Max(widest, t.right()-t.left())
	}
	from := 0
	for _, s := range as {
		for from < len(bs) && bs[from].left() < s.left()-widest-d {
			from++
		}
		for _, t := range bs[from:] {
			if t.left() > s.right()+d {
				break
			}
			if s.distance(t) < d {
				return false
			}
		}
	}
	return true
}

// distance of two edges; 0 if they cross.
func (s segment) distance(t segment) float64 {
	if crossing(s.a, s.b, t.a, t.b) {
		return 0
	}
	return math.Min(math.Min(fromSegment(s.a, t.a, t.b), fromSegment(s.b, t.a, t.b)),
		math.Min(fromSegment(t.a, s.a, s.b), fromSegment(t.b, s.a, s.b)))
}

// touchAtMost tells whether nothing of a's boundary, nor its inner point, lies deeper in b than Tolerance.
// Each edge is cut where b's boundary crosses it or comes to it; between two cuts it lies on one side.
func touchAtMost(a, b *region) bool {
	if b.deep(a.inner) {
		return false
	}
	walls := b.near(a.box, Tolerance)
	for _, s := range a.near(b.box, Tolerance) {
		cuts := []float64{0, 1}
		u := r2.Sub(s.b, s.a)
		long := r2.Norm2(u)
		if long == 0 {
			continue
		}
		along := func(p r2.Vec) float64 { return math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, s.a), u)/long)) }
		for _, w := range walls {
			if w.left() > s.right()+Tolerance {
				break
			}
			if w.right() < s.left()-Tolerance {
				continue
			}
			v := r2.Sub(w.b, w.a)
			if den := r2.Cross(u, v); den != 0 {
				t := r2.Cross(r2.Sub(w.a, s.a), v) / den
				k := r2.Cross(r2.Sub(w.a, s.a), u) / den
				if t > 0 && t < 1 && k > -1e-9 && k < 1+1e-9 {
					cuts = append(cuts, t)
				}
			}
			if fromSegment(w.a, s.a, s.b) <= 2*Tolerance {
				cuts = append(cuts, along(w.a))
			}
			if fromSegment(w.b, s.a, s.b) <= 2*Tolerance {
				cuts = append(cuts, along(w.b))
			}
		}
		slices.Sort(cuts)
		cuts = slices.Compact(cuts)
		for i, t := range cuts {
			if b.deep(r2.Add(s.a, r2.Scale(t, u))) {
				return false
			}
			if i > 0 {
				for _, part := range [...]float64{0.25, 0.5, 0.75} {
					if b.deep(r2.Add(s.a, r2.Scale(cuts[i-1]+part*(t-cuts[i-1]), u))) {
						return false
					}
				}
			}
		}
	}
	return true
}

// deep tells whether p lies in the material further than Tolerance from its boundary.
func (r *region) deep(p r2.Vec) bool {
	if !r.holds(p) {
		return false
	}
	for _, ring := range r.rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			if fromSegment(p, a, b) <= Tolerance {
				return false
			}
			a = b
		}
	}
	return true
}
