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
	joint  float64   // of a single curve: the parameter of the moved end
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
		w.joint = more / (math.Abs(one.sweep()) + 2*more)
	default:
		u := r2.Scale(length, r2.Unit(one.chord()))
		add(line(r2.Sub(one.from, u), r2.Add(one.End, u)), 0)
		w.joint = length / (r2.Norm(one.chord()) + 2*length)
	}
	if atEnd {
		w.joint = 1 - w.joint
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

// meetCurved finds the corner of two rails, at least one of them a cubic's: first where their end
// tangents meet and from there by Newton's steps, which follows the corner as the runs grow; if that
// leads nowhere, the meeting of all nearest to the old corner.
func meetCurved(a, b *rail) bool {
	length := 1 + reach*(math.Abs(a.run)+math.Abs(b.run))
	p, q := a.leaving(length), b.coming(length)
	i, j, s, t, ok := alongTangents(a, b, p, q)
	if !ok {
		i, j, s, t, ok = search(p, q, a.old.End)
	}
	if ok {
		at := p.curves[i].at(s)
		a.endAt(at, p.part[i], s)
		b.startAt(at, q.part[j], t)
	}
	return ok
}

// alongTangents starts from where the tangents at the moved ends meet. Of each way it tries the curve
// on which that point should lie, then the one on the other side of the moved end.
func alongTangents(a, b *rail, p, q way) (i, j int, s, t float64, ok bool) {
	end, start := a.parts[len(a.parts)-1].End, b.parts[0].from
	u, v := a.old.tangent(1), b.old.tangent(0)
	x, ok := linesMeet(end, u, start, v)
	if !ok {
		return 0, 0, 0, 0, false
	}
	for _, f := range p.places(r2.Dot(r2.Sub(x, end), u), len(p.curves)-1) {
		for _, g := range q.places(r2.Dot(r2.Sub(x, start), v), min(1, len(q.curves)-1)) {
			s, t := polish(p.curves[f.i], q.curves[g.i], f.t, g.t)
			if dist(p.curves[f.i].at(s), q.curves[g.i].at(t)) <= meetingGap {
				return f.i, g.i, s, t, true
			}
		}
	}
	return 0, 0, 0, 0, false
}

// spot is a parameter on a curve of a way.
type spot struct {
	i int
	t float64
}

// places are the spots a length beyond the moved end (before it if negative), the likely one first.
// joint is the curve that begins there.
func (w *way) places(beyond float64, joint int) []spot {
	if len(w.curves) == 1 {
		return []spot{{0, unitRange(w.joint + beyond/w.curves[0].length())}}
	}
	after := spot{joint, unitRange(beyond / w.curves[joint].length())}
	before := spot{joint - 1, unitRange(1 + beyond/w.curves[joint-1].length())}
	if beyond > 0 {
		return []spot{after, before}
	}
	return []spot{before, after}
}

// search looks at all chords for meetings and takes the one nearest to the corner.
func search(p, q way, corner r2.Vec) (i, j int, s, t float64, ok bool) {
	var best r2.Vec
	for k := range p.of {
		a, b := p.chords[k], p.chords[k+1]
		box := boxOf(a, b)
		for l := range q.of {
			c, d := q.chords[l], q.chords[l+1]
			if apart(box, boxOf(c, d), onEdge) || !touch(a, b, c, d) {
				continue
			}
			at, meet := linesMeet(a, r2.Sub(b, a), c, r2.Sub(d, c))
			if meet && (!ok || dist(at, corner) < dist(best, corner)) {
				best, i, j, ok = at, k, l, true
			}
		}
	}
	if !ok {
		return 0, 0, 0, 0, false
	}
	s, t = polish(p.curves[p.of[i]], q.curves[q.of[j]], p.guess(i, best), q.guess(j, best))
	return p.of[i], q.of[j], s, t, true
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
