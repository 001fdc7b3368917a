package shape

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestCornersAreRoundedAndCutOff(t *testing.T) {
	rect := must(Rect(100, 40))
	rows := []struct {
		name        string
		o           Outline
		path, edges string
	}{
		{"one corner rounded", must(rect.Fillet(10, 2)), "M0 0 L100 0 L100 30 A10 10 0 0 1 90 40 L0 40 Z", "bottom right corner3 top left"},
		{"the first corner rounded; the first edge stays first", must(rect.Fillet(10, 0)), "M10 0 L100 0 L100 40 L0 40 L0 10 A10 10 0 0 1 10 0 Z",
			"bottom right top left corner1"},
		{"all corners cut off", must(rect.Chamfer(5)), "M5 0 L95 0 L100 5 L100 35 L95 40 L5 40 L0 35 L0 5 Z",
			"bottom corner2 right corner3 top corner4 left corner1"},
		{"a rectangle made round-ended", must(rect.Fillet(20)), "M20 0 L80 0 A20 20 0 0 1 100 20 A20 20 0 0 1 80 40 L20 40 A20 20 0 0 1 0 20 A20 20 0 0 1 20 0 Z",
			"bottom corner2 corner3 top corner4 corner1"},
		{"a hollow corner is filled", must(must(Polygon([]r2.Vec{{}, {X: 50}, {X: 50, Y: 20}, {X: 20, Y: 20}, {X: 20, Y: 50}, {Y: 50}})).Fillet(8, 3)),
			"M0 0 L50 0 L50 20 L28 20 A8 8 0 0 0 20 28 L20 50 L0 50 Z", "e1 e2 e3 corner4 e4 e5 e6"},
		{"a name that is taken", must(must(rect.Chamfer(5, 1)).Chamfer(1, 1)), "M0 0 L94 0 L95.7071 0.7071 L100 5 L100 40 L0 40 Z",
			"bottom corner2_2 corner2 right top left"},
	}
	for _, row := range rows {
		if got := row.o.String(); got != row.path {
			t.Errorf("%s is %s, want %s", row.name, got, row.path)
		}
		if got := strings.Join(row.o.EdgeNames(), " "); got != row.edges {
			t.Errorf("%s has edges %s, want %s", row.name, got, row.edges)
		}
	}
}

func TestRoundedCornersTouchTheirEdges(t *testing.T) {
	for _, o := range []Outline{must(Sector(80, 40, 2)), must(Sector(80, 0, 1)), must(Trapezoid(120, 60, 70, 10)), leaf(), must(Sector(80, 40, 5))} {
		out, err := o.Fillet(6)
		if err != nil {
			t.Errorf("%s: %v", o, err)
			continue
		}
		list, edge := out.curves()
		for i, c := range list {
			k := (i + 1) % len(list)
			u, v := c.tangent(1), list[k].tangent(0)
			near(t, out.Edges[edge[k]].Name+": kink", math.Abs(math.Atan2(r2.Cross(u, v), r2.Dot(u, v))), 0, 1e-3)
			if strings.HasPrefix(out.Edges[edge[i]].Name, "corner") {
				_, r := c.circle()
				near(t, "radius", r, 6, 0.01)
			}
		}
	}
}

func TestARoundedSquareLosesFourMinusPiRadiiSquared(t *testing.T) {
	o := must(must(Rect(50, 50)).Fillet(7))
	near(t, "area", o.Area(), 2500-(4-math.Pi)*49, 1e-9)
	near(t, "length round", o.Path().Length(), 200-(8-2*math.Pi)*7, 1e-9)
}

func TestCornersThatDoNotFitAreRefused(t *testing.T) {
	rect := must(Rect(100, 40))
	one := func(_ Outline, err error) error { return err }
	rows := []struct {
		err  error
		want string
	}{
		{one(rect.Fillet(25)), "a radius of 25 mm does not fit corner 2, between bottom and right"},
		{one(rect.Fillet(45, 1)), "a radius of 45 mm does not fit corner 2, between bottom and right"},
		{one(rect.Chamfer(21, 1, 2)), "a chamfer of 21 mm does not fit corner 2, between bottom and right"},
		{one(rect.Fillet(5, 7)), "there is no corner 8; the outline has 4"},
		{one(rect.Fillet(0)), "the radius is 0 mm; it must be more than 0"},
		{one(stadium().Fillet(5, 1)), "corner 2, between foot and right, is smooth already"},
	}
	for _, row := range rows {
		if row.err == nil || row.err.Error() != row.want {
			t.Errorf("got %q, want %q", row.err, row.want)
		}
	}
}

// The corners of an outline of a nanometre leave no edge between them.
func TestCornersThatLeaveNothingAreRefused(t *testing.T) {
	tiny := must(Regular(3, 1e-9))
	for what, ease := range map[string]func(float64, ...int) (Outline, error){"fillet": tiny.Fillet, "chamfer": tiny.Chamfer} {
		if o, err := ease(1); err == nil {
			t.Errorf("a %s of 1 mm gives %s", what, o)
		}
	}
	if err := (Outline{}).IsSimple(); err == nil {
		t.Error("an outline without edges is simple")
	}
}
