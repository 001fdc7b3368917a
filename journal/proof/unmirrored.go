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
			if p.SelfMirrored || p.Hand == part.Pair || p.Count == 0 || hasOtherHand(p, parts) {
				continue
			}
			r.part(p, "Say `hand: pair` and the other hand is drawn mirrored; or check that the outline, bevels and holes are where you want them",
				"%s is not its own mirror image, and %s is made left and right from one hand", p.Name, sec.Name)
		}
	}
}

// hasOtherHand looks for a part that is the mirror image of p, as many of it, and not of the same hand.
func hasOtherHand(p *part.Part, parts []*part.Part) bool {
	for _, q := range parts {
		if q == p || q.Count != p.Count || q.Hand == part.Pair || q.Thickness != p.Thickness || q.Material != p.Material {
			continue
		}
		if p.Hand != part.Auto && q.Hand == p.Hand {
			continue
		}
		if shape.MirrorImages(p.Figure(), q.Figure(), part.MirrorTolerance) {
			return true
		}
	}
	return false
}
