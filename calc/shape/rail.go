package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// rail is a segment moved sideways, before it is cut to length at the corners.
type rail struct {
	old  curve
	run  float64 // mm to the left, the inside
	gone bool    // an arc whose radius has vanished

	// parts is the moved segment: one line or arc, or the cubics that follow a cubic's parallel.
	// Of each part of a cubic, spans is its place on the old one, and folds tells whether it runs
	// backwards there, the run being greater than the radius of the bend.
	parts []curve
	spans [][2]float64
	folds []bool

	start, end cut
}

// cut is a place on a rail where it ends or begins: a part and a parameter on it. Before the first
// part and after the last the rail goes on straight.
type cut struct {
	at   r2.Vec
	part int
	t    float64
}

func newRail(c curve, run float64) *rail {
	r := &rail{old: c, run: run}
	switch {
	case c.Kind == Cubic:
		r.follow(0, 1, 0)
	case c.round():
		centre, radius := c.circle()
		moved := radius - run*math.Copysign(1, c.Bulge)
		r.gone = moved <= leastLength
		k := moved / radius
		r.parts = []curve{{lerp(centre, c.from, k), Seg{Kind: Arc, End: lerp(centre, c.End, k), Bulge: c.Bulge}}}
	default:
		by := r2.Scale(run, left(r2.Unit(c.chord())))
		r.parts = []curve{{r2.Add(c.from, by), Seg{Kind: Line, End: r2.Add(c.End, by)}}}
	}
	last := len(r.parts) - 1
	r.start = cut{at: r.parts[0].from}
	r.end = cut{at: r.parts[last].End, part: last, t: 1}
	return r
}

// beside is the parallel's point at t, and its derivative there: the old speed less run times the
// turning of the tangent, along the tangent.
func (r *rail) beside(t float64) (p, d r2.Vec, speed float64) {
	c := r.old
	dir := c.tangent(t)
	s := t
	if c.speed(s) <= samePoint {
		s = math.Abs(t - nudge)
		if t < nudge {
			s = t + nudge
		}
	}
	d1, d2 := c.derivatives(s)
	if v := r2.Norm2(d1); v > 0 {
		speed = c.speed(t) - r.run*r2.Cross(d1, d2)/v
	}
	return r2.Add(c.at(t), r2.Scale(r.run, left(dir))), r2.Scale(speed, dir), speed
}

// follow appends cubics that follow the parallel from a to b, with its points and derivatives at
// both ends, halving until they stray by less than cubicMoved.
func (r *rail) follow(a, b float64, depth int) {
	const deepest = 8
	p, dp, sp := r.beside(a)
	q, dq, sq := r.beside(b)
	h := (b - a) / 3
	c := curve{p, Seg{Kind: Cubic, C1: r2.Add(p, r2.Scale(h, dp)), C2: r2.Sub(q, r2.Scale(h, dq)), End: q}}
	fold, stray := sp <= 0 || sq <= 0, 0.0
	for _, u := range []float64{0.25, 0.5, 0.75} {
		m, _, s := r.beside(a + u*(b-a))
		stray = math.Max(stray, dist(c.at(u), m))
		fold = fold || s <= 0
	}
	if depth < deepest && (stray > cubicMoved || fold && depth < 3) {
		mid := (a + b) / 2
		r.follow(a, mid, depth+1)
		r.follow(mid, b, depth+1)
		return
	}
	r.parts, r.spans, r.folds = append(r.parts, c), append(r.spans, [2]float64{a, b}), append(r.folds, fold)
}

// meetAt finds the corner of two rails that follow one another and cuts both there. It is false if
// they do not meet.
func meetAt(a, b *rail) bool {
	corner := a.old.End
	if smooth(a.old, b.old) {
		way := r2.Unit(r2.Add(a.old.tangent(1), b.old.tangent(0)))
		a.endAt(r2.Add(corner, r2.Scale((a.run+b.run)/2, left(way))), len(a.parts)-1, 1)
		b.startAt(a.end.at, 0, 0)
		return true
	}
	if a.old.Kind == Cubic || b.old.Kind == Cubic {
		return meetCurved(a, b)
	}
	p, ok := nearest(carriersMeet(a.parts[0], b.parts[0]), corner)
	if ok {
		a.endAt(p, 0, 1)
		b.startAt(p, 0, 0)
	}
	return ok
}

func (r *rail) endAt(p r2.Vec, part int, t float64)   { r.end = cut{p, part, t} }
func (r *rail) startAt(p r2.Vec, part int, t float64) { r.start = cut{p, part, t} }

// trimmed is the rail between its cuts, or nil if nothing of it is left in its direction.
func (r *rail) trimmed() []Seg {
	switch {
	case r.old.Kind == Cubic:
		return r.trimmedCubic()
	case r.old.round():
		return r.trimmedArc()
	}
	if r2.Dot(r2.Sub(r.end.at, r.start.at), r2.Unit(r.old.chord())) <= leastLength {
		return nil
	}
	return []Seg{{Kind: Line, End: r.end.at}}
}

// trimmedArc keeps the sense of the arc and changes its sweep by what the ends have turned.
func (r *rail) trimmedArc() []Seg {
	arc := r.parts[0]
	centre, radius := r.old.circle()
	radius = math.Abs(radius) * dist(arc.from, centre) / dist(r.old.from, centre)
	sweep := r.old.sweep() + turn(centre, arc.End, r.end.at) - turn(centre, arc.from, r.start.at)
	if sweep*r.old.Bulge <= 0 || math.Abs(sweep) >= 2*math.Pi || radius*math.Abs(sweep) <= leastLength {
		return nil
	}
	if bulge := math.Tan(sweep / 4); math.Abs(bulge) < maxBulge {
		return []Seg{{Kind: Arc, End: r.end.at, Bulge: bulge}}
	}
	return nil
}

// turn is the signed angle at centre from a to b, within half a turn.
func turn(centre, a, b r2.Vec) float64 {
	u, v := r2.Sub(a, centre), r2.Sub(b, centre)
	return math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
}

func (r *rail) trimmedCubic() []Seg {
	var segs []Seg
	first, last := r.start, r.end
	before, beyond := first.part < 0, last.part == len(r.parts)
	if before {
		segs = append(segs, Seg{Kind: Line, End: r.parts[0].from})
		first.part, first.t = 0, 0
	}
	if beyond {
		last.part, last.t = last.part-1, 1
	}
	if first.part > last.part || first.part == last.part && first.t >= last.t-leastStep {
		return nil
	}
	for i := first.part; i <= last.part; i++ {
		if r.folds[i] {
			return nil
		}
		lo, hi := 0.0, 1.0
		if i == first.part {
			lo = first.t
		}
		if i == last.part {
			hi = last.t
		}
		if hi-lo > leastStep {
			segs = append(segs, r.parts[i].between(lo, hi).Seg)
		}
	}
	if beyond {
		segs = append(segs, Seg{Kind: Line})
	}
	segs[len(segs)-1].End = r.end.at
	return segs
}

// between is the piece of a curve from parameter lo to hi.
func (c curve) between(lo, hi float64) curve {
	if hi < 1 {
		c, _ = c.split(hi)
	}
	if lo > 0 {
		_, c = c.split(lo / hi)
	}
	return c
}
