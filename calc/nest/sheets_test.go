package nest

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

// corners is bottom-left by decreasing area with nothing of the search in it: each part goes to the first of the
// places, from left to right and from below, that the right and upper ends of boxes offer.
func corners(job Job) Layout {
	type part struct{ item, copy int }
	var parts []part
	for i, it := range job.Items {
		for c := range it.Count {
			parts = append(parts, part{i, c})
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int {
		return cmp.Compare(math.Abs(ringArea(job.Items[b.item].Outline)), math.Abs(ringArea(job.Items[a.item].Outline)))
	})
	var l Layout
	var on [][]*region
	for _, p := range parts {
		for s := 0; ; s++ {
			if s == len(on) {
				on = append(on, nil)
				l.Sheets = append(l.Sheets, Used{Number: s})
			}
			if at, r, ok := corner(job, Placement{Item: p.item, Copy: p.copy, Sheet: s}, on[s]); ok {
				l.Placed, on[s] = append(l.Placed, at), append(on[s], r)
				l.Sheets[s].Length = math.Max(l.Sheets[s].Length, r.box.Max.X)
				break
			}
		}
	}
	return l
}

func corner(job Job, p Placement, on []*region) (Placement, *region, bool) {
	it := job.Items[p.Item]
	gap := job.Gap + 2*it.Slack + 1e-9
	xs, ys := []float64{job.Margin + it.Slack}, []float64{job.Margin + it.Slack}
	for _, o := range on {
		xs, ys = append(xs, o.box.Max.X+gap+o.slack), append(ys, o.box.Max.Y+gap+o.slack)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	turns := map[Turns]int{Any: 4, Quarter: 4, Half: 2, None: 1}[it.Turns]
	for _, x := range xs {
		for _, y := range ys {
			for k := range turns {
				p.Move = shape.Motion{Angle: float64(k) * 2 * math.Pi / float64(turns)}
				low := newRegion(job, p).box.Min
				p.Move.Shift = r2.Vec{X: x - low.X, Y: y - low.Y}
				r := newRegion(job, p)
				if checkRim(job, Layout{Sheets: make([]Used, p.Sheet+1)}, p, r) == nil &&
					!slices.ContainsFunc(on, func(o *region) bool { return !apartBy(r, o, job.Gap+r.slack+o.slack) }) {
					return p, r, true
				}
			}
		}
	}
	return p, nil, false
}

// sheetJob has some twenty parts on as many equal sheets as it takes.
func sheetJob(rng *rand.Rand) Job {
	job := Job{Gap: []float64{0, 0.6}[rng.IntN(2)], Margin: 3 * float64(rng.IntN(2)), Sheets: []Sheet{{Width: 1000, Height: 500}}}
	for i := range 3 + rng.IntN(5) {
		it := Item{Name: fmt.Sprintf("piece%d", i+1), Outline: star(rng, 80+350*rng.Float64()), Count: 1 + rng.IntN(6), Turns: []Turns{Any, Quarter, None}[rng.IntN(3)]}
		if rng.IntN(3) == 0 {
			it.Outline = box(40+300*rng.Float64(), 40+200*rng.Float64())
		}
		job.Items = append(job.Items, it)
	}
	return job
}

func TestNeverWorseThanBottomLeftOnAHundredJobs(t *testing.T) {
	rng := rand.New(rand.NewPCG(45, 46))
	var theirs, ours int
	for n := range 100 {
		job := sheetJob(rng)
		plain := corners(job)
		if err := Check(job, plain); err != nil {
			t.Fatalf("job %d, plain: %v", n, err)
		}
		l := must(Run(job, Effort{Steps: 3000, Random: 7}))
		if better(plain, l) {
			t.Errorf("job %d: %d sheets and %.1f mm, bottom-left takes %d and %.1f mm", n, len(l.Sheets), l.Length(), len(plain.Sheets), plain.Length())
		}
		theirs, ours = theirs+len(plain.Sheets), ours+len(l.Sheets)
	}
	t.Logf("sheets for all jobs: bottom-left %d, searched %d", theirs, ours)
	if float64(ours) > 0.9*float64(theirs) {
		t.Errorf("all jobs take %d sheets, bottom-left takes %d", ours, theirs)
	}
}
