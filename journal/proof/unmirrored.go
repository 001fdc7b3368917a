package proof

import (
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/journal"
)

var unmirrored = Check{
	Name: "unmirrored", Severity: finding.Stop,
	Doc:     "a part of a two-sided section that is not its own mirror image and lacks its other hand",
	section: checkUnmirrored,
	looks:   func(b *journal.Block) bool { return len(b.Out.Parts) > 0 && wantsOther(&b.Out.Parts[0]) },
}

// checkUnmirrored looks, in sections made for both sides, for parts whose mirror image is not cut, or
// not as often: neither by `hand: pair` nor by another part that is their mirror image.
func checkUnmirrored(r *report, sec *journal.Section, blocks []*journal.Block) {
	if len(sec.Sides) < 2 {
		return
	}
	var parts []*part.Part
	for _, b := range blocks {
		parts = append(parts, &b.Out.Parts[0])
	}
	for _, c := range byShape(parts) {
		for _, p := range c.parts {
			r.hands(sec.Name, p, c)
		}
	}
}

// hands reports a part whose other hand is not cut as often as its own.
func (r *report) hands(section string, p *part.Part, c *cutAlike) {
	const help = "Say `hand: pair` and the other hand is drawn mirrored; or check that the outline, bevels and holes are where you want them"
	switch mine, other := c.hands(p); {
	case other == 0:
		r.part(p, help, "%s is not its own mirror image, and %s is made left and right from one hand", p.Name, section)
	case mine > other:
		r.part(p, help, "%s is not its own mirror image: of its hand %d are cut, of the other %d, and %s is made left and right", p.Name, mine, other, section)
	}
}
