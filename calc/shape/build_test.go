package shape

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestOutlinesAreDrawnCounterClockwiseWithTheirNames(t *testing.T) {
	rows := []struct {
		name  string
		o     Outline
		path  string
		edges string
	}{
		{"rect", must(Rect(30, 20)), "M0 0 L30 0 L30 20 L0 20 Z", "bottom right top left"},
		{"trapezoid", must(Trapezoid(155, 145, 90, 0)), "M0 0 L155 0 L150 90 L5 90 Z", "long right short left"},
		{"trapezoid that leans over to the left", must(Trapezoid(100, 60, 40, -50)), "M30 0 L130 0 L60 40 L0 40 Z", "long right short left"},
		{"polygon given clockwise", must(Polygon([]r2.Vec{{}, {Y: 10}, {Y: 10}, {X: 10, Y: 10}, {}})), "M0 10 L0 0 L10 10 Z", "e1 e3 e2"},
		{"square", must(Regular(4, 10*math.Sqrt2)), "M-10 -10 L10 -10 L10 10 L-10 10 Z", "e1 e2 e3 e4"},
		{"circle", must(Circle(10)), "M5 0 A5 5 0 0 1 -5 0 A5 5 0 0 1 5 0 Z", "rim"},
		{"sector", must(Sector(20, 10, math.Pi/2)), "M20 0 A20 20 0 0 1 0 20 L0 10 A10 10 0 0 0 10 0 Z", "outer end inner start"},
		{"sector to the centre", must(Sector(20, 0, 1.5*math.Pi)),
			"M20 0 A20 20 0 0 1 -14.1421 14.1421 A20 20 0 0 1 0 -20 L0 0 Z", "outer end start"},
		{"path with a curve, closed by a line", must(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 10}).
			CurveTo(r2.Vec{X: 12, Y: 4}, r2.Vec{X: 12, Y: 6}, r2.Vec{X: 10, Y: 10})), []string{"foot", "bow", "back"})),
			"M0 0 L10 0 C12 4 12 6 10 10 Z", "foot bow back"},
	}
	for _, row := range rows {
		if got := row.o.String(); got != row.path {
			t.Errorf("%s is %s, want %s", row.name, got, row.path)
		}
		if got := strings.Join(row.o.EdgeNames(), " "); got != row.edges {
			t.Errorf("%s has edges %s, want %s", row.name, got, row.edges)
		}
		if row.o.Area() <= 0 {
			t.Errorf("%s runs clockwise", row.name)
		}
	}
}

func TestRegularPolygonsMeasureWhatWasAskedFor(t *testing.T) {
	for n := 3; n <= 12; n++ {
		o := must(Regular(n, FromAcrossFlats(n, 100)))
		near(t, "height from the flat at the bottom", o.Bounds().Size().Y, 100, 1e-9)
		o = must(Regular(n, CircumradiusFromSide(n, 25)))
		for _, l := range o.EdgeLengths() {
			near(t, "side", l, 25, 1e-9)
		}
		widest := 0.0
		c := must(Regular(n, FromAcrossCorners(n, 100))).Corners()
		for i := range c {
			for j := range c {
				widest = math.Max(widest, dist(c[i], c[j]))
			}
		}
		near(t, "widest between corners", widest, 100, 1e-9)
	}
}

func TestBadSizesAreRefusedWithASentence(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := func(_ Outline, err error) error { return err }
	drawn := func(n *Pen) error { _, err := n.Path(); return err }
	rows := []struct {
		err  error
		want string
	}{
		{one(Rect(0, 10)), "the width is 0 mm; it must be more than 0"},
		{one(Rect(10, -2.5)), "the height is -2.5 mm; it must be more than 0"},
		{one(Rect(nan, 1)), "the width is not a number"},
		{one(Rect(1, 2e6)), "the height is 2e+06 mm; the most that is drawn is 1,000,000 mm"},
		{one(Trapezoid(10, 20, 5, 0)), "the short edge, 20 mm, is longer than the long one, 10 mm"},
		{one(Trapezoid(20, 10, 5, inf)), "the shift is not a number"},
		{one(Regular(2, 10)), "a regular polygon has 3 to 1000 sides, not 2"},
		{one(Regular(1001, 10)), "a regular polygon has 3 to 1000 sides, not 1001"},
		{one(Regular(6, FromAcrossFlats(0, 10))), "the radius is not a number"},
		{one(Circle(inf)), "the diameter is not a number"},
		{one(Sector(10, 10, 1)), "the inner radius, 10 mm, must be less than the outer, 10 mm"},
		{one(Sector(10, 0, 2*math.Pi)), "the angle of a sector is more than 0° and less than 360°"},
		{one(Polygon([]r2.Vec{{}, {X: 1}, {X: 1}, {}})), "a polygon needs three different points; there are 2"},
		{one(Polygon([]r2.Vec{{}, {X: 1}, {X: 2}})), "the outline encloses no area"},
		{one(Polygon([]r2.Vec{{}, {X: nan}, {X: 2}})), "a point is not a number"},
		{one(Polygon([]r2.Vec{{}, {X: 30}, {X: 20, Y: 30}, {X: 20, Y: -10}})), "the edges e1 and e3 cross near (20, 0)"},
		{one(Polygon(make([]r2.Vec, maxSegments+1))), "the polygon has 100001 points; the most is 100000"},
		{one(FromPath(Path{}, nil)), "a path needs at least two points"},
		{one(FromPath(mustPath(MoveTo(r2.Vec{}).LineTo(r2.Vec{X: 1}).LineTo(r2.Vec{Y: 1})), []string{"a", "b", "a"})), "two edges are named a"},
		{one(FromPath(Path{Segs: []Seg{{Kind: Arc, End: r2.Vec{X: 1}, Bulge: inf}}}, nil)), "an arc that is a full turn has no ends; draw it as two arcs"},
		{drawn(MoveTo(r2.Vec{})), "a path needs at least two points"},
		{drawn(MoveTo(r2.Vec{}).ArcRadius(r2.Vec{X: 30}, 10, false, true)), "an arc of radius 10 mm cannot reach an end 30 mm away"},
		{drawn(MoveTo(r2.Vec{}).ArcThrough(r2.Vec{X: 30}, r2.Vec{X: 40})), "no arc passes through three points in a line with the middle one outside"},
		{drawn(MoveTo(r2.Vec{}).ArcTo(r2.Vec{}, 1)), "an arc needs two different ends; draw a full circle as two arcs"},
	}
	for _, row := range rows {
		if row.err == nil || row.err.Error() != row.want {
			t.Errorf("got %q, want %q", row.err, row.want)
		}
	}
}

func TestArcsAreTheSameHoweverTheyAreDrawn(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		a, b := r2.Vec{X: rng.Float64() * 50}, r2.Vec{X: rng.Float64() * 50, Y: 10 + rng.Float64()*50}
		bulge := rng.NormFloat64()
		arc := mustPath(MoveTo(a).ArcTo(b, bulge))
		c := arc.curves()[0]
		_, radius := c.circle()
		again := mustPath(MoveTo(a).ArcThrough(b, c.at(0.3))).curves()[0]
		near(t, "bulge through a point", again.Bulge, bulge, 1e-6*(1+bulge*bulge))
		again = mustPath(MoveTo(a).ArcRadius(b, radius, math.Abs(bulge) > 1, bulge > 0)).curves()[0]
		near(t, "bulge by radius", again.Bulge, bulge, 1e-6*(1+bulge*bulge))
		centre, _ := c.circle()
		near(t, "distance from the centre", dist(c.at(0.7), centre), radius, 1e-9*radius)
	}
}
