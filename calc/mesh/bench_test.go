package mesh

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// sphere is a ball of 20·n² triangles, each of a plane of its own: the faces of an icosahedron, divided.
func sphere(n int) [][3]r3.Vec {
	list := divided(hull(uniform[4].points).triangles(), n)
	for i, t := range list {
		for k, p := range t {
			list[i][k] = r3.Scale(500, r3.Unit(p))
		}
	}
	return list
}

// BenchmarkPanels reads a model of as many faces, each a panel of its own, and makes panels of it.
func BenchmarkPanels(b *testing.B) {
	for _, n := range []int{7, 14, 28} {
		data := binarySTL(sphere(n))
		b.Run(fmt.Sprint(20*n*n), func(b *testing.B) {
			for range b.N {
				f, err := Read("ball.stl", data)
				if err != nil {
					b.Fatal(err)
				}
				m, flaws := f.Build(Options{Weld: 1e-4, Flat: 1e-6})
				if len(flaws) > 0 || len(m.Panels) != 20*n*n {
					b.Fatalf("%d panels, %+v", len(m.Panels), flaws)
				}
			}
		})
	}
}
