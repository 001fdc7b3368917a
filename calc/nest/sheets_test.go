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

// The pieces of a jigsaw fill 87 % of one sheet; laid one after the other they take two.
func TestTheWeakestSheetIsEmptied(t *testing.T) {
	job := instance(t, "dighe2")
	job.Sheets = []Sheet{{Width: 115, Height: 100}}
	if l := must(Run(job, Effort{})); len(l.Sheets) != 2 {
		t.Fatalf("the first layout takes %d sheets: the case shows nothing", len(l.Sheets))
	}
	told := 0
	l := must(Run(job, Effort{Steps: 300_000, Random: 3, Starts: 2, Progress: func(Progress) { told++ }}))
	if len(l.Sheets) != 1 || told == 0 {
		t.Errorf("%d sheets, %d words of progress", len(l.Sheets), told)
	}
}

func TestWhatWasLeftOutIsFetched(t *testing.T) {
	job := instance(t, "dighe2")
	job.Sheets = []Sheet{{Width: 115, Height: 100, Count: 1}}
	if l := must(Run(job, Effort{})); len(l.Left) == 0 || l.Left[0].Reason != NoRoom {
		t.Fatalf("the first layout leaves %v: the case shows nothing", l.Left)
	}
	if l := must(Run(job, Effort{Steps: 300_000, Random: 3})); len(l.Left) > 0 {
		t.Errorf("left are %v", l.Left)
	}
}

func TestOffcutsAreUsedFirst(t *testing.T) {
	job := Job{Gap: 0.6, Sheets: []Sheet{{Name: "offcut", Width: 320, Height: 210, Count: 1}, {Name: "corner", Outline: []r2.Vec{{X: -100}, {X: 200}, {X: 200, Y: 100}, {Y: 110}, {Y: 300}, {X: -100, Y: 300}}, Count: 1}, {Name: "whole", Width: 1000, Height: 500}},
		Items: []Item{{Name: "tile", Outline: box(100, 95), Count: 12, Turns: Quarter}}}
	l := must(Run(job, Effort{Steps: 20_000}))
	var on [3]int
	for _, p := range l.Placed {
		on[l.Sheets[p.Sheet].Sheet]++
	}
	if on != [3]int{6, 4, 2} && on != [3]int{6, 5, 1} {
		t.Errorf("the offcuts and the whole sheet carry %v", on)
	}
}

func TestSmallPartsLieInHolesIfTheyMay(t *testing.T) {
	ring := must(shape.Circle(300))
	it := FromOutline("ring", ring, []shape.Outline{must(shape.Circle(240))}, 0.02)
	job := Job{Gap: 0.6, FillHoles: true, Sheets: []Sheet{{Width: 302, Height: 302}}, Items: []Item{it, {Name: "tile", Outline: box(80, 80), Count: 4, Turns: Quarter}}}
	for _, want := range []int{1, 2} {
		if l := must(Run(job, Effort{Steps: 20_000})); len(l.Sheets) != want {
			t.Errorf("holes filled: %v; %d sheets, want %d", job.FillHoles, len(l.Sheets), want)
		}
		job.FillHoles = false
	}
}

func TestTheOrderOfItemsDoesNotDecideWhatFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	for n := range 10 {
		job := sheetJob(rng)
		a := must(Run(job, Effort{Steps: 2000}))
		job.Items = slices.Clone(job.Items)
		rng.Shuffle(len(job.Items), func(i, k int) { job.Items[i], job.Items[k] = job.Items[k], job.Items[i] })
		b := must(Run(job, Effort{Steps: 2000}))
		if len(a.Placed) != len(b.Placed) || len(a.Left) != len(b.Left) {
			t.Errorf("job %d: %d placed and %d left, in another order %d and %d", n, len(a.Placed), len(a.Left), len(b.Placed), len(b.Left))
		}
	}
}

// Needles, doubled points, outlines that cross or touch themselves and parts as large as the sheet are laid out
// or left, and right.
func TestOddOutlinesAreLaidOut(t *testing.T) {
	outlines := map[string][]r2.Vec{
		"needle":    {{}, {X: 300}, {X: 300, Y: 0.01}},
		"doubled":   {{}, {}, {X: 50}, {X: 50}, {X: 50, Y: 50}, {Y: 50}, {Y: 50}, {Y: 25}},
		"bow":       {{}, {X: 60, Y: 40}, {X: 60}, {Y: 50}},
		"spike":     {{}, {X: 50}, {X: 100}, {X: 50}, {X: 50, Y: 40}, {Y: 40}},
		"pinched":   {{}, {X: 40}, {X: 20, Y: 20}, {X: 40, Y: 40}, {Y: 40}, {X: 20, Y: 20}},
		"clockwise": {{}, {Y: 30}, {X: 30, Y: 30}, {X: 30, Y: 10}, {X: 10, Y: 10}, {X: 10}},
		"whole":     box(400, 300),
		"far":       {{X: 9e5, Y: 9e5}, {X: 9e5 + 40, Y: 9e5}, {X: 9e5 + 40, Y: 9e5 + 40}},
		"tiny":      box(1e-4, 1e-4),
		"comb":      {{}, {X: 90}, {X: 90, Y: 60}, {X: 80, Y: 60}, {X: 80, Y: 5}, {X: 50, Y: 5}, {X: 50, Y: 60}, {X: 40, Y: 60}, {X: 40, Y: 5}, {X: 10, Y: 5}, {X: 10, Y: 60}, {Y: 60}},
	}
	for name, ring := range outlines {
		for _, gap := range []float64{0, 2} {
			job := Job{Gap: gap, Sheets: []Sheet{{Width: 400, Height: 300}}, Items: []Item{{Name: name, Outline: ring, Count: 5}, {Name: "tile", Outline: box(30, 20), Count: 3}}}
			l, err := Run(job, Effort{Steps: 3000})
			if err != nil || len(l.Left) > 0 {
				t.Errorf("%s with a gap of %g: %v, left %v", name, gap, err, l.Left)
			}
		}
	}
}
