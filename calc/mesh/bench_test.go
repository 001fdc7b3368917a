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

// BenchmarkTwoMillion reads a ball of two million triangles, 100 MB, and refuses it: the model has more
// panels than anyone cuts.
func BenchmarkTwoMillion(b *testing.B) {
	data := binarySTL(sphere(316))
	b.ReportAllocs()
	for b.Loop() {
		f, err := Read("ball.stl", data)
		if err != nil {
			b.Fatal(err)
		}
		m, flaws := f.Build(Options{Weld: 0.01, Flat: 0.1, Most: 2000})
		if m != nil || len(flaws) != 1 || flaws[0].Kind != TooFine {
			b.Fatalf("%+v", flaws)
		}
	}
}
