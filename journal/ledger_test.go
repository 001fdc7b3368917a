package journal_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/journal"
)

// shop has a sheet of half a square metre.
const shop = "```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\nprice: 12 EUR\n```\n"

const (
	rectangle = "outline: rect(width: 90 mm, height: 60 mm)\nmaterial: foam10\n"                                 // its own mirror image
	triangle  = "outline: polygon((0 mm, 0 mm), (90 mm, 0 mm), (0 mm, 50 mm))\nmaterial: foam10\n"               // not so
	otherOne  = "outline: polygon((0 mm, 0 mm), (90 mm, 0 mm), (90 mm, 50 mm))\nmaterial: foam10\nhand: right\n" // its mirror image
)

func panel(name, keys string) string { return "```panel " + name + "\n" + keys + "```\n\n" }

// rows lists templates as "part hand × count".
func rows(s *journal.Snapshot) string {
	var list []string
	for _, r := range s.Ledger.Rows {
		list = append(list, strings.TrimSpace(fmt.Sprintf("%s %s", r.ID(), r.Hand))+fmt.Sprintf(" × %d", r.Count))
	}
	return strings.Join(list, ", ")
}

func TestHandsAndCountsFollowFromGeometryAndSides(t *testing.T) {
	for _, c := range []struct{ sides, blocks, want string }{
		{"", panel("p", rectangle), "s.p × 1"},
		{"left, right", panel("p", rectangle), "s.p × 2"},
		{"left", panel("p", rectangle), "s.p × 1"},
		{"", panel("p", rectangle+"count: 3\n"), "s.p × 3"},
		{"left, right", panel("p", rectangle+"count: 3\n"), "s.p × 6"},
		{"left, right", panel("p", rectangle+"hand: pair\n"), "s.p × 2"}, // one template does for both hands
		{"left, right", panel("p", rectangle+"hand: left\n"), "s.p × 1"},
		{"left, right", panel("p", triangle+"hand: pair\n"), "s.p left × 1, s.p right × 1"},
		{"", panel("p", triangle+"hand: pair\ncount: 2\n"), "s.p left × 2, s.p right × 2"},
		{"left, right", panel("p", triangle), "s.p × 2"}, // and the check `unmirrored` speaks up
		{"left, right", panel("p", triangle+"hand: left\n") + panel("q", otherOne), "s.p left × 1, s.q right × 1"},
		{"left, right", panel("p", rectangle+"count: 0\n"), "s.p × 0"},
		// Common practice, no source: one traced side and three more copies make the sides of both
		// arms: four, two of each hand.
		{"left, right", panel("side", triangle+"hand: pair\ncount: 2\n"), "s.side left × 2, s.side right × 2"},
		// Common practice, no source: three plates a finger and two a thumb are 14 a hand, 28 a pair.
		{"left, right", panel("finger", rectangle+"count: 4 * 3\n") + panel("thumb", rectangle+"count: 2\n"), "s.finger × 24, s.thumb × 4"},
	} {
		s := load(t, map[string]string{"shop.md": shop, "s.md": "---\nsection: s\nsides: [" + c.sides + "]\n---\n" + c.blocks})
		for _, f := range s.Language() {
			if c.sides != "" {
				t.Errorf("%s: %s", c.blocks, f.Message)
			}
		}
		if got := rows(s); got != c.want {
			t.Errorf("sides %q,\n%s cuts %s, want %s", c.sides, c.blocks, got, c.want)
		}
	}
}

func TestTheOtherHandOfAPairIsMirroredEdgeByEdge(t *testing.T) {
	s := load(t, map[string]string{"shop.md": shop, "s.md": panel("p", "outline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm, shift: 8 mm)\nmaterial: foam10\nbevel left: 35 deg\nbevel short: 17 deg\nhand: pair\n")})
	left, right := s.Ledger.Rows[0], s.Ledger.Rows[1]
	if left.Mirrored() || !right.Mirrored() || left.Part != right.Part {
		t.Fatal("a pair is drawn as the left one")
	}
	ls, lb := left.Outlines()
	rs, rb := right.Outlines()
	if !shape.MirrorImages(figure(left, ls), figure(right, rs), part.MirrorTolerance) {
		t.Error("the right one is not the mirror image of the left, bevels and all")
	}
	if math.Abs(ls.Area()-rs.Area()) > 1e-9 || math.Abs(lb.Area()-rb.Area()) > 1e-9 || rs.Area() <= rb.Area() {
		t.Error("mirroring changes the faces")
	}
	for i, e := range right.Edges() {
		if rs.Edges[i].Name != e.Name {
			t.Errorf("edge %d of the right hand is %s, and %s in its outline", i, e.Name, rs.Edges[i].Name)
		}
		if math.Abs(rs.EdgeLengths()[i]-e.Length) > 1e-9 {
			t.Errorf("%s is %v mm long, and %v in its outline", e.Name, e.Length, rs.EdgeLengths()[i])
		}
	}
}

func figure(r journal.Row, show shape.Outline) shape.Figure {
	f := shape.Figure{Outline: show}
	for _, e := range r.Edges() {
		f.Bevels = append(f.Bevels, e.Bevel)
	}
	return f
}

func TestMaterialsAddUpToWholeSheetsAndTheirPrice(t *testing.T) {
	s := load(t, map[string]string{"shop.md": shop + "```material foam4\nthickness: 4 mm\n```\n", "s.md": panel("a", "outline: rect(width: 500 mm, height: 500 mm)\nmaterial: foam10\ncount: 5\n") +
		panel("b", "outline: rect(width: 100 mm, height: 100 mm)\nmaterial: foam4\n") + panel("c", "outline: rect(width: 100 mm, height: 100 mm)\nthickness: 3 mm\n") +
		panel("d", "outline: rect(width: 80 mm, height: 80 mm)\nmaterial: foam10\nbevel: -45 deg\n")})
	if list := s.Language(); len(list) > 0 {
		t.Fatal(list[0].Message)
	}
	var got []string
	for _, u := range s.Materials() {
		got = append(got, fmt.Sprintf("%q %g mm² %.4g g %d pieces %d sheets %g %s", u.Name, u.Area, u.Weight, u.Pieces, u.Sheets, u.Price, u.Currency))
	}
	// Five squares of 0.25 m² and one that takes 100 × 100 mm of the sheet, its larger back face, need
	// 1.26 m²: three sheets of 0.5 m². The squares weigh 250 g each; the other is a frustum of
	// 10/3·(6400 + 10000 + 8000) mm³ = 81.3333 cm³ at 0.1 g/cm³.
	want := []string{`"" 10000 mm² 0 g 1 pieces 0 sheets 0 `, `"foam10" 1.26e+06 mm² 1258 g 6 pieces 3 sheets 36 EUR`, `"foam4" 10000 mm² 0 g 1 pieces 0 sheets 0 `}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("materials are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestExactlyOneSheetIsOneSheet(t *testing.T) {
	s := load(t, map[string]string{"shop.md": shop, "s.md": panel("a", "outline: rect(width: 100 mm, height: 100 mm)\nmaterial: foam10\ncount: 50\n")})
	if n := s.Materials()[0].Sheets; n != 1 {
		t.Errorf("50 squares of 0.01 m² take %d sheets of 0.5 m²", n)
	}
}

func TestLimitsOfTheSectionGoBeforeTheBuilds(t *testing.T) {
	s := load(t, map[string]string{"shop.md": "```limits\nworn_wall: 12 mm\nweight: 6 kg\n```\n", "s.md": "---\nsection: s\n---\n```limits\nworn_wall: 8 mm\n```\n"})
	for _, c := range []struct {
		section, key string
		want         float64
		ok           bool
	}{{"s", "worn_wall", 8, true}, {"other", "worn_wall", 12, true}, {"", "worn_wall", 12, true}, {"s", "weight", 6000, true}, {"s", "door", 0, false}} {
		if v, ok := s.Limit(c.section, c.key); v != c.want || ok != c.ok {
			t.Errorf("%s of %q is %v, %v", c.key, c.section, v, ok)
		}
	}
}
