package nest

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// shapelySheet is one sheet with the placed polygons on it, for testdata/sheet_answers.py.
type shapelySheet struct {
	Rim   [][2]float64     `json:"rim"`
	Parts [][][][2]float64 `json:"parts"` // of each part its outline, then its holes
}

type shapelyAnswer struct {
	Valid   bool
	Areas   []float64
	Shared  float64 // the largest area that two parts share
	Nearest float64 // the least distance of two parts; below 0 if there are none
	Outside float64 // the largest area of a part beyond the rim
	Rim     float64 // the least distance of a part from the rim
}

// askShapely works the sheets out with Shapely; without it the test is skipped, except where CI=true.
func askShapely(t *testing.T, sheets []shapelySheet) []shapelyAnswer {
	t.Helper()
	missing := t.Skipf
	if os.Getenv("CI") == "true" {
		missing = t.Fatalf
	}
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import shapely").Run(); err != nil {
		missing("python3 with shapely is not here: %v", err)
	}
	in, err := json.Marshal(sheets)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/sheet_answers.py")
	var errs bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	var answers []shapelyAnswer
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatal(err)
	}
	return answers
}

func pairs(ring []r2.Vec) [][2]float64 {
	out := make([][2]float64, len(ring))
	for i, p := range ring {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

// Shapely (GEOS) finds no shared area, no gap and no margin that is too small, and the areas that the layout tells.
func TestLayoutsAgreeWithShapely(t *testing.T) {
	rng := rand.New(rand.NewPCG(47, 48))
	type about struct {
		job  Job
		used Used
	}
	var sheets []shapelySheet
	var abouts []about
	for n := range 24 {
		job := randomJob(rng)
		l := must(Run(job, Effort{Steps: 5000, Random: uint64(n)}))
		for i, u := range l.Sheets {
			s := job.Sheets[u.Sheet]
			out := shapelySheet{Rim: pairs(s.Outline)}
			if s.Outline == nil {
				out.Rim = pairs(box(s.Width, s.Height))
			}
			for _, p := range l.Placed {
				if p.Sheet != i {
					continue
				}
				rings := [][][2]float64{pairs(moved(job.Items[p.Item].Outline, p.Move))}
				for _, h := range job.holes(p.Item) {
					rings = append(rings, pairs(moved(h, p.Move)))
				}
				out.Parts = append(out.Parts, rings)
			}
			sheets, abouts = append(sheets, out), append(abouts, about{job, u})
		}
	}
	for i, a := range askShapely(t, sheets) {
		job, sum := abouts[i].job, 0.0
		for _, area := range a.Areas {
			sum += area
		}
		switch {
		case !a.Valid:
			t.Errorf("sheet %d: a part is not simple", i)
		case a.Shared > 1e-3: // a micrometre along a metre
			t.Errorf("sheet %d: two parts share %g mm²", i, a.Shared)
		case a.Nearest >= 0 && a.Nearest < job.Gap-2*Tolerance:
			t.Errorf("sheet %d: two parts are %g mm apart, the gap is %g mm", i, a.Nearest, job.Gap)
		case a.Outside > 1e-3 || a.Rim < job.Margin-2*Tolerance:
			t.Errorf("sheet %d: %g mm² beyond the rim, %g mm from it, the margin is %g mm", i, a.Outside, a.Rim, job.Margin)
		case sum-abouts[i].used.Area > 1e-6*sum || abouts[i].used.Area-sum > 1e-6*sum:
			t.Errorf("sheet %d: the parts cover %g mm², the layout says %g", i, sum, abouts[i].used.Area)
		}
	}
}

// Check and Shapely agree on pairs of parts thrown together.
func TestCheckAgreesWithShapelyOnPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(49, 50))
	var sheets []shapelySheet
	var near []bool
	var gaps []float64
	for range 400 {
		job := Job{Gap: []float64{0, 3}[rng.IntN(2)], FillHoles: true, Sheets: []Sheet{{Width: 400, Height: 400}}, Items: []Item{
			{Name: "a", Outline: star(rng, 150), Count: 1}, {Name: "b", Outline: star(rng, 90), Count: 1}}}
		if rng.IntN(2) == 0 {
			job.Items[0].Outline = box(150, 150)
			job.Items[0].Holes = [][]r2.Vec{moved(box(110, 100), motion(0, 20, 25))}
		}
		a, b := motion(0, 200, 200), motion(rng.Float64()*6, 200+120*rng.Float64(), 200+120*rng.Float64())
		l := Layout{Sheets: []Used{{}}, Placed: []Placement{{Item: 0, Move: a}, {Item: 1, Move: b}}}
		rings := [][][2]float64{pairs(moved(job.Items[0].Outline, a))}
		for _, h := range job.Items[0].Holes {
			rings = append(rings, pairs(moved(h, a)))
		}
		sheets = append(sheets, shapelySheet{Rim: pairs(box(400, 400)), Parts: [][][][2]float64{rings, {pairs(moved(job.Items[1].Outline, b))}}})
		near, gaps = append(near, Check(job, l) != nil), append(gaps, job.Gap)
	}
	count := 0
	for i, a := range askShapely(t, sheets) {
		want := a.Shared > 1e-6 || a.Nearest < gaps[i]
		if want {
			count++
		}
		if near[i] != want {
			t.Errorf("pair %d: Check says too near: %v, shapely shares %g mm² at %g mm, the gap is %g", i, near[i], a.Shared, a.Nearest, gaps[i])
		}
	}
	if count < 80 || count > 320 {
		t.Errorf("%d of 400 are too near: the cases are one-sided", count)
	}
}
