package nest

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// The course of a search.
const (
	mostUnits  = 1000 // that are moved about in one search; sheets beyond that stay as they are
	tightest   = 0.99 // of the area of sheets: parts that would fill more are not tried to be brought in
	exploring  = 0.8  // share of the steps for shortening in which it may leave the best layout far behind
	firstCut   = 0.01 // share of the length that is taken away at a time, at first
	mostCut    = 0.03
	cutGrows   = 1.3 // where it was easy
	exploreCut = 0.001
	wideCut    = 0.0005 // when the best layout is compressed, at first
	leastCut   = 0.00002
	poolSpread = 0.25 // of the layouts that came near, how far down the list the draw goes, as a share
)

// course is one start on its way.
type course struct {
	*stock
	nofits *nofits
	rng    *rand.Rand
	how    Effort
	plan   plan   // the best so far
	best   Layout // the same
	steps  int64
	ended  bool
	tell   func(Progress)
}

// improve is one start: it brings in what was left out, then empties sheets, then shortens the last one.
func (s *stock) improve(first plan, how Effort, start int, tell func(Progress)) Layout {
	c := &course{stock: s, nofits: newNofits(s.bodies), rng: rand.New(rand.NewPCG(how.Random, uint64(start))), how: how, plan: first, best: s.layout(first), tell: tell}
	c.fetch()
	for c.empty() {
	}
	for bins := 0; len(c.plan.bins) != bins && c.done() < 1; {
		bins = len(c.plan.bins)
		c.squeeze()
	}
	c.best.Steps = c.steps
	return c.best
}

// done is the share of the effort that is used up.
func (c *course) done() float64 {
	if c.ended {
		return 1
	}
	done := float64(c.steps) / float64(c.how.Steps)
	if c.how.Spent != nil {
		done = math.Max(done, c.how.Spent())
	}
	if done >= 1 || c.how.Stop != nil && c.how.Stop() {
		c.ended, done = true, 1
	}
	return done
}

func (c *course) say() { c.tell(Progress{c.done(), len(c.best.Sheets), c.best.Length()}) }

// take makes a plan the best one, if it is better and right.
func (c *course) take(p plan) bool {
	l := c.layout(p)
	if !better(l, c.best) || Check(c.job, l) != nil {
		return false
	}
	c.plan, c.best = p, l
	return true
}

// until is the share of the effort at which a phase ends that may use so much of what is left.
func (c *course) until(of float64) float64 {
	done := c.done()
	return done + of*(1-done)
}

// fetch tries to bring in the copies that were left out for want of room, the smallest first.
func (c *course) fetch() {
	for u := len(c.plan.units) - 1; u >= 0 && c.done() < 1; u-- {
		if c.plan.put[u].bin != nowhere || c.whyLeft(c.plan.units[u].item) != NoRoom || len(c.plan.bins) == 0 {
			continue
		}
		w := c.plan.window(mostUnits, u)
		if c.fill(w.plan, w.bins) > tightest {
			return
		}
		q := c.newSearch(w.plan)
		if !q.insert() || !q.persist(c.until(0.2)) || !c.take(c.plan.with(w, q.at)) {
			return
		}
	}
}

// fill is the area of a plan's units over the area of bins.
func (c *course) fill(p plan, bins []bin) float64 {
	parts, room := 0.0, 0.0
	for _, u := range p.units {
		parts += c.kinds[u.item].area
	}
	for _, b := range bins {
		room += c.job.Sheets[b.sheet].area()
	}
	return parts / room
}

// empty tries to do without the weakest of the last sheets.
func (c *course) empty() bool {
	if c.done() == 1 {
		return false
	}
	c.plan = c.weakestLast(c.plan)
	w := c.plan.window(mostUnits)
	last := len(w.bins) - 1
	if last < 1 {
		return false
	}
	fill := c.fill(w.plan, w.bins[:last])
	if fill > tightest {
		return false
	}
	p := plan{units: w.units, bins: w.bins[:last], put: slices.Clone(w.put)}
	for i := range p.put {
		if p.put[i].bin == last {
			p.put[i].bin = nowhere
		}
	}
	limit := c.until(math.Min(0.7, 3*(1.1-fill)))
	q := c.newSearch(p)
	return q.insert() && q.persist(limit) && c.take(c.plan.with(w, q.at))
}

// weakestLast exchanges the last bin with the one of its sort that has the least on it.
func (c *course) weakestLast(p plan) plan {
	last := len(p.bins) - 1
	if last < 0 {
		return p
	}
	on := make([]float64, len(p.bins))
	for i, at := range p.put {
		if at.bin != nowhere {
			on[at.bin] += c.kinds[p.units[i].item].area
		}
	}
	weak := last
	for b := last; b >= 0 && p.bins[b].sheet == p.bins[last].sheet; b-- {
		if on[b] < on[weak] {
			weak = b
		}
	}
	p.put = slices.Clone(p.put)
	for i := range p.put {
		switch p.put[i].bin {
		case weak:
			p.put[i].bin = last
		case last:
			p.put[i].bin = weak
		}
	}
	return p
}

// squeeze shortens the last sheet: first step by step from one layout to the next, near ones among them, then by less
// and less from the best one. It ends early when the sheet is empty.
func (c *course) squeeze() {
	c.plan = c.weakestLast(c.plan)
	if l := c.layout(c.plan); better(l, c.best) {
		c.best = l
	}
	w := c.plan.window(mostUnits)
	if len(w.units) == 0 {
		return
	}
	q, last := c.newSearch(w.plan), len(w.bins)-1
	found := func() bool {
		c.take(c.plan.with(w, q.at))
		return len(q.on[last]) > 0
	}
	if !q.explore(c.until(exploring), found) {
		return
	}
	q.set(c.plan.window(mostUnits).put)
	q.compress(found)
}

// explore shortens the last bin until the steps are used up: by more where that was easy, by less where it
// was not, and by the least until it works. It tells whether anything lies in the bin still.
func (q *search) explore(limit float64, found func() bool) bool {
	last, cut := len(q.bins)-1, firstCut
	for q.done() < limit {
		clear := slices.Clone(q.at)
		ok := q.shorten(last, q.used(last)*(1-cut))
		if ok && cut > exploreCut {
			ok, _ = q.separate(quickRounds, 1)
			q.say()
		} else if ok {
			ok = q.persist(limit)
		}
		switch {
		case ok:
			if !found() {
				return false
			}
			cut = math.Min(cut*cutGrows, mostCut)
		case cut == exploreCut:
			q.set(clear)
			return true
		default:
			q.set(clear)
			cut = math.Max(cut/2, exploreCut)
		}
	}
	return true
}

// lost is a layout with overlaps that could not be separated.
type lost struct {
	at   []put
	loss float64
}

// persist separates the layout. Where it cannot, it goes on from one of the layouts that came near, most
// likely one of the nearest, with two large parts changed over, until the steps are used up.
func (q *search) persist(limit float64) bool {
	var pool []lost
	for {
		ok, loss := q.separate(rounds, strikes)
		q.say()
		if ok || q.done() >= limit {
			return ok
		}
		k, _ := slices.BinarySearchFunc(pool, loss, func(l lost, v float64) int { return cmp.Compare(l.loss, v) })
		pool = slices.Insert(pool, k, lost{slices.Clone(q.at), loss})
		pick := int(math.Abs(q.rng.NormFloat64()) * poolSpread * float64(len(pool)))
		q.set(pool[min(pick, len(pool)-1)].at)
		q.disrupt()
	}
}

// disrupt changes two large parts of different items over.
func (q *search) disrupt() {
	n := max(2, len(q.units)/3) // units are sorted by area
	for range 20 {
		i, j := q.rng.IntN(n), q.rng.IntN(n)
		if i >= len(q.units) || j >= len(q.units) || q.units[i].item == q.units[j].item {
			continue
		}
		a, b := q.at[i], q.at[j]
		by := r2.Sub(q.middle(b), q.middle(a))
		p := put{a.body, b.bin, a.x + by.X, a.y + by.Y}
		o := put{b.body, a.bin, b.x - by.X, b.y - by.Y}
		r1, ok1 := q.roomOf(p)
		r2, ok2 := q.roomOf(o)
		if ok1 && ok2 {
			q.move(i, r1.held(p))
			q.move(j, r2.held(o))
			return
		}
	}
}

// middle of a body where it lies.
func (q *search) middle(p put) r2.Vec {
	b := q.bodies[p.body].reach
	return r2.Vec{X: p.x + (b.Min.X+b.Max.X)/2, Y: p.y + (b.Min.Y+b.Max.Y)/2}
}

// compress shortens the last bin by less and less, always from the best layout, for the rest of the steps.
func (q *search) compress(found func() bool) {
	last, from := len(q.bins)-1, q.done()
	for q.done() < 1 {
		clear := slices.Clone(q.at)
		done := (q.done() - from) / (1 - from)
		if !q.shorten(last, q.used(last)*(1-wideCut-done*(leastCut-wideCut))) {
			return
		}
		if ok, _ := q.separate(rounds, strikes); !ok {
			q.set(clear)
		} else if !found() {
			return
		}
		q.say()
		q.steps++
	}
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
		if r, ok := q.roomOf(p); ok {
			q.at[i] = r.held(p)
		} else if !q.rehouse(int(i)) {
			return false
		}
	}
	return true
}

// insert gives every unit that lies nowhere a place, the largest first. Without any place it is false.
func (q *search) insert() bool {
	for i := range q.at {
		if q.at[i].bin == nowhere && !q.rehouse(i) {
			return false
		}
	}
	return true
}

// rehouse puts a unit where it is least in the way.
func (q *search) rehouse(i int) bool {
	best := try{put{bin: nowhere}, math.Inf(1)}
	for range 4 {
		best = q.look(i, best)
	}
	if math.IsInf(best.cost, 1) {
		return false
	}
	q.move(i, best.put)
	return true
}
