package shape

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// way is what a rail can be cut on: its parts, longer than they are. part numbers its curves as a cut
// does: -1 before the first part, len(parts) after the last.
type way struct {
	curves []curve
	part   []int
	chords []r2.Vec  // corners of the chords
	of     []int     // the curve of each chord
	from   []float64 // the parameters of the curve at the ends of each chord
	to     []float64
}

const (
	reach      = 100  // how far a rail goes on, in runs: a mitre of one degree
	wayFlat    = 0.02 // chord error, mm, of the first look for a meeting
	wayStretch = 0.25 // of a turn: how far an arc goes on
)

// leaving is the way on which a corner at the rail's end is looked for, coming the one at its start.
func (r *rail) leaving(length float64) way { return r.way(length, true) }
func (r *rail) coming(length float64) way  { return r.way(length, false) }

func (r *rail) way(length float64, atEnd bool) way {
	var w way
	add := func(c curve, part int) { w.curves, w.part = append(w.curves, c), append(w.part, part) }
	line := func(from, to r2.Vec) curve { return curve{from, Seg{Kind: Line, End: to}} }
	one := r.parts[0]
	switch {
	case r.old.Kind == Cubic && atEnd:
		for i, c := range r.parts {
			add(c, i)
		}
		end := r.parts[len(r.parts)-1].End
		add(line(end, r2.Add(end, r2.Scale(length, r.old.tangent(1)))), len(r.parts))
	case r.old.Kind == Cubic:
		add(line(r2.Sub(one.from, r2.Scale(length, r.old.tangent(0))), one.from), -1)
		for i, c := range r.parts {
			add(c, i)
		}
	case r.old.round():
		more := math.Min(wayStretch*2*math.Pi, (2*math.Pi-math.Abs(one.sweep()))/2.1)
		add(one.stretched(math.Copysign(more, one.Bulge)), 0)
	default:
		u := r2.Scale(length, r2.Unit(one.chord()))
		add(line(r2.Sub(one.from, u), r2.Add(one.End, u)), 0)
	}
	w.flatten()
	return w
}

// stretched is the arc with more (radians, of the arc's sign) added at both ends.
func (c curve) stretched(more float64) curve {
	centre, _ := c.circle()
	return curve{
		from: r2.Add(centre, turned(r2.Sub(c.from, centre), -more)),
		Seg: Seg{Kind: Arc, End: r2.Add(centre, turned(r2.Sub(c.End, centre), more)),
			Bulge: math.Tan((c.sweep() + 2*more) / 4)},
	}
}

func (w *way) flatten() {
	w.chords = []r2.Vec{w.curves[0].from}
	for i, c := range w.curves {
		n := min(c.pieces(wayFlat), maxSides)
		for k := 1; k <= n; k++ {
			w.chords = append(w.chords, c.at(float64(k)/float64(n)))
			w.of = append(w.of, i)
			w.from, w.to = append(w.from, float64(k-1)/float64(n)), append(w.to, float64(k)/float64(n))
		}
	}
}

// meetCurved finds the corner of two rails, at least one of them a cubic's: chords first, the meeting
// nearest to the old corner, then Newton's steps on the curves themselves.
func meetCurved(a, b *rail, corner r2.Vec) bool {
	length := 1 + reach*(math.Abs(a.run)+math.Abs(b.run))
	p, q := a.leaving(length), b.coming(length)
	best, found := r2.Vec{}, [2]int{-1, -1}
	for i := range p.of {
		box := boxOf(p.chords[i], p.chords[i+1])
		for j := range q.of {
			if apart(box, boxOf(q.chords[j], q.chords[j+1]), onEdge) || !touch(p.chords[i], p.chords[i+1], q.chords[j], q.chords[j+1]) {
				continue
			}
			at, ok := linesMeet(p.chords[i], r2.Sub(p.chords[i+1], p.chords[i]), q.chords[j], r2.Sub(q.chords[j+1], q.chords[j]))
			if ok && (found[0] < 0 || dist(at, corner) < dist(best, corner)) {
				best, found = at, [2]int{i, j}
			}
		}
	}
	if found[0] < 0 {
		return false
	}
	i, j := found[0], found[1]
	s := p.guess(i, best)
	t := q.guess(j, best)
	s, t = polish(p.curves[p.of[i]], q.curves[q.of[j]], s, t)
	at := p.curves[p.of[i]].at(s)
	a.endAt(at, p.part[p.of[i]], s)
	b.startAt(at, q.part[q.of[j]], t)
	return true
}

// guess is the parameter of a point on chord i, by its place between the chord's ends.
func (w *way) guess(i int, p r2.Vec) float64 {
	u := r2.Sub(w.chords[i+1], w.chords[i])
	k := r2.Dot(r2.Sub(p, w.chords[i]), u) / math.Max(r2.Norm2(u), samePoint*samePoint)
	return w.from[i] + math.Max(0, math.Min(1, k))*(w.to[i]-w.from[i])
}

// polish moves two parameters to where the curves meet, by Newton's method; a step that leads away
// is not taken.
func polish(a, b curve, s, t float64) (float64, float64) {
	gap := r2.Norm(r2.Sub(a.at(s), b.at(t)))
	for range 12 {
		f := r2.Sub(b.at(t), a.at(s))
		da, db := a.rate(s), b.rate(t)
		cross := r2.Cross(da, db)
		if math.Abs(cross) <= foldedTurn*r2.Norm(da)*r2.Norm(db) {
			break
		}
		ds, dt := r2.Cross(f, db)/cross, r2.Cross(f, da)/cross
		s2, t2 := unitRange(s+ds), unitRange(t+dt)
		next := r2.Norm(r2.Sub(a.at(s2), b.at(t2)))
		if next >= gap {
			break
		}
		s, t, gap = s2, t2, next
		if math.Abs(ds)+math.Abs(dt) < newtonStep {
			break
		}
	}
	return s, t
}

// rate is the derivative by the parameter.
func (c curve) rate(t float64) r2.Vec {
	if c.Kind == Cubic {
		d, _ := c.derivatives(t)
		return d
	}
	return r2.Scale(c.length(), c.tangent(t))
}

func unitRange(t float64) float64 { return math.Max(0, math.Min(1, t)) }
