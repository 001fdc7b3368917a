package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Frame is the plane of a face as its panel is drawn: seen from outside, X to the right, Y up, Normal
// towards who looks; three unit vectors at right angles.
//
// Up is up: Y is the steepest way up the face. Where a face is level (within about half a degree) it
// is drawn as if folded out from the front: X is the shell's x; on a lid Y is +y, the front edge
// below; on a floor, seen from below, Y is −y, the front edge above.
type Frame struct {
	Origin       r3.Vec
	X, Y, Normal r3.Vec
}

// levelSine is the sine of the slope below which a face counts as level.
const levelSine = 0.01

// frameOf is the frame of a face with that unit normal, its origin that of space.
func frameOf(n r3.Vec) Frame {
	up := r3.Sub(r3.Vec{Z: 1}, r3.Scale(n.Z, n))
	if r3.Norm(up) < levelSine {
		x := r3.Unit(r3.Sub(r3.Vec{X: 1}, r3.Scale(n.X, n)))
		return Frame{X: x, Y: r3.Cross(n, x), Normal: n}
	}
	y := r3.Unit(up)
	return Frame{X: r3.Cross(y, n), Y: y, Normal: n}
}

// flat is where a point stands in the plane of the frame.
func (f Frame) flat(p r3.Vec) r2.Vec {
	p = r3.Sub(p, f.Origin)
	return r2.Vec{X: r3.Dot(p, f.X), Y: r3.Dot(p, f.Y)}
}

// In is the point of space that stands at q of the panel's plane, depth mm behind its show face.
func (f Frame) In(q r2.Vec, depth float64) r3.Vec {
	p := r3.Add(f.Origin, r3.Scale(-depth, f.Normal))
	return r3.Add(p, r3.Add(r3.Scale(q.X, f.X), r3.Scale(q.Y, f.Y)))
}

// plane is where n·p = d; n has length 1.
type plane struct {
	n r3.Vec
	d float64
}

// over is how far a point lies on the side to which the normal points.
func (p plane) over(q r3.Vec) float64 { return r3.Dot(p.n, q) - p.d }

// plane is the best plane of a face: through the mean of its corners, along the normal of Newell's
// method.
func (s *Shell) plane(face int) plane {
	n := r3.Unit(s.areaVector(face))
	mid, loop := r3.Vec{}, s.Faces[face].Loop
	for _, k := range loop {
		mid = r3.Add(mid, s.Points[k])
	}
	return plane{n, r3.Dot(n, mid) / float64(len(loop))}
}

// meet3 is the point that three planes share; false where they have none that is well defined.
func meet3(a, b, c plane) (r3.Vec, bool) {
	bc := r3.Cross(b.n, c.n)
	det := r3.Dot(a.n, bc)
	if math.Abs(det) < 1e-9 {
		return r3.Vec{}, false
	}
	sum := r3.Add(r3.Scale(a.d, bc), r3.Add(r3.Scale(b.d, r3.Cross(c.n, a.n)), r3.Scale(c.d, r3.Cross(a.n, b.n))))
	return r3.Scale(1/det, sum), true
}
