package solid

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Zones is an n-sided dome of flat panels: regular n-gons lie level, one above the other, with their
// corners on a sphere of radius r about the origin at the latitudes given, rising, in radians from −90° to
// 90°; panels lead from each to the next. Panel k of zone j is zone{j}_{k}, both counted from 1, the first at the
// front; edges bottom right top left. At ±90° the panels come to a point; elsewhere Floor and Lid close it, their
// edges named after the panels. Walls are 0 and nothing is open.
func Zones(n int, r float64, latitudes []float64) *Shell {
	s := &Shell{}
	rings := make([][]int, len(latitudes))
	for i, φ := range latitudes {
		const pole = 1e-9
		rings[i] = make([]int, n)
		for k := range n {
			rings[i][k] = len(s.Points)
			if math.Abs(φ) < math.Pi/2-pole {
				sin, cos := math.Sincos(2*math.Pi*(float64(k)-0.5)/float64(n) - math.Pi/2)
				rise, out := math.Sincos(φ)
				s.Points = append(s.Points, r3.Vec{X: r * out * cos, Y: r * out * sin, Z: r * rise})
			}
		}
		if rings[i][0] == len(s.Points) { // all at the pole
			s.Points = append(s.Points, r3.Vec{Z: math.Copysign(r, φ)})
		}
	}
	for i, high := range rings[1:] {
		for k := range n {
			next := (k + 1) % n
			s.Faces = append(s.Faces, quad(fmt.Sprintf("zone%d_%d", i+1, k+1), rings[i][k], rings[i][next], high[next], high[k]))
		}
	}
	low, high := rings[0], rings[len(rings)-1]
	if low[0] != low[n-1] {
		f := Face{Name: Floor}
		for k := range n {
			f.Loop = append(f.Loop, low[(n-k)%n])
			f.Edges = append(f.Edges, fmt.Sprintf("zone1_%d", n-k))
		}
		s.Faces = append(s.Faces, f)
	}
	if high[0] != high[n-1] {
		f := Face{Name: Lid}
		for k := range n {
			f.Loop = append(f.Loop, high[k])
			f.Edges = append(f.Edges, fmt.Sprintf("zone%d_%d", len(rings)-1, k+1))
		}
		s.Faces = append(s.Faces, f)
	}
	return s
}

// quad is a panel by its corners from the lower left, seen from outside; a side without length is left
// out.
func quad(name string, a, b, c, d int) Face {
	f := Face{Name: name}
	loop := []int{a, b, c, d}
	for i, p := range loop {
		if p != loop[(i+1)%4] {
			f.Loop, f.Edges = append(f.Loop, p), append(f.Edges, upright[i])
		}
	}
	return f
}

// ZoneRoom is the radius of the largest sphere about the middle of Zones of radius 1 that no panel cuts:
// a panel between the latitudes φ₁ and φ₂ lies cos(180°/n)·sin(φ₂ − φ₁) over its length up the middle away.
func ZoneRoom(n int, latitudes []float64) float64 {
	room := 1.0
	c := math.Cos(math.Pi / float64(n))
	for i, φ := range latitudes[1:] {
		s1, c1 := math.Sincos(latitudes[i])
		s2, c2 := math.Sincos(φ)
		room = math.Min(room, c*math.Sin(φ-latitudes[i])/math.Hypot(c*(c1-c2), s2-s1))
	}
	return room
}
