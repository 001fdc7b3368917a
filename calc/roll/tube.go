package roll

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Tube is a round tube whose ends may be cut at an angle. Angles round the axis count from the side
// where cuts above 0 make the tube shortest.
type Tube struct {
	Radius      float64 // of the neutral surface, mm
	Length      float64 // on the axis, mm
	Bottom, Top float64 // of the cuts from square, radians, between −90° and 90°
}

// Rise is how far the two ends stand apart at the angle θ: L − r·(tan α + tan β)·cos θ.
func (t Tube) Rise(θ float64) float64 {
	return t.Length - t.Radius*(math.Tan(t.Bottom)+math.Tan(t.Top))*math.Cos(θ)
}

// Shortest is the length of the shortest line along the tube.
func (t Tube) Shortest() float64 { return math.Min(t.Rise(0), t.Rise(math.Pi)) }

// ErrNoLength says that the two cuts of a tube meet.
var ErrNoLength = errors.New("the two cuts meet")

// Flat is the development of the part of the tube from one angle to a greater one, at most a full
// turn. A cut at α becomes y = r·tan α·cos θ over x = r·θ (parallel-line development of sheet-metal
// layout). Edges: bottom end top start.
func (t Tube) Flat(from, to float64) (shape.Outline, error) {
	if err := errors.Join(sized("radius", t.Radius, 1e-3), sized("length", t.Length, 0)); err != nil {
		return shape.Outline{}, err
	}
	switch turn := to - from; {
	case !(turn > 0) || turn > 2*math.Pi+same:
		return shape.Outline{}, fmt.Errorf("a tube goes round once, not by %.4g rad", turn)
	case !(math.Abs(t.Bottom) < math.Pi/2) || !(math.Abs(t.Top) < math.Pi/2):
		return shape.Outline{}, errors.New("a cut from square lies between −90° and 90°")
	case !(t.Shortest() > same):
		return shape.Outline{}, ErrNoLength
	}
	low, high := t.Radius*math.Tan(t.Bottom), -t.Radius*math.Tan(t.Top)
	bottom := t.cut("bottom", 0, low, from, from, to)
	top := t.cut("top", t.Length, high, from, to, from)
	start := r2.Vec{Y: low * math.Cos(from)}
	return closed(start, bottom,
		line("end", r2.Vec{X: t.Radius * (to - from), Y: t.Length + high*math.Cos(to)}),
		top, line("start", start))
}

// cut is an end of the tube from angle a to angle b, x counted from the angle zero: y = mid + amp·cos θ.
func (t Tube) cut(name string, mid, amp, zero, a, b float64) shape.Edge {
	at := func(θ float64) (p, d r2.Vec) {
		sin, cos := math.Sincos(θ)
		return r2.Vec{X: t.Radius * (θ - zero), Y: mid + amp*cos}, r2.Vec{X: t.Radius, Y: -amp * sin}
	}
	if math.Abs(amp) < same {
		p, _ := at(b)
		return line(name, p)
	}
	return shape.Edge{Name: name, Segs: curve(a, b, steps(amp, b-a), at)}
}
