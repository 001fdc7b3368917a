package roll

import "math"

// Elbow is a bend made of straight tubes that meet at mitres. The bend turns towards the side from which
// the pieces count their angles: the throat.
type Elbow struct {
	Radius float64 // of the neutral surface of the tubes, mm
	Bend   float64 // radius of the bend, on the axis, mm
	Angle  float64 // the whole turn, radians
	Pieces int     // two or more
	Tail   float64 // how much longer both ends are than the bend needs, mm
}

// Mitre is the angle from square at which each joint is cut, half of what the two pieces turn: the end
// pieces are half of a middle one, so n pieces have n − 1 joints of angle/(n − 1), and 2·n − 2 halves (the elbow
// rule: Pattern Development, sheet metal, BCcampus, chapter 19).
func (e Elbow) Mitre() float64 { return e.Angle / (2 * float64(e.Pieces-1)) }

// Piece is the tube of piece i from 0, and how far round from the throat its seam lies: at the throat
// and at the heel by turns, so that no two seams meet (sheet-metal shops do so, and the pieces then follow each
// other on the sheet without waste; common practice, no source).
func (e Elbow) Piece(i int) (t Tube, seam float64) {
	t = Tube{Radius: e.Radius, Length: 2 * e.Bend * math.Tan(e.Mitre()), Bottom: e.Mitre(), Top: e.Mitre()}
	switch i {
	case 0:
		t.Bottom, t.Length = 0, t.Length/2+e.Tail
	case e.Pieces - 1:
		t.Top, t.Length = 0, t.Length/2+e.Tail
	}
	return t, math.Pi * float64(i%2)
}
