package kind

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/roll"
	"bevelbook/calc/unit"
)

var elbow = Kind{
	Name: "elbow",
	Doc:  "a bend of two or more rolled tubes that meet at mitres",
	Keys: rolledKeys(roundKeys, []Key{
		{Name: "angle", Want: Angle, Required: true, Doc: "how far the whole bend turns"},
		{Name: "radius", Want: Length, Required: true, Doc: "of the bend, on the axis"},
		{Name: "pieces", Want: Count, Doc: "how many pieces the bend has, three if it does not say; the first and the last are half of a middle one"},
		{Name: "tail", Want: Length, Doc: "how much longer the first and the last piece are"},
		tabKey,
	}),
	Work: workElbow,
}

func workElbow(b *Bench) {
	s := b.bentSheet()
	e := roll.Elbow{Radius: b.round(s), Bend: b.above("radius"), Angle: b.Num("angle", 0), Tail: b.Num("tail", 0)}
	e.Pieces = b.counted("pieces", 3, 2, mostPieces)
	b.within("tail", e.Tail)
	b.saneElbow(e, s)
	b.saneTab()
	b.flatLength(s, e.Radius)
	b.Give("mitre", eval.Num(e.Mitre(), unit.Angle), "angle / (2 · (pieces − 1))", fmt.Sprintf("%s / (2 · (%d − 1))", b.deg(e.Angle), e.Pieces))
	b.elbowLengths(e)
	parts := b.elbowParts(e, s)
	b.Table(b.ordinates(elbowCut(e)))
	b.flats(parts)
	b.flatFigure(parts)
	b.standFigure(elbowStanding(e, b.Out.Seams))
}

// saneElbow refuses bends that no pieces make.
func (b *Bench) saneElbow(e roll.Elbow, s bentSheet) {
	const flat = 1e-6
	if !(e.Angle > flat && e.Angle < 2*math.Pi-flat) {
		b.Fail(eval.WrongValue, b.Where("angle"), "It is how far the bend turns: 90 deg for a right angle; a straight one is a `tube`", "an elbow of %s cannot be made", b.deg(e.Angle))
	}
	if e.Mitre() > steepestCut {
		b.Fail(eval.WrongValue, b.Where("angle"), "Make it of more pieces", "a turn of %s in %d pieces needs cuts of %s from square", b.deg(e.Angle), e.Pieces, b.deg(e.Mitre()))
	}
	// The throat of the thick wall is on its outside; with two pieces a tail may give it length.
	throat := (e.Bend - e.Radius - s.Outer()) * math.Tan(e.Mitre())
	if e.Pieces == 2 {
		throat += e.Tail
	}
	if !(throat > 0) {
		b.Fail(eval.BadShape, b.Where("radius"), fmt.Sprintf("Bend it wider than %s, half of what it measures outside", b.mm(e.Radius+s.Outer())),
			"bent to %s, the pieces of %s have no length at the throat", b.mm(e.Bend), b.Name)
	}
}

// elbowLengths gives the sizes of a middle piece, or of the first where there is none.
func (b *Bench) elbowLengths(e roll.Elbow) {
	piece, _ := e.Piece(e.Pieces / 2)
	share, tail := "2 · ", ""
	if e.Pieces == 2 {
		share, tail = "", " + tail"
	}
	for _, end := range []struct {
		name, sign string
		length     float64
	}{{"throat", "−", piece.Rise(0)}, {"heel", "+", piece.Rise(math.Pi)}} {
		b.Give(end.name, eval.Num(end.length, unit.Length), share+"(radius "+end.sign+" r) · tan(mitre)"+tail+", r on the neutral line",
			fmt.Sprintf("%s(%s %s %s) · tan(%s)%s", share, b.mm(e.Bend), end.sign, b.mm(e.Radius), b.deg(e.Mitre()),
				map[bool]string{true: " + " + b.mm(e.Tail)}[e.Pieces == 2]))
	}
}

// elbowCut is the piece whose ordinates are told: a middle one, or the first where there is none.
func elbowCut(e roll.Elbow) (roll.Tube, float64) {
	if e.Pieces == 2 {
		return e.Piece(0)
	}
	return e.Piece(1)
}

// elbowParts are the pieces from the first to the last, joined at their cuts and closed at their own
// seams. At a cut the match marks are the throat, the sides and the heel: by symmetry quarters of it.
func (b *Bench) elbowParts(e roll.Elbow, s bentSheet) []part.Part {
	parts := make([]part.Part, e.Pieces)
	for i := range parts {
		piece, seam := e.Piece(i)
		parts[i] = b.flatPart(fmt.Sprintf("%s.p%d", b.Name, i+1), b.unrolled(piece.Flat(seam, seam+2*math.Pi)), s, 1)
		b.tabbed(&parts[i])
	}
	for i := range parts[1:] {
		length := edgeOf(&parts[i], "top").Length
		b.join(rolledSeam{a: &parts[i], b: &parts[i+1], edgeA: "top", edgeB: "bottom", glue: s.Thickness,
			matches: []float64{length / 4, length / 2, 3 * length / 4}})
	}
	for i := range parts {
		b.closing(&parts[i], &parts[i], s, 1)
	}
	return parts
}

// elbowStanding sets the elbow up: it rises and bends towards x. The cuts lie in planes through the
// centre of the bend, as ellipses.
func elbowStanding(e roll.Elbow, seams []part.Seam) standing {
	centre := r3.Vec{X: e.Bend, Z: e.Tail}
	at := func(turn, stretch, along float64) ring {
		sin, cos := math.Sincos(turn)
		out, on := r3.Vec{X: -cos, Z: sin}, r3.Vec{X: sin, Z: cos}
		c := r3.Add(centre, r3.Add(r3.Scale(e.Bend*stretch, out), r3.Scale(along, on)))
		return circleRing(c, r3.Scale(-e.Radius*stretch, out), r3.Vec{Y: e.Radius})
	}
	s := standing{view: -math.Pi/2 - math.Pi/9}
	s.rings = append(s.rings, at(0, 1, -e.Tail))
	for i := range e.Pieces - 1 {
		r := at(float64(2*i+1)*e.Mitre(), 1/math.Cos(e.Mitre()), 0)
		s.rings = append(s.rings, r)
		s.seams = append(s.seams, ringSeam(r, seams[i].Letter))
	}
	s.rings = append(s.rings, at(e.Angle, 1, e.Tail))
	for i := range e.Pieces {
		k := stepsRound / 2 * (i % 2)
		from, to := s.rings[i][k], s.rings[i+1][k]
		s.seams = append(s.seams, straightSeam(from, to, r3.Sub(from, middleOf(s.rings[i])), seams[e.Pieces-1+i].Letter))
	}
	return s
}

// ringSeam is a seam all round.
func ringSeam(r ring, letter string) seamLine {
	l := seamLine{letter: letter}
	middle := middleOf(r)
	for i := range len(r) + 1 {
		p := r[i%len(r)]
		l.at, l.out = append(l.at, p), append(l.out, r3.Sub(p, middle))
	}
	return l
}
