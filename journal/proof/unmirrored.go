package proof

import (
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

var unmirrored = Check{
	Name: "unmirrored", Severity: finding.Stop,
	Doc: "a part of a two-sided section that is not its own mirror image and lacks its other hand",
	run: checkUnmirrored,
}

// checkUnmirrored looks, in sections made for both sides, for parts whose mirror image is not cut:
// neither by `hand: pair` nor by another part that is their mirror image.
func checkUnmirrored(r *report) {
	for _, sec := range r.Sections {
		if len(sec.Sides) < 2 {
			continue
		}
		var parts []*part.Part
		for _, b := range sec.Blocks {
			if len(b.Out.Parts) > 0 {
				parts = append(parts, &b.Out.Parts[0])
			}
		}
		for _, p := range parts {
			if p.SelfMirrored || p.Hand == part.Pair || p.Count == 0 {
				continue
			}
			const help = "Say `hand: pair` and the other hand is drawn mirrored; or check that the outline, bevels and holes are where you want them"
			switch mine, other := hands(p, parts); {
			case other == 0:
				r.part(p, help, "%s is not its own mirror image, and %s is made left and right from one hand", p.Name, sec.Name)
			case mine > other:
				r.part(p, help, "%s is not its own mirror image: of its hand %d are cut, of the other %d, and %s is made left and right", p.Name, mine, other, sec.Name)
			}
		}
	}
}

// hands counts the pieces that are cut like p, p among them, and those that are its mirror image. A
// piece that says it is of the same hand as p is not its other one, whatever its shape.
func hands(p *part.Part, parts []*part.Part) (mine, other int) {
	for _, q := range parts {
		switch {
		case q == p:
			mine += q.Count
		case q.SelfMirrored || q.Hand == part.Pair || q.Thickness != p.Thickness || q.Material != p.Material:
		case (p.Hand == part.Auto || q.Hand != p.Hand) && shape.MirrorImages(p.Figure(), q.Figure(), part.MirrorTolerance):
			other += q.Count
		default:
			if _, same := shape.Congruent(p.Figure(), q.Figure(), part.MirrorTolerance); same {
				mine += q.Count
			}
		}
	}
	return mine, other
}
