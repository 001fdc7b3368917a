package nest

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// box is a rectangle from the origin.
func box(w, h float64) []r2.Vec { return []r2.Vec{{}, {X: w}, {X: w, Y: h}, {Y: h}} }

func motion(angle, x, y float64) shape.Motion {
	return shape.Motion{Angle: angle, Shift: r2.Vec{X: x, Y: y}}
}

// star is a random polygon with hollow corners, size mm across at most.
func star(rng *rand.Rand, size float64) []r2.Vec {
	n := 3 + rng.IntN(9)
	out := make([]r2.Vec, n)
	for i := range out {
		s, c := math.Sincos((float64(i) + 0.7*rng.Float64()) * 2 * math.Pi / float64(n))
		out[i] = r2.Scale(size*(0.15+0.35*rng.Float64()), r2.Vec{X: c, Y: s})
	}
	return out
}

// randomJob has a few items of every sort on offcuts and whole sheets.
func randomJob(rng *rand.Rand) Job {
	job := Job{Gap: []float64{0, 0.6, 5}[rng.IntN(3)], Margin: []float64{0, 1, 8}[rng.IntN(3)], FillHoles: rng.IntN(2) == 0}
	for i := range 2 + rng.IntN(5) {
		it := Item{Name: fmt.Sprintf("piece%d", i+1), Outline: star(rng, 40+260*rng.Float64()), Count: 1 + rng.IntN(4), Turns: Turns(rng.IntN(4))}
		switch rng.IntN(5) {
		case 0:
			ring := must(shape.Circle(60 + 200*rng.Float64()))
			hole := must(shape.Rect(30, 20)).Translate(r2.Vec{X: -15, Y: -10})
			n := it.Count
			it = FromOutline(it.Name, ring, []shape.Outline{hole}, 0.05)
			it.Count = n
		case 1:
			it.Outline = box(20+200*rng.Float64(), 20+100*rng.Float64())
		}
		job.Items = append(job.Items, it)
	}
	if rng.IntN(2) == 0 {
		job.Sheets = append(job.Sheets, Sheet{Name: "offcut", Width: 200 + 200*rng.Float64(), Height: 150 + 150*rng.Float64(), Count: 1})
	}
	if rng.IntN(3) == 0 {
		job.Sheets = append(job.Sheets, Sheet{Name: "corner", Outline: []r2.Vec{{X: 50, Y: 10}, {X: 450, Y: 10}, {X: 450, Y: 160}, {X: 200, Y: 180}, {X: 180, Y: 400}, {X: 50, Y: 400}}, Count: 2})
	}
	job.Sheets = append(job.Sheets, Sheet{Name: "whole", Width: 600, Height: 400})
	return job
}

func TestRandomJobsAreLaidOutRight(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	for n := range 24 {
		job := randomJob(rng)
		l, err := Run(job, Effort{Steps: 20_000, Random: uint64(n)})
		if err != nil {
			t.Fatalf("job %d: %v", n, err)
		}
		if err := Check(job, l); err != nil {
			t.Errorf("job %d: %v", n, err)
		}
		if len(l.Left) > 0 {
			t.Errorf("job %d leaves %v", n, l.Left)
		}
	}
}

func TestSameJobAndEffortGiveTheSameLayout(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 44))
	for range 5 {
		job := randomJob(rng)
		how := Effort{Steps: 20_000, Starts: 3, Random: 9}
		if a, b := must(Run(job, how)), must(Run(job, how)); !reflect.DeepEqual(a, b) {
			t.Errorf("two runs differ:\n%v\n%v", a, b)
		}
	}
}

func TestCheckRefusesWrongLayouts(t *testing.T) {
	hole := slices.Clone(box(40, 40))
	for i := range hole {
		hole[i] = r2.Add(hole[i], r2.Vec{X: 30, Y: 30})
	}
	job := Job{Gap: 1, Margin: 2, FillHoles: true, Sheets: []Sheet{{Width: 300, Height: 150, Count: 1}}, Items: []Item{
		{Name: "frame", Outline: box(100, 100), Holes: [][]r2.Vec{hole}, Count: 1, Turns: Quarter},
		{Name: "slip", Outline: box(20, 10), Count: 2, Turns: None},
	}}
	at := func(item, copy int, x, y, angle float64) Placement {
		return Placement{Item: item, Copy: copy, Move: shape.Motion{Angle: angle, Shift: r2.Vec{X: x, Y: y}}}
	}
	right := func() Layout {
		return Layout{Sheets: []Used{{}}, Placed: []Placement{at(0, 0, 2, 2, 0), at(1, 0, 33, 33, 0), at(1, 1, 103, 2, 0)}}
	}
	if err := Check(job, right()); err != nil {
		t.Fatalf("a right layout is refused: %v", err)
	}
	rows := []struct {
		want   string
		change func(*Layout)
	}{
		{"nearer than 1 mm", func(l *Layout) { l.Placed[1] = at(1, 0, 32.9, 33, 0) }},
		{"nearer than 1 mm", func(l *Layout) { l.Placed[1] = at(1, 0, 10, 10, 0) }},
		{"nearer than 1 mm", func(l *Layout) { l.Placed[2] = at(1, 1, 102.99, 2, 0) }},
		{"nearer than 1 mm", func(l *Layout) { l.Placed[2] = at(1, 1, 33, 33, 0) }},
		{"nearer than 2 mm to the rim", func(l *Layout) { l.Placed[2] = at(1, 1, 278.1, 2, 0) }},
		{"nearer than 2 mm to the rim", func(l *Layout) { l.Placed[0] = at(0, 0, 2, 1.9, 0) }},
		{"turned by 90°", func(l *Layout) { l.Placed[2] = at(1, 1, 150, 50, math.Pi/2) }},
		{"turned by 5°", func(l *Layout) { l.Placed[0] = at(0, 0, 150, 50, math.Pi/36) }},
		{"is mirrored", func(l *Layout) { l.Placed[0].Move.Mirror = true }},
		{"moved to no place", func(l *Layout) { l.Placed[0] = at(0, 0, math.NaN(), 2, 0) }},
		{"is missing", func(l *Layout) { l.Placed = l.Placed[:2] }},
		{"is there twice", func(l *Layout) { l.Left = []Left{{Item: 1}} }},
		{"not wanted", func(l *Layout) { l.Placed[2].Copy = 2 }},
		{"lies on sheet 2 of 1", func(l *Layout) { l.Placed[2].Sheet = 1 }},
		{"number 2 of 1", func(l *Layout) { l.Sheets[0].Number = 1 }},
		{"used twice", func(l *Layout) { l.Sheets = []Used{{}, {}} }},
		{"no known size", func(l *Layout) { l.Sheets = []Used{{Sheet: 1}} }},
	}
	for _, row := range rows {
		l := right()
		row.change(&l)
		if err := Check(job, l); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("want %q, got %v", row.want, err)
		}
	}
	job.FillHoles = false
	var near *Overlap
	if err := Check(job, right()); !errors.As(err, &near) || near.B.Item != 1 {
		t.Errorf("a part in a hole that is not to be filled: %v", err)
	}
}

func TestPartsMayTouchWhereThereIsNoKerf(t *testing.T) {
	job := Job{Sheets: []Sheet{{Width: 100, Height: 100}}, Items: []Item{{Name: "a", Outline: box(30, 30), Count: 1}, {Name: "b", Outline: []r2.Vec{{}, {X: 30}, {Y: 30}}, Count: 1}}}
	lay := func(x, y, angle float64) error {
		return Check(job, Layout{Sheets: []Used{{}}, Placed: []Placement{{Move: shape.Motion{Shift: r2.Vec{X: 30, Y: 30}}}, {Item: 1, Move: shape.Motion{Angle: angle, Shift: r2.Vec{X: x, Y: y}}}}})
	}
	for _, row := range []struct {
		x, y, angle float64
		right       bool
	}{
		{60, 30, 0, true}, {60 - 5e-7, 30, 0, true}, {60 - 2e-6, 30, 0, false}, {0, 30, 0, true}, {30, 0, 0, true}, {60, 60, 0, true},
		{30, 30, 0, false}, {31, 31, 0, false}, {29, 29, 0, false}, {60, 60, math.Pi, false}, {30, 30, math.Pi, true}, {60, 30, math.Pi / 2, false},
		{60, 0, math.Pi / 2, true}, {45, 15, math.Pi / 4, false}, {45, 60, math.Pi / 4, true}, {45, 60 - 1e-5, math.Pi / 4, false},
	} {
		if err := lay(row.x, row.y, row.angle); (err == nil) != row.right {
			t.Errorf("at %g %g turned %g: %v", row.x, row.y, row.angle, err)
		}
	}
}

func TestPartsThatFitNowhereAreNamed(t *testing.T) {
	job := Job{Sheets: []Sheet{{Width: 100, Height: 50, Count: 1}}, Items: []Item{
		{Name: "beam", Outline: box(120, 10), Count: 2, Turns: Quarter},
		{Name: "slat", Outline: box(105, 2), Count: 1, Turns: Any}, // fits askew only
		{Name: "board", Outline: box(60, 40), Count: 2, Turns: None},
	}}
	l := must(Run(job, Effort{Steps: 1000}))
	want := []Left{{0, 0, TooLarge}, {0, 1, TooLarge}}
	if len(l.Left) < 3 || !slices.Equal(l.Left[:2], want) || l.Left[len(l.Left)-1] != (Left{2, 1, NoRoom}) {
		t.Errorf("left are %v", l.Left)
	}
}

func TestJobsThatMakeNoSenseAreRefused(t *testing.T) {
	ok := Item{Name: "tile", Outline: box(10, 10), Count: 1}
	sheet := []Sheet{{Width: 100, Height: 100}}
	nan := math.NaN()
	for _, row := range []struct {
		job  Job
		want string
	}{
		{Job{Gap: nan}, "the gap between parts is NaN mm"},
		{Job{Gap: -1}, "the gap between parts is -1 mm"},
		{Job{Margin: math.Inf(1)}, "the margin is +Inf mm"},
		{Job{Sheets: sheet, Items: []Item{{Name: "tile", Outline: []r2.Vec{{X: nan}, {}, {Y: 1}}, Count: 1}}}, "tile: the point (NaN, 0)"},
		{Job{Sheets: sheet, Items: []Item{{Outline: []r2.Vec{{}, {X: 1}}, Count: 1}}}, "item 1: an outline needs three points"},
		{Job{Sheets: sheet, Items: []Item{{Outline: []r2.Vec{{}, {X: 1}, {X: 2}}, Count: 1}}}, "item 1: the outline encloses no area"},
		{Job{Sheets: sheet, Items: []Item{{Outline: ok.Outline, Holes: [][]r2.Vec{{{}}}, Count: 1}}}, "item 1: hole 1: an outline needs"},
		{Job{Sheets: sheet, Items: []Item{{Outline: ok.Outline, Count: -1}}}, "-1 copies"},
		{Job{Sheets: sheet, Items: []Item{{Outline: ok.Outline, Count: 20_000}, ok}}, "more than 20000 parts"},
		{Job{Sheets: sheet, Items: []Item{{Outline: ok.Outline, Slack: nan, Count: 1}}}, "the slack is NaN mm"},
		{Job{Sheets: []Sheet{{Width: nan, Height: 1}}}, "sheet 1: the sheet measures NaN mm by 1 mm"},
		{Job{Sheets: []Sheet{{Name: "whole", Width: 1, Height: 1, Count: -2}}}, "whole: -2 sheets"},
	} {
		if _, err := Run(row.job, Effort{}); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("want %q, got %v", row.want, err)
		}
	}
}
