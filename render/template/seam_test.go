package template

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bevelbook/calc/part"
	"bevelbook/journal"
)

// seamed is a build whose seams are of every sort: mitred and butted shells, of parts that are alike and
// that are not, and panels that a seam block joins.
const seamed = "---\nsection: tower\nsides: [left, right]\n---\n" +
	"```ring lamp\nsides: 8\nside: 137 mm\nheight: 360 mm\nthickness: 10 mm\n%[1]s```\n" +
	"```ring mast\nsides: 5\nside: 120 mm\ntop: 80 mm\nheight: 520 mm\nthickness: 10 mm\napart: yes\n%[1]s```\n" +
	"```box crate\nwidth: 420 mm\ndepth: 300 mm\nheight: 260 mm\nthickness: 12 mm\n%[1]s```\n" +
	"```box tray\nwidth: 420 mm\ndepth: 300 mm\nheight: 260 mm\nthickness: 12 mm\ncorners: butt\nopen: lid\n%[1]s```\n" +
	"```box stand\nwidth: 420 mm\ndepth: 300 mm\nheight: 350 mm\ntop_width: 340 mm\nshift: (30 mm, 10 mm)\nthickness: 10 mm\nhand: pair\n%[1]s```\n" +
	"```panel cheek\noutline: polygon((0 mm, 0 mm), (200 mm, 0 mm), (230 mm, 380 mm), (0 mm, 300 mm))\nthickness: 10 mm\nhand: pair\nbevel e2: 30 deg\n%[1]s```\n" +
	"```panel brow\noutline: polygon((0 mm, 0 mm), (150 mm, 0 mm), (30 mm, 381.182 mm))\nthickness: 10 mm\nhand: pair\nbevel e3: 30 deg\n%[1]s```\n" +
	"```seam temple\nedges: cheek.edge.e2, brow.edge.e3\n```\n"

// steps are the distances from mark to mark.
func gaps(marks []float64) []float64 {
	var list []float64
	for i := 1; i < len(marks); i++ {
		list = append(list, marks[i]-marks[i-1])
	}
	return list
}

func TestMatchMarksOfEverySeamOfABuildMeet(t *testing.T) {
	for _, trace := range []string{"show", "back"} {
		fsys := fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: t\n---\n")}, "tower.md": {Data: []byte(fmt.Sprintf(seamed, "trace: "+trace+"\n"))}}
		snap, err := journal.Load(fsys, journal.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range snap.Language() {
			t.Errorf("%s", f.Message)
		}
		joined, parts := snap.Joined(), map[string]part.Part{}
		for _, r := range snap.Ledger.Rows {
			parts[r.ID()] = joined.Part(r.Part)
		}
		marked := 0
		for _, joint := range snap.Ledger.Seams {
			a, b := joint.Seam.A, joint.Seam.B
			for _, hand := range []string{"left", "right"} {
				one := ticksOn(Piece(parts[a.Part], hand, Meta{}), a.Edge)
				two := ticksOn(Piece(parts[b.Part], hand, Meta{}), b.Edge)
				slices.Reverse(two)
				what := fmt.Sprintf("%s.%s – %s.%s, %s, %s face up", a.Part, a.Edge, b.Part, b.Edge, hand, trace)
				if len(one) != len(two) {
					t.Errorf("%s: marks at %v and %v", what, one, two)
					continue
				}
				marked += len(one)
				for i := range one {
					// The edges run against each other; where they are equally long, so are the distances from the common end.
					if other := b.Length - two[i]; trace == "show" && math.Abs(a.Length-b.Length) < 1e-6 && math.Abs(one[i]-other) > 1e-6 {
						t.Errorf("%s: mark %d stands %v and %v from the common end", what, i, one[i], other)
					}
				}
				for i, g := range gaps(one) {
					if other := -gaps(two)[i]; math.Abs(g-other) > 1e-6 {
						t.Errorf("%s: from mark %d to the next it is %v and %v", what, i, g, other)
					}
				}
			}
		}
		if marked < 100 {
			t.Errorf("%s face up: only %d marks", trace, marked)
		}
	}
}

func TestEdgesOnATemplateNameTheirLetterAndWhatTheyMeet(t *testing.T) {
	fsys := fstest.MapFS{"journal.md": {Data: []byte("---\ntitle: t\n---\n")}, "tower.md": {Data: []byte(fmt.Sprintf(seamed, ""))}}
	snap, err := journal.Load(fsys, journal.Options{})
	if err != nil {
		t.Fatal(err)
	}
	joined, all := snap.Joined(), map[string]string{}
	for _, r := range snap.Ledger.Rows {
		_, words := shapes(Piece(joined.Part(r.Part), r.Hand, Meta{}))
		all[r.ID()] += strings.Join(words, "\n") + "\n"
	}
	for id, want := range map[string]string{
		"tower.lamp.side":   "right · 22.5° · A → side.left",
		"tower.crate.floor": "front · 45° · A → front.bottom",
		"tower.cheek":       "e2 · 30° · a → brow.e3",
		"tower.brow":        "e3 · 30° · a → cheek.e2",
	} {
		if !strings.Contains(all[id], want) {
			t.Errorf("%s does not say %q:\n%s", id, want, all[id])
		}
	}
}
