package roll

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

// Sheet-metal layout, radial-line development: a frustum of R 60, r 35, h 90 mm has slant 93.4077 mm,
// sector 96.3518°, outer radius 224.1785 mm, inner radius 130.7708 mm; closure: the arcs are as long as
// the rims. Upside down it is the same sheet.
func TestFrustumOfTheHandbook(t *testing.T) {
	for name, c := range map[string]Cone{"upright": {60, 35, 90}, "upside down": {35, 60, 90}} {
		o := must(t)(c.Flat(1))
		near(t, name+": slant", c.Slant(), 93.4077, 5e-5)
		near(t, name+": sector", math.Abs(c.Sector())*180/math.Pi, 96.3518, 5e-5)
		outer, inner := c.Radii()
		near(t, name+": outer radius", outer, 224.1785, 5e-5)
		near(t, name+": inner radius", inner, 130.7708, 5e-5)
		near(t, name+": bottom", edge(t, o, "bottom"), 2*math.Pi*c.Low, 1e-9)
		near(t, name+": top", edge(t, o, "top"), 2*math.Pi*c.High, 1e-9)
		near(t, name+": start", edge(t, o, "start"), 93.4077, 5e-5)
		near(t, name+": end", edge(t, o, "end"), 93.4077, 5e-5)
		near(t, name+": area", o.Area(), math.Pi*(60+35)*math.Hypot(90, 25), 1e-7)
		// Both arcs are true ones about one centre.
		low, r, _ := draw.ArcCentre(o.Start, o.Edges[0].Segs[0])
		corners := o.Corners()
		high, s, _ := draw.ArcCentre(corners[2], o.Edges[2].Segs[0])
		near(t, name+": centres", r2.Norm(r2.Sub(low, high)), 0, 1e-9)
		near(t, name+": arcs", math.Max(r, s), outer, 1e-9)
	}
}

// π·(R + r)·s is the surface of a frustum (standard mensuration; Pappus). Cones of any proportions,
// tubes and points among them, keep it, in any number of pieces, and each piece is its own mirror image.
func TestConesKeepTheirArea(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	size := func() float64 {
		if rng.IntN(4) == 0 {
			return 0
		}
		return math.Pow(10, 3*rng.Float64())
	}
	for i := range 300 {
		c := Cone{size(), size(), math.Pow(10, 3*rng.Float64())}
		switch {
		case i%5 == 0:
			c.High = c.Low
		case i%5 == 1: // nearly a tube
			c.High = c.Low * (1 + math.Pow(10, -3-12*rng.Float64()))
		}
		if c.Low+c.High == 0 {
			continue
		}
		n := 1 + rng.IntN(5)
		o := must(t)(c.Flat(n))
		near(t, "area", o.Area()*float64(n), c.Area(), 1e-9*c.Area())
		near(t, "end", edge(t, o, "end"), edge(t, o, "start"), 1e-9*c.Slant())
		near(t, "slant", edge(t, o, "end"), c.Slant(), 1e-9*c.Slant())
		for name, r := range map[string]float64{"bottom": c.Low, "top": c.High} {
			if r > 0 {
				near(t, name, edge(t, o, name)*float64(n), 2*math.Pi*r, 1e-9*r+1e-9)
			} else if o.EdgeIndex(name) >= 0 {
				t.Errorf("%+v has an edge at its point", c)
			}
		}
		if !shape.SelfMirrored(shape.Figure{Outline: o}, 1e-6) {
			t.Errorf("a piece of %+v is not its own mirror image", c)
		}
	}
}

// Tubes are cones whose ends are alike: on the way there the flat pattern becomes a rectangle.
func TestANearlyStraightConeIsNearlyARectangle(t *testing.T) {
	tube := must(t)(Tube{Radius: 50, Length: 100}.Flat(0, 2*math.Pi))
	for _, less := range []float64{1e-3, 1e-6, 1e-9, 1e-12, 0} {
		o := must(t)(Cone{50, 50 - less, 100}.Flat(1))
		got, want := o.Bounds().Size(), tube.Bounds().Size()
		near(t, "width", got.X, want.X, 4*less+1e-9)
		near(t, "height", got.Y, want.Y, 10*less+1e-9)
	}
}

func TestImpossibleConesAreRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []Cone{
		{}, {10, 5, 0}, {0, 0, 10}, {-1, 5, 10}, {5, -1, 10}, {5, 5, -1}, {nan, 5, 10}, {5, nan, 10}, {5, 5, nan}, {inf, 5, 10}, {5, 5, inf}, {1e300, 1, 1},
	} {
		if _, err := c.Flat(1); err == nil {
			t.Errorf("%+v is developed", c)
		}
	}
	if _, err := (Cone{10, 5, 10}).Flat(0); err == nil {
		t.Error("no pieces are developed")
	}
	// A cone that is all but a disc closes on itself.
	if o, err := (Cone{1000, 0, 0.002}).Flat(1); err == nil {
		near(t, "area of a disc", o.Area(), math.Pi*1e6, 1)
	}
}
