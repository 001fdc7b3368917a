package main

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A plate with all that an outline can have: straight edges, a true arc, a curve, a round hole and a bevel.
// It is not its own mirror image, so it has hands.
const plate = "```panel plate\n" +
	"outline: path((0 mm, 0 mm), (160 mm, 0 mm), (170 mm, 60 mm), arc(to: (110 mm, 110 mm), bulge: 0.3), curve(c1: (80 mm, 130 mm), c2: (30 mm, 100 mm), to: (0 mm, 60 mm)))\n" +
	"thickness: 10 mm\nbevel e1: 30 deg\nhole pivot: circle(diameter: 12 mm, at: (40 mm, 40 mm))\nhand: pair\n```\n"

// cutHands plots the plate's hands in a format, and returns the two files, left and right.
func cutHands(t *testing.T, format string) (dir string, files [2]string) {
	t.Helper()
	dir = journalOf(t, plate)
	for i, hand := range hands {
		out := t.TempDir()
		bevelbook(t, "plot", dir, "--as", format, "--hand", hand, "--out", out)
		list, err := filepath.Glob(filepath.Join(out, "*."+format))
		if err != nil || len(list) != 1 {
			t.Fatalf("%v, %v", list, err)
		}
		files[i] = list[0]
	}
	return dir, files
}

// mirrored fails unless the two sets of points, each counted from its own box, are mirror images
// within a tolerance in mm.
func mirrored(t *testing.T, what string, left, right [][2]float64, within float64) {
	t.Helper()
	if len(left) < 8 || len(left) != len(right) {
		t.Fatalf("%s: %d points left, %d right", what, len(left), len(right))
	}
	flip := func(p [][2]float64, sign float64) [][2]float64 {
		out := make([][2]float64, len(p))
		for i := range p {
			out[i] = [2]float64{sign * p[i][0], p[i][1]}
		}
		low := [2]float64{math.Inf(1), math.Inf(1)}
		for _, q := range out {
			low[0], low[1] = min(low[0], q[0]), min(low[1], q[1])
		}
		for i := range out {
			out[i][0], out[i][1] = out[i][0]-low[0], out[i][1]-low[1]
		}
		return out
	}
	a, b := flip(left, 1), flip(right, -1)
	for _, p := range a {
		if !slices.ContainsFunc(b, func(q [2]float64) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) <= within }) {
			t.Errorf("%s: %.4f of the left hand has no image", what, p)
		}
	}
	if slices.ContainsFunc(flip(left, -1), func(p [2]float64) bool {
		return !slices.ContainsFunc(a, func(q [2]float64) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) <= within })
	}) {
		return
	}
	t.Errorf("%s: the plate is its own mirror image, so this says nothing", what)
}

var numbers = regexp.MustCompile(`-?[0-9]*\.?[0-9]+(?:e-?[0-9]+)?`)

// points are the corners and control points of SVG path data with absolute commands.
func points(t *testing.T, data string) (list [][2]float64) {
	t.Helper()
	for _, run := range regexp.MustCompile(`[A-Za-z][^A-Za-z]*`).FindAllString(data, -1) {
		var v []float64
		for _, n := range numbers.FindAllString(run[1:], -1) {
			f, err := strconv.ParseFloat(n, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, f)
		}
		switch run[0] {
		case 'A': // radii, turn and flags come before the end point
			for ; len(v) >= 7; v = v[7:] {
				list = append(list, [2]float64{v[5], v[6]})
			}
		case 'M', 'L', 'C':
			for ; len(v) >= 2; v = v[2:] {
				list = append(list, [2]float64{v[0], v[1]})
			}
		case 'Z':
		default:
			t.Fatalf("unknown command %c in %.80s", run[0], data)
		}
	}
	return list
}

// cutPaths are the points of the group "cut" of a template in SVG.
func cutPaths(t *testing.T, file string) (list [][2]float64) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Groups []struct {
			ID    string `xml:"id,attr"`
			Paths []struct {
				D string `xml:"d,attr"`
			} `xml:"path"`
		} `xml:"g"`
	}
	if err := xml.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	for _, g := range doc.Groups {
		for _, p := range g.Paths {
			if g.ID == "cut" {
				list = append(list, points(t, p.D)...)
			}
		}
	}
	return list
}

// printedPaths are the points of what is drawn with the pen of cut lines, 0.5 mm wide, on the last page
// of a PDF, in mm, as poppler reads it.
func printedPaths(t *testing.T, file string) (list [][2]float64) {
	t.Helper()
	needs(t, "pdftocairo", "poppler-utils")
	data, err := exec.Command("pdftocairo", "-svg", "-f", "2", "-l", "2", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	const mm = 25.4 / 72
	path := regexp.MustCompile(`<path style="fill:none;stroke-width:([0-9.]+);[^"]*" d="([^"]*)" transform="matrix\(([^)]*)\)"`)
	for _, m := range path.FindAllStringSubmatch(string(data), -1) {
		width, _ := strconv.ParseFloat(m[1], 64)
		var k [6]float64
		for i, n := range numbers.FindAllString(m[3], -1) {
			k[i], _ = strconv.ParseFloat(n, 64)
		}
		if math.Abs(width*mm-0.5) > 0.01 {
			continue
		}
		for _, p := range points(t, m[2]) {
			list = append(list, [2]float64{(k[0]*p[0] + k[2]*p[1] + k[4]) * mm, (k[1]*p[0] + k[3]*p[1] + k[5]) * mm})
		}
	}
	return list
}

// TestHandsAreMirrorImagesInAllThreeFormats: each format read back by something outside: SVG as XML, PDF
// by poppler, DXF by ezdxf.
func TestHandsAreMirrorImagesInAllThreeFormats(t *testing.T) {
	_, svg := cutHands(t, "svg")
	mirrored(t, "SVG", cutPaths(t, svg[0]), cutPaths(t, svg[1]), 2e-4)
	_, pdf := cutHands(t, "pdf")
	mirrored(t, "PDF", printedPaths(t, pdf[0]), printedPaths(t, pdf[1]), 0.02)
	_, dxf := cutHands(t, "dxf")
	mirrored(t, "DXF", readDXF(t, dxf[0]).Points, readDXF(t, dxf[1]).Points, 1e-5)
}

// cutDXF is what ezdxf finds on the layer CUT.
type cutDXF struct {
	Errors, Open int
	Areas        []float64 // of each closed polyline, its arcs counted as arcs
	Arcs         int
	Points       [][2]float64
}

// areas of polylines: the shoelace formula, and for each bulge b = tan(θ/4) on a chord c the segment
// r²(θ − sin θ)/2 with r = c(1 + b²)/4b.
const areaScript = `
import sys, json, math, ezdxf
d = ezdxf.readfile(sys.argv[1])
out = dict(Errors=len(d.audit().errors), Open=0, Areas=[], Arcs=0, Points=[])
for e in d.modelspace().query('LWPOLYLINE[layer=="CUT"]'):
    out["Open"] += not e.closed
    p = list(e.get_points("xyb"))
    area = 0
    for (x0, y0, b), (x1, y1, _) in zip(p, p[1:] + p[:1]):
        area += (x0 * y1 - x1 * y0) / 2
        if b:
            out["Arcs"] += 1
            c, turn = math.hypot(x1 - x0, y1 - y0), 4 * math.atan(b)
            r = c * (1 + b * b) / (4 * b)
            area += r * r * (turn - math.sin(turn)) / 2
    out["Areas"].append(abs(area))
    out["Points"] += [(x, y) for x, y, _ in p]
print(json.dumps(out))
`

func readDXF(t *testing.T, file string) (d cutDXF) {
	t.Helper()
	python := "/usr/bin/python3" // where distributions put the module
	if exec.Command(python, "-c", "import ezdxf").Run() != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("python3-ezdxf is missing")
		}
		t.Skip("python3-ezdxf is not installed")
	}
	out, err := exec.Command(python, "-c", areaScript, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out, &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// TestAreasInDXFAreThoseOfTheLedger: ezdxf reads the file without a complaint; outline less hole is the
// ledger's area. A plate of lines and arcs is exact; a Bézier curve is written as steps.
func TestAreasInDXFAreThoseOfTheLedger(t *testing.T) {
	for name, c := range map[string]struct {
		outline string
		arcs    int
		within  float64
	}{
		"straight": {"trapezoid(long: 155 mm, short: 121 mm, height: 90 mm, shift: 12 mm)", 2, 1e-6},
		"arcs":     {"fillet(trapezoid(long: 155 mm, short: 121 mm, height: 90 mm, shift: 12 mm), radius: 14 mm)", 6, 1e-6},
		"sector":   {"sector(outer: 200 mm, inner: 110 mm, angle: 100 deg)", 4, 1e-6},
	} {
		hole := "circle(diameter: 12 mm, at: (70 mm, 45 mm))"
		if name == "sector" {
			hole = "circle(diameter: 12 mm, at: (100 mm, 118 mm))"
		}
		dir := journalOf(t, "```panel plate\noutline: "+c.outline+"\nthickness: 10 mm\nhole pivot: "+hole+"\n```\n")
		bevelbook(t, "plot", dir, "--as", "dxf", "--out", dir)
		d := readDXF(t, filepath.Join(dir, "loose-parts.dxf"))
		if d.Errors != 0 || d.Open != 0 || len(d.Areas) != 2 || d.Arcs != c.arcs {
			t.Fatalf("%s: %d errors, %d open lines, %d outlines, %d arcs (want %d)", name, d.Errors, d.Open, len(d.Areas), d.Arcs, c.arcs)
		}
		near(t, name+": area in the DXF", d.Areas[0]-d.Areas[1], rowsOf(t, dir)["plate"].Area, c.within)
	}
}

// TestSVGHasItsSizeInABrowser: CSS Values and Units 3, 6.2: 1 px is 1/96 in, so 1 mm is 96/25.4 px.
func TestSVGHasItsSizeInABrowser(t *testing.T) {
	needs(t, "chromium", "chromium")
	dir := journalOf(t, fmt.Sprintf(onePanel, 120, 80))
	bevelbook(t, "plot", dir, "--as", "svg", "--out", dir)
	svg, err := os.ReadFile(filepath.Join(dir, "loose-parts.svg"))
	if err != nil {
		t.Fatal(err)
	}
	const look = `<script>
const s = document.querySelector("svg"), p = document.querySelector("#cut path"), b = p.getBBox(), k = p.getScreenCTM();
document.title = [s.getBoundingClientRect().width / s.viewBox.baseVal.width, b.width * k.a, b.height * k.d].join(" ");
</script>`
	page := filepath.Join(dir, "look.html")
	if err := os.WriteFile(page, append(append([]byte("<!doctype html><body>"), svg...), look...), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run",
		"--user-data-dir="+t.TempDir(), "--dump-dom", "file://"+page).Output()
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`<title>([0-9.]+) ([0-9.]+) ([0-9.]+)</title>`).FindSubmatch(out)
	if m == nil {
		t.Fatalf("the browser says nothing: %.300s", out)
	}
	for i, want := range []float64{96 / 25.4, 120 * 96 / 25.4, 80 * 96 / 25.4} {
		got, _ := strconv.ParseFloat(string(m[i+1]), 64)
		near(t, []string{"px a mm", "the panel's width in px", "the panel's height in px"}[i], got, want, 0.02)
	}
}

// registerMarks finds the crossed circles between two columns of a page, in mm from its top left: places
// where both diagonals and the circle are dark. It knows how a mark looks, not where it stands.
func registerMarks(page *image.Gray, from, to float64) (marks [][2]float64) {
	const arm, radius = 4.0, 2.0
	var sample [][2]int
	for d := 0.5; d < arm-0.2; d += dot {
		if math.Abs(math.Sqrt2*d-radius) < 0.3 {
			continue
		}
		for _, s := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			sample = append(sample, [2]int{int(math.Round(s[0] * d / dot)), int(math.Round(s[1] * d / dot))})
		}
	}
	for turn := 0.0; turn < 2*math.Pi; turn += 0.05 {
		sin, cos := math.Sincos(turn)
		sample = append(sample, [2]int{int(math.Round(radius * cos / dot)), int(math.Round(radius * sin / dot))})
	}
	b := page.Bounds()
	edge := int(math.Ceil((arm + 1) / dot))
	score := func(x, y int) float64 {
		n := 0
		for _, s := range sample {
			// A line is about two dots wide: its neighbours count too.
			for _, k := range []int{0, -1, 1} {
				if page.Pix[(y+s[1])*page.Stride+x+s[0]+k] < 160 {
					n++
					break
				}
			}
		}
		return float64(n) / float64(len(sample))
	}
	for y := edge; y < b.Dy()-edge; y++ {
		for x := max(edge, int(from/dot)); x < min(b.Dx()-edge, int(to/dot)); x++ {
			if page.Pix[y*page.Stride+x] >= 200 || score(x, y) < 0.93 {
				continue
			}
			// The middle of all good places nearby.
			var sx, sy, n float64
			for v := y - 4; v <= y+4; v++ {
				for u := x - 4; u <= x+4; u++ {
					if w := score(u, v); w >= 0.93 {
						sx, sy, n = sx+float64(u)+0.5, sy+float64(v)+0.5, n+1
					}
				}
			}
			at := [2]float64{sx / n * dot, sy / n * dot}
			if !slices.ContainsFunc(marks, func(m [2]float64) bool { return math.Hypot(m[0]-at[0], m[1]-at[1]) < 2 }) {
				marks = append(marks, at)
			}
		}
	}
	return marks
}

// TestTilesLaidOnTheirRegisterMarksMeasureTrue prints a panel over two sheets, finds the marks that come to
// lie on each other, and measures the panel across the seam.
func TestTilesLaidOnTheirRegisterMarksMeasureTrue(t *testing.T) {
	const width, height = 400, 120
	for _, paper := range []string{"a4", "letter"} {
		file := plotted(t, paper, width, height)
		first, second := scanned(t, file, 2), scanned(t, file, 3)
		wide := float64(first.Bounds().Dx()) * dot
		a, b := registerMarks(first, wide-30, wide), registerMarks(second, 0, 30)
		if len(a) != 2 || len(b) != 2 {
			t.Fatalf("%s: marks %.3f and %.3f: not two on each sheet", paper, a, b)
		}
		for i := range a {
			near(t, paper+": level of a mark", a[i][1], b[i][1], 0.1)
		}
		left, right := upright(first, height), upright(second, height)
		if len(left) == 0 || len(right) == 0 {
			t.Fatalf("%s: sides of the panel: %.3f, %.3f", paper, left, right)
		}
		across := (a[0][0]+a[1][0])/2 - left[0][0] + right[len(right)-1][0] - (b[0][0]+b[1][0])/2
		near(t, paper+": width over both sheets", across, width, 0.1)
	}
}

// BenchmarkPlot plots many small pieces, the command as a whole; the time is to grow with their number.
//
//	go test -run '^$' -bench Plot -benchtime 3x ./cmd/bevelbook
func BenchmarkPlot(b *testing.B) {
	for _, n := range []int{125, 500, 2000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			var text strings.Builder
			for i := range n {
				fmt.Fprintf(&text, "```panel p%d\noutline: trapezoid(long: %d mm, short: %d mm, height: %d mm, shift: 7 mm)\nthickness: 10 mm\nbevel long: 30 deg\n```\n\n", i, 80+i%90, 50+i%40, 40+i%70)
			}
			dir := b.TempDir()
			for page := 0; page*100 < n; page++ { // a page has its limits
				blocks := strings.SplitAfter(text.String(), "```\n\n")
				part := strings.Join(blocks[page*100:min(len(blocks), page*100+100)], "")
				if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("p%d.md", page)), []byte(part), 0o644); err != nil {
					b.Fatal(err)
				}
			}
			if err := os.WriteFile(filepath.Join(dir, "journal.md"), []byte("---\ntitle: Many\n---\n"), 0o644); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				bevelbook(b, "plot", dir, "--as", "pdf,svg,dxf", "--out", b.TempDir())
			}
		})
	}
}
