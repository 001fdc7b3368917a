package layout

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/nest"
	"bevelbook/calc/shape"
)

func itoa(n int) string { return strconv.Itoa(n) }

// Store keeps answers by their keys, between runs of the program. What it gives back is checked, so it
// may be wrong or cut off; it may forget. Both methods may be called from several goroutines.
type Store interface {
	Get(key string) ([]byte, bool)
	Put(key string, data []byte)
}

// version is part of every key: another search gives other layouts.
const version = 1

// Key names the plan by all that its layout hangs on.
func (p *Plan) Key() string {
	h := sha256.New()
	ring := func(list []r2.Vec) {
		for _, v := range list {
			fmt.Fprintf(h, "%.6f,%.6f ", v.X, v.Y)
		}
		fmt.Fprint(h, ";")
	}
	fmt.Fprint(h, version, p.Job.Gap, p.Job.Margin, p.Job.FillHoles, p.Effort.Steps, p.Effort.Starts, p.Effort.Random, "\n")
	for _, s := range p.Job.Sheets {
		fmt.Fprint(h, s.Width, s.Height, s.Count, "\n")
	}
	for _, it := range p.Job.Items {
		fmt.Fprint(h, it.Slack, it.Count, it.Turns, " ")
		ring(it.Outline)
		for _, hole := range it.Holes {
			ring(hole)
		}
		fmt.Fprint(h, "\n")
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Solver lays plans out and keeps what it found.
type Solver struct {
	store Store

	one sync.Mutex // held by the search beside the writing

	mu    sync.Mutex // guards what follows
	known map[string]*answer
	busy  map[string]*errand     // by the place that shows it
	rough map[string]nest.Layout // by key, while a better one is searched for
}

// answer is one layout, or the way to it.
type answer struct {
	once   sync.Once
	layout nest.Layout
	err    error
	done   chan struct{} // closed when the layout is there
}

// NewSolver makes a solver; store may be nil.
func NewSolver(store Store) *Solver {
	return &Solver{store: store, known: map[string]*answer{}, busy: map[string]*errand{}, rough: map[string]nest.Layout{}}
}

func (s *Solver) answer(key string) *answer {
	s.mu.Lock()
	defer s.mu.Unlock()
	a := s.known[key]
	if a == nil {
		s.forget()
		a = &answer{done: make(chan struct{})}
		s.known[key] = a
	}
	return a
}

// mostKnown is how many answers are kept in memory: while a journal is written each edit of a part brings
// another plan.
const mostKnown = 64

// forget makes room for one more answer.
func (s *Solver) forget() {
	for key, a := range s.known {
		if len(s.known) < mostKnown {
			return
		}
		select {
		case <-a.done:
			delete(s.known, key)
		default: // somebody waits for it
		}
	}
}

// Solve lays a plan out, or finds the layout that it has of the same plan. It takes as long as the plan's
// effort says. progress may be nil.
func (s *Solver) Solve(p Plan, progress func(nest.Progress)) (Result, error) {
	a := s.answer(p.Key())
	a.once.Do(func() {
		defer close(a.done)
		a.layout, a.err = s.work(p, progress)
	})
	return Result{Plan: p, Layout: a.layout}, a.err
}

// Ready gives the layout of a plan without waiting: the one that is known, else what is at hand, marked
// rough, at first nothing. It is then worked out beside, the first layout and after it the best one, and
// later is called when either is there. slot names the place that shows it: a new plan for the same place
// ends the search for the one before.
func (s *Solver) Ready(slot string, p Plan, later func()) (Result, error) {
	key := p.Key()
	a := s.answer(key)
	select {
	case <-a.done:
		return Result{Plan: p, Layout: a.layout}, a.err
	default:
	}
	if l, ok := s.recall(p); ok {
		a.once.Do(func() { a.layout = l; close(a.done) })
		return s.Solve(p, nil)
	}
	s.beside(slot, key, p, later)
	s.mu.Lock()
	defer s.mu.Unlock()
	return Result{Plan: p, Layout: s.rough[key], Rough: true}, nil
}

// patience is how long a plan must stand before its layout is searched for beside the writing: whoever
// types has other use for the machine.
const patience = time.Second

// errand is a search beside the writing.
type errand struct {
	key  string
	stop atomic.Bool
}

// beside begins the search for a plan, unless it is on already.
func (s *Solver) beside(slot, key string, p Plan, later func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if now := s.busy[slot]; now != nil {
		if now.key == key {
			return
		}
		now.stop.Store(true)
	}
	e := &errand{key: key}
	s.busy[slot] = e
	go s.run(slot, e, p, later)
}

// run does an errand; only one at a time has the machine.
func (s *Solver) run(slot string, e *errand, p Plan, later func()) {
	defer func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.busy[slot] == e {
			delete(s.busy, slot)
			delete(s.rough, e.key)
		}
	}()
	time.Sleep(patience)
	s.one.Lock()
	defer s.one.Unlock()
	how := p.Effort
	how.Stop = e.stop.Load
	for _, steps := range []int64{0, p.Effort.Steps} {
		if e.stop.Load() {
			return
		}
		how.Steps = steps
		l, err := lay(p.Job, how)
		if e.stop.Load() {
			return // it may have been cut short
		}
		if steps == 0 && err == nil && p.Effort.Steps > 0 {
			s.mu.Lock()
			s.rough[e.key] = l
			s.mu.Unlock()
		} else {
			s.keep(p, l, err)
		}
		later()
		if err != nil {
			return
		}
	}
}

// keep notes an answer.
func (s *Solver) keep(p Plan, l nest.Layout, err error) {
	a := s.answer(p.Key())
	a.once.Do(func() {
		defer close(a.done)
		a.layout, a.err = l, err
		s.put(p, l, err)
	})
}

// put hands an answer to the store.
func (s *Solver) put(p Plan, l nest.Layout, err error) {
	if err != nil || s.store == nil {
		return
	}
	if data, err := json.Marshal(kept(l)); err == nil {
		s.store.Put(p.Key(), data)
	}
}

// work recalls a layout or searches for one.
func (s *Solver) work(p Plan, progress func(nest.Progress)) (nest.Layout, error) {
	if l, ok := s.recall(p); ok {
		return l, nil
	}
	how := p.Effort
	how.Progress = progress
	l, err := lay(p.Job, how)
	s.put(p, l, err)
	return l, err
}

// lay runs a job. Where a hole reaches the rim of its part, no part may lie in it: without filling holes
// the job can still be laid out.
func lay(job nest.Job, how nest.Effort) (nest.Layout, error) {
	l, err := nest.Run(job, how)
	if err != nil && job.FillHoles {
		job.FillHoles = false
		return nest.Run(job, how)
	}
	return l, err
}

// recall reads a layout from the store, and takes it only if it is right for the plan.
func (s *Solver) recall(p Plan) (nest.Layout, bool) {
	if s.store == nil {
		return nest.Layout{}, false
	}
	data, ok := s.store.Get(p.Key())
	if !ok {
		return nest.Layout{}, false
	}
	var k stored
	if json.Unmarshal(data, &k) != nil {
		return nest.Layout{}, false
	}
	l, ok := k.layout(p.Job)
	if !ok || nest.Check(p.Job, l) != nil {
		return nest.Layout{}, false
	}
	return l, true
}

// stored is a layout as it is kept.
type stored struct {
	Placed [][6]float64 // item, copy, sheet, turn, x, y
	Sheets []nest.Used
	Left   []nest.Left
	Steps  int64
}

func kept(l nest.Layout) stored {
	k := stored{Sheets: l.Sheets, Left: l.Left, Steps: l.Steps}
	for _, p := range l.Placed {
		k.Placed = append(k.Placed, [6]float64{float64(p.Item), float64(p.Copy), float64(p.Sheet), p.Move.Angle, p.Move.Shift.X, p.Move.Shift.Y})
	}
	return k
}

// layout turns what was kept back; false if it speaks of what the job does not have.
func (k stored) layout(job nest.Job) (nest.Layout, bool) {
	l := nest.Layout{Sheets: k.Sheets, Left: k.Left, Steps: k.Steps}
	for _, s := range k.Sheets {
		if s.Sheet < 0 || s.Sheet >= len(job.Sheets) {
			return l, false
		}
	}
	for _, v := range k.Placed {
		p := nest.Placement{Item: int(v[0]), Copy: int(v[1]), Sheet: int(v[2]), Move: shape.Motion{Angle: v[3], Shift: r2.Vec{X: v[4], Y: v[5]}}}
		if p.Item < 0 || p.Item >= len(job.Items) || p.Sheet < 0 || p.Sheet >= len(k.Sheets) {
			return l, false
		}
		l.Placed = append(l.Placed, p)
	}
	for _, m := range k.Left {
		if m.Item < 0 || m.Item >= len(job.Items) {
			return l, false
		}
	}
	return l, true
}
