package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// bevelled is a run of curves with the bevel of each.
type bevelled struct {
	list  []curve
	bevel []float64
}

func plain(list []curve) bevelled { return bevelled{list, make([]float64, len(list))} }

// loop is an outline made ready for comparing.
type loop struct {
	bevelled
	length float64
	centre r2.Vec
	radius float64 // of a full circle with one bevel, else 0
	sure   []int   // the joints that firm gives
	starts squares // of the curves
}

func newLoop(o Outline, bevel func(edge int) float64, tol float64) loop {
	l := loop{centre: o.Centroid()}
	list, edge := o.curves()
	for i, c := range list {
		if n := c.length(); n > samePoint {
			l.list, l.bevel = append(l.list, c), append(l.bevel, bevel(edge[i]))
			l.length += n
		}
	}
	if l.circular(tol) {
		l.radius = l.length / (2 * math.Pi)
	} else {
		l.sure = l.certain()
	}
	l.starts = newSquares(len(l.list), tol, func(i int) r2.Vec { return l.list[i].from })
	return l
}

// circular tells whether the loop is one full circle with one bevel.
func (l loop) circular(tol float64) bool {
	sum := 0.0
	for i, c := range l.list {
		if !c.round() || math.Abs(l.bevel[i]-l.bevel[0]) > bevelError {
			return false
		}
		centre, r := c.circle()
		if dist(centre, l.centre) > tol || math.Abs(r-l.length/(2*math.Pi)) > tol {
			return false
		}
		sum += c.sweep()
	}
	return math.Abs(sum-2*math.Pi) < kinkAngle
}

// firm are joints that cannot be the mere splitting of a line or an arc, so that any loop that lies on
// this one has a joint there too. A circle has none.
func (l loop) firm() []int { return l.sure }

// all are all joints; none of a circle, where they mean nothing.
func (l loop) all() []int {
	if l.radius > 0 {
		return nil
	}
	out := make([]int, len(l.list))
	for k := range out {
		out[k] = k
	}
	return out
}

// certain are the joints with a kink, at least half as sharp as the sharpest; if there is none, those
// at which the bevel changes; then the curvature; then all.
func (l loop) certain() []int {
	n := len(l.list)
	tests := []struct {
		least   float64
		measure func(before, k int) float64
	}{
		{bevelError, func(j, k int) float64 {
			u, v := l.list[j].tangent(1), l.list[k].tangent(0)
			return math.Abs(math.Atan2(r2.Cross(u, v), r2.Dot(u, v)))
		}},
		{bevelError, func(j, k int) float64 { return math.Abs(l.bevel[j] - l.bevel[k]) }},
		{curveJump, func(j, k int) float64 { return math.Abs(l.list[j].bend(1) - l.list[k].bend(0)) }},
	}
	for _, test := range tests {
		sizes, most := make([]float64, n), 0.0
		for k := range n {
			sizes[k] = test.measure((k+n-1)%n, k)
			most = math.Max(most, sizes[k])
		}
		if most > test.least {
			var out []int
			for k, s := range sizes {
				if s >= most/2 {
					out = append(out, k)
				}
			}
			return out
		}
	}
	return l.all()
}

// lies tells whether the motion lays the loop on the other.
func (l loop) lies(other loop, m Motion, tol float64) bool {
	if len(l.list) == 0 || len(other.list) == 0 || dist(m.Apply(l.centre), other.centre) > 4*tol {
		return false
	}
	if l.radius > 0 || other.radius > 0 {
		return math.Abs(l.radius-other.radius) <= tol && math.Abs(l.bevel[0]-other.bevel[0]) <= bevelError
	}
	k := l.sure[0]
	j := other.starts.near(m.Apply(l.list[k].from), func(j int) bool { return walk(l.bevelled, other.bevelled, k, j, m, tol) })
	return j >= 0
}

// walker goes along a run of curves by length.
type walker struct {
	bevelled
	i    int     // the curve it is on
	rest int     // curves still to come after it; -1 at the end
	gone float64 // length into curve i
	left float64 // length to its end
}

// walkFrom begins at curve i and goes once round.
func (b bevelled) walkFrom(i int) walker {
	return walker{bevelled: b, i: i, rest: len(b.list) - 1, left: b.list[i].length()}
}

func (w *walker) next() {
	w.rest--
	w.gone, w.left = 0, 0
	if w.rest >= 0 {
		w.i = (w.i + 1) % len(w.list)
		w.left = w.list[w.i].length()
	}
}

// after is the point a length further on, on the same curve.
func (w *walker) after(step float64) r2.Vec {
	c := w.list[w.i]
	if step >= w.left {
		return c.End
	}
	return c.at(c.parameterAt(w.gone + step))
}

// advance goes on by a length, to the next curve if to is set.
func (w *walker) advance(step float64, to bool) {
	if to {
		w.next()
		return
	}
	w.gone, w.left = w.gone+step, w.left-step
}

// walk goes along both runs at once, from curves i and j, and tells whether the first, moved, keeps to the second with the
// same bevels. Joints that come nearly together count as the same, so that roundings do not add up.
func walk(a, b bevelled, i, j int, m Motion, tol float64) bool {
	p, q := a.walkFrom(i), b.walkFrom(j)
	if dist(m.Apply(a.list[i].from), b.list[j].from) > 2*tol {
		return false
	}
	for p.rest >= 0 && q.rest >= 0 {
		step := math.Min(p.left, q.left)
		both := math.Abs(p.left-q.left) <= 2*tol
		if step > 4*tol && math.Abs(p.bevel[p.i]-q.bevel[q.i]) > bevelError {
			return false
		}
		if !sameStretch(&p, &q, step, both, m, tol) {
			return false
		}
		endP, endQ := both || p.left <= q.left, both || q.left <= p.left
		p.advance(step, endP)
		q.advance(step, endQ)
	}
	return p.remains() <= 4*tol && q.remains() <= 4*tol
}

// remains is the length to the end.
func (w *walker) remains() float64 {
	sum := w.left
	for k := range max(0, w.rest) {
		sum += w.list[(w.i+1+k)%len(w.list)].length()
	}
	return sum
}

// sameStretch holds the next step of both against each other: its end, and places between where one
// of the two is curved.
func sameStretch(p, q *walker, step float64, both bool, m Motion, tol float64) bool {
	c, d := p.list[p.i], q.list[q.i]
	if both {
		if dist(m.Apply(c.End), d.End) > 2*tol {
			return false
		}
		if c.Kind == Cubic && d.Kind == Cubic && p.gone == 0 && q.gone == 0 &&
			dist(m.Apply(c.C1), d.C1) <= tol && dist(m.Apply(c.C2), d.C2) <= tol {
			return true
		}
	}
	places := []float64{1}
	switch {
	case c.Kind == Cubic || d.Kind == Cubic:
		places = []float64{0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1}
	case c.Kind == Arc || d.Kind == Arc:
		places = []float64{0.5, 1}
	}
	for _, f := range places {
		if f == 1 && both {
			continue
		}
		if dist(m.Apply(p.after(f*step)), q.after(f*step)) > 2*tol {
			return false
		}
	}
	return true
}
