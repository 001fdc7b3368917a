package nest

import (
	"math"
	"math/rand/v2"
	"slices"
)

// The course of a search.
const (
	rounds    = 100    // without coming nearer, before a strike
	strikes   = 3      // before an attempt is given up
	firstCut  = 0.01   // share of the length that is taken away at first
	leastCut  = 0.0002 // and at last
	mostUnits = 2000   // that are moved about in one search; sheets beyond that stay as they are
)

// improve is one start: it takes room away from the last sheet of the best layout so far, and searches for one
// that makes do with the rest, over and over.
func (s *stock) improve(first plan, how Effort, start int, tell func(Progress)) Layout {
	best, rng, nofits := s.layout(first), rand.New(rand.NewPCG(how.Random, uint64(start))), newNofits(s.bodies)
	plan, steps, cut := first, int64(0), firstCut
	for steps < how.Steps && len(plan.bins) > 0 {
		w := plan.window(mostUnits)
		if len(w.units) == 0 {
			break
		}
		q := s.newSearch(nofits, rng, w.plan)
		q.spent = func() bool { return steps+q.steps >= how.Steps || how.Stop != nil && how.Stop() }
		last := len(q.bins) - 1
		short := q.shorten(last, q.used(last)*(1-cut))
		if !short && cut == leastCut {
			break
		}
		ok := short
		if short {
			ok, _ = q.separate(rounds, strikes)
		}
		steps += q.steps + 1
		if ok {
			next := plan.with(w, q.at)
			if l := s.layout(next); Check(s.job, l) == nil && better(l, best) {
				best, plan = l, next
			}
		} else {
			cut = math.Max(cut/2, leastCut)
		}
		tell(Progress{math.Min(1, float64(steps)/float64(how.Steps)), len(best.Sheets), best.Length()})
		if how.Stop != nil && how.Stop() {
			break
		}
	}
	best.Steps = steps
	return best
}

// window is a part of a plan: some of its bins and the units in them.
type window struct {
	plan
	unit []int // places of its units in the whole
	from int   // the first of its bins in the whole
}

// window takes bins from the last one back, as long as they hold no more than most units.
func (p plan) window(most int) window {
	count := make([]int, len(p.bins))
	for _, at := range p.put {
		if at.bin != nowhere {
			count[at.bin]++
		}
	}
	w := window{from: len(p.bins)}
	for n := 0; w.from > 0 && n+count[w.from-1] <= most; w.from-- {
		n += count[w.from-1]
	}
	w.bins = p.bins[w.from:]
	for i, at := range p.put {
		if at.bin >= w.from {
			at.bin -= w.from
			w.unit, w.units, w.put = append(w.unit, i), append(w.units, p.units[i]), append(w.put, at)
		}
	}
	return w
}

// with is the plan with other places for the units of the window.
func (p plan) with(w window, at []put) plan {
	p.put = slices.Clone(p.put)
	for i, u := range w.unit {
		p.put[u] = at[i]
		p.put[u].bin += w.from
	}
	return p.inOrder()
}

// used is the right end of what lies in a bin.
func (q *search) used(b int) float64 {
	end := 0.0
	for _, i := range q.on[b] {
		end = math.Max(end, q.at[i].x+q.bodies[q.at[i].body].box.Max.X)
	}
	return end
}

// shorten cuts a bin's width down so that its parts end at w: what lies to the right of a place drawn at
// random moves left. A part that is too wide for that goes to another place; if there is none, shorten is false.
func (q *search) shorten(b int, w float64) bool {
	by := q.used(b) - w
	split := q.rng.Float64() * w
	q.width[b] = w + q.job.Margin
	for _, i := range slices.Clone(q.on[b]) {
		p := q.at[i]
		k := &q.bodies[p.body]
		if p.x+(k.box.Min.X+k.box.Max.X)/2 > split {
			p.x -= by
		}
		r, ok := q.room(k, q.bins[b], q.width[b])
		if ok {
			q.at[i] = r.held(p)
			continue
		}
		to := q.look(int(i), try{put{bin: nowhere}, math.Inf(1)})
		if math.IsInf(to.cost, 1) {
			return false
		}
		q.move(int(i), to.put)
	}
	return true
}
