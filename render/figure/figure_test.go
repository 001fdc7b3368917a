package figure

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/shape"
)

var update = flag.Bool("update", false, "write the golden files anew")

func polygon(names string, points ...r2.Vec) shape.Outline {
	o := shape.Outline{Start: points[0]}
	for i, name := range strings.Fields(names) {
		o.Edges = append(o.Edges, shape.Edge{Name: name, Segs: []shape.Seg{{End: points[(i+1)%len(points)]}}})
	}
	return o
}

func circle(x, y, r float64) shape.Outline {
	start := r2.Vec{X: x + r, Y: y}
	return shape.Outline{Start: start, Edges: []shape.Edge{{Name: "rim", Segs: []shape.Seg{
		{Kind: shape.Arc, End: r2.Vec{X: x - r, Y: y}, Bulge: 1}, {Kind: shape.Arc, End: start, Bulge: 1}}}}}
}

// flatPattern is an ordinary figure of a panel: a tapered tower side with a window and its dimensions.
func flatPattern() draw.Drawing {
	show := polygon("foot right top left", r2.Vec{}, r2.Vec{X: 155}, r2.Vec{X: 150, Y: 90}, r2.Vec{X: 5, Y: 90})
	back := polygon("foot right top left", r2.Vec{X: 7, Y: 0}, r2.Vec{X: 148}, r2.Vec{X: 143.2, Y: 87}, r2.Vec{X: 11.8, Y: 87})
	d := draw.Drawing{Title: "tower side", Desc: "Flat pattern, seen from outside; the dashed back face is smaller at three edges."}
	d.Add(
		draw.Area{Role: draw.Cut, Outline: show, Holes: []shape.Outline{circle(40, 45, 12)}, Fill: true},
		draw.Area{Role: draw.Back, Outline: back},
		draw.Point{Role: draw.Drill, At: r2.Vec{X: 40, Y: 45}},
		draw.Stroke{Role: draw.Centre, Path: shape.Path{Start: r2.Vec{X: 77.5, Y: -4}, Segs: []shape.Seg{{End: r2.Vec{X: 77.5, Y: 94}}}}},
		draw.Label{Role: draw.Name, At: r2.Vec{X: 100, Y: 50}, Text: "tower side", Size: 1.3},
		draw.Label{Role: draw.Note, At: r2.Vec{X: 77.5, Y: 8}, Text: "foot 0°"},
		draw.Label{Role: draw.Note, At: r2.Vec{X: 143, Y: 45}, Text: "right 35°", Angle: -1.515},
		draw.Label{Role: draw.Accent, At: r2.Vec{X: 77.5, Y: 80}, Text: "top 17°"},
		draw.Dimension{A: r2.Vec{}, B: r2.Vec{X: 155}, Off: -14, Text: "155 mm"},
		draw.Dimension{A: r2.Vec{X: 5, Y: 90}, B: r2.Vec{X: 150, Y: 90}, Off: 12, Text: "145 mm"},
		draw.Dimension{A: r2.Vec{X: 155}, B: r2.Vec{X: 155, Y: 90}, Off: -12, Text: "90 mm"},
		draw.Dimension{A: r2.Vec{}, B: r2.Vec{X: 7}, Off: -5, Text: "7 mm"},
	)
	return d
}

// bevelSection is a corner of two panels cut at a mitre, with hatching and an angle.
func bevelSection() draw.Drawing {
	a := polygon("show cut back end", r2.Vec{X: -60}, r2.Vec{}, r2.Vec{X: -7, Y: -10}, r2.Vec{X: -60, Y: -10})
	b := polygon("show end back cut", r2.Vec{}, r2.Vec{X: 42, Y: -42.4}, r2.Vec{X: 35, Y: -49.5}, r2.Vec{X: -7, Y: -10})
	d := draw.Drawing{Title: "bevel at the corner <left & right>", Desc: "Two sheets meet at 134°; each is cut at 23°."}
	d.Add(
		draw.Area{Role: draw.Body, Outline: a, Fill: true},
		draw.Area{Role: draw.Hatch, Outline: a, Hatch: math.Pi / 4},
		draw.Area{Role: draw.Body2, Outline: b, Fill: true},
		draw.Area{Role: draw.Hatch, Outline: b, Hatch: -math.Pi / 4},
		draw.Angle{At: r2.Vec{X: -7, Y: -10}, Radius: 22, From: math.Pi, To: math.Pi * 7 / 4, Text: "δ 134°"},
		draw.Label{Role: draw.Wearer, At: r2.Vec{X: -40, Y: -45}, Text: "wearer's side"},
		draw.Dimension{A: r2.Vec{X: -60, Y: -10}, B: r2.Vec{X: -60}, Off: 4, Text: "10 mm"},
	)
	return d
}

func TestFiguresAreTheGoldenOnes(t *testing.T) {
	for name, svg := range map[string][]byte{
		"flat-pattern": SVG(flatPattern(), Options{ID: "p1"}),
		"section":      SVG(bevelSection(), Options{ID: "p2", Standalone: true}),
		"thumbnail":    SVG(flatPattern(), Options{ID: "p3", Bare: true}),
	} {
		file := filepath.Join("testdata", name+".svg")
		// One element a line, so that a change can be read.
		got := bytes.ReplaceAll(svg, []byte("><"), []byte(">\n<"))
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from %s (renew with -update):\n%s", name, file, got)
		}
	}
}

func TestAnyTextGivesWellFormedXML(t *testing.T) {
	for _, words := range []string{`a<b>&"c"`, "\x00\x1f\xff", "\uFFFE", "löten ½ δ", "</text><script>"} {
		d := draw.Drawing{Title: words, Desc: words}
		d.Add(draw.Label{Role: draw.Role(words), Text: words})
		svg := SVG(d, Options{ID: words})
		dec := xml.NewDecoder(bytes.NewReader(svg))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%q: %v\n%s", words, err, svg)
			}
			if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "script" {
				t.Errorf("%q opens an element:\n%s", words, svg)
			}
		}
	}
}

func TestNumbersThatAreNotFiniteStayOutOfTheFigure(t *testing.T) {
	d := flatPattern()
	d.Add(draw.Label{Text: "lost", At: r2.Vec{X: math.NaN(), Y: math.Inf(1)}},
		draw.Stroke{Role: draw.Cut, Path: shape.Path{Segs: []shape.Seg{{Kind: shape.Arc, Bulge: math.Inf(1)}, {End: r2.Vec{X: math.NaN()}}}}})
	if svg := string(SVG(d, Options{})); strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
		t.Error(svg)
	}
}

func TestFacesOfOneShadeShareAPath(t *testing.T) {
	var d draw.Drawing
	square := func(x float64) shape.Outline {
		return polygon("a b c d", r2.Vec{X: x}, r2.Vec{X: x + 10}, r2.Vec{X: x + 10, Y: 10}, r2.Vec{X: x, Y: 10})
	}
	for i, role := range []draw.Role{draw.Shades[0], draw.Shades[0], draw.Shades[4], draw.Cut} {
		d.Add(draw.Area{Role: role, Outline: square(10 * float64(i)), Fill: i < 3})
	}
	d.Box, d.Em = r2.Box{Max: r2.Vec{X: 200, Y: 100}}, 1
	svg := string(SVG(d, Options{}))
	for _, want := range []string{
		`<path class="f-shade1" d="M0 0l10 0l0 -10l-10 0ZM10 0l10 0l0 -10l-10 0Z"/>`,
		`<path class="f-shade5" d="M20 0l10 0l0 -10l-10 0Z"/>`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %s in\n%s", want, svg)
		}
	}
	for _, s := range draw.Shades {
		if !strings.Contains(Style, ".f-"+string(s)+"{fill:var(--"+string(s)+")") || !strings.Contains(Style, "--fig-"+string(s)+",") {
			t.Errorf("the style has no rule for %s", s)
		}
	}
}

func TestArcTurnsTheWayOfItsBulge(t *testing.T) {
	// Counter-clockwise half circle over the top, from right to left: with y down SVG's sweep flag is 0.
	d := draw.Drawing{Box: r2.Box{Min: r2.Vec{X: -10, Y: -10}, Max: r2.Vec{X: 10, Y: 10}}, Em: 1}
	d.Add(draw.Stroke{Role: draw.Cut, Path: shape.Path{Start: r2.Vec{X: 5}, Segs: []shape.Seg{{Kind: shape.Arc, End: r2.Vec{X: -5}, Bulge: 1}}}})
	if svg := string(SVG(d, Options{})); !strings.Contains(svg, `d="M5 0A5 5 0 0 0 -5 0"`) {
		t.Error(svg)
	}
}

func BenchmarkPanelFigure(b *testing.B) {
	d := flatPattern()
	draw.Fit(&d, 1)
	b.ReportAllocs()
	for b.Loop() {
		SVG(d, Options{ID: "p1"})
	}
}

func BenchmarkFit(b *testing.B) {
	d := flatPattern()
	b.ReportAllocs()
	for b.Loop() {
		e := d
		draw.Fit(&e, 1)
	}
}
