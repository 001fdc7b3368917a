package journal_test

import (
	"math"
	"slices"
	"testing"

	"bevelbook/calc/part"
	"bevelbook/journal"
)

const ledge = "```material foam10\nthickness: 10 mm\n```\n" + `
` + "```stack thick\nlayers: foam10, foam10\n```\n"

// joinedParts are the parts of a section with what its seams say, by name and layer.
func joinedParts(t *testing.T, pages map[string]string) map[string]part.Part {
	t.Helper()
	pages["shop.md"] = ledge
	s := load(t, pages)
	for _, f := range s.Language() {
		t.Errorf("%s", f.Message)
	}
	joined, list := s.Joined(), map[string]part.Part{}
	for _, r := range s.Ledger.Rows {
		list[r.ID()+r.Part.Layer] = joined.Part(r.Part)
	}
	return list
}

func edgeNamed(p part.Part, name string) part.Edge {
	return p.Edges[slices.IndexFunc(p.Edges, func(e part.Edge) bool { return e.Name == name })]
}

func board(name, keys string) string {
	return "```panel " + name + "\noutline: rect(width: 90 mm, height: 420 mm)\n" + keys + "```\n"
}

func TestEdgesThatASeamJoinsShareALetterAndMarksFromTheCommonEnd(t *testing.T) {
	list := joinedParts(t, map[string]string{
		"arm.md": "---\nsection: arm\n---\n" + board("cheek", "material: foam10\nbevel right: 30 deg\n") + board("brow", "material: foam10\nbevel left: 30 deg\n") +
			"```seam temple\nedges: cheek.edge.right, brow.edge.left\n```\n```seam crown\nedges: brow.edge.top, arm.cheek.edge.top\n```\n",
		"leg.md": "---\nsection: leg\n---\n" + board("shin", "material: foam10\n") + "```seam knee\nedges: shin.edge.right, arm.cheek.edge.left\n```\n",
	})
	one, two := edgeNamed(list["arm.cheek"], "right"), edgeNamed(list["arm.brow"], "left")
	if one.Letter != "a" || two.Letter != "a" || one.Meets != "brow.left" || two.Meets != "cheek.right" {
		t.Errorf("%s → %s and %s → %s", one.Letter, one.Meets, two.Letter, two.Meets)
	}
	if len(one.Matches) < 3 || len(one.Matches) != len(two.Matches) {
		t.Fatalf("marks at %v and %v", one.Matches, two.Matches)
	}
	for i, m := range one.Matches {
		if other := 420 - two.Matches[len(two.Matches)-1-i]; math.Abs(m-other) > 1e-9 {
			t.Errorf("mark %d stands %v and %v from the common end", i, m, other)
		}
	}
	for name, want := range map[string]string{"bottom": "", "top": "b", "left": "c"} {
		if e := edgeNamed(list["arm.cheek"], name); e.Letter != want {
			t.Errorf("cheek.%s has the letter %q, want %q", name, e.Letter, want)
		}
	}
	if e := edgeNamed(list["arm.cheek"], "top"); len(e.Matches) != 0 {
		t.Errorf("an edge of 90 mm has marks at %v", e.Matches)
	}
	if e := edgeNamed(list["leg.shin"], "right"); e.Meets != "arm.cheek.left" || e.Letter != "c" {
		t.Errorf("shin.right: %s → %s", e.Letter, e.Meets)
	}
}

func TestAnEdgeOfTwoSeamsKeepsItsLetterAndItsMarks(t *testing.T) {
	list := joinedParts(t, map[string]string{
		"arm.md": "---\nsection: arm\n---\n" + board("a1", "material: foam10\n") + board("b1", "material: foam10\n") + board("c1", "material: foam10\n") +
			"```seam s1\nedges: a1.edge.right, b1.edge.left\n```\n```seam s2\nedges: a1.edge.right, c1.edge.left\n```\n```seam s3\nedges: b1.edge.right, b1.edge.right\n```\n",
	})
	one := edgeNamed(list["arm.a1"], "right")
	if one.Meets != "b1.left or c1.left" || edgeNamed(list["arm.c1"], "left").Letter != one.Letter {
		t.Errorf("%s → %s; c1.left has %s", one.Letter, one.Meets, edgeNamed(list["arm.c1"], "left").Letter)
	}
	if !slices.Equal(edgeNamed(list["arm.b1"], "left").Matches, edgeNamed(list["arm.c1"], "left").Matches) {
		t.Error("two edges that meet the same one have different marks")
	}
	self := edgeNamed(list["arm.b1"], "right")
	for i, m := range self.Matches {
		if other := 420 - self.Matches[len(self.Matches)-1-i]; math.Abs(m-other) > 1e-9 {
			t.Errorf("an edge that meets its like has a mark at %v and none at %v", m, 420-m)
		}
	}
}

func TestMarksOfAStackedPanelStandAboveEachOther(t *testing.T) {
	list := joinedParts(t, map[string]string{
		"arm.md": "---\nsection: arm\n---\n" + board("cheek", "stack: thick\nbevel: 30 deg\n") + board("brow", "stack: thick\nbevel: 30 deg\n") +
			"```seam temple\nedges: cheek.edge.right, brow.edge.left\n```\n",
	})
	var layers []part.Part
	for _, p := range list {
		if p.Name == "cheek" {
			layers = append(layers, p)
		}
	}
	if len(layers) != 2 {
		t.Fatalf("%d layers", len(layers))
	}
	at := func(p part.Part) (ys []float64) {
		i := slices.IndexFunc(p.Edges, func(e part.Edge) bool { return e.Name == "right" })
		for _, m := range p.Edges[i].Matches {
			ys = append(ys, p.Show.Corners()[i].Y+m)
		}
		return ys
	}
	one, two := at(layers[0]), at(layers[1])
	if len(one) < 3 || len(one) != len(two) {
		t.Fatalf("marks at %v and %v", one, two)
	}
	for i := range one {
		if math.Abs(one[i]-two[i]) > 1e-9 {
			t.Errorf("mark %d stands at %v and %v", i, one[i], two[i])
		}
	}
}

func TestSeamsOfShellsAndOfNothingSayNothingMore(t *testing.T) {
	s := load(t, map[string]string{"shop.md": ledge, "arm.md": "---\nsection: arm\n---\n```ring cuff\nsides: 6\nside: 200 mm\nheight: 180 mm\nmaterial: foam10\n```\n"})
	for _, r := range s.Ledger.Rows {
		p := s.Joined().Part(r.Part)
		for i, e := range p.Edges {
			if e.Letter != r.Part.Edges[i].Letter || !slices.Equal(e.Matches, r.Part.Edges[i].Matches) {
				t.Errorf("%s.%s was changed", r.ID(), e.Name)
			}
		}
	}
	if j := (journal.Joined)(nil); len(j.Part(&part.Part{Name: "x"}).Edges) != 0 {
		t.Error("nothing is something")
	}
}
