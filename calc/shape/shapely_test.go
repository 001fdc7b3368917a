package shape

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

type shapelyCase struct {
	Points [][2]float64 `json:"points"`
	Offset float64      `json:"offset,omitempty"`
	Runs   []float64    `json:"runs,omitempty"`
}

type shapelyAnswer struct {
	Valid      bool
	Area, X, Y float64
	Moved      [][][2]float64
	MovedArea  float64 `json:"moved_area"`
	Holes      int
	CutArea    float64 `json:"cut_area"`
	CutCorners int     `json:"cut_corners"`
}

// askShapely works cases out with Shapely; without it the test is skipped, except where CI=true.
func askShapely(t *testing.T, cases []shapelyCase) []shapelyAnswer {
	t.Helper()
	missing := t.Skipf
	if os.Getenv("CI") == "true" {
		missing = t.Fatalf
	}
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import shapely").Run(); err != nil {
		missing("python3 with shapely is not here: %v", err)
	}
	in, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "testdata/plane_answers.py")
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

func pairs(pts []r2.Vec) [][2]float64 {
	out := make([][2]float64, len(pts))
	for i, p := range pts {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

// randomStar is a simple polygon with hollow corners.
func randomStar(rng *rand.Rand) Outline {
	n := 4 + rng.IntN(9)
	pts := make([]r2.Vec, n)
	for i := range pts {
		s, c := math.Sincos((float64(i) + 0.5*rng.Float64()) * 2 * math.Pi / float64(n))
		pts[i] = r2.Scale(25+75*rng.Float64(), r2.Vec{X: c, Y: s})
	}
	return must(Polygon(pts))
}

func TestAreasAndBalancePointsAgreeWithShapely(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	var outlines []Outline
	var cases []shapelyCase
	for range 60 {
		o := randomFigure(rng).Outline
		outlines, cases = append(outlines, o), append(cases, shapelyCase{Points: pairs(o.Flatten(1e-4))})
	}
	for i, a := range askShapely(t, cases) {
		o := outlines[i]
		if !a.Valid {
			t.Errorf("%s is not simple", o)
		}
		near(t, "area", o.Area(), a.Area, 1e-4*o.Path().Length())
		nearPoint(t, "balance point", o.Centroid(), r2.Vec{X: a.X, Y: a.Y}, 1e-3)
	}
}

// Where every edge survives, the moved outline is the mitred buffer; where edges meet, the buffer still
// agrees just before the fraction that is named, and has lost an edge or come apart just after it.
func TestMitredOffsetsAgreeWithShapely(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	var outlines []Outline
	var cases []shapelyCase
	var after []bool
	add := func(o Outline, run float64, past bool) {
		outlines, after = append(outlines, o), append(after, past)
		cases = append(cases, shapelyCase{Points: pairs(o.Corners()), Offset: -run})
	}
	met := 0
	for range 150 {
		o := randomStar(rng)
		run := []float64{-60, -15, 8, 25, 60}[rng.IntN(5)]
		_, err := o.OffsetEdges(equal(run, len(o.Edges)))
		var hit *Collision
		switch {
		case err == nil:
			add(o, run, false)
		case errors.As(err, &hit):
			met++
			add(o, run*hit.Fraction*0.9999, false)
			add(o, run*hit.Fraction*1.003, true)
		default:
			t.Fatalf("%s by %g: %v", o, run, err)
		}
	}
	if met < 20 || met > 130 {
		t.Fatalf("%d of 150 collide: the cases are one-sided", met)
	}
	for i, a := range askShapely(t, cases) {
		o, run := outlines[i], -cases[i].Offset
		if after[i] {
			if len(a.Moved) == 1 && a.Holes == 0 && len(a.Moved[0]) >= len(o.Edges) {
				t.Errorf("%s moved by %g still has %d corners", o, run, len(a.Moved[0]))
			}
			continue
		}
		out, err := o.OffsetEdges(equal(run, len(o.Edges)))
		if err != nil {
			t.Errorf("%s moved by %g: %v", o, run, err)
			continue
		}
		near(t, "area", out.Area(), a.MovedArea, 1e-6*a.MovedArea)
		for _, p := range a.Moved[0] {
			q, _ := nearest(out.Corners(), r2.Vec{X: p[0], Y: p[1]})
			nearPoint(t, "corner", q, r2.Vec{X: p[0], Y: p[1]}, 1e-5)
		}
	}
}

// A convex polygon whose edges move by runs of their own is the common part of the moved half planes.
func TestUnequalRunsOfConvexPolygonsAgreeWithShapely(t *testing.T) {
	rng := rand.New(rand.NewPCG(27, 28))
	var outlines []Outline
	var cases []shapelyCase
	for range 120 {
		o := randomConvex(rng)
		runs := make([]float64, len(o.Edges))
		for i := range runs {
			runs[i] = 40*rng.Float64() - 12
		}
		outlines, cases = append(outlines, o), append(cases, shapelyCase{Points: pairs(o.Corners()), Runs: runs})
	}
	kept := 0
	for i, a := range askShapely(t, cases) {
		out, err := outlines[i].OffsetEdges(cases[i].Runs)
		if whole := a.CutCorners == len(outlines[i].Edges); whole != (err == nil) {
			t.Errorf("%s by %v: %v, but %d edges are left", outlines[i], cases[i].Runs, err, a.CutCorners)
		} else if whole {
			kept++
			near(t, "area", out.Area(), a.CutArea, 1e-6*a.CutArea)
		}
	}
	if kept < 20 || kept > 110 {
		t.Errorf("%d of 120 keep all edges: the cases are one-sided", kept)
	}
}
