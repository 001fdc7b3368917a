package kind

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/shape"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

// worked works out blocks written without fences: a line `kind name`, the keys below it, an empty
// line between two blocks. It gives what the last one came to, and all findings.
func worked(t testing.TB, src string) (*eval.Record, *Output, []finding.Finding) {
	t.Helper()
	return workedIn(t, unit.Style{}, src)
}

// workedIn is worked in a journal of some units.
func workedIn(t testing.TB, style unit.Style, src string) (*eval.Record, *Output, []finding.Finding) {
	t.Helper()
	return workedFrom(t, nil, style, src)
}

// workedFrom is workedIn with the journal's files.
func workedFrom(t testing.TB, files eval.Files, style unit.Style, src string) (*eval.Record, *Output, []finding.Finding) {
	t.Helper()
	var blocks []*eval.Block
	var out *Output
	var found []finding.Finding
	for i, text := range strings.Split(strings.TrimSpace(src), "\n\n") {
		file := source.NewFile("test.md", text)
		var lines []source.Span
		for at := 0; at <= len(text); {
			end := at + strings.IndexByte(text[at:]+"\n", '\n')
			lines = append(lines, file.Span(at, end))
			at = end + 1
		}
		head := strings.Fields(lines[0].Text())
		k, ok := Find(head[0])
		if !ok {
			t.Fatalf("block %d: no kind %s", i, head[0])
		}
		parsed, faults := syntax.ParseBlock(file, lines[1:])
		b, o, more := k.Declare("", head[1], lines[0], parsed, style)
		blocks, out, found = append(blocks, b), o, append(append(found, faults...), more...)
	}
	p := eval.Link(blocks, nil)
	p.Files = files
	p.Run()
	for _, n := range p.Nodes() {
		found = append(found, n.Findings...)
	}
	rec, _ := blocks[len(blocks)-1].Node.Cell.Value.(*eval.Record)
	return rec, out, found
}

// number reads a result in its base unit.
func number(t testing.TB, r *eval.Record, name string) float64 {
	t.Helper()
	if r == nil {
		t.Fatalf("the block was not worked out")
	}
	v, ok := r.Number(name)
	if !ok {
		t.Fatalf("%s has no %s", r.Name, name)
	}
	return v
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// Tables of this form stand in woodworking handbooks as compound-angle tables; the rows are those of
// the formula sin tilt = sin α · sin(180°/n), tan mitre = cos α · tan(180°/n), to two decimals.
var compoundAngles = []struct {
	n    int
	rows string // slope tilt/mitre
}{
	{4, "30 20.70/40.89 45 30.00/35.26 52 33.86/31.62 60 37.76/26.57 75 43.08/14.51 80 44.14/9.85 90 45.00/0"},
	{5, "30 17.09/32.18 45 24.56/27.19 52 27.59/24.10 60 30.60/19.96 75 34.59/10.65 80 35.37/7.19 90 36.00/0"},
	{6, "30 14.48/26.57 45 20.70/22.21 52 23.20/19.57 60 25.66/16.10 75 28.88/8.50 80 29.50/5.73 90 30.00/0"},
	{8, "30 11.03/19.73 45 15.70/16.32 52 17.55/14.31 60 19.35/11.70 75 21.69/6.12 80 22.14/4.11 90 22.50/0"},
	{12, "30 7.44/13.06 45 10.55/10.73 52 11.77/9.37 60 12.95/7.63 75 14.48/3.97 80 14.77/2.66 90 15.00/0"},
}

func TestShellHasTheTiltAndMitreOfTheCompoundAngleTable(t *testing.T) {
	for _, table := range compoundAngles {
		words := strings.Fields(table.rows)
		for i := 0; i < len(words); i += 2 {
			var tilt, mitre float64
			if _, err := fmt.Sscanf(words[i+1], "%g/%g", &tilt, &mitre); err != nil {
				t.Fatal(err)
			}
			src := fmt.Sprintf("bevel shell\nsides: %d\nslope: %s deg", table.n, words[i])
			r, _, _ := worked(t, src)
			near(t, src+": tilt", degrees(number(t, r, "tilt")), tilt, 0.005)
			near(t, src+": mitre", degrees(number(t, r, "mitre")), mitre, 0.005)
			near(t, src+": dihedral", degrees(number(t, r, "dihedral")), 180-2*tilt, 0.01)
		}
	}
}

// Crown-moulding tables of carpentry, from memory: mitre 31.6° and bevel 33.9° for 38/52 stock,
// mitre 35.3° and bevel 30.0° for 45/45 stock, at a corner of 90°.
func TestSquareCornerOfLeaningPanelsIsCutAsCrownMoulding(t *testing.T) {
	for _, row := range []struct{ slope, mitre, tilt float64 }{{52, 31.6, 33.9}, {45, 35.3, 30.0}} {
		r, _, _ := worked(t, fmt.Sprintf("bevel crown\nslope: %v deg\nother: %[1]v deg\ncorner: 90 deg", row.slope))
		near(t, "mitre", degrees(number(t, r, "mitre")), row.mitre, 0.05)
		near(t, "other mitre", degrees(number(t, r, "other_mitre")), row.mitre, 0.05)
		near(t, "tilt", degrees(number(t, r, "tilt")), row.tilt, 0.05)
	}
}

// Dihedral angles of solids: Cromwell, Polyhedra; Coxeter, Regular Polytopes. The bevel is half of
// what is missing to 180°.
func TestSolidsAreBevelledByHalfTheTurnBetweenTheirFaces(t *testing.T) {
	for _, solid := range []struct {
		name           string
		dihedral, tilt float64
	}{
		{"tetrahedron", 70.5288, 54.7356},
		{"cube", 90, 45},
		{"octahedron", 109.4712, 35.2644},
		{"dodecahedron", 116.5651, 31.71745},
		{"icosahedron", 138.1897, 20.90515},
		{"cuboctahedron", 125.2644, 27.3678},
		{"truncated octahedron between hexagons", 109.4712, 35.2644},
		{"truncated octahedron between hexagon and square", 125.2644, 27.3678},
		{"icosidodecahedron", 142.6226, 18.6887},
	} {
		r, _, _ := worked(t, fmt.Sprintf("bevel solid\ndihedral: %v deg", solid.dihedral))
		near(t, solid.name, degrees(number(t, r, "tilt")), solid.tilt, 1e-6)
	}
}

// Pyramids over a regular polygon whose faces are equilateral triangles have a slope that follows
// from the inradius alone, and known dihedrals: Coxeter, Regular Polytopes.
func TestShellOfASolidsFacesHasTheSolidsDihedral(t *testing.T) {
	for _, solid := range []struct {
		name     string
		n        float64
		dihedral float64
	}{{"tetrahedron", 3, 70.5288}, {"octahedron", 4, 109.4712}, {"icosahedron", 5, 138.1897}} {
		// Side 2: the face is √3 high, the base's inradius is 1/tan(180°/n).
		slope := math.Acos(1 / math.Tan(math.Pi/solid.n) / math.Sqrt(3))
		r, _, _ := worked(t, fmt.Sprintf("bevel cap\nsides: %v\nslope: %.12f deg", solid.n, degrees(slope)))
		near(t, solid.name, degrees(number(t, r, "dihedral")), solid.dihedral, 1e-4)
		near(t, solid.name+": a triangle's side leans by 30°", degrees(number(t, r, "mitre")), 30, 1e-6)
	}
}

// The corner is the inside angle of the plan: 180°·(n − 2)/n in a regular polygon.
func TestEqualSlopesAtAPolygonsCornerAreItsShell(t *testing.T) {
	for _, n := range []int{3, 4, 5, 6, 8, 12, 31} {
		for _, slope := range []float64{0, 1, 30, 52, 75, 89.5, 90} {
			shell, _, _ := worked(t, fmt.Sprintf("bevel shell\nsides: %d\nslope: %v deg", n, slope))
			corner, _, _ := worked(t, fmt.Sprintf("bevel corner\nslope: %v deg\nother: %[1]v deg\ncorner: 180 deg * (%d - 2) / %[2]d", slope, n))
			for _, name := range []string{"tilt", "mitre", "dihedral"} {
				near(t, fmt.Sprintf("%s of %d sides at %v°", name, n, slope), number(t, corner, name), number(t, shell, name), 1e-9)
			}
			near(t, "other mitre", number(t, corner, "other_mitre"), number(t, shell, "mitre"), 1e-9)
		}
	}
}

// The seam is the cross product of the face normals and the tilt half the angle between them:
// vector algebra, apart from the trigonometry of the block.
func TestUnequalSlopesAgreeWithTheFaceNormals(t *testing.T) {
	for _, c := range []struct{ slope, other, corner float64 }{
		{75, 60, 90}, {30, 80, 120}, {90, 45, 60}, {45, 90, 135}, {20, 70, 100}, {75, 60, 270}, {50, 50, 240},
	} {
		α, α2, κ := c.slope*math.Pi/180, c.other*math.Pi/180, c.corner*math.Pi/180
		// The first lower edge runs along x, the second at κ from it; inside lies between the two.
		in1, in2 := r3.Vec{Y: 1}, r3.Vec{X: math.Sin(κ), Y: -math.Cos(κ)}
		up := r3.Vec{Z: 1}
		n1 := r3.Sub(r3.Scale(math.Cos(α), up), r3.Scale(math.Sin(α), in1))
		n2 := r3.Sub(r3.Scale(math.Cos(α2), up), r3.Scale(math.Sin(α2), in2))
		tilt := math.Acos(r3.Dot(n1, n2)) / 2
		if c.corner > 180 {
			tilt = -tilt
		}
		seam := r3.Cross(n1, n2)
		if seam.Z < 0 {
			seam = r3.Scale(-1, seam)
		}
		along := func(edge, in r3.Vec, slope float64) float64 {
			rise := r3.Add(r3.Scale(math.Cos(slope), in), r3.Scale(math.Sin(slope), up))
			return math.Atan(r3.Dot(seam, edge) / r3.Dot(seam, rise))
		}
		r, _, _ := worked(t, fmt.Sprintf("bevel hip\nslope: %v deg\nother: %v deg\ncorner: %v deg", c.slope, c.other, c.corner))
		near(t, fmt.Sprint(c, " tilt"), number(t, r, "tilt"), tilt, 1e-9)
		near(t, fmt.Sprint(c, " mitre"), number(t, r, "mitre"), along(r3.Vec{X: 1}, in1, α), 1e-9)
		near(t, fmt.Sprint(c, " other mitre"), number(t, r, "other_mitre"), along(r3.Vec{X: math.Cos(κ), Y: math.Sin(κ)}, in2, α2), 1e-9)
	}
}

// A square corner takes 45° on each panel (common practice, no source); at 45° the cut runs in by the
// thickness and is √2 thicknesses wide.
func TestSquareCornerRunsInByItsThickness(t *testing.T) {
	r, _, _ := worked(t, "material foam10\nthickness: 10 mm\n\nbevel edge\ndihedral: 90 deg\nmaterial: foam10")
	near(t, "tilt", degrees(number(t, r, "tilt")), 45, 1e-9)
	near(t, "run", number(t, r, "run"), 10, 1e-9)
	near(t, "cut width", number(t, r, "cut_width"), 10*math.Sqrt2, 1e-9)
}

func TestHollowCornerIsTheSquareOneFromTheOtherFace(t *testing.T) {
	out, _, _ := worked(t, "bevel out\ndihedral: 130 deg\nthickness: 8 mm")
	in, _, _ := worked(t, "bevel in\ndihedral: 230 deg\nthickness: 8 mm")
	near(t, "tilt", number(t, in, "tilt"), -number(t, out, "tilt"), 1e-12)
	near(t, "run", number(t, in, "run"), -number(t, out, "run"), 1e-9)
	near(t, "cut width", number(t, in, "cut_width"), number(t, out, "cut_width"), 1e-9)
	for r, want := range map[*eval.Record]string{out: "show", in: "back"} {
		if f, _ := r.Field("long_face"); f.Value != eval.Text(want) {
			t.Errorf("the longer face of %s is %v, want %s", r.Name, f.Value, want)
		}
	}
}

func TestFlatRingIsMitredAndNotTilted(t *testing.T) {
	r, _, _ := worked(t, "bevel ring\nsides: 8\nslope: 0 deg")
	near(t, "tilt", number(t, r, "tilt"), 0, 1e-12)
	near(t, "mitre", degrees(number(t, r, "mitre")), 22.5, 1e-9)
}

func TestBevelSaysWhatIsWrongWithItsKeys(t *testing.T) {
	for _, c := range []struct{ keys, name, says string }{
		{"thickness: 10 mm", NeedsKey, "does not say what its corner is"},
		{"sides: 8", NeedsKey, "with sides goes slope"},
		{"slope: 60 deg", NeedsKey, "with slope goes sides, or other and corner"},
		{"slope: 60 deg\ncorner: 90 deg", NeedsKey, "with slope and corner goes other"},
		{"dihedral: 90 deg\nsides: 4\nslope: 90 deg", KeysClash, "dihedral, sides and slope do not go together"},
		{"sides: 4\nslope: 60 deg\ncorner: 90 deg", KeysClash, "do not go together"},
		{"dihedral: 0 deg", "wrong-value", "between 0° and 360°"},
		{"dihedral: 360 deg", "wrong-value", "between 0° and 360°"},
		{"dihedral: -10 deg", "wrong-value", "between 0° and 360°"},
		{"dihedral: 1 deg", "wrong-value", "cannot be cut"},
		{"dihedral: 90 mm", "wrong-value", "must be an angle"},
		{"sides: 2\nslope: 60 deg", "wrong-value", "cannot have 2 sides"},
		{"sides: 1001\nslope: 60 deg", "wrong-value", "cannot have 1001 sides"},
		{"sides: 4.5\nslope: 60 deg", "wrong-value", "whole number"},
		{"sides: 4\nslope: 91 deg", "wrong-value", "between 0° and 90°"},
		{"sides: 4\nslope: -1 deg", "wrong-value", "between 0° and 90°"},
		{"slope: 60 deg\nother: 50 deg\ncorner: 180 deg", "wrong-value", "is not 180°"},
		{"slope: 60 deg\nother: 0 deg\ncorner: 90 deg", "wrong-value", "a flat panel and a leaning one"},
		{"dihedral: 90 deg\nthickness: 0 mm", "wrong-value", "needs a thickness"},
		{"dihedral: 90 deg\nmaterial: foam\nthickness: 3 mm", KeysClash, "both say how thick"},
		{"dihedral: 90 deg\nsaw: foam", "wrong-value", "must be a tool"},
	} {
		r, out, found := worked(t, "material foam\nthickness: 10 mm\n\nbevel edge\n"+c.keys)
		if r != nil || len(out.Drawings) > 0 {
			t.Errorf("%q was worked out", c.keys)
		}
		if len(found) != 1 || found[0].Name != c.name || !strings.Contains(found[0].Message, c.says) || found[0].At.IsZero() {
			t.Errorf("%q: found %+v, want %s: %s", c.keys, found, c.name, c.says)
		}
	}
}

func TestBevelBeyondTheSawIsMindedWithAWayOut(t *testing.T) {
	const shop = "tool bandsaw\ntilt: 45 deg\nheight: 12 mm\n\ntool blade\nuse: knife\ntilt: 10 deg\nheight: 1 mm\n\n"
	for _, c := range []struct{ keys, says string }{
		{"dihedral: 90 deg\nthickness: 8 mm\nsaw: bandsaw", ""}, // at the limit of the tilt
		{"dihedral: 80 deg\nsaw: bandsaw", "a bevel of 50° is beyond the bandsaw, which tilts to 45°"},
		{"dihedral: 280 deg\nsaw: bandsaw", "a bevel of 50° is beyond the bandsaw, which tilts to 45°"},
		{"dihedral: 90 deg\nthickness: 10 mm\nsaw: bandsaw", "the cut is 14.1 mm through, more than the 12 mm that the bandsaw takes"},
		{"dihedral: 80 deg\nthickness: 10 mm\nsaw: blade", ""},
	} {
		r, _, found := worked(t, shop+"bevel edge\n"+c.keys)
		if r == nil {
			t.Errorf("%q was not worked out: %v", c.keys, found)
		}
		if c.says == "" {
			if len(found) > 0 {
				t.Errorf("%q: found %+v", c.keys, found)
			}
			continue
		}
		if len(found) != 1 || found[0].Name != BeyondSaw || found[0].Severity != finding.Mind || found[0].Message != c.says || found[0].Help == "" {
			t.Errorf("%q: found %+v, want %s", c.keys, found, c.says)
		}
	}
}

// The section is drawn to the true angles: its two halves mirror each other in the cut, so their
// areas are equal, and the cut is as long as the block says.
func TestBevelFigureShowsTheCutAtItsTrueWidth(t *testing.T) {
	for _, δ := range []float64{20, 60, 90, 135, 179, 180, 181, 225, 300, 340} {
		r, out, _ := worked(t, fmt.Sprintf("bevel edge\ndihedral: %v deg\nthickness: 10 mm", δ))
		if len(out.Drawings) != 1 {
			t.Fatalf("%v°: %d drawings", δ, len(out.Drawings))
		}
		d := out.Drawings[0]
		var areas []float64
		for _, it := range d.Items {
			switch it := it.(type) {
			case draw.Stroke:
				if it.Role == draw.Accent && it.Path.Segs[0].Kind == shape.Line {
					near(t, "cut", it.Path.Length(), number(t, r, "cut_width"), 1e-9)
				}
			case draw.Area:
				if it.Fill {
					areas = append(areas, math.Abs(it.Outline.Area()))
				}
			}
		}
		if len(areas) != 2 || math.Abs(areas[0]-areas[1]) > 1e-6 {
			t.Errorf("%v°: the halves are %v large", δ, areas)
		}
		if width := d.Box.Max.X - d.Box.Min.X; width > 29*d.Em {
			t.Errorf("%v°: lettering of %v in a box %v wide is too small to read", δ, d.Em, width)
		}
	}
}

func TestLeaningShellHasAFigureOfItsMitreAndAnUprightOneNeedsNone(t *testing.T) {
	for keys, n := range map[string]int{
		"sides: 8\nslope: 60 deg":                                 2,
		"sides: 8\nslope: 90 deg":                                 1,
		"slope: 60 deg\nother: 70 deg\ncorner: 270 deg":           2,
		"slope: 90 deg\nother: 90 deg\ncorner: 120 deg":           1,
		"dihedral: 120 deg":                                       1,
		"slope: 1 deg\nother: 89 deg\ncorner: 170 deg # too flat": 1,
	} {
		_, out, found := worked(t, "bevel edge\n"+keys)
		if len(out.Drawings) != n {
			t.Errorf("%q: %d drawings, want %d; found %v", keys, len(out.Drawings), n, found)
		}
	}
}
