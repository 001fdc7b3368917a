package shape

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Pen draws a path stroke by stroke. The first stroke that cannot be drawn is kept as the error
// that Path returns; strokes after it are left out.
type Pen struct {
	path Path
	err  error
}

// MoveTo sets the pen down at p, in mm.
func MoveTo(p r2.Vec) *Pen { return &Pen{path: Path{Start: p}, err: place(p)} }

// Path is what was drawn. Errors: a point that is no place, an arc that does not exist, a path
// without a stroke or with more than 100,000.
func (n *Pen) Path() (Path, error) {
	if n.err == nil && len(n.path.Segs) == 0 {
		return Path{}, errors.New("a path needs at least two points")
	}
	if n.err != nil {
		return Path{}, n.err
	}
	return n.path, nil
}

// At is the point where the pen stands.
func (n *Pen) At() r2.Vec {
	if k := len(n.path.Segs); k > 0 {
		return n.path.Segs[k-1].End
	}
	return n.path.Start
}

func (n *Pen) draw(s Seg, places ...r2.Vec) *Pen {
	for _, p := range append(places, s.End) {
		if n.err == nil {
			n.err = place(p)
		}
	}
	if n.err == nil && len(n.path.Segs) >= maxSegments {
		n.err = fmt.Errorf("the path has more than %d segments", maxSegments)
	}
	if n.err == nil {
		n.path.Segs = append(n.path.Segs, s)
	}
	return n
}

// refuse keeps the first error.
func (n *Pen) refuse(format string, args ...any) *Pen {
	if n.err == nil {
		n.err = fmt.Errorf(format, args...)
	}
	return n
}

// LineTo draws a straight line to p.
func (n *Pen) LineTo(p r2.Vec) *Pen { return n.draw(Seg{Kind: Line, End: p}) }

// ArcTo draws an arc to p by its bulge, tan(θ/4), positive counter-clockwise; 0 draws a line.
func (n *Pen) ArcTo(p r2.Vec, bulge float64) *Pen {
	switch {
	case bulge == 0:
		return n.LineTo(p)
	case math.IsNaN(bulge) || math.Abs(bulge) > maxBulge:
		return n.refuse("an arc that is a full turn has no ends; draw it as two arcs")
	case dist(n.At(), p) <= samePoint:
		return n.refuse("an arc needs two different ends; draw a full circle as two arcs")
	}
	return n.draw(Seg{Kind: Arc, End: p, Bulge: bulge})
}

// ArcThrough draws the arc to p that passes through via; a line if via lies between the ends.
func (n *Pen) ArcThrough(p, via r2.Vec) *Pen {
	if err := errors.Join(place(p), place(via)); err != nil {
		return n.refuse("%w", err)
	}
	a := n.At()
	u, v := r2.Sub(a, via), r2.Sub(p, via)
	if r2.Norm(u) <= samePoint || r2.Norm(v) <= samePoint {
		return n.refuse("the point that an arc passes through must differ from its ends")
	}
	cross, dot := r2.Cross(u, v), r2.Dot(u, v)
	if math.Abs(cross) <= foldedTurn*r2.Norm(u)*r2.Norm(v) {
		if dot > 0 {
			return n.refuse("no arc passes through three points in a line with the middle one outside")
		}
		return n.LineTo(p)
	}
	// The angle φ at via stands on the rest of the circle, 2φ; the arc itself has 2π − 2φ. It runs
	// counter-clockwise if via lies to the right of the chord.
	phi := math.Atan2(math.Abs(cross), dot)
	return n.ArcTo(p, math.Copysign(math.Tan((math.Pi-phi)/2), -cross))
}

// ArcRadius draws an arc of the radius to p: the larger of the two possible ones if large is set,
// counter-clockwise if ccw is set.
func (n *Pen) ArcRadius(p r2.Vec, radius float64, large, ccw bool) *Pen {
	if err := errors.Join(place(p), size("radius", radius)); err != nil {
		return n.refuse("%w", err)
	}
	half := dist(n.At(), p) / 2
	if half > radius*(1+lengthError) {
		return n.refuse("an arc of radius %s mm cannot reach an end %s mm away", number(radius), number(2*half))
	}
	quarter := math.Asin(math.Min(1, half/radius)) / 2
	if large {
		quarter = math.Pi/2 - quarter
	}
	bulge := math.Tan(quarter)
	if !ccw {
		bulge = -bulge
	}
	return n.ArcTo(p, bulge)
}

// CurveTo draws a cubic Bézier curve to p with the control points c1 and c2.
func (n *Pen) CurveTo(c1, c2, p r2.Vec) *Pen {
	return n.draw(Seg{Kind: Cubic, C1: c1, C2: c2, End: p}, c1, c2)
}
