package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"bevelbook/render/ledger"
)

// The numbers of this file come from outside: a standard, a table, a handbook's formula; each test names
// its source. They go the whole way, from the text of a journal to what a command prints.

// unpack lays a journal out of testdata/check in a folder.
func unpack(t testing.TB, name string) string {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("testdata", "check", name+".txtar"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := txtar.Write(a, dir); err != nil {
		t.Fatal(err)
	}
	return dir
}

// journalOf writes a journal of one page.
func journalOf(t testing.TB, text string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "journal.md"), []byte("---\ntitle: Check\n---\n"+text), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// command runs a command that must end well, and returns what it prints.
func bevelbook(t testing.TB, args ...string) []byte {
	t.Helper()
	var out, faults bytes.Buffer
	if code := run(args, &out, &faults); code != exitDone {
		t.Fatalf("bevelbook %q ended with %d:\n%s%s", args, code, &out, &faults)
	}
	return out.Bytes()
}

// asked is the plain value of an expression.
func asked(t testing.TB, dir, expression, unit string) float64 {
	t.Helper()
	var a struct {
		Value float64
		Unit  string
	}
	if err := json.Unmarshal(bevelbook(t, "ask", "--format", "json", "--", dir, expression), &a); err != nil {
		t.Fatal(err)
	}
	if a.Unit != unit {
		t.Errorf("%s is in %q, not in %q", expression, a.Unit, unit)
	}
	return a.Value
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.10g, not %.10g", what, got, want)
	}
}

// rowsOf are the rows of `parts`, by part, layer and hand.
func rowsOf(t testing.TB, dir string) map[string]ledger.Part {
	t.Helper()
	var list []ledger.Part
	if err := json.Unmarshal(bevelbook(t, "parts", dir, "--format", "json"), &list); err != nil {
		t.Fatal(err)
	}
	rows := map[string]ledger.Part{}
	for _, p := range list {
		key := p.Part
		for _, more := range []string{p.Layer, p.Hand} {
			if more != "" {
				key += " " + more
			}
		}
		rows[key] = p
	}
	return rows
}

// TestCompoundAnglesAreThoseOfTheTable holds saw tilt and mitre to the compound-angle table of
// woodworking handbooks: sin tilt = sin α · sin(180°/n), tan mitre = cos α · tan(180°/n), to two decimals.
func TestCompoundAnglesAreThoseOfTheTable(t *testing.T) {
	slopes := []int{30, 45, 52, 60, 75, 80, 90}
	table := map[int][7][2]float64{
		4:  {{20.70, 40.89}, {30.00, 35.26}, {33.86, 31.62}, {37.76, 26.57}, {43.08, 14.51}, {44.14, 9.85}, {45.00, 0}},
		5:  {{17.09, 32.18}, {24.56, 27.19}, {27.59, 24.10}, {30.60, 19.96}, {34.59, 10.65}, {35.37, 7.19}, {36.00, 0}},
		6:  {{14.48, 26.57}, {20.70, 22.21}, {23.20, 19.57}, {25.66, 16.10}, {28.88, 8.50}, {29.50, 5.73}, {30.00, 0}},
		8:  {{11.03, 19.73}, {15.70, 16.32}, {17.55, 14.31}, {19.35, 11.70}, {21.69, 6.12}, {22.14, 4.11}, {22.50, 0}},
		12: {{7.44, 13.06}, {10.55, 10.73}, {11.77, 9.37}, {12.95, 7.63}, {14.48, 3.97}, {14.77, 2.66}, {15.00, 0}},
	}
	for n, row := range table {
		text := ""
		for _, α := range slopes {
			text += fmt.Sprintf("```bevel lean%d\nsides: %d\nslope: %d deg\n```\n", α, n, α)
		}
		dir := journalOf(t, text)
		for i, α := range slopes {
			name := fmt.Sprintf("lean%d", α)
			near(t, fmt.Sprintf("tilt of %d sides at %d°", n, α), asked(t, dir, name+".tilt", "deg"), row[i][0], 0.0051)
			near(t, fmt.Sprintf("mitre of %d sides at %d°", n, α), asked(t, dir, name+".mitre", "deg"), row[i][1], 0.0051)
		}
	}
}

// TestCornerOfTwoSlopesGivesCrownMouldingAngles: the crown-moulding tables of carpentry, 90° corner;
// widely printed, from memory. They are set by two slopes that meet, not by a number of sides.
func TestCornerOfTwoSlopesGivesCrownMouldingAngles(t *testing.T) {
	for _, row := range []struct{ slope, mitre, bevel float64 }{{52, 31.6, 33.9}, {45, 35.3, 30.0}} {
		dir := journalOf(t, fmt.Sprintf("```bevel crown\nslope: %[1]v deg\nother: %[1]v deg\ncorner: 90 deg\n```\n", row.slope))
		near(t, fmt.Sprintf("mitre at %v°", row.slope), asked(t, dir, "crown.mitre", "deg"), row.mitre, 0.051)
		near(t, fmt.Sprintf("bevel at %v°", row.slope), asked(t, dir, "crown.tilt", "deg"), row.bevel, 0.051)
	}
}

// TestBevelsOfUnitSolids: dihedral angles of Cromwell, Polyhedra, and Coxeter, Regular Polytopes. Half
// of what is missing to a straight angle is cut from each face; t·tan β is the run.
func TestBevelsOfUnitSolids(t *testing.T) {
	for name, dihedral := range map[string]float64{
		"tetrahedron": 70.5288, "cube": 90, "octahedron": 109.4712, "dodecahedron": 116.5651,
		"icosahedron": 138.1897, "cuboctahedron": 125.2644, "icosidodecahedron": 142.6226,
	} {
		dir := journalOf(t, fmt.Sprintf("```bevel edge\ndihedral: %v deg\nthickness: 10 mm\n```\n", dihedral))
		β := (180 - dihedral) / 2
		near(t, name+": tilt", asked(t, dir, "edge.tilt", "deg"), β, 1e-9)
		near(t, name+": run", asked(t, dir, "edge.run", "mm"), 10*math.Tan(β*math.Pi/180), 1e-9)
	}
	// The tetrahedron's angle is arccos 1/3, so its run is known without any cosine: t·√2.
	dir := journalOf(t, "```bevel edge\ndihedral: acos(1 / 3)\nthickness: 10 mm\n```\n")
	near(t, "run of the tetrahedron", asked(t, dir, "edge.run", "mm"), 10*math.Sqrt2, 1e-9)
}

// TestStacksAndCountsOfTheTrade: common practice, no source.
func TestStacksAndCountsOfTheTrade(t *testing.T) {
	dir := unpack(t, "stacks")
	near(t, "6 + 6 + 10 + 10", asked(t, dir, "ledge.slab.total", "mm"), 32, 1e-9)
	near(t, "6 on 10", asked(t, dir, "ledge.outside.total", "mm"), 16, 1e-9)
	near(t, "2 on 4", asked(t, dir, "ledge.inside.total", "mm"), 6, 1e-9)
	near(t, "spacer", asked(t, dir, "ledge.inside.spacer", "mm"), 10, 1e-9)

	rows := rowsOf(t, dir)
	for key, count := range map[string]int{
		// Three plates a finger and two a thumb: 14 a hand, 28 a pair.
		"finger_plate left": 12, "finger_plate right": 12, "thumb_plate": 4,
		// One traced side and three more copies: two of each hand, or four that need none.
		"side left": 2, "side right": 2, "even_side": 4,
	} {
		if rows[key].Count != count {
			t.Errorf("%s is cut %d times, not %d", key, rows[key].Count, count)
		}
	}

	// A panel 155 mm along one edge and 145 mm along the other tapers 5 mm at each end.
	lid := rows["lid"]
	near(t, "taper at the left", lid.Outline[3][0]-lid.Outline[0][0], 5, 1e-9)
	near(t, "taper at the right", lid.Outline[1][0]-lid.Outline[2][0], 5, 1e-9)
	// 35° on three edges and 17° on the odd one.
	for _, e := range lid.Edges {
		want := map[string]float64{"long": 17, "right": 35, "short": 35, "left": 35}[e.Name]
		near(t, e.Name, e.Bevel, want, 1e-9)
		near(t, e.Name+": run", e.Run, 10*math.Tan(want*math.Pi/180), 1e-6)
	}

	// A square corner takes 45° on each: the back face of 10 mm is 10 mm narrower at each end.
	square := rows["square"]
	near(t, "back of a square corner", square.Back[1][0]-square.Back[0][0], 200-2*10, 1e-6)

	// Under-layers are cut larger, by the trim all round, and are trimmed to the top layer.
	top, under := rows["deck layer1 foam6"], rows["deck layer2 foam6"]
	near(t, "area of the top layer", top.Area, 200*120, 1e-6)
	near(t, "area of an under-layer", under.Area, (200+2*4)*(120+2*4), 1e-6)
}

// TestOtherHandIsTheMirrorImage: a property; each corner of one hand lies at the other side of the axis.
func TestOtherHandIsTheMirrorImage(t *testing.T) {
	rows := rowsOf(t, unpack(t, "stacks"))
	left, right := rows["side left"], rows["side right"]
	for _, face := range [][2][][2]float64{{left.Outline, right.Outline}, {left.Back, right.Back}} {
		for _, p := range face[0] {
			found := false
			for _, q := range face[1] {
				found = found || math.Abs(p[0]+q[0]) < 1e-6 && math.Abs(p[1]-q[1]) < 1e-6
			}
			if !found {
				t.Errorf("corner %v of the left hand has no image in %v", p, face[1])
			}
		}
		if signed(face[0]) <= 0 || signed(face[1]) <= 0 {
			t.Error("an outline is not counter-clockwise")
		}
		near(t, "mirrored area", signed(face[1]), signed(face[0]), 1e-6)
	}
}

// signed is the area of a polygon (shoelace formula), above 0 if its corners are counter-clockwise.
func signed(p [][2]float64) float64 {
	sum := 0.0
	for i := range p {
		q := p[(i+1)%len(p)]
		sum += p[i][0]*q[1] - q[0]*p[i][1]
	}
	return sum / 2
}

// TestConeUnrollsAsSheetMetalLayoutSays: radial-line development of sheet-metal handbooks; closure: the
// arcs are as long as the rims.
func TestConeUnrollsAsSheetMetalLayoutSays(t *testing.T) {
	dir := unpack(t, "rolled")
	near(t, "slant", asked(t, dir, "roof.slant", "mm"), 93.4077, 5e-5)
	near(t, "outer radius", asked(t, dir, "roof.outer", "mm"), 224.1785, 5e-5)
	near(t, "inner radius", asked(t, dir, "roof.inner", "mm"), 130.7708, 5e-5)
	near(t, "sector", asked(t, dir, "roof.turn", "deg"), 96.3518, 5e-5)
	cone := rowsOf(t, dir)["cone"]
	for _, e := range cone.Edges {
		want := map[string]float64{"outer": 2 * math.Pi * 60, "inner": 2 * math.Pi * 35, "start": 93.4077, "end": 93.4077}[e.Name]
		near(t, e.Name, e.Length, want, 5e-5)
	}
	// Lateral surface of a frustum: π·(R + r)·s. The flattened outline lies within 0.01 mm of the true one.
	near(t, "area", cone.Area, math.Pi*(60+35)*math.Hypot(90, 25), 1e-3)
	near(t, "area of the flattened outline", signed(cone.Outline), cone.Area, 0.01*2*math.Pi*95)
}

// TestRolledKindsAreThoseOfTheHandbook: the same frustum by the kind that rolls it; and the bend allowance
// of sheet-metal handbooks with K = 0.5, flat length = π·(inside + 2·k·t).
func TestRolledKindsAreThoseOfTheHandbook(t *testing.T) {
	dir := unpack(t, "rolled")
	near(t, "slant", asked(t, dir, "bench.roof.slant", "mm"), 93.4077, 5e-5)
	near(t, "sector", asked(t, dir, "bench.roof.sector", "deg"), 96.3518, 5e-5)
	near(t, "outer radius", asked(t, dir, "bench.roof.outer_radius", "mm"), 224.1785, 5e-5)
	near(t, "inner radius", asked(t, dir, "bench.roof.inner_radius", "mm"), 130.7708, 5e-5)
	near(t, "flat length", asked(t, dir, "bench.arm.flat", "mm"), math.Pi*110, 1e-9)
	// A sphere of r 100 mm: its zones have the area 2π·r·h (Archimedes).
	near(t, "meridian", asked(t, dir, "bench.cap.meridian", "mm"), 50*math.Pi, 1e-9)
	near(t, "gores", 8*asked(t, dir, "bench.cap.area", "mm^2"), 2*math.Pi*100*100, 5)
	// Triangulation: true length = √(plan² + height²).
	near(t, "seam", asked(t, dir, "bench.neck.seam", "mm"), math.Hypot(40, 150), 1e-9)
	near(t, "mitre", asked(t, dir, "bench.bend.mitre", "deg"), 45, 1e-9)
	rows := rowsOf(t, dir)
	// Parallel-line development of a two-piece 90° elbow: y = r·cos θ over x = r·θ.
	for _, p := range rows["bench.bend.p1"].Outline {
		if p[1] != 0 {
			near(t, "cut line", p[1], 60+20-40*math.Cos(p[0]/40), 0.01)
		}
	}
	// Gore: half-width (π·r/n)·cos φ along arc length r·φ.
	for _, p := range rows["bench.cap"].Outline {
		near(t, "half-width", math.Abs(p[0]), math.Pi*100/8*math.Cos(p[1]/100), 0.01)
	}
	for key, want := range map[string]map[string]float64{
		"roof": {"bottom": 2 * math.Pi * 60, "top": 2 * math.Pi * 35, "start": 93.4077, "end": 93.4077},
		"arm":  {"bottom": math.Pi * 110, "top": math.Pi * 110, "start": 300, "end": 300},
	} {
		for _, e := range rows["bench."+key].Edges {
			near(t, key+" "+e.Name, e.Length, want[e.Name], 5e-5)
		}
	}
}

// TestUnitsAreExact: NIST SP 811, appendix B.
func TestUnitsAreExact(t *testing.T) {
	dir := journalOf(t, "")
	for _, row := range []struct {
		text string
		want float64
		unit string
	}{
		{"1 in", 25.4, "mm"}, {"1 ft", 304.8, "mm"}, {"1 yd", 914.4, "mm"},
		{"1 lb", 453.59237, "g"}, {"1 oz", 28.349523125, "g"},
		{"1 gal", 3785411.784, "mm^3"}, {"1 floz", 29573.5295625, "mm^3"},
		{"5' 10\"", 1778, "mm"}, {"3 3/8 in", 85.725, "mm"},
	} {
		got := asked(t, dir, row.text, row.unit)
		near(t, row.text, got, row.want, row.want*1e-14)
	}
	near(t, "1 lb/ft^3", asked(t, dir, "1 lb/ft^3", "g/mm^3")*1e6, 16.01846337, 5e-9)
}

// TestDoorIsNamedInBothUnits: 32 in (815 mm) clear, 2010 ADA Standards, 404.2.3.
func TestDoorIsNamedInBothUnits(t *testing.T) {
	near(t, "a door", asked(t, journalOf(t, ""), "round(32 in, 5 mm)", "mm"), 815, 1e-9)
}
