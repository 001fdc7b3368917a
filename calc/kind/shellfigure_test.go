package kind

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
	"bevelbook/render/figure"
)

// laid lays corners in space into the plane of others, the first of those in the origin.
func laid(points, plane []r3.Vec) shape.Outline {
	u := r3.Unit(r3.Sub(plane[1], plane[0]))
	n := r3.Unit(r3.Cross(u, r3.Sub(plane[2], plane[0])))
	v := r3.Cross(n, u)
	at := func(p r3.Vec) r2.Vec {
		q := r3.Sub(p, plane[0])
		return r2.Vec{X: r3.Dot(q, u), Y: r3.Dot(q, v)}
	}
	o := shape.Outline{Start: at(points[0])}
	for i := range points {
		o.Edges = append(o.Edges, shape.Edge{Name: []string{"bottom", "right", "top", "left"}[i], Segs: []shape.Seg{{End: at(points[(i+1)%len(points)])}}})
	}
	return o
}

// facetedPanels are the panels of a shell of revolution with n sides, through rings of radii at heights,
// counted by rows, walls mitred; a radius of 0 is a tip.
func facetedPanels(n int, wall float64, radii, heights []float64) (panels []shellPanel, seams []shellSeam) {
	at := func(i int, r, z float64) r3.Vec {
		sin, cos := math.Sincos(2*math.Pi*(float64(i)-0.5)/float64(n) - math.Pi/2)
		return r3.Vec{X: r * cos, Y: r * sin, Z: z}
	}
	thick := wall / math.Cos(math.Pi/float64(n))
	letter := func(k int) string { return fmt.Sprintf("%c%s", 'A'+k%26, strings.Repeat("'", k/26)) }
	for row := range len(radii) - 1 {
		for i := range n {
			face := func(less float64) []r3.Vec {
				low, high := math.Max(0, radii[row]-less), math.Max(0, radii[row+1]-less)
				q := []r3.Vec{at(i, low, heights[row]), at(i+1, low, heights[row])}
				if radii[row+1] == 0 {
					return append(q, at(0, 0, heights[row+1]-less))
				}
				return append(q, at(i+1, high, heights[row+1]), at(i, high, heights[row+1]))
			}
			s := solid.Slab{Show: face(0), Back: face(thick)}
			p := &part.Part{Show: laid(s.Show, s.Show), Back: laid(s.Back, s.Show)}
			for k, l := range p.Show.EdgeLengths() {
				p.Edges = append(p.Edges, part.Edge{Name: p.Show.Edges[k].Name, Length: l, Bevel: 0.1})
			}
			p.Area = p.Show.Area()
			panels = append(panels, shellPanel{fmt.Sprintf("side%d", len(panels)+1), s, []int{0, 1, 2, 3}[:len(p.Edges)], p})
		}
	}
	meet := func(a, b [2]int) {
		l := letter(len(seams))
		panels[a[0]].part.Edges[a[1]].Letter, panels[b[0]].part.Edges[b[1]].Letter = l, l
		seams = append(seams, shellSeam{a, b, l})
	}
	for k := range panels {
		row, i := k/n, k%n
		meet([2]int{k, 1}, [2]int{row*n + (i+1)%n, len(panels[k].part.Edges) - 1})
		if row > 0 {
			meet([2]int{k - n, 2}, [2]int{k, 0})
		}
	}
	return panels, seams
}

// example is a shell with its figures drawn.
type example struct {
	panels []shellPanel
	seams  []shellSeam
	*Bench
}

func examples() map[string]example {
	list := map[string]example{}
	add := func(name string, n int, wall float64, radii, heights []float64) {
		panels, seams := facetedPanels(n, wall, radii, heights)
		b := &Bench{Name: name, Out: &Output{}}
		b.shellFigures(panels, seams)
		list[name] = example{panels, seams, b}
	}
	add("crate", 4, 10, []float64{90, 90}, []float64{0, 90})
	add("ring", 8, 10, []float64{90, 90}, []float64{0, 60})
	add("deck", 12, 8, []float64{150, 130}, []float64{0, 40})
	add("tower", 6, 10, []float64{120, 70}, []float64{0, 300})
	add("roof", 6, 6, []float64{130, 0}, []float64{0, 120})
	add("vase", 5, 8, []float64{60, 100, 80, 95}, []float64{0, 70, 150, 190})
	add("pin", 3, 3, []float64{9, 7}, []float64{0, 400})
	return list
}

// words are the labels of a drawing, those of its dimensions too, with their boxes a little smaller
// than the air around them.
func words(d draw.Drawing) (texts []string, boxes [][4]r2.Vec) {
	add := func(l draw.Label) {
		if l.Text != "" {
			texts, boxes = append(texts, l.Text), append(boxes, l.Corners(0.9*d.Em))
		}
	}
	for _, it := range d.Items {
		switch it := it.(type) {
		case draw.Label:
			add(it)
		case draw.Dimension:
			_, l := it.Drawn(d.Em)
			add(l)
		}
	}
	return texts, boxes
}

func TestWordsOfShellFiguresStandClearOfEachOtherAndOfTheLines(t *testing.T) {
	for name, e := range examples() {
		for _, d := range e.Out.Drawings {
			texts, boxes := words(d)
			for i := range boxes {
				for k := range i {
					if draw.Overlap(boxes[i], boxes[k]) {
						t.Errorf("%s: %q lies on %q", d.Title, texts[i], texts[k])
					}
				}
				for _, it := range d.Items {
					if s, ok := it.(draw.Stroke); ok && s.Role != draw.Dim && s.Role != draw.Centre && crossed(s.Path, boxes[i], d.Em) {
						t.Errorf("%s: %q lies on a line", d.Title, texts[i])
						break
					}
				}
			}
			if d.Em < 0.88*draw.ReadableEm(d.Box) {
				t.Errorf("%s, %s: lettering of %.2f in a box that wants %.2f", name, d.Title, d.Em, draw.ReadableEm(d.Box))
			}
		}
	}
}

func crossed(p shape.Path, box [4]r2.Vec, em float64) bool {
	from := p.Start
	for _, s := range p.Segs {
		if draw.Overlap(box, thinBox(from, s.End, 1e-3*em)) {
			return true
		}
		from = s.End
	}
	return false
}

func TestFlatFigureLettersBothEdgesOfEachSeam(t *testing.T) {
	for name, e := range examples() {
		count := map[string]int{}
		for _, d := range e.Out.Drawings {
			if strings.Contains(d.Title, "laid flat") {
				texts, _ := words(d)
				for _, w := range texts {
					count[w]++
				}
			}
		}
		for _, s := range e.seams {
			if count[s.letter] != 2 {
				t.Errorf("%s: %s stands %d times on the flat panels, want 2", name, s.letter, count[s.letter])
			}
		}
		for _, p := range e.panels {
			if count[p.name] != 1 {
				t.Errorf("%s: %s is named %d times on the flat panels", name, p.name, count[p.name])
			}
		}
	}
}

func TestEachPanelThatShowsIsNamedOnceInThePicture(t *testing.T) {
	for name, e := range examples() {
		for _, d := range e.Out.Drawings[:2] {
			texts, _ := words(d)
			for _, p := range e.panels {
				n := 0
				for _, w := range texts {
					if w == p.name {
						n++
					}
				}
				hidden := regexp.MustCompile(`\b` + p.name + `\b`).MatchString(d.Desc)
				if n > 1 || n == 1 && hidden {
					t.Errorf("%s, %s: %s is named %d times", name, d.Title, p.name, n)
				}
				if n == 0 && !hidden {
					t.Errorf("%s, %s: %s is not named, nor said to be hidden: %q", name, d.Title, p.name, d.Desc)
				}
			}
		}
	}
}

func TestPanelsTakenApartHideLittleOfEachOther(t *testing.T) {
	for name, e := range examples() {
		v := solid.Look(0.5, 0.45)
		_, p := apart(e.panels, v)
		shown, facing := 0.0, 0.0
		for f, w := range p.what {
			if w.Side < 0 {
				shown += p.area[f]
				facing += p.shell.Area(f) * math.Max(0, p.scene.Facing(f))
			}
		}
		if shown < 0.6*facing {
			t.Errorf("%s: only %.0f %% of the panels show", name, 100*shown/facing)
		}
	}
}

var update = flag.Bool("update", false, "write the golden files anew")

func TestShellFiguresAreTheGoldenOnes(t *testing.T) {
	list := examples()
	again := examples()
	for _, name := range []string{"ring", "roof"} {
		for i, d := range list[name].Out.Drawings {
			file := filepath.Join("testdata", fmt.Sprintf("shell-%s-%d.svg", name, i+1))
			opt := figure.Options{ID: name, Standalone: true}
			svg := figure.SVG(d, opt)
			if !bytes.Equal(svg, figure.SVG(again[name].Out.Drawings[i], opt)) {
				t.Errorf("%s: two runs differ", d.Title)
			}
			got := bytes.ReplaceAll(svg, []byte("><"), []byte(">\n<")) // one element a line
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
				t.Errorf("%s differs from %s (renew with -update)", d.Title, file)
			}
		}
	}
}

func TestManyPanelsAreDrawnWithoutWordsAndSaySo(t *testing.T) {
	for _, c := range []struct{ panels, drawings int }{{40, 6}, {41, 2}, {100, 2}, {101, 1}, {1000, 1}} {
		b := &Bench{Name: "pipe", Out: &Output{}}
		b.shellFigures(facetedPanels(c.panels, 1, []float64{90, 90}, []float64{0, 60}))
		if n := len(b.Out.Drawings); n != c.drawings {
			t.Errorf("%d panels: %d figures, want %d", c.panels, n, c.drawings)
		}
		for _, d := range b.Out.Drawings {
			texts, _ := words(d)
			if (len(texts) == 0) != (c.panels > 40) {
				t.Errorf("%d panels, %s: %d words", c.panels, d.Title, len(texts))
			}
			if c.panels > 40 && !strings.Contains(d.Desc, "their templates") {
				t.Errorf("%d panels: %q does not say that there are no names", c.panels, d.Desc)
			}
			if svg := figure.SVG(d, figure.Options{}); len(svg) > 220_000 {
				t.Errorf("%d panels, %s: %d bytes", c.panels, d.Title, len(svg))
			}
		}
	}
}

// A sphere of as many panels as a mesh may have.
func BenchmarkShellFigures(b *testing.B) {
	for _, n := range []int{5, 16, 32} {
		var radii, heights []float64
		for i := range n + 1 {
			sin, cos := math.Sincos(math.Pi * ((float64(i)+0.5)/float64(n+1) - 0.5))
			radii, heights = append(radii, 200*cos), append(heights, 200*sin)
		}
		panels, seams := facetedPanels(n, 2, radii, heights)
		b.Run(fmt.Sprint(len(panels)), func(b *testing.B) {
			size := 0
			for b.Loop() {
				bench := &Bench{Name: "ball", Out: &Output{}}
				bench.shellFigures(panels, seams)
				size = 0
				for _, d := range bench.Out.Drawings {
					size += len(figure.SVG(d, figure.Options{}))
				}
			}
			b.ReportMetric(float64(size), "SVG-bytes")
		})
	}
}
