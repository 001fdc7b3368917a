package nest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// How the search goes about it.
const (
	heavier  = 1.2  // a pair in each other's way gains weight by this factor at least
	heaviest = 2.0  // and by this one where it is the worst of all
	lighter  = 0.95 // a pair that is clear loses weight, down to 1
	betterBy = 0.98 // a loss counts as better when it is below this share of the least so far

	wideSamples = 12  // places drawn over all sheets and turns, for each move
	touching    = 0.8 // share of them that touch another part
	nearSamples = 6   // places drawn around where the part lies
	refined     = 3   // best samples that are followed down
	steepest    = 8   // steps straight down from each of them

	rounds      = 100 // without coming nearer, before a strike
	quickRounds = 50  // the same, where less would do too
	strikes     = 3   // before an attempt is given up
)

// search holds a layout with overlaps, and works at removing them.
type search struct {
	*course
	units  []unit
	bins   []bin
	width  []float64 // how much of each bin may be used
	at     []put
	on     [][]int32 // units in each bin
	weight []float64 // of each pair of units, both ways round
	loss   []float64 // of each pair, as it was last measured
	rimmed []float64 // weight of the rim for each unit
}

func (c *course) newSearch(p plan) *search {
	n := len(p.units)
	q := &search{course: c, units: p.units, bins: p.bins, on: make([][]int32, len(p.bins))}
	q.weight, q.loss, q.rimmed = make([]float64, n*n), make([]float64, n*n), make([]float64, n)
	for _, b := range p.bins {
		q.width = append(q.width, b.w)
	}
	q.set(p.put)
	q.evenWeights()
	return q
}

// roomOf is where a body may lie in its bin.
func (q *search) roomOf(p put) (room, bool) {
	return q.room(&q.bodies[p.body], q.bins[p.bin], q.width[p.bin])
}

// set takes over a layout.
func (q *search) set(at []put) {
	q.at = append(q.at[:0], at...)
	for b := range q.on {
		q.on[b] = q.on[b][:0]
	}
	for i, p := range at {
		if p.bin != nowhere {
			q.on[p.bin] = append(q.on[p.bin], int32(i))
		}
	}
}

// move puts unit i elsewhere.
func (q *search) move(i int, to put) {
	if from := q.at[i].bin; from != to.bin {
		if from != nowhere {
			k := slices.Index(q.on[from], int32(i))
			q.on[from] = slices.Delete(q.on[from], k, k+1)
		}
		q.on[to.bin] = append(q.on[to.bin], int32(i))
	}
	q.at[i] = to
}

// evenWeights forgets who was in whose way.
func (q *search) evenWeights() {
	for i := range q.weight {
		q.weight[i] = 1
	}
	for i := range q.rimmed {
		q.rimmed[i] = 1
	}
}

// overlap of a body at the shift (dx, dy) from another: the depths, larger for large parts.
func (n *nofit) overlap(dx, dy float64) float64 {
	if dx <= n.x0 || dx >= n.x1 || dy <= n.y0 || dy >= n.y1 {
		return 0
	}
	sum := 0.0
	for i := range n.parts {
		d, _ := n.parts[i].depth(dx, dy)
		sum += d
	}
	return sum * n.size
}

// cost of unit i at a place: the weighted overlaps with all others there, or something above bound as soon
// as they come to more than that.
func (q *search) cost(i int, at put, bound float64) float64 {
	q.steps++
	sum := 0.0
	weight := q.weight[i*len(q.units) : (i+1)*len(q.units)]
	for _, j := range q.on[at.bin] {
		if int(j) == i {
			continue
		}
		o := &q.at[j]
		if d := q.nofits.of(o.body, at.body).overlap(at.x-o.x, at.y-o.y); d > 0 {
			if sum += d * weight[j]; sum > bound {
				return sum
			}
		}
	}
	if rim := q.bins[at.bin].rim; rim >= 0 {
		sum += q.rimmed[i] * q.nofits.of(rim, at.body).overlap(at.x, at.y)
	}
	return sum
}

// measure works out all losses, and gives their sum and the units that are in anybody's way.
func (q *search) measure() (float64, []int) {
	n := len(q.units)
	clear(q.loss)
	caught := make([]bool, n)
	total := 0.0
	for b, on := range q.on {
		for k, i := range on {
			for _, j := range on[:k] {
				p, o := &q.at[i], &q.at[j]
				if d := q.nofits.of(o.body, p.body).overlap(p.x-o.x, p.y-o.y); d > 0 {
					q.loss[int(i)*n+int(j)], q.loss[int(j)*n+int(i)] = d, d
					caught[i], caught[j] = true, true
					total += d
				}
			}
			if rim := q.bins[b].rim; rim >= 0 {
				p := &q.at[i]
				if d := q.nofits.of(rim, p.body).overlap(p.x, p.y); d > 0 {
					q.loss[int(i)*n+int(i)] = d
					caught[i] = true
					total += d
				}
			}
		}
	}
	var list []int
	for i, c := range caught {
		if c {
			list = append(list, i)
		}
	}
	return total, list
}

// reweigh makes pairs heavier that are in each other's way.
func (q *search) reweigh() {
	n, worst := len(q.units), slices.Max(q.loss)
	for i, d := range q.loss {
		w := &q.weight[i]
		if i%(n+1) == 0 {
			w = &q.rimmed[i/(n+1)]
		}
		if d > 0 {
			*w *= heavier + (heaviest-heavier)*d/worst
		} else if *w > 1 {
			*w = math.Max(1, *w*lighter)
		}
	}
}

// separate moves parts until none overlap, or until it has gone many rounds without coming nearer, several
// times over; then it leaves the layout with the least loss. It tells whether no overlap is left, and the loss.
func (q *search) separate(rounds, strikes int) (bool, float64) {
	q.evenWeights()
	least, caught := q.measure()
	best := slices.Clone(q.at)
	for strike := 0; strike < strikes && least > 0 && q.done() < 1; {
		before := least
		for idle := 0; idle < rounds && q.done() < 1; idle++ {
			q.reweigh()
			q.rng.Shuffle(len(caught), func(i, k int) { caught[i], caught[k] = caught[k], caught[i] })
			for _, i := range caught {
				q.relocate(i)
			}
			var loss float64
			loss, caught = q.measure()
			if loss < least {
				if loss < betterBy*least {
					idle = 0
				}
				least = loss
				best = append(best[:0], q.at...)
				if least == 0 {
					return true, 0
				}
			}
		}
		if strike++; least < betterBy*before {
			strike = 0
		}
		q.set(best)
		_, caught = q.measure()
	}
	q.set(best)
	return least == 0, least
}

// try is a place and what it costs.
type try struct {
	put
	cost float64
}

// relocate moves a unit to the best place it finds, if that is no worse than where it lies.
func (q *search) relocate(i int) {
	here := try{q.at[i], math.Inf(1)}
	here.cost = q.cost(i, here.put, math.Inf(1))
	if here.cost == 0 {
		return
	}
	best := q.look(i, here)
	if best.cost < here.cost {
		q.move(i, best.put)
	}
}

// look draws places for a unit and follows the best ones down.
func (q *search) look(i int, here try) try {
	var few [refined]try
	n := 0
	add := func(at put) {
		bound := math.Inf(1)
		if n == refined {
			bound = few[n-1].cost
		}
		t := try{at, q.cost(i, at, bound)}
		if n == refined && t.cost >= bound {
			return
		}
		if n < refined {
			n++
		}
		k := n - 1
		for ; k > 0 && few[k-1].cost > t.cost; k-- {
			few[k] = few[k-1]
		}
		few[k] = t
	}
	if here.bin != nowhere {
		add(here.put)
		if r, ok := q.roomOf(here.put); ok {
			reach := q.bodies[here.body].least * 0.5
			for range nearSamples {
				add(r.held(put{here.body, here.bin, here.x + reach*(2*q.rng.Float64()-1), here.y + reach*(2*q.rng.Float64()-1)}))
			}
		}
	}
	bodies := q.kinds[q.units[i].item].bodies
	for range wideSamples {
		k, b := bodies[q.rng.IntN(len(bodies))], q.rng.IntN(len(q.bins))
		if r, ok := q.room(&q.bodies[k], q.bins[b], q.width[b]); ok {
			at := put{k, b, r.x0 + q.rng.Float64()*(r.x1-r.x0), r.y0 + q.rng.Float64()*(r.y1-r.y0)}
			if len(q.on[b]) > 1 && q.rng.Float64() < touching {
				j := q.on[b][q.rng.IntN(len(q.on[b]))]
				if int(j) == i {
					continue
				}
				o := &q.at[j]
				v := q.nofits.of(o.body, k).corner(q.rng)
				at.x, at.y = o.x+v.X, o.y+v.Y
				at = r.held(at)
			}
			add(at)
		}
	}
	best := here
	for _, t := range few[:n] {
		if t = q.fall(i, t); t.cost < best.cost {
			best = t
		}
	}
	if best.cost > 0 && best.bin != nowhere {
		least := q.bodies[best.body].least
		best = q.descend(i, best, 0.03*least, 0.0002*least)
	}
	return best
}

// held is the place within the room that is nearest.
func (r room) held(p put) put {
	p.x = math.Max(r.x0, math.Min(r.x1, p.x))
	p.y = math.Max(r.y0, math.Min(r.y1, p.y))
	return p
}

// slope is the cost of a place with the way down: the weighted sum of the ways out of what it overlaps.
func (q *search) slope(i int, at put) (cost float64, down r2.Vec) {
	q.steps++
	weight := q.weight[i*len(q.units) : (i+1)*len(q.units)]
	for _, j := range q.on[at.bin] {
		if int(j) == i {
			continue
		}
		o := &q.at[j]
		q.nofits.of(o.body, at.body).pull(at.x-o.x, at.y-o.y, weight[j], &cost, &down)
	}
	if rim := q.bins[at.bin].rim; rim >= 0 {
		q.nofits.of(rim, at.body).pull(at.x, at.y, q.rimmed[i], &cost, &down)
	}
	return cost, down
}

// pull adds the weighted overlap at a shift and its way down.
func (n *nofit) pull(dx, dy, weight float64, cost *float64, down *r2.Vec) {
	if dx <= n.x0 || dx >= n.x1 || dy <= n.y0 || dy >= n.y1 {
		return
	}
	for i := range n.parts {
		if d, h := n.parts[i].depth(dx, dy); h != nil {
			w := weight * n.size
			*cost += w * d
			down.X += w * h.nx
			down.Y += w * h.ny
		}
	}
}

// fall follows the way down by Polyak's steps, each as long as it takes to be clear if the slope stayed as it is.
func (q *search) fall(i int, t try) try {
	r, ok := q.roomOf(t.put)
	if !ok {
		return t
	}
	p, missed := t.put, 0
	for range steepest {
		c, down := q.slope(i, p)
		if c < t.cost {
			t = try{p, c}
			missed = 0
		} else if p != t.put {
			if missed++; missed == 3 {
				break
			}
		}
		g := r2.Norm2(down)
		if c == 0 || g < 1e-12 {
			break
		}
		by := c/g - clearOf/2/math.Sqrt(g)
		next := r.held(put{p.body, p.bin, p.x + by*down.X, p.y + by*down.Y})
		if next == p {
			break
		}
		p = next
	}
	return t
}

// descend follows the cost down along the axes and the diagonals, steps growing where they help and
// shrinking where they do not.
func (q *search) descend(i int, t try, step, least float64) try {
	r, ok := q.roomOf(t.put)
	if !ok {
		return t
	}
	for step > least && t.cost > 0 {
		dx, dy := step, 0.0
		switch q.rng.IntN(4) {
		case 1:
			dx, dy = 0, step
		case 2:
			dx, dy = step*math.Sqrt2/2, step*math.Sqrt2/2
		case 3:
			dx, dy = step*math.Sqrt2/2, -step*math.Sqrt2/2
		}
		found := false
		for _, s := range [2]float64{1, -1} {
			p := r.held(put{t.body, t.bin, t.x + s*dx, t.y + s*dy})
			if c := q.cost(i, p, t.cost); c < t.cost {
				t, found = try{p, c}, true
				break
			}
		}
		if found {
			step *= 1.1
		} else {
			step *= 0.5
		}
	}
	return t
}
