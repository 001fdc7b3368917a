package mesh

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Plane is where Normal·p = At; Normal has length 1 and points outwards.
type Plane struct {
	Normal r3.Vec
	At     float64 // mm
}

// Over is how far a point lies on the side to which the normal points.
func (p Plane) Over(q r3.Vec) float64 { return r3.Dot(p.Normal, q) - p.At }

// Planes are the panels' best planes: along the normal of Newell's method, through the mean of the
// corners.
func (m *Model) Planes() []Plane {
	planes := make([]Plane, len(m.Panels))
	for i, p := range m.Panels {
		corners := make([]r3.Vec, len(p.Loop))
		var mean r3.Vec
		for k, at := range p.Loop {
			corners[k] = m.Points[at]
			mean = r3.Add(mean, r3.Scale(1/float64(len(corners)), corners[k]))
		}
		n := unit(areaOf(corners))
		planes[i] = Plane{n, r3.Dot(n, mean)}
	}
	return planes
}

// parallel is the singular value, as a share of the greatest, below which planes that meet in a corner
// say nothing about a direction: they stand within about a hundredth of a degree.
const parallel = 1e-4

// Meet is the point nearest to p in which the listed planes meet, or come nearest to meeting in the
// sense of least squares, and how far off it lies from the plane furthest from it. Directions in which
// the planes leave the point free are not moved along. The least squares are gonum's, by singular
// values (Golub and Van Loan, Matrix Computations, 5.5).
func Meet(planes []Plane, list []int, p r3.Vec) (r3.Vec, float64) {
	n, d := mat.NewDense(len(list), 3, nil), mat.NewVecDense(len(list), nil)
	for i, k := range list {
		q := planes[k]
		n.SetRow(i, []float64{q.Normal.X, q.Normal.Y, q.Normal.Z})
		d.SetVec(i, -q.Over(p))
	}
	var svd mat.SVD
	if !svd.Factorize(n, mat.SVDThin) {
		return p, off(planes, list, p)
	}
	rank := svd.Rank(parallel)
	if rank == 0 {
		return p, off(planes, list, p)
	}
	var step mat.VecDense
	svd.SolveVecTo(&step, d, rank)
	q := r3.Add(p, r3.Vec{X: step.AtVec(0), Y: step.AtVec(1), Z: step.AtVec(2)})
	return q, off(planes, list, q)
}

func off(planes []Plane, list []int, p r3.Vec) float64 {
	most := 0.0
	for _, k := range list {
		most = math.Max(most, math.Abs(planes[k].Over(p)))
	}
	return most
}

// Corner is a corner that more than three planes meet in and that cannot follow them all.
type Corner struct {
	At     r3.Vec
	Panels []int
	Off    float64 // how far the best place lies from the plane furthest from it, mm
}

// Offset is where the corners of the model come to stand when every panel's plane is moved outwards by
// wall (below 0: inwards): the meeting point of the moved planes. A corner of three planes follows
// exactly; one of more takes the place of least squares, and is listed if that is more than tol off.
func (m *Model) Offset(wall, tol float64) ([]r3.Vec, []Corner) {
	planes := m.Planes()
	for i := range planes {
		planes[i].At += wall
	}
	points := make([]r3.Vec, len(m.Points))
	var missed []Corner
	for i, list := range m.around() {
		// A first step along the mean normal keeps corners of parallel planes beside their panels.
		start := m.Points[i]
		var mean r3.Vec
		for _, p := range list {
			mean = r3.Add(mean, planes[p].Normal)
		}
		start = r3.Add(start, r3.Scale(wall, unit(mean)))
		q, far := Meet(planes, list, start)
		points[i] = q
		if far > tol {
			missed = append(missed, Corner{m.Points[i], list, far})
		}
	}
	return points, missed
}
