package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/solid"
)

// bentShare is how far, as a share of its girth, the corners of a face may stand from its plane
// before the face counts as bent: what rounding to a few digits in a file leaves.
const bentShare = 1e-3

// fan cuts a face into triangles. A bent face of four corners is cut along its shorter diagonal.
func (f *Facets) fan(corners []int32, concave *int) (list [][3]int32, bent bool, err error) {
	n := len(corners)
	if n == 3 {
		return [][3]int32{[3]int32(corners)}, false, nil
	}
	p := make([]r3.Vec, n)
	girth := 0.0
	for i, c := range corners {
		p[i] = f.Points[c]
		girth += r3.Norm(r3.Sub(f.Points[corners[(i+1)%n]], p[i]))
	}
	right, up, normal := frame(areaOf(p))
	flat := make([]r2.Vec, n)
	for i := range p {
		d := r3.Sub(p[i], p[0])
		flat[i] = r2.Vec{X: r3.Dot(d, right), Y: r3.Dot(d, up)}
		bent = bent || math.Abs(r3.Dot(d, normal)) > bentShare*girth
	}
	first := 0
	if n == 4 && r3.Norm(r3.Sub(p[1], p[3])) < r3.Norm(r3.Sub(p[0], p[2])) {
		first = 1
	}
	if convexFrom(flat) {
		for k := 1; k+1 < n; k++ {
			list = append(list, [3]int32{corners[first], corners[(first+k)%n], corners[(first+k+1)%n]})
		}
		return list, bent, nil
	}
	if n > 4 {
		if *concave += n; *concave > MaxConcave {
			return nil, false, fmt.Errorf("faces with hollow corners have more than %d corners together", MaxConcave)
		}
	}
	for _, t := range solid.Triangles(flat) {
		list = append(list, [3]int32{corners[t[0]], corners[t[1]], corners[t[2]]})
	}
	return list, bent, nil
}

// convexFrom tells whether every corner turns left and the polygon goes round once, so that triangles
// from any corner lie inside.
func convexFrom(p []r2.Vec) bool {
	turned := 0.0
	for i, a := range p {
		b, c := p[(i+1)%len(p)], p[(i+2)%len(p)]
		u, v := r2.Sub(b, a), r2.Sub(c, b)
		angle := math.Atan2(r2.Cross(u, v), r2.Dot(u, v))
		if !(angle >= 0) {
			return false
		}
		turned += angle
	}
	return turned < 2*math.Pi+0.1
}

// areaOf is the normal of a loop, as long as its area (Newell's method): exact for flat loops, the
// mean plane's for others.
func areaOf(p []r3.Vec) r3.Vec {
	var n r3.Vec
	for k := 1; k+1 < len(p); k++ {
		n = r3.Add(n, r3.Cross(r3.Sub(p[k], p[0]), r3.Sub(p[k+1], p[0])))
	}
	return r3.Scale(0.5, n)
}

// frame gives three unit vectors at right angles, the last along v; for a v without direction they are
// the axes.
func frame(v r3.Vec) (right, up, normal r3.Vec) {
	size := r3.Norm(v)
	if !(size > 0) {
		return r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	}
	normal = r3.Scale(1/size, v)
	// The axis that v leans to least gives the most exact cross product.
	axis := r3.Vec{X: 1}
	if x, y, z := math.Abs(normal.X), math.Abs(normal.Y), math.Abs(normal.Z); y <= x && y <= z {
		axis = r3.Vec{Y: 1}
	} else if z <= x && z <= y {
		axis = r3.Vec{Z: 1}
	}
	right = r3.Unit(r3.Cross(axis, normal))
	return right, r3.Cross(normal, right), normal
}
