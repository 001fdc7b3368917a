package nest

import (
	"cmp"
	"math"
	"slices"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

// bin is one sheet that parts can be laid on.
type bin struct {
	sheet, number int
	w, h          float64
	rim           int // body of what lies around an outline that is no rectangle, at the sheet's own place; -1: none
}

// put is where a copy lies.
type put struct {
	body, bin int
	x, y      float64
}

// room is the rectangle of shifts that keep a body within the margins: its inner-fit rectangle.
type room struct{ x0, x1, y0, y1 float64 }

// roundOff is by how much a part may be too large for its sheet through rounding.
const roundOff = 1e-9

// room of body b in a bin whose width is cut down to w.
func (s *stock) room(b *body, h bin, w float64) (room, bool) {
	m := s.job.Margin
	r := room{m - b.box.Min.X, w - m - b.box.Max.X, m - b.box.Min.Y, h.h - m - b.box.Max.Y}
	if r.x1 < r.x0 && r.x1 > r.x0-roundOff {
		r.x1 = r.x0
	}
	if r.y1 < r.y0 && r.y1 > r.y0-roundOff {
		r.y1 = r.y0
	}
	return r, r.x0 <= r.x1 && r.y0 <= r.y1
}

// newBin is a fresh sheet. The rim of an outline is a body, made once for each sort of sheet.
func (s *stock) newBin(sheet, number int) bin {
	sh := s.job.Sheets[sheet]
	w, h := sh.size()
	b := bin{sheet: sheet, number: number, w: w, h: h, rim: -1}
	if sh.Outline != nil {
		b.rim = s.rims[sheet]
	}
	return b
}

// addRims makes the bodies of what lies around the sheets' outlines. In a bin the outline's box starts at
// the origin.
func (s *stock) addRims() {
	s.rims = make([]int, len(s.job.Sheets))
	for i, sh := range s.job.Sheets {
		if sh.Outline == nil {
			continue
		}
		box := ringBox(sh.Outline)
		plain, stray := boundary(frame(box), [][]r2.Vec{sh.Outline}).simplified()
		b := body{kind: -1, least: math.Min(box.Size().X, box.Size().Y)}
		for n, p := range convexPieces(plain[0], plain[1:]) {
			p = moved(grown(p, math.Max(0, s.job.Margin-s.job.Gap/2)+stray), shape.Motion{Shift: r2.Scale(-1, box.Min)})
			if n == 0 {
				b.reach = ringBox(p)
			}
			b.pieces = append(b.pieces, p)
		}
		s.rims[i] = len(s.bodies)
		s.bodies = append(s.bodies, b)
	}
}

// frame is a box so much larger that nothing inside reaches its rim.
func frame(box r2.Box) []r2.Vec {
	d := r2.Norm(box.Size())
	return []r2.Vec{{X: box.Min.X - d, Y: box.Min.Y - d}, {X: box.Max.X + d, Y: box.Min.Y - d}, {X: box.Max.X + d, Y: box.Max.Y + d}, {X: box.Min.X - d, Y: box.Max.Y + d}}
}

// span is an open interval that is not free.
type span struct{ lo, hi float64 }

// firstFree is the least v from lo to hi that lies in none of the spans; it sorts them.
func firstFree(spans []span, lo, hi float64) (float64, bool) {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.lo, b.lo) })
	v := lo
	for _, s := range spans {
		if s.lo >= v {
			break
		}
		v = math.Max(v, s.hi)
	}
	return v, v <= hi
}
