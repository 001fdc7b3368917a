package kind

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/draw"
	"bevelbook/calc/eval"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/solid"
	"bevelbook/render/figure"
)

// example is a block that makes a shell, with its figures.
type example struct {
	parts   []part.Part
	seams   []part.Seam
	figures []draw.Drawing
}

// exampleSources are shells that are hard to letter: flat, slim, with many panels, with alike ones and not.
var exampleSources = map[string]string{
	"crate": "ring crate\nsides: 4\nside: 127 mm\nheight: 90 mm\nthickness: 10 mm\napart: yes",
	"ring":  "ring ring\nsides: 8\nside: 70 mm\nheight: 60 mm\nthickness: 10 mm",
	"gap":   "ring gap\nsides: 8\nside: 70 mm\nheight: 60 mm\nthickness: 10 mm\napart: yes\nopen: lid, floor, side1",
	"deck":  "ring deck\nsides: 12\ncorners: 300 mm\ntop: 260 mm\nheight: 40 mm\nthickness: 8 mm\napart: yes",
	"tower": "ring tower\nsides: 6\nside: 120 mm\ntop: 70 mm\nheight: 300 mm\nthickness: 10 mm\napart: yes",
	"roof":  "ring roof\nsides: 6\nside: 130 mm\ntop: 0 mm\nheight: 120 mm\nthickness: 6 mm\napart: yes",
	"drum":  "ring drum\nsides: 5\nside: 90 mm\ntop: 70 mm\nheight: 100 mm\nthickness: 10 mm\nopen: none\napart: yes",
	"lamp":  "ring lamp\nsides: 8\nside: 137 mm\nheight: 160 mm\nthickness: 10 mm\nhole side: circle(diameter: 60 mm, at: (68 mm, 100 mm)), polygon((40 mm, 40 mm), (97 mm, 40 mm), (68 mm, 62 mm))\nline side: path((10 mm, 30 mm), (127 mm, 30 mm))",
	"chest": "box chest\nwidth: 300 mm\ndepth: 200 mm\nheight: 150 mm\nthickness: 10 mm",
	"stand": "box stand\nwidth: 300 mm\ndepth: 200 mm\nheight: 350 mm\ntop_width: 240 mm\ntop_depth: 120 mm\nshift: (20 mm, 30 mm)\nthickness: 10 mm\nopen: lid\napart: yes",
	"tray":  "box tray\nwidth: 300 mm\ndepth: 200 mm\nheight: 90 mm\nthickness: 14 mm\ncorners: butt\nopen: lid",
	"arm":   "loft arm\nthickness: 6 mm\nstation low: rect(width: 160 mm, height: 120 mm), 0 mm\nstation mid: rect(width: 190 mm, height: 150 mm), 120 mm, (5 mm, 0 mm)\nstation high: rect(width: 120 mm, height: 90 mm), 260 mm",
	"twist": "loft twist\nthickness: 6 mm\nstation low: rect(width: 160 mm, height: 120 mm), 0 mm\nstation high: rotate(rect(width: 160 mm, height: 120 mm), 12 deg), 200 mm\nfold: rising",
	"room":  "ring room\nsides: 8\nside: 137 mm\nheight: 260 mm\nthickness: 10 mm\nhole side: polygon((25 mm, 40 mm), (112 mm, 40 mm), (112 mm, 180 mm), (68 mm, 220 mm), (25 mm, 180 mm))",
	"pin":   "ring pin\nsides: 3\nside: 18 mm\nheight: 400 mm\nthickness: 3 mm\napart: yes",
}

func examples(t *testing.T) map[string]example {
	t.Helper()
	list := map[string]example{}
	for name, src := range exampleSources {
		_, out, found := worked(t, src)
		for _, f := range found {
			t.Errorf("%s: %s", name, f.Message)
		}
		list[name] = example{out.Parts, out.Seams, out.Drawings}
	}
	return list
}

// called is a part's name in the figures.
func called(p part.Part) string {
	name := panelOf(p)
	if p.Count > 1 {
		name += fmt.Sprintf(" × %d", p.Count)
	}
	return name
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
	for _, e := range examples(t) {
		for _, d := range e.figures {
			clear(t, d)
			if d.Em < 0.88*draw.ReadableEm(d.Box) {
				t.Errorf("%s: lettering of %.2f in a box that wants %.2f", d.Title, d.Em, draw.ReadableEm(d.Box))
			}
		}
	}
}

// clear tells which words of a figure lie on each other, on a line, or outside of the box.
func clear(t *testing.T, d draw.Drawing) {
	t.Helper()
	texts, boxes := words(d)
	for i := range boxes {
		for k := range i {
			if draw.Overlap(boxes[i], boxes[k]) {
				t.Errorf("%s: %q lies on %q", d.Title, texts[i], texts[k])
			}
		}
		for _, c := range boxes[i] {
			if !(c.X > d.Box.Min.X && c.X < d.Box.Max.X && c.Y > d.Box.Min.Y && c.Y < d.Box.Max.Y) {
				t.Errorf("%s: %q stands out of the box", d.Title, texts[i])
			}
		}
		for _, it := range d.Items {
			if s, ok := it.(draw.Stroke); ok && s.Role != draw.Dim && s.Role != draw.Centre && crossed(s.Path, boxes[i], d.Em) {
				t.Errorf("%s: %q lies on a line", d.Title, texts[i])
				break
			}
		}
	}
}

func TestFiguresOfAnyShellCanBeRead(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	between := func(a, b float64) float64 { return math.Round(10*(a+(b-a)*rnd.Float64())) / 10 }
	drawn := 0
	for n := range 60 {
		var src string
		switch n % 3 {
		case 0:
			src = fmt.Sprintf("ring r%d\nsides: %d\nside: %v mm\ntop: %v mm\nheight: %v mm", n, 3+rnd.IntN(12), between(20, 300), between(10, 300), between(10, 600))
		case 1:
			src = fmt.Sprintf("box b%d\nwidth: %v mm\ndepth: %v mm\nheight: %v mm\ntop_width: %v mm\nshift: (%v mm, %v mm)\ncorners: %s", n,
				between(40, 500), between(40, 500), between(20, 700), between(40, 500), between(-50, 50), between(-50, 50), []string{"mitre", "butt"}[rnd.IntN(2)])
		default:
			src = fmt.Sprintf("loft l%d\nfold: falling\nstation low: regular(n: %d, side: %v mm), 0 mm\nstation high: rotate(regular(n: %[2]d, side: %[4]v mm), %[5]v deg), %[6]v mm", n, 3+rnd.IntN(6), between(30, 200), between(30, 200), between(0, 20), between(40, 400))
		}
		src += fmt.Sprintf("\nthickness: %v mm\napart: %s", between(2, 8), []string{"yes", "no"}[rnd.IntN(2)])
		_, out, _ := worked(t, src)
		for _, d := range out.Drawings {
			clear(t, d)
			drawn++
		}
		if t.Failed() {
			t.Fatal(src)
		}
	}
	if drawn < 120 {
		t.Errorf("only %d figures were drawn", drawn)
	}
}

// A line from a name to what it names ends on foam, not in a window.
func TestLinesFromNamesEndOnFoam(t *testing.T) {
	for _, e := range examples(t) {
		for _, d := range e.figures[:2] {
			for _, it := range d.Items {
				a, ok := it.(draw.Area)
				if !ok || a.Role != draw.Dim {
					continue
				}
				centre := a.Outline.Centroid()
				if !slices.ContainsFunc(d.Items, func(it draw.Item) bool {
					s, ok := it.(draw.Area)
					return ok && s.Role.IsShade() && s.Outline.Contains(centre)
				}) {
					t.Errorf("%s: a line ends at %v, where there is no foam", d.Title, centre)
				}
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
	for name, e := range examples(t) {
		count := map[string]int{}
		for _, d := range e.figures {
			if strings.Contains(d.Title, "laid flat") {
				for _, it := range d.Items {
					if l, ok := it.(draw.Label); ok && l.Role == draw.Name { // a floor's edge may be called as a panel is
						count[l.Text]++
					}
				}
			}
		}
		edges := map[string]int{}
		for _, p := range e.parts {
			for _, edge := range p.Edges {
				if edge.Letter != "" {
					edges[edge.Letter]++
				}
			}
			if n := count[called(p)]; n != 1 {
				t.Errorf("%s: %s is named %d times on the flat parts", name, called(p), n)
			}
		}
		if len(edges) == 0 {
			t.Errorf("%s: no edge has a letter", name)
		}
		for letter, n := range edges {
			if count[letter] != n || n < 2 {
				t.Errorf("%s: %s stands %d times on the flat parts, and on %d edges", name, letter, count[letter], n)
			}
		}
	}
}

func TestEachPartThatShowsIsNamedOnceInThePicture(t *testing.T) {
	for name, e := range examples(t) {
		for _, d := range e.figures[:2] {
			texts, _ := words(d)
			_, told, _ := strings.Cut(d.Desc, "ithout room for its name: ")
			_, hidden, _ := strings.Cut(d.Desc, "Hidden behind others: ")
			for _, p := range e.parts {
				n := 0
				for _, w := range texts {
					if w == called(p) {
						n++
					}
				}
				word := regexp.MustCompile(`\b` + panelOf(p) + `\b`)
				absent := word.MatchString(told) || word.MatchString(hidden)
				if n > 1 || (n == 1) == absent {
					t.Errorf("%s, %s: %s is named %d times: %q", name, d.Title, called(p), n, d.Desc)
				}
			}
		}
	}
}

var update = flag.Bool("update", false, "write the golden files anew")

func TestShellFiguresAreTheGoldenOnes(t *testing.T) {
	list := examples(t)
	again := examples(t)
	for _, name := range []string{"ring", "roof"} {
		for i, d := range list[name].figures {
			file := filepath.Join("testdata", fmt.Sprintf("shell-%s-%d.svg", name, i+1))
			opt := figure.Options{ID: name, Standalone: true}
			svg := figure.SVG(d, opt)
			if !bytes.Equal(svg, figure.SVG(again[name].figures[i], opt)) {
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
	for _, c := range []struct {
		sides   int
		apart   string
		figures int
	}{{40, "yes", 6}, {41, "yes", 2}, {41, "no", 3}, {100, "no", 3}, {101, "no", 2}, {120, "yes", 1}} {
		_, out, _ := worked(t, fmt.Sprintf("ring pipe\nsides: %d\ncorners: 600 mm\nheight: 60 mm\nthickness: 1 mm\napart: %s", c.sides, c.apart))
		if n := len(out.Drawings); n != c.figures {
			t.Errorf("%d panels: %d figures, want %d", c.sides, n, c.figures)
		}
		for _, d := range out.Drawings {
			texts, _ := words(d)
			if flat := strings.Contains(d.Title, "flat"); !flat && (len(texts) == 0) != (c.sides > 40) {
				t.Errorf("%d panels, %s: %d words", c.sides, d.Title, len(texts))
			} else if !flat && c.sides > 40 && !strings.Contains(d.Desc, "their templates") {
				t.Errorf("%d panels: %q does not say that there are no names", c.sides, d.Desc)
			}
			if svg := figure.SVG(d, figure.Options{}); len(svg) > 60_000 {
				t.Errorf("%d panels, %s: %d bytes", c.sides, d.Title, len(svg))
			}
		}
	}
}

// globe is a closed shell of quadrangles and triangles, every panel its own.
func globe(rings, sides int, radius, wall float64) *solid.Shell {
	s := &solid.Shell{Points: []r3.Vec{{Z: -radius}}}
	for i := 1; i < rings; i++ {
		sa, ca := math.Sincos(math.Pi * (float64(i)/float64(rings) - 0.5))
		for j := range sides {
			sb, cb := math.Sincos(2 * math.Pi * float64(j) / float64(sides))
			s.Points = append(s.Points, r3.Vec{X: radius * ca * cb, Y: radius * ca * sb, Z: radius * sa})
		}
	}
	s.Points = append(s.Points, r3.Vec{Z: radius})
	at := func(i, j int) int { return 1 + (i-1)*sides + j%sides }
	add := func(loop ...int) {
		s.Faces = append(s.Faces, solid.Face{Name: fmt.Sprintf("p%d", len(s.Faces)+1), Loop: loop, Wall: wall})
	}
	for j := range sides {
		add(0, at(1, j+1), at(1, j))
		for i := 1; i < rings-1; i++ {
			add(at(i, j), at(i, j+1), at(i+1, j+1), at(i+1, j))
		}
		add(len(s.Points)-1, at(rings-1, j), at(rings-1, j+1))
	}
	return s
}

// A globe of as many panels as a mesh may have.
func BenchmarkShellFigures(b *testing.B) {
	for _, n := range []int{5, 9, 16, 32} {
		bench := &Bench{Name: "globe", Out: &Output{Record: &eval.Record{}}, Kind: &ringKind}
		s := bench.shell(shellWork{shell: globe(n, n, 200, 2), layers: layering{total: 2}})
		b.Run(fmt.Sprint(len(s.panels)), func(b *testing.B) {
			size := 0
			for b.Loop() {
				bench.Out.Drawings = nil
				bench.shellFigures(s)
				size = 0
				for _, d := range bench.Out.Drawings {
					size += len(figure.SVG(d, figure.Options{}))
				}
			}
			b.ReportMetric(float64(size), "SVG-bytes")
		})
	}
}
