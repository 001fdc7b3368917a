package kind

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
)

// The ranges are those of testdata/ansur2.csv, computed from the public files of the 2012
// Anthropometric Survey of U.S. Army Personnel: the lower 1st percentile of both sexes, and the
// higher 99th.
func TestRangesOfMeasuresAreTheSurveys(t *testing.T) {
	low, high := readSurvey(t)
	for _, m := range measures {
		l, ok := low[m.survey]
		if !ok {
			t.Errorf("%s: the survey has no %s", m.name, m.survey)
			continue
		}
		if m.low != l || m.high != high[m.survey] {
			t.Errorf("%s goes from %v to %v, the survey from %v to %v", m.name, m.low, m.high, l, high[m.survey])
		}
	}
}

func readSurvey(t *testing.T) (low, high map[string]float64) {
	t.Helper()
	f, err := os.Open("testdata/ansur2.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	low, high = map[string]float64{}, map[string]float64{}
	sexes := map[string]int{}
	for s := bufio.NewScanner(f); s.Scan(); {
		c := strings.Split(s.Text(), ",")
		if len(c) != 10 || c[0] == "sex" {
			continue
		}
		p1, err1 := strconv.ParseFloat(c[5], 64)
		p99, err2 := strconv.ParseFloat(c[9], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("%q: %v %v", s.Text(), err1, err2)
		}
		if _, ok := low[c[1]]; !ok {
			low[c[1]], high[c[1]] = math.Inf(1), 0
		}
		low[c[1]], high[c[1]] = min(low[c[1]], p1), max(high[c[1]], p99)
		sexes[c[1]]++
	}
	for name, n := range sexes {
		if n != 2 {
			t.Fatalf("%s stands %d times in the survey", name, n)
		}
	}
	return low, high
}

func TestAMeasureThatNobodyHasIsASlip(t *testing.T) {
	for _, c := range []struct{ line, name string }{
		{"wrist_girth: 170 mm", ""}, {"wrist_girth: 6 3/4 in", ""}, {"stature: 1.1 m", ""}, {"stature: 5' 10\"", ""}, // a child is no slip
		{"wrist_girth: 60 mm", "measure-unlikely"}, {"wrist_girth: 600 mm", "measure-unlikely"}, {"stature: 175 mm", "measure-unlikely"}, {"head_girth: 57 in", "measure-unlikely"},
		{"hand_length: 5 kg", "measure-unlikely"}, {"wrist_girth: 170", "wrong-value"}, {"wrist_girth: \"wide\"", "wrong-value"},
		{"wrist_grith: 170 mm", "own-measure"}, {"horns: 300 mm", ""}, {"weight: 70 kg", ""},
	} {
		_, _, found := worked(t, "wearer wearer\n"+c.line)
		switch {
		case c.name == "" && len(found) > 0:
			t.Errorf("%s: %s", c.line, found[0].Message)
		case c.name != "" && (len(found) != 1 || found[0].Name != c.name || found[0].Help == ""):
			t.Errorf("%s: %v, want %s", c.line, found, c.name)
		case c.name == "measure-unlikely" && (found[0].Severity != finding.Mind || !found[0].Private):
			t.Errorf("%s: the finding stops, or may be published: %+v", c.line, found[0])
		}
	}
}

func TestMeasurementsAreKeptUnlessShared(t *testing.T) {
	for keys, want := range map[string]eval.Privacy{
		"wrist_girth: 170 mm": eval.Kept, "share: no\nwrist_girth: 170 mm": eval.Kept, "share: yes\nwrist_girth: 170 mm": eval.Open,
		"share: yse\nwrist_girth: 170 mm": eval.Kept, "share: \"yes\"\nwrist_girth: 170 mm": eval.Kept,
	} {
		r, _, _ := worked(t, "wearer wearer\n"+keys)
		f, _ := r.Field("wrist_girth")
		if f.Privacy != want {
			t.Errorf("%q: the wrist is %d, want %d", keys, f.Privacy, want)
		}
	}
}

func TestAPartShapedByAMeasurementSaysSo(t *testing.T) {
	const cuff = "\n\npanel cuff\noutline: rect(width: wearer.wrist_girth + 20 mm, height: 60 mm)\nthickness: 6 mm"
	r, out, _ := worked(t, "wearer wearer\nwrist_girth: 170 mm"+cuff)
	if f, _ := r.Field("area"); !out.Parts[0].FromPrivate || f.Privacy != eval.Shaped {
		t.Error("the cuff does not say that it is shaped by a private measurement")
	}
	if _, out, _ := worked(t, "wearer wearer\nshare: yes\nwrist_girth: 170 mm"+cuff); out.Parts[0].FromPrivate {
		t.Error("a shared measurement counts as private")
	}
}
