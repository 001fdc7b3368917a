package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

// Run lays a job on its sheets. Every copy is in the layout, as placed or as left. The layout has passed
// Check. Errors: a job that makes no sense, with the item or sheet that is at fault.
func Run(job Job, how Effort) (Layout, error) { return run(job, how, false) }

// Strip lays all items on one strip as high as the first sheet, whose width does not matter, and makes the
// length that is used as short as it can.
func Strip(job Job, how Effort) (Layout, error) {
	job, err := job.strip()
	if err != nil {
		return Layout{}, err
	}
	return run(job, how, true)
}

// strip gives the one sheet a width on which all copies fit side by side.
func (j Job) strip() (Job, error) {
	if len(j.Sheets) != 1 || j.Sheets[0].Outline != nil {
		return Job{}, fmt.Errorf("a strip is one sheet without an outline; there are %d sheets", len(j.Sheets))
	}
	j.Sheets = slices.Clone(j.Sheets)
	s := &j.Sheets[0]
	s.Width, s.Count = maxSize, 1
	if err := j.valid(); err != nil {
		return Job{}, err
	}
	sum := 2 * j.Margin
	for _, it := range j.Items {
		sum += float64(it.Count) * (r2.Norm(ringBox(it.Outline).Size()) + j.Gap + 2*it.Slack)
	}
	if sum > maxSize {
		return Job{}, fmt.Errorf("the strip would be up to %.4g mm long; the most is %.4g mm", sum, maxSize)
	}
	s.Width = math.Max(sum, 1)
	return j, nil
}

func run(job Job, how Effort, strip bool) (Layout, error) {
	if err := job.valid(); err != nil {
		return Layout{}, err
	}
	s := newStock(job)
	first, best := s.first(how.Steps)
	if err := Check(job, best); err != nil {
		return Layout{}, fmt.Errorf("the first layout is wrong: %w", err)
	}
	if how.Steps <= 0 || len(first.bins) == 0 {
		return best, nil
	}
	tell := teller(how.Progress)
	found := make([]Layout, max(1, how.Starts))
	var wait sync.WaitGroup
	for i := range found {
		wait.Go(func() { found[i] = s.improve(first, how, i, tell) })
	}
	wait.Wait()
	for _, l := range found {
		if better(l, best) {
			best = l
		}
	}
	return best, nil
}

// teller lets one start speak at a time.
func teller(f func(Progress)) func(Progress) {
	if f == nil {
		return func(Progress) {}
	}
	var mu sync.Mutex
	return func(p Progress) {
		mu.Lock()
		defer mu.Unlock()
		f(p)
	}
}

// better tells whether a leaves less out than b, or uses fewer sheets, or less of the last one.
func better(a, b Layout) bool {
	return cmp.Or(cmp.Compare(len(a.Left), len(b.Left)), cmp.Compare(len(a.Sheets), len(b.Sheets)), cmp.Compare(a.Length(), b.Length())) < 0
}

// layout is the plan as the caller sees it.
func (s *stock) layout(p plan) Layout {
	var out Layout
	p = p.inOrder()
	for _, b := range p.bins {
		out.Sheets = append(out.Sheets, Used{Sheet: b.sheet, Number: b.number})
	}
	why := map[int]Reason{}
	for i, at := range p.put {
		u := p.units[i]
		if at.bin == nowhere {
			if _, asked := why[u.item]; !asked {
				why[u.item] = s.whyLeft(u.item)
			}
			out.Left = append(out.Left, Left{u.item, u.copy, why[u.item]})
			continue
		}
		b, k := p.bins[at.bin], &s.bodies[at.body]
		used := &out.Sheets[at.bin]
		used.Area += s.kinds[u.item].area
		used.Length = math.Max(used.Length, at.x+k.box.Max.X)
		shift := r2.Vec{X: at.x, Y: at.y}
		if o := s.job.Sheets[b.sheet].Outline; o != nil {
			shift = r2.Add(shift, ringBox(o).Min)
		}
		out.Placed = append(out.Placed, Placement{u.item, u.copy, at.bin, shape.Motion{Angle: k.turn, Shift: shift}})
	}
	for i := range out.Sheets {
		out.Sheets[i].Share = out.Sheets[i].Area / s.job.Sheets[out.Sheets[i].Sheet].area()
	}
	slices.SortFunc(out.Placed, func(a, b Placement) int {
		return cmp.Or(cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Copy, b.Copy))
	})
	slices.SortFunc(out.Left, func(a, b Left) int { return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.Copy, b.Copy)) })
	return out
}

func (s Sheet) area() float64 {
	if s.Outline != nil {
		return math.Abs(ringArea(s.Outline))
	}
	return s.Width * s.Height
}

// whyLeft: an item is too large if not even an empty sheet takes it.
func (s *stock) whyLeft(item int) Reason {
	l := s.newLaying(newNofits(s.bodies), rules[0])
	if _, ok := l.lay(item); ok {
		return NoRoom
	}
	return TooLarge
}
