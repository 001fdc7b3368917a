package kind

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

// onePanel works a panel out and refuses findings.
func onePanel(t testing.TB, src string) (*eval.Record, part.Part) {
	t.Helper()
	r, out, found := worked(t, src)
	for _, f := range found {
		t.Fatalf("%s\n%s: %s", src, f.Name, f.Message)
	}
	return r, out.Parts[0]
}

func edge(t testing.TB, p part.Part, name string) part.Edge {
	t.Helper()
	i := slices.IndexFunc(p.Edges, func(e part.Edge) bool { return e.Name == name })
	if i < 0 {
		t.Fatalf("%s has no edge %s", p.Name, name)
	}
	return p.Edges[i]
}

// A rectangle of 200 × 100 mm, 10 mm thick, mitred all round: every edge runs in by 10 · tan 45° =
// 10 mm, so the back is 180 × 80 mm. Cut width 10 / cos 45° = 14.1421 mm. Its volume is the
// prismatoid's, h/6 · (A₁ + 4·Aₘ + A₂) = 10/6 · (20000 + 4·190·90 + 14400) mm³ (prismoidal formula, as
// in Machinery's Handbook, from memory).
func TestMitredRectangleByHand(t *testing.T) {
	r, p := onePanel(t, "panel lid\noutline: rect(width: 200 mm, height: 100 mm)\nthickness: 10 mm\nbevel: 45 deg")
	near(t, "area", number(t, r, "area"), 20000, 1e-6)
	near(t, "back area", number(t, r, "back_area"), 14400, 1e-6)
	near(t, "volume", number(t, r, "volume"), 171333+1.0/3, 1e-6)
	for name, length := range map[string]float64{"bottom": 200, "right": 100, "top": 200, "left": 100} {
		e := edge(t, p, name)
		near(t, name, e.Length, length, 1e-9)
		near(t, name+" at the back", e.BackLength, length-20, 1e-9)
		near(t, name+" run", e.Run, 10, 1e-9)
		near(t, name+" cut width", e.CutWidth, 14.14214, 1e-5)
	}
	if r.Kind != "panel" || p.Thickness != 10 || p.Weight != 0 {
		t.Errorf("a %s, %v mm thick, of %v g", r.Kind, p.Thickness, p.Weight)
	}
	if _, ok := r.Field("weight"); ok {
		t.Error("a sheet of unknown density has a weight")
	}
}

// A trapezoid of 155 mm below and 145 mm above, 90 mm high: each leg leans by 5 mm and is
// √(90² + 5²) = 90.13878 mm long. With 10 mm at 45° on the legs, each moves in by 10 mm square to
// itself, that is by 10 · 90.13878/90 = 10.01542 mm along the parallel edges; these shorten to
// 155 − 20.03084 and 145 − 20.03084 mm, the legs stay as long. With 45° on the short edge too, that
// one comes down by 10 mm: the legs keep 80/90 of their length, and the short edge lies where the
// trapezoid is 2 · 5 · 10/90 mm wider.
func TestTrapezoidByHand(t *testing.T) {
	const src = "panel cheek\noutline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nthickness: 10 mm\nbevel left: 45 deg\nbevel right: 45 deg"
	_, p := onePanel(t, src)
	for name, want := range map[string][2]float64{"long": {155, 134.96916}, "short": {145, 124.96916}, "left": {90.13878, 90.13878}, "right": {90.13878, 90.13878}} {
		e := edge(t, p, name)
		near(t, name, e.Length, want[0], 1e-5)
		near(t, name+" at the back", e.BackLength, want[1], 1e-5)
	}
	near(t, "area", p.Area, 13500, 1e-6)
	near(t, "back area", p.BackArea, (134.96916+124.96916)/2*90, 1e-3)
	_, p = onePanel(t, src+"\nbevel short: 45 deg")
	near(t, "short at the back", edge(t, p, "short").BackLength, 124.96916+2*5*10/90.0, 1e-5)
	near(t, "left at the back", edge(t, p, "left").BackLength, 90.13878*80/90, 1e-5)
}

// Common practice, no source: a panel 155 mm along one edge and 145 mm along the other tapers 5 mm at
// each end.
func TestTaperIsHalfTheDifferenceAtEachEnd(t *testing.T) {
	_, p := onePanel(t, "panel cheek\noutline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nthickness: 10 mm")
	c := p.Show.Corners()
	near(t, "left end", c[3].X-c[0].X, 5, 1e-9)
	near(t, "right end", c[1].X-c[2].X, 5, 1e-9)
}

// Common practice, no source: at a square corner both panels take 45°, and the back loses the
// thickness at each mitred end; a panel that butts between two others of 10 mm loses 10 mm at each
// covered end on both faces.
func TestMitredAndButtedEnds(t *testing.T) {
	_, mitred := onePanel(t, "panel front\noutline: rect(width: 200 mm, height: 90 mm)\nthickness: 10 mm\nbevel left: 45 deg\nbevel right: 45 deg")
	near(t, "mitred, show face", edge(t, mitred, "bottom").Length, 200, 1e-9)
	near(t, "mitred, back face", edge(t, mitred, "bottom").BackLength, 180, 1e-9)
	_, butted := onePanel(t, "dims box\nwide: 200 mm\nwall: 10 mm\n\npanel shelf\noutline: rect(width: box.wide - 2 * box.wall, height: 90 mm)\nthickness: box.wall")
	near(t, "butted, show face", edge(t, butted, "bottom").Length, 180, 1e-9)
	near(t, "butted, back face", edge(t, butted, "bottom").BackLength, 180, 1e-9)
	for _, e := range butted.Edges {
		if e.Run != 0 || e.CutWidth != 10 {
			t.Errorf("%s is cut square, and runs in by %v over %v", e.Name, e.Run, e.CutWidth)
		}
	}
}

// A hollow corner has a bevel below zero: the back face is the larger one.
func TestHollowCornerMakesTheBackLarger(t *testing.T) {
	_, p := onePanel(t, "panel inner\noutline: rect(width: 100 mm, height: 80 mm)\nthickness: 10 mm\nbevel: -45 deg")
	near(t, "back area", p.BackArea, 120*100, 1e-6)
	near(t, "run", edge(t, p, "top").Run, -10, 1e-9)
}

// Common practice, no source: about 35° on three edges and 17° on the odd one are ordinary on one
// part; the odd edge wants a mark.
func TestOddEdgeIsMarked(t *testing.T) {
	for _, c := range []struct {
		bevels string
		odd    []string
	}{
		{"bevel: 35 deg\nbevel short: 17 deg", []string{"short"}},
		{"bevel left: 35 deg\nbevel right: 35 deg\nbevel long: 35 deg\nbevel short: 17 deg", []string{"short"}},
		{"bevel: 35 deg", nil},
		{"bevel left: 35 deg\nbevel right: 35 deg", nil},
		{"bevel left: 35 deg\nbevel right: 17 deg", nil}, // neither is the odd one
		{"bevel left: 35 deg\nbevel right: -35 deg\nbevel long: 35 deg", []string{"right"}},
	} {
		_, out, _ := worked(t, "panel cheek\noutline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nthickness: 6 mm\n"+c.bevels)
		if got := out.Parts[0].Odd; !slices.Equal(got, c.odd) {
			t.Errorf("%q: odd are %v, want %v", c.bevels, got, c.odd)
		}
		marked := 0
		for _, row := range out.Tables[0].Rows {
			if strings.HasSuffix(row[0], "×") {
				marked++
			}
		}
		if marked != len(c.odd) {
			t.Errorf("%q: %d edges are marked in the table", c.bevels, marked)
		}
	}
}

// Frustum of a pyramid: V = h/3 · (A₁ + A₂ + √(A₁·A₂)); of a cone: V = π·h/3 · (R² + R·r + r²)
// (Machinery's Handbook, volumes of solids, from memory). The program adds up areas by Simpson's rule.
func TestVolumeIsThatOfTheFrustum(t *testing.T) {
	for n := 3; n <= 12; n++ {
		r, p := onePanel(t, fmt.Sprintf("panel roof\noutline: regular(n: %d, side: 60 mm)\nthickness: 12 mm\nbevel: 40 deg", n))
		want := 12.0 / 3 * (p.Area + p.BackArea + math.Sqrt(p.Area*p.BackArea))
		near(t, fmt.Sprint(n, " sides"), number(t, r, "volume"), want, 1e-6*want)
	}
	r, _ := onePanel(t, "panel disc\noutline: circle(diameter: 100 mm)\nthickness: 10 mm\nbevel: 45 deg")
	near(t, "cone", number(t, r, "volume"), math.Pi*10/3*(50*50+50*40+40*40), 1e-3)
}

// convex is a random polygon inscribed in an ellipse, counter-clockwise.
func convex(g *rand.Rand) []r2.Vec {
	n := 3 + g.IntN(8)
	angles := make([]float64, n)
	for i := range angles {
		angles[i] = (float64(i) + 0.8*g.Float64()) * 2 * math.Pi / float64(n)
	}
	a, b := 100+200*g.Float64(), 100+200*g.Float64()
	pts := make([]r2.Vec, n)
	for i, φ := range angles {
		pts[i] = r2.Vec{X: a * math.Cos(φ), Y: b * math.Sin(φ)}
	}
	return pts
}

func polygonText(pts []r2.Vec) string {
	var list []string
	for _, p := range pts {
		list = append(list, fmt.Sprintf("(%.9f mm, %.9f mm)", p.X, p.Y))
	}
	return "polygon(" + strings.Join(list, ", ") + ")"
}

// For a convex polygon whose edges all move by r, Steiner's formula with sharp corners gives the area
// A ∓ P·r + r²·Σ tan(θ/2) over the turns θ at its corners (Steiner 1840; any text on convex bodies).
func TestBackOfAConvexPanelHasSteinersArea(t *testing.T) {
	for seed := range uint64(200) {
		g := rand.New(rand.NewPCG(seed, 7))
		pts := convex(g)
		bevel := -50 + 70*g.Float64() // degrees; up to 20° inwards, so that no edge vanishes
		src := fmt.Sprintf("panel p\noutline: %s\nthickness: 10 mm\nbevel: %.9f deg", polygonText(pts), bevel)
		r, _, found := worked(t, src)
		if r == nil {
			t.Fatalf("%s\n%v", src, found)
		}
		perimeter, turns := 0.0, 0.0
		for i, p := range pts {
			q, s := pts[(i+1)%len(pts)], pts[(i+2)%len(pts)]
			perimeter += r2.Norm(r2.Sub(q, p))
			u, v := r2.Unit(r2.Sub(q, p)), r2.Unit(r2.Sub(s, q))
			turns += math.Tan(math.Atan2(r2.Cross(u, v), r2.Dot(u, v)) / 2)
		}
		run := 10 * math.Tan(bevel*math.Pi/180)
		area := number(t, r, "area")
		near(t, fmt.Sprint("seed ", seed), number(t, r, "back_area"), area-run*perimeter+run*run*turns, 1e-6*area)
	}
}

func TestAPanelAndItsMirrorImageAgreeInEverythingButTheirHand(t *testing.T) {
	for seed := range uint64(100) {
		g := rand.New(rand.NewPCG(seed, 8))
		pts := convex(g)
		var bevels string
		for i := range pts {
			bevels += fmt.Sprintf("\nbevel e%d: %.6f deg", i+1, -20+35*g.Float64())
		}
		src := "panel p\noutline: " + polygonText(pts) + "\nthickness: 6 mm" + bevels
		_, p := onePanel(t, src)
		_, q := onePanel(t, strings.Replace(src, "outline: ", "outline: mirror(", 1)[:len("panel p\noutline: mirror(")+len(polygonText(pts))]+")\nthickness: 6 mm"+bevels)
		near(t, "area", q.Area, p.Area, 1e-6*p.Area)
		near(t, "back area", q.BackArea, p.BackArea, 1e-6*p.Area)
		near(t, "volume", q.Volume, p.Volume, 1e-6*p.Volume)
		for _, e := range p.Edges {
			near(t, e.Name, edge(t, q, e.Name).BackLength, e.BackLength, 1e-6)
		}
		if !shape.MirrorImages(p.Figure(), q.Figure(), part.MirrorTolerance) {
			t.Errorf("seed %d: a part and its mirror image are not told to be", seed)
		}
	}
}

const foams = "material foam6\nthickness: 6 mm\ndensity: 100 kg/m^3\n\nmaterial foam10\nthickness: 10 mm\ndensity: 200 kg/m^3\n\n"

// Two layers of a mitred square of 100 mm: the first is 100 mm at the show side and 100 − 2·6 = 88 mm
// below, the second goes on from there to 88 − 2·10 = 68 mm.
func TestEachLayerIsAsLargeAsTheBevelMakesItAtItsDepth(t *testing.T) {
	const src = foams + "stack wall\nlayers: foam6, foam10\nworn: yes\n\npanel p\noutline: rect(width: 100 mm, height: 100 mm)\nstack: wall\nbevel: 45 deg\nmark centre: (50 mm, 50 mm)"
	r, out, found := worked(t, src)
	if len(found) > 0 || len(out.Parts) != 2 {
		t.Fatalf("%d parts, %v", len(out.Parts), found)
	}
	first, second := out.Parts[0], out.Parts[1]
	for name, got := range map[string][2]float64{
		"first, show side": {first.Area, 100 * 100}, "first, back": {first.BackArea, 88 * 88},
		"second, show side": {second.Area, 88 * 88}, "second, back": {second.BackArea, 68 * 68},
		"depth": {second.Depth, 6}, "thickness": {number(t, r, "thickness"), 16},
		// Frusta: 6/3·(10000 + 7744 + 8800) mm³ at 0.1 mg/mm³ and 10/3·(7744 + 4624 + 5984) at 0.2.
		"weight of the first": {first.Weight, 5.3088}, "weight of the second": {second.Weight, 12.234667},
		"weight": {number(t, r, "weight"), 5.3088 + 12.234667},
	} {
		near(t, name, got[0], got[1], 1e-5)
	}
	if first.Worn || !second.Worn || !second.StackWorn {
		t.Error("the innermost layer faces the body")
	}
	if first.Material != "foam6" || second.Material != "foam10" || first.Layer == second.Layer {
		t.Errorf("layers are %q of %s and %q of %s", first.Layer, first.Material, second.Layer, second.Material)
	}
	if len(first.Marks) != 1 || len(second.Marks) != 0 {
		t.Error("marks belong on the first layer")
	}

	// With a trim the second is cut square, larger than its larger face.
	_, out, _ = worked(t, src+"\ntrim: 5 mm")
	near(t, "first, untrimmed", out.Parts[0].Area, 100*100, 1e-6)
	near(t, "second with its trim", out.Parts[1].Area, 98*98, 1e-6)
	near(t, "second with its trim, back", out.Parts[1].BackArea, 98*98, 1e-6)
	if e := out.Parts[1].Edges[0]; e.Bevel != 0 || out.Parts[1].Trim != 5 {
		t.Errorf("the trimmed layer has a bevel of %v and a trim of %v", e.Bevel, out.Parts[1].Trim)
	}
}

// A slab whose one end leans out and whose other leans in as much: no face of a layer covers the
// other, and each end needs the trim beyond the face that reaches further there. Worked by hand: at
// 45° a layer from 6 to 16 mm deep has its ends at −6 … −16 and 94 … 84.
func TestATrimmedLayerCoversBothItsFaces(t *testing.T) {
	_, out, found := worked(t, foams+"stack wall\nlayers: foam6, foam10\n\npanel p\noutline: rect(width: 100 mm, height: 50 mm)\nstack: wall\n"+
		"bevel left: -45 deg\nbevel right: 45 deg\ntrim: 2 mm")
	if len(found) > 0 {
		t.Fatal(found)
	}
	box := out.Parts[1].Show.Bounds()
	near(t, "left end", box.Min.X, -16-2, 1e-9)
	near(t, "right end", box.Max.X, 94+2, 1e-9)
	near(t, "height", box.Max.Y-box.Min.Y, 50+2*2, 1e-9)
}

func TestALayerOfUnknownDensityLeavesTheWeightOpen(t *testing.T) {
	r, _, _ := worked(t, foams+"stack wall\nlayers: foam6, 4 mm\n\npanel p\noutline: rect(width: 100 mm, height: 100 mm)\nstack: wall")
	if w, ok := r.Number("weight"); ok {
		t.Errorf("half of the layers weigh %v g", w)
	}
}

func TestHolesAreTakenOffBothFaces(t *testing.T) {
	r, p := onePanel(t, foams+"panel p\noutline: cut(rect(width: 100 mm, height: 100 mm), circle(diameter: 20 mm, at: (70 mm, 70 mm)))\nmaterial: foam10\nbevel: 20 deg\nhole pivot: circle(diameter: 10 mm, at: (30 mm, 30 mm))")
	holes := math.Pi * (100 + 25)
	back := 100 - 2*10*math.Tan(20*math.Pi/180)
	near(t, "area", number(t, r, "area"), 10000-holes, 1e-6)
	near(t, "back area", number(t, r, "back_area"), back*back-holes, 1e-6)
	near(t, "weight", number(t, r, "weight"), (10.0/3*(10000+back*back+100*back)-10*holes)*200e-6, 1e-6)
	if len(p.Holes) != 2 || p.Holes[0].Name != "cut1" || p.Holes[1].Name != "pivot" {
		t.Errorf("holes are %v", p.Holes)
	}
}

// symmetric says of panels whether they are their own mirror image.
var symmetric = []struct {
	keys string
	want bool
}{
	{"outline: rect(width: 90 mm, height: 60 mm)", true},
	{"outline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)", true},
	{"outline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm, shift: 3 mm)", false},
	{"outline: rotate(trapezoid(long: 155 mm, short: 145 mm, height: 90 mm), 17 deg)", true}, // lying askew changes nothing
	{"outline: circle(diameter: 90 mm)", true},
	{"outline: polygon((0 mm, 0 mm), (90 mm, 0 mm), (0 mm, 50 mm))", false},
	{"outline: polygon((0 mm, 0 mm), (50 mm, 0 mm), (0 mm, 50 mm))", true},
	{"outline: trapezoid(long: 100 mm, short: 100 mm, height: 60 mm, shift: 30 mm)", false}, // a parallelogram has no mirror line
	{"outline: rect(width: 90 mm, height: 60 mm)\nbevel left: 35 deg", true},                // top and bottom change places
	{"outline: rect(width: 90 mm, height: 60 mm)\nbevel left: 35 deg\nbevel top: 35 deg", false},
	{"outline: rect(width: 60 mm, height: 60 mm)\nbevel left: 35 deg\nbevel top: 35 deg", true}, // about its diagonal
	{"outline: rect(width: 90 mm, height: 60 mm)\nbevel left: 35 deg\nbevel right: 35 deg\nbevel top: 17 deg", true},
	{"outline: rect(width: 90 mm, height: 60 mm)\nbevel left: 35 deg\nbevel right: 34 deg\nbevel top: 17 deg", false},
	{"outline: rect(width: 90 mm, height: 60 mm)\nhole a: circle(diameter: 5 mm, at: (45 mm, 10 mm))", true},
	{"outline: rect(width: 90 mm, height: 60 mm)\nhole a: circle(diameter: 5 mm, at: (30 mm, 10 mm))", false},
	{"outline: rect(width: 90 mm, height: 60 mm)\nhole a: circle(diameter: 5 mm, at: (30 mm, 10 mm))\nhole b: circle(diameter: 5 mm, at: (60 mm, 10 mm))", true},
	{"outline: rect(width: 90 mm, height: 60 mm)\nhole a: circle(diameter: 5 mm, at: (30 mm, 10 mm))\nhole b: circle(diameter: 6 mm, at: (60 mm, 10 mm))", false},
	{"outline: rect(width: 90 mm, height: 60 mm)\nline vent: (45 mm, 5 mm), (45 mm, 40 mm)", true},
	{"outline: rect(width: 90 mm, height: 60 mm)\nline vent: path((10 mm, 5 mm), (45 mm, 40 mm))", false},
	{"outline: rect(width: 90 mm, height: 60 mm)\nmark a: (20 mm, 30 mm)", true},
	{"outline: rect(width: 90 mm, height: 60 mm)\nmark a: (20 mm, 20 mm)", false},
}

func TestWhatBreaksTheMirrorImage(t *testing.T) {
	for _, c := range symmetric {
		r, p := onePanel(t, "panel p\nthickness: 6 mm\n"+c.keys)
		f, _ := r.Field("symmetric")
		if p.SelfMirrored != c.want || f.Value != eval.Bool(c.want) {
			t.Errorf("%s is its own mirror image: %v, want %v", c.keys, p.SelfMirrored, c.want)
		}
	}
}

func TestResultsCanBeAskedForByName(t *testing.T) {
	r, _, found := worked(t, "panel cheek\noutline: trapezoid(long: 155 mm, short: 145 mm, height: 90 mm)\nedges: lower, front, upper, rear\nthickness: 10 mm\nbevel upper: 45 deg\n\n"+
		"dims ask\na: cheek.edge.upper.run\nb: cheek.edge.lower.length\nc: cheek.edge.front.back_length\nd: cheek.edge.upper.cut_width\ne: cheek.show.rear\nf: cheek.back.area\nwide: cheek.width\nall: cheek.perimeter")
	if len(found) > 0 {
		t.Fatal(found)
	}
	for name, want := range map[string]float64{"a": 10, "b": 155, "c": 90.13878 * 80 / 90, "d": 14.14214, "e": 90.13878, "f": (155 + 145 + 10.0/9) / 2 * 80, "wide": 155, "all": 155 + 145 + 2*90.13878} {
		near(t, name, number(t, r, name), want, 1e-4)
	}
}

// refusedPanels are panels that cannot be cut: the finding's name and words of its message.
var refusedPanels = []struct{ keys, name, says string }{
	{"thickness: 6 mm", "needs-key", "needs outline"},
	{"outline: rect(width: 90 mm, height: 60 mm)", "needs-key", "cut from"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nmaterial: foam6", "needs-key", "cut from"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 0 mm", "wrong-value", "thickness"},
	{"outline: 90 mm\nthickness: 6 mm", "wrong-value", "outline must be an outline, and this is a length"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 deg", "wrong-value", "thickness must be a length, and this is an angle"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nmaterial: wall6", "wrong-value", "material must be a material's name"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nstack: foam6", "wrong-value", "not a stack"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevel lft: 35 deg", "unknown-name", "has no edge lft"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevel left: 89 deg", "wrong-value", "89°"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevel left: 35", "wrong-value", "must be an angle"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevle left: 35 deg", "unknown-key", "no key bevle left"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole: circle(5 mm)", "unknown-key", "hole needs a name"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nthickness: 10 mm", "set-twice", "thickness is set twice"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevel left: 35 deg\nbevel left: 30 deg", "set-twice", "bevel left is set twice"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nedges: a, b", "wrong-value", "2 names for 4 edges"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nedges: a, b, c, a", "set-twice", "two edges are called a"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhand: both", "wrong-value", "hand cannot be both"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\ncount: 1.5", "wrong-value", "whole number"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nworn: 1", "wrong-value", "yes or no"},
	{"outline: rect(width: 90 mm, height: 15 mm)\nthickness: 10 mm\nbevel top: 45 deg\nbevel bottom: 45 deg", "bevels-collide", "7.5 mm below the show face"},
	{"outline: rect(width: 15 mm, height: 90 mm)\nthickness: 10 mm\nbevel: 45 deg", "bevels-collide", "left"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole a: circle(diameter: 5 mm, at: (0 mm, 0 mm))", "bad-shape", "does not lie inside"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 10 mm\nbevel left: 45 deg\nhole a: circle(diameter: 5 mm, at: (8 mm, 30 mm))", "bad-shape", "comes out through a bevel"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole a: circle(diameter: 20 mm, at: (30 mm, 30 mm))\nhole b: circle(diameter: 20 mm, at: (45 mm, 30 mm))", "bad-shape", "run into each other"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole a: circle(diameter: 20 mm, at: (30 mm, 30 mm))\nhole b: circle(diameter: 5 mm, at: (30 mm, 30 mm))", "bad-shape", "run into each other"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole a: move(rect(50 mm, 10 mm), by: (20 mm, 20 mm))\nhole b: move(rect(10 mm, 50 mm), by: (50 mm, 5 mm))", "bad-shape", "run into each other"}, // a cross: no corner of one in the other
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nhole a: circle(diameter: 20 mm, at: (30 mm, 30 mm))\nhole b: circle(diameter: 20 mm, at: (30 mm, 30 mm))", "bad-shape", "run into each other"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nmark a: (99 mm, 99 mm)", "off-part", "lies beside"},
	{"outline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nline a: (1 mm, 1 mm)", "wrong-value", "a path"},
	{"outline: path((0 mm, 0 mm), (10 mm, 0 mm))\nthickness: 6 mm", "bad-shape", "cannot be cut"},
}

func TestPanelSaysWhatIsWrongWithIt(t *testing.T) {
	for _, c := range refusedPanels {
		r, out, found := worked(t, foams+"stack wall6\nlayers: foam6\n\npanel p\n"+c.keys)
		if len(found) != 1 || found[0].Name != c.name || !strings.Contains(found[0].Message, c.says) {
			var list []string
			for _, f := range found {
				list = append(list, f.Name+": "+f.Message)
			}
			t.Errorf("%s\nis told %s\nwant %s: …%s…", c.keys, strings.Join(list, "; "), c.name, c.says)
			continue
		}
		if found[0].Help == "" || found[0].At.Text() == "" {
			t.Errorf("%s: no way out, or no place", found[0].Message)
		}
		if found[0].Severity == finding.Stop && (r != nil || len(out.Parts) > 0) {
			t.Errorf("%s\nis refused and worked out all the same", c.keys)
		}
	}
}

func TestEdgesThatMeetSmoothlyAreToldToShareABevel(t *testing.T) {
	_, _, found := worked(t, "panel p\noutline: fillet(rect(width: 90 mm, height: 60 mm), radius: 10 mm)\nthickness: 6 mm\nbevel left: 30 deg")
	if len(found) != 1 || !strings.Contains(found[0].Help, "the same bevel") {
		t.Errorf("%v", found)
	}
}

// A line that cannot be read might be a bevel: the panel would be cut square.
func TestAPanelWithALineThatCannotBeReadIsNotCut(t *testing.T) {
	r, out, found := worked(t, "panel p\noutline: rect(width: 90 mm, height: 60 mm)\nthickness: 6 mm\nbevel left: 35 degg")
	if r != nil || len(out.Parts) > 0 || len(found) != 1 || found[0].Name != "unknown-unit" {
		t.Errorf("%d parts, %v", len(out.Parts), found)
	}
	if _, _, found := worked(t, "panel p\noutline: rect(width 90 mm)\nthickness: 6 mm"); len(found) != 1 {
		t.Errorf("an outline that cannot be read is missed as well: %v", found)
	}
}

func TestAThousandHolesAreComparedSoon(t *testing.T) {
	var b strings.Builder
	b.WriteString("panel grille\noutline: rect(width: 1000 mm, height: 1000 mm)\nthickness: 6 mm\n")
	for i := range 1000 {
		fmt.Fprintf(&b, "hole h%d: circle(diameter: 5 mm, at: (%d mm, %d mm))\n", i, 15+i%32*30, 15+i/32*30)
	}
	if _, p := onePanel(t, b.String()); len(p.Holes) != 1000 {
		t.Errorf("%d holes", len(p.Holes))
	}
}
