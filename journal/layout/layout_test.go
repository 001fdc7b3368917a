package layout

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/nest"
	"bevelbook/journal"
)

const shop = "---\ntitle: Laid out\n---\n" +
	"```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\noffcuts: (300 mm, 200 mm), 2 x (150 mm, 120 mm)\n```\n" +
	"```material felt\nthickness: 3 mm\nsheet: (600 mm, 400 mm)\ngrain: width\n```\n" +
	"```tool saw\nkerf: 1.5 mm\n```\n"

const arm = "---\nsection: arm\nsides: [left, right]\n---\n" +
	"```panel cheek\noutline: trapezoid(long: 155 mm, short: 95 mm, height: 90 mm, shift: 20 mm)\nmaterial: foam10\nbevel long: 30 deg\nbevel left: -20 deg\nhand: pair\ncount: 2\n" +
	"hole strap: circle(diameter: 30 mm, at: (70 mm, 45 mm))\n```\n" +
	"```panel frame\noutline: cut(rect(width: 180 mm, height: 180 mm), move(rect(width: 150 mm, height: 150 mm), by: (15 mm, 15 mm)))\nmaterial: foam10\n```\n" +
	"```panel strip\noutline: rect(width: 30 mm, height: 220 mm)\nmaterial: felt\ncount: 2\n```\n" +
	"```panel loose\noutline: rect(width: 30 mm, height: 20 mm)\nthickness: 5 mm\n```\n" +
	"```layout\nkerf: 1 mm\neffort: 1 s\n```\n"

func load(t *testing.T) *journal.Snapshot {
	t.Helper()
	s, err := journal.Load(fstest.MapFS{"journal.md": {Data: []byte(shop)}, "arm.md": {Data: []byte(arm)}}, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Language() {
		t.Error(f.Message)
	}
	return s
}

func solved(t *testing.T, s *journal.Snapshot) (list []Result) {
	t.Helper()
	plans, left := Plans(s, s.OfKind("layout")[0], s.Ledger.Rows)
	if len(plans) != 2 || len(left) != 1 || !strings.Contains(left[0].Why, "bare thickness") {
		t.Fatalf("%d plans, left %+v", len(plans), left)
	}
	solver := NewSolver(nil)
	for _, p := range plans {
		p.Effort.Steps = 300
		r, err := solver.Solve(p, nil)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, r)
	}
	return list
}

func TestPlansKeepTheGrainTheKerfAndTheOffcuts(t *testing.T) {
	s := load(t)
	list := solved(t, s)
	felt, foam := list[0], list[1]
	if felt.Material != "felt" || felt.Job.Items[0].Turns != nest.Half || math.Abs(felt.Turned[0]+math.Pi/2) > 1e-12 {
		t.Errorf("felt: %+v turned %v: an upright strip lies along the width of its sheet", felt.Job.Items[0].Turns, felt.Turned)
	}
	if foam.Job.Gap != 1 || foam.Job.Margin != 5 || len(foam.Job.Sheets) != 3 || foam.Job.Sheets[0].Width != 150 || foam.Job.Sheets[0].Count != 2 || foam.Job.Sheets[2].Count != 0 {
		t.Errorf("foam10: %+v", foam.Job)
	}
	if plans, _ := PlansOf(s, Usual, "", s.Ledger.Rows); plans[1].Job.Gap != 1.5 {
		t.Errorf("without a kerf of its own it is %v, not the saw's", plans[1].Job.Gap)
	}
}

// Every piece on every sheet lies inside of it with the margin, both faces of it, as the sheet draws it.
func TestPiecesLieOnTheirSheetsAsTheyAreDrawn(t *testing.T) {
	for _, r := range solved(t, load(t)) {
		pieces := 0
		for _, sheet := range r.Sheets() {
			for _, p := range sheet.Pieces {
				pieces++
				for _, o := range []struct {
					what string
					box  r2.Box
				}{{"show face", p.Shape(p.Row.Part.Show).Bounds()}, {"back face", p.Shape(p.Row.Part.Back).Bounds()}} {
					if o.box.Min.X < 5-1e-6 || o.box.Min.Y < 5-1e-6 || o.box.Max.X > sheet.Width-5+1e-6 || o.box.Max.Y > sheet.Height-5+1e-6 {
						t.Errorf("%s of %s reaches %v on %s of %v × %v", o.what, name(p.Row), o.box, sheet.Name, sheet.Width, sheet.Height)
					}
				}
				// A hand is kept: the cheek's long edge and its hole turn the way its outline does.
				if area := p.Shape(p.Row.Part.Show).Area(); area <= 0 {
					t.Errorf("%s is laid with area %v", name(p.Row), area)
				}
			}
		}
		want := 0
		for _, row := range r.Rows {
			want += row.Count
		}
		if pieces+len(r.Layout.Left) != want {
			t.Errorf("%s: %d pieces laid and %d left of %d", r.Material, pieces, len(r.Layout.Left), want)
		}
	}
}

// memory is a store for tests.
type memory map[string][]byte

func (m memory) Get(key string) ([]byte, bool) { d, ok := m[key]; return d, ok }
func (m memory) Put(key string, d []byte)      { m[key] = d }

func TestAnswersAreKeptByWhatTheyHangOnAndCheckedWhenRecalled(t *testing.T) {
	s := load(t)
	plans, _ := Plans(s, s.OfKind("layout")[0], s.Ledger.Rows)
	p := plans[1]
	p.Effort.Steps = 100
	store := memory{}
	first, err := NewSolver(store).Solve(p, nil)
	if err != nil || len(store) != 1 {
		t.Fatal(err, len(store))
	}
	ready, err := NewSolver(store).Ready("page", p, nil)
	if err != nil || ready.Rough || len(ready.Layout.Placed) != len(first.Layout.Placed) || ready.Layout.Placed[0] != first.Layout.Placed[0] {
		t.Errorf("recalled: rough %v, %v", ready.Rough, err)
	}
	// A store that lies is not believed.
	for key, data := range store {
		store[key] = []byte(strings.Replace(string(data), `"Placed":[[`, `"Placed":[[0,0,0,0,0,0],[`, 1))
		if _, ok := NewSolver(store).recall(p); ok {
			t.Error("a layout with a piece too many is believed")
		}
		store[key] = data[:len(data)/2]
		if _, ok := NewSolver(store).recall(p); ok {
			t.Error("half a layout is believed")
		}
	}
	q := p
	q.Job.Gap += 0.1
	if p.Key() == q.Key() {
		t.Error("another kerf has the same key")
	}
}

// A page that is written never waits: it shows nothing, then the first layout, then the one that is kept;
// a plan that takes its place ends the search.
func TestALayoutIsSearchedForBesideTheWriting(t *testing.T) {
	s := load(t)
	plans, _ := Plans(s, s.OfKind("layout")[0], s.Ledger.Rows)
	p, old := plans[1], plans[1]
	p.Effort.Steps, old.Effort.Steps = 100, 1<<40
	solver, news := NewSolver(nil), make(chan bool, 10)
	later := func() { news <- true }
	if r, err := solver.Ready("page", old, later); err != nil || !r.Rough || len(r.Layout.Placed) > 0 {
		t.Fatalf("at first %+v, %v", r.Layout, err)
	}
	<-news // the first layout of the plan that would take for ever
	if r, _ := solver.Ready("page", old, later); !r.Rough || len(r.Layout.Placed) == 0 {
		t.Errorf("the first layout is not shown")
	}
	for r, _ := solver.Ready("page", p, later); r.Rough; r, _ = solver.Ready("page", p, later) {
		<-news
	}
	want, err := NewSolver(nil).Solve(p, nil)
	got, _ := solver.Ready("page", p, later)
	if err != nil || len(got.Layout.Placed) != len(want.Layout.Placed) || got.Layout.Placed[0] != want.Layout.Placed[0] {
		t.Errorf("worked out beside it differs from worked out while waiting: %v", err)
	}
}

func TestAnswersAreForgottenAtLast(t *testing.T) {
	s := load(t)
	plans, _ := Plans(s, s.OfKind("layout")[0], s.Ledger.Rows)
	p := plans[0]
	p.Effort.Steps = 0
	solver := NewSolver(nil)
	for i := range 3 * mostKnown {
		p.Job.Margin = float64(i) / 100
		if _, err := solver.Solve(p, nil); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(solver.known); n > mostKnown {
		t.Errorf("%d answers are kept", n)
	}
}

func TestALayoutDrawsEachPieceWithItsNumber(t *testing.T) {
	s := load(t)
	for _, r := range solved(t, s) {
		for _, sheet := range r.Sheets() {
			d := r.Drawing(sheet, s.Settings.Style, true)
			if d.Title == "" || d.Desc == "" || len(d.Items) < 1+3*len(sheet.Pieces) {
				t.Errorf("%q with %d items for %d pieces", d.Title, len(d.Items), len(sheet.Pieces))
			}
		}
	}
}
