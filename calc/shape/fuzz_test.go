package shape

import (
	"encoding/binary"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// bytesPath reads strokes from bytes: a kind and small coordinates, or raw numbers, so that the fuzzer
// reaches both ordinary outlines and NaN, infinities and huge values.
func bytesPath(data []byte) (Path, []float64) {
	take := func() float64 {
		if len(data) < 2 {
			return 0
		}
		v := float64(int16(binary.LittleEndian.Uint16(data))) / 100
		data = data[2:]
		if v == 327.67 && len(data) >= 8 {
			v = math.Float64frombits(binary.LittleEndian.Uint64(data))
			data = data[8:]
		}
		return v
	}
	spot := func() r2.Vec { return r2.Vec{X: take(), Y: take()} }
	p := Path{Start: spot()}
	run := []float64{take() / 10}
	for len(data) > 4 && len(p.Segs) < 200 {
		kind := data[0]
		data = data[1:]
		run = append(run, run[0])
		switch kind % 4 {
		case 0:
			p.Segs = append(p.Segs, Seg{Kind: Arc, End: spot(), Bulge: take() / 100})
		case 1:
			p.Segs = append(p.Segs, Seg{Kind: Cubic, C1: spot(), C2: spot(), End: spot()})
		case 2:
			run[len(run)-1] = take() / 10
			fallthrough
		default:
			p.Segs = append(p.Segs, Seg{Kind: Line, End: spot()})
		}
	}
	return p, run
}

func seeds(f *testing.F) {
	f.Add([]byte{})
	square := []byte{0, 0, 0, 0, 0x64, 0}
	for _, p := range [][2]uint16{{5000, 0}, {5000, 4000}, {0, 4000}} {
		square = append(square, 3)
		square = binary.LittleEndian.AppendUint16(square, p[0])
		square = binary.LittleEndian.AppendUint16(square, p[1])
	}
	f.Add(square)
	f.Add(append(square, 0, 0, 0, 0, 0, 100, 0))
	f.Add(append(square, 1, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12))
	f.Add(append(square, 3, 0xff, 0x7f, 0, 0, 0, 0, 0, 0, 0xf8, 0x7f))
}

// A moved outline is simple, counter-clockwise and keeps its edges, or there is an error.
func FuzzOffset(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		p, run := bytesPath(data)
		o, err := FromPath(p, nil)
		if err != nil {
			return
		}
		out, err := o.OffsetEdges(run[:min(len(run), len(o.Edges))])
		if err != nil {
			return
		}
		if err := out.IsSimple(); err != nil || out.Area() <= 0 {
			t.Fatalf("%s moved by %v is %s: %v, area %g", o, run, out, err, out.Area())
		}
		if len(out.Edges) != len(o.Edges) {
			t.Fatalf("%s moved has %d edges", o, len(out.Edges))
		}
	})
}

// Whatever is drawn is measured, flattened, eased and compared without panic, and its chords are few.
func FuzzFlatten(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		p, run := bytesPath(data)
		if n := len(p.Flatten(run[0])); n > maxPoints+len(p.Segs)+1 {
			t.Fatalf("%d points", n)
		}
		_, _ = p.Length(), p.Bounds()
		_ = p.String()
		o, err := FromPath(p, nil)
		if err != nil {
			return
		}
		if len(o.Flatten(0.1)) < 2 || !(o.Area() > 0) {
			t.Fatalf("%s has area %g", o, o.Area())
		}
		if !o.ContainsOutline(o) {
			t.Fatalf("%s does not hold itself", o)
		}
		for _, ease := range []func(float64, ...int) (Outline, error){o.Fillet, o.Chamfer} {
			if out, err := ease(math.Abs(run[0])); err == nil && out.IsSimple() != nil {
				t.Fatalf("%s eased is %s", o, out)
			}
		}
		fig := Figure{Outline: o, Bevels: run}
		if _, ok := Congruent(fig, fig, 0.01); !ok {
			t.Fatalf("%s is not like itself", o)
		}
	})
}
