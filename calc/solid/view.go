package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// View is a parallel projection: three unit vectors at right angles, Toward pointing from the object
// to who looks at it.
type View struct{ Right, Up, Toward r3.Vec }

// Look is the view from an azimuth and a height, in radians. At azimuth 0 one looks at the front,
// which faces −y, with x to the right; a positive azimuth steps to the right, where +x shows too.
// Height 0 is level and 90° straight from above.
func Look(azimuth, height float64) View {
	sa, ca := math.Sincos(azimuth)
	sh, ch := math.Sincos(height)
	return View{
		Right:  r3.Vec{X: ca, Y: sa},
		Up:     r3.Vec{X: -sa * sh, Y: ca * sh, Z: ch},
		Toward: r3.Vec{X: sa * ch, Y: -ca * ch, Z: sh},
	}
}

// Project is where a point stands in the picture, x to the right and y up.
func (v View) Project(p r3.Vec) r2.Vec {
	return r2.Vec{X: r3.Dot(p, v.Right), Y: r3.Dot(p, v.Up)}
}

// Light is how bright a face with that unit normal is, from 0 for one that faces away from the light
// to 1 for one that faces it (Lambert's cosine law). The light comes from the upper left over the
// shoulder of who looks, as drawings have it by convention.
func (v View) Light(normal r3.Vec) float64 {
	from := r3.Unit(r3.Add(r3.Scale(-0.45, v.Right), r3.Add(r3.Scale(0.6, v.Up), r3.Scale(0.75, v.Toward))))
	return math.Max(0, r3.Dot(normal, from))
}

// ThreeQuarter chooses, among views of the front from somewhat above, the one that tells most of the
// shape: the greatest entropy of the areas that faces turn to the viewer (Vázquez, Feixas, Sbert and
// Heidrich, "Viewpoint Selection using Viewpoint Entropy", 2001, with faces counted as if none hid another).
func (s *Shell) ThreeQuarter() View {
	const degree = math.Pi / 180
	normals := make([]r3.Vec, len(s.Faces)) // as long as the area
	for i := range s.Faces {
		normals[i] = s.areaVector(i)
	}
	var best View // the azimuths miss those at which rings of 4, 5, 6, 8 or 12 sides show two alike
	most := math.Inf(-1)
	for _, height := range []float64{26, 32, 40, 20} {
		for _, azimuth := range []float64{33, -33, 25, -25, 40, -40, 19, -19} {
			v := Look(azimuth*degree, height*degree)
			// A view must tell clearly more than an earlier one to be taken instead of it.
			if h := entropy(normals, v.Toward); h > most+0.02 {
				best, most = v, h
			}
		}
	}
	return best
}

func entropy(normals []r3.Vec, toward r3.Vec) float64 {
	total, sum := 0.0, 0.0
	for _, n := range normals {
		if a := r3.Dot(n, toward); a > 0 {
			total += a
			sum += a * math.Log(a)
		}
	}
	if total == 0 {
		return 0
	}
	return math.Log(total) - sum/total
}

// Normal is the unit normal of a face, out of the foam; zero for a face without area.
func (s *Shell) Normal(face int) r3.Vec {
	n := s.areaVector(face)
	if size := r3.Norm(n); size > 0 {
		return r3.Scale(1/size, n)
	}
	return r3.Vec{}
}

// Area is the area of a face, mm².
func (s *Shell) Area(face int) float64 { return r3.Norm(s.areaVector(face)) }

// areaVector is the normal of a face, as long as its area (Newell's method): exact for flat loops,
// the best plane's for others.
func (s *Shell) areaVector(face int) r3.Vec {
	var n r3.Vec
	loop := s.Faces[face].Loop
	if len(loop) < 3 {
		return n
	}
	o := s.Points[loop[0]]
	for k := 1; k+1 < len(loop); k++ {
		n = r3.Add(n, r3.Cross(r3.Sub(s.Points[loop[k]], o), r3.Sub(s.Points[loop[k+1]], o)))
	}
	return r3.Scale(0.5, n)
}
