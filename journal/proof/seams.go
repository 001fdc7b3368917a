package proof

import (
	"fmt"
	"math"
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/journal"
)

// usualGap is how much the two edges of a seam may differ where no `limits` block says `seam_gap`, mm.
// Common practice, no source.
const usualGap = 0.5

// bevelSlack is how far the bevels of a seam may miss its angle: finer than a saw's scale is read. Radians.
// Common practice, no source.
const bevelSlack = 0.25 * math.Pi / 180

var seamUneven = Check{
	Name: "seam-uneven", Severity: finding.Mind,
	Doc:   "two edges that meet differ in length, on the show or on the back face, by more than `seam_gap`",
	block: checkSeamUneven, reads: []string{"limits"}, looks: hasSeams,
}

// checkSeamUneven reports each block once, with its worst seam. A panel that stands against another that runs
// through may be shorter than it.
func checkSeamUneven(r *report, b *journal.Block) {
	limit, ok := r.Limit(b.Page.Section(), "seam_gap")
	if !ok {
		limit = usualGap
	}
	r.worstSeam(b, func(s part.Seam) (float64, string) {
		if s.Butt {
			return 0, ""
		}
		show, back := math.Abs(s.A.Length-s.B.Length), math.Abs(s.A.BackLength-s.B.BackLength)
		face, one, two := "show", s.A.Length, s.B.Length
		if back > show {
			face, one, two = "back", s.A.BackLength, s.B.BackLength
		}
		if max(show, back) <= limit+1e-6 {
			return 0, ""
		}
		return max(show, back), fmt.Sprintf("%s and %s differ by %s on the %s face, %s and %s; the limit is %s",
			sideOf(s.A), sideOf(s.B), r.mm(max(show, back)), face, r.mm(one), r.mm(two), r.mm(limit))
	}, "Make the two edges alike; in a shell whose sides lean differently, cut its rims level (`flush: top`)")
}

func hasSeams(b *journal.Block) bool { return len(b.Out.Seams) > 0 }

var bevelUnlike = Check{
	Name: "bevel-unlike", Severity: finding.Mind,
	Doc:   "the bevels of two edges that meet do not add up to what their panels' angle lacks to 180°",
	block: checkBevelUnlike,
}

// checkBevelUnlike holds seams whose angle is known to it. A butted seam shares no bevel.
func checkBevelUnlike(r *report, b *journal.Block) {
	r.worstSeam(b, func(s part.Seam) (float64, string) {
		if s.Butt || s.Dihedral == 0 {
			return 0, ""
		}
		want, got := math.Pi-s.Dihedral, s.A.Bevel+s.B.Bevel
		if math.Abs(want-got) <= bevelSlack {
			return 0, ""
		}
		what := "gape on the show face"
		if got > want {
			what = "gape on the back face"
		}
		return math.Abs(want - got), fmt.Sprintf("%s and %s are cut at %s and %s, together %s; panels that meet at %s take %s, so the cuts %s",
			sideOf(s.A), sideOf(s.B), r.deg(s.A.Bevel), r.deg(s.B.Bevel), r.deg(got), r.deg(s.Dihedral), r.deg(want), what)
	}, "Cut both at half of what the angle lacks to 180°, or change one by the difference; a butted seam says `butt: yes`")
}

// worstSeam reports the seam of a block that measures worst, and how many others do too.
func (r *report) worstSeam(b *journal.Block, measure func(part.Seam) (size float64, message string), help string) {
	worst, text, count := 0.0, "", 0
	for _, seam := range b.Out.Seams {
		size, message := measure(seam)
		if message == "" {
			continue
		}
		count++
		if size > worst+1e-9 {
			worst, text = size, message
		}
	}
	if count > 1 {
		text += fmt.Sprintf(" (the worst of %d seams)", count)
	}
	if count > 0 {
		r.add(finding.Finding{At: b.Entry.Info, Section: b.Page.Section(), Part: b.Eval.Name, Message: text, Help: help})
	}
}

// sideOf names an edge of a seam.
func sideOf(s part.Side) string { return strings.TrimPrefix(s.Part+"."+s.Edge, ".") }
