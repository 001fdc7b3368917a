package proof

import (
	"math"

	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// cutAlike are parts of one material that are cut alike: each can be laid on the others, bevels, holes
// and lines included.
type cutAlike struct {
	like   *part.Part // one of them
	figure shape.Figure
	rim    float64 // length of its outline, mm
	parts  []*part.Part
	other  *cutAlike // those that are their mirror image, nil if there are none
}

// wantsOther tells whether a part is neither its own mirror image nor brings both hands with it.
func wantsOther(p *part.Part) bool { return !p.SelfMirrored && p.Hand != part.Pair && p.Count > 0 }

// byShape sorts parts that are not their own mirror image by how they are cut, and finds the mirror
// image of each sort. Parts that bring both hands with them are left out.
func byShape(parts []*part.Part) []*cutAlike {
	var all []*cutAlike
	for _, p := range parts {
		if !wantsOther(p) {
			continue
		}
		c := &cutAlike{like: p, figure: p.Figure(), parts: []*part.Part{p}}
		for _, e := range p.Edges {
			c.rim += e.Length
		}
		if known := c.among(all); known != nil {
			known.parts = append(known.parts, p)
			continue
		}
		for _, d := range all {
			if d.other == nil && c.comparable(d) && shape.MirrorImages(c.figure, d.figure, part.MirrorTolerance) {
				c.other, d.other = d, c
				break
			}
		}
		all = append(all, c)
	}
	return all
}

// among is the sort that c belongs to, or nil.
func (c *cutAlike) among(all []*cutAlike) *cutAlike {
	for _, d := range all {
		if !c.comparable(d) {
			continue
		}
		if _, same := shape.Congruent(c.figure, d.figure, part.MirrorTolerance); same {
			return d
		}
	}
	return nil
}

// comparable tells at little cost whether two sorts can be each other's like or mirror image: of one
// sheet, and with areas no further apart than rims that differ by the tolerance can make them.
func (c *cutAlike) comparable(d *cutAlike) bool {
	p, q := c.like, d.like
	slack := 4 * part.MirrorTolerance * (c.rim + d.rim) * float64(1+len(p.Holes))
	return p.Material == q.Material && p.Thickness == q.Thickness && math.Abs(p.Area-q.Area) <= slack
}

// hands counts the pieces that are cut like p, and those that are its mirror image. A piece that says
// it is of the same hand as p is not its other one, whatever its shape.
func (c *cutAlike) hands(p *part.Part) (mine, other int) {
	for _, q := range c.parts {
		mine += q.Count
	}
	if c.other == nil {
		return mine, 0
	}
	for _, q := range c.other.parts {
		if p.Hand == part.Auto || q.Hand != p.Hand {
			other += q.Count
		}
	}
	return mine, other
}
