package nest

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// published is the best density that testdata/README.md quotes, in per cent.
var published = []struct {
	name string
	best float64
}{
	{"albano", 89.82}, {"dagli", 90.17}, {"fu", 92.41}, {"marques", 92.02}, {"shapes0", 69.98},
	{"shapes1", 76.73}, {"shirts", 90.92}, {"trousers", 92.62}, {"dighe1", 100}, {"dighe2", 100},
}

// instance reads a public instance as a strip.
func instance(t testing.TB, name string) Job {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var in struct {
		Height float64 `json:"strip_height"`
		Items  []struct {
			Demand  int
			Turns   []float64 `json:"turns_deg"`
			Polygon [][2]float64
		}
	}
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	job := Job{Sheets: []Sheet{{Height: in.Height}}}
	for _, it := range in.Items {
		item := Item{Count: it.Demand, Turns: map[int]Turns{1: None, 2: Half, 4: Quarter}[len(it.Turns)]}
		for _, p := range it.Polygon {
			item.Outline = append(item.Outline, r2.Vec{X: p[0], Y: p[1]})
		}
		job.Items = append(job.Items, item)
	}
	return job
}

// density of a strip, in per cent.
func density(job Job, l Layout) float64 {
	area := 0.0
	for _, it := range job.Items {
		area += float64(it.Count) * math.Abs(ringArea(it.Outline))
	}
	return 100 * area / (job.Sheets[0].Height * l.Length())
}

// A short search comes within 16 points of the best published densities; BenchmarkStrip is the long one.
func TestPublicInstancesArePackedWellInAShortSearch(t *testing.T) {
	for _, row := range published {
		job := instance(t, row.name)
		l, err := Strip(job, Effort{Steps: 50_000, Random: 1})
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		if d := density(job, l); d < row.best-16 && row.best < 100 {
			t.Errorf("%s: %.2f %% of the strip is used, the best published is %.2f %%", row.name, d, row.best)
		} else {
			t.Logf("%s: %.2f of %.2f", row.name, d, row.best)
		}
		job.Sheets[0].Width = l.Length() + Tolerance
		if err := Check(job, l); err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
		if density(job, l) > row.best {
			t.Errorf("%s: packed better than anybody has", row.name)
		}
	}
}
