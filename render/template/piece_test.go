package template

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestTemplatesInMillimetresAreTheGoldenOnes(t *testing.T) {
	fromBack := cheek()
	fromBack.Trace = "back"
	for name, pieces := range map[string][]draw.Drawing{
		"pair":  {Piece(cheek(), "left", Meta{Material: "EVA 10", Count: 2}), Piece(cheek(), "right", Meta{Material: "EVA 10", Count: 2})},
		"back":  {Piece(fromBack, "left", Meta{})},
		"small": {Piece(sliver(), "", Meta{}), Piece(tab(), "", Meta{Length: func(float64) string { return "3/16 in" }})},
		"roof":  {Piece(roof(), "", Meta{})},
	} {
		file := filepath.Join("testdata", name+".svg")
		got := SVG(name, pieces)
		wellFormed(t, got)
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
			t.Errorf("%s differs (renew with -update):\n%s", file, got)
		}
	}
}

func wellFormed(t *testing.T, doc []byte) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(doc))
	for {
		if _, err := dec.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatalf("%v:\n%s", err, doc)
		}
	}
}

// shapes are the outlines and lines of a drawing that are cut or drawn, by role.
func shapes(d draw.Drawing) (outlines []shape.Outline, texts []string) {
	for _, it := range d.Items {
		switch it := it.(type) {
		case draw.Area:
			if !it.Fill {
				outlines = append(outlines, it.Outline)
			}
		case draw.Label:
			texts = append(texts, it.Text)
		}
	}
	return outlines, texts
}

func TestRightHandIsTheMirrorImageOfTheLeft(t *testing.T) {
	left, _ := shapes(Piece(cheek(), "left", Meta{}))
	right, words := shapes(Piece(cheek(), "right", Meta{}))
	if len(left) != 4 || len(right) != 4 { // both faces and two holes
		t.Fatalf("%d and %d outlines", len(left), len(right))
	}
	for i := range left {
		a, b := draw.Ring(left[i]), draw.Ring(right[i])
		for k := range a {
			if math.Abs(a[k].X+b[k].X) > 1e-9 || math.Abs(a[k].Y-b[k].Y) > 1e-9 {
				t.Fatalf("outline %d: %v and %v are no mirror images", i, a[k], b[k])
			}
		}
	}
	if !slices.Contains(words, "RIGHT") || slices.Contains(words, "LEFT") {
		t.Errorf("words on the right hand: %q", words)
	}
}

func TestHandsAreMirroredOnlyWhenTheyDifferFromTheDrawnOne(t *testing.T) {
	for _, c := range []struct {
		drawn part.Hand
		hand  string
		trace string
		flip  bool
	}{
		{part.Pair, "left", "", false}, {part.Pair, "right", "", true}, {part.Auto, "right", "", true},
		{part.Auto, "", "", false}, {part.Right, "right", "", false}, {part.Right, "left", "", true},
		{part.Pair, "left", "back", true}, {part.Pair, "right", "back", false},
	} {
		p := cheek()
		p.Hand, p.Trace = c.drawn, c.trace
		box := Piece(p, c.hand, Meta{}).Items[0].(draw.Area).Outline
		if got := draw.OfOutline(box).Max.X <= 0; got != c.flip {
			t.Errorf("drawn %q, asked %q, traced %q: mirrored %v", c.drawn, c.hand, c.trace, got)
		}
	}
}

func TestPieceTracedFromTheBackFollowsTheBackOutline(t *testing.T) {
	p := cheek()
	p.Trace = "back"
	d := Piece(p, "left", Meta{})
	cut, other := d.Items[0].(draw.Area), d.Items[1].(draw.Area)
	if cut.Role != draw.Cut || cut.Outline.Start != (r2.Vec{X: -p.Back.Start.X, Y: p.Back.Start.Y}) {
		t.Errorf("cut from %v, want the mirrored back outline", cut.Outline.Start)
	}
	if other.Role != draw.Back || other.Outline.Start != (r2.Vec{X: -p.Show.Start.X, Y: p.Show.Start.Y}) {
		t.Errorf("dashed from %v, want the mirrored show outline", other.Outline.Start)
	}
	if _, words := shapes(d); !slices.Contains(words, "back face up") {
		t.Errorf("words: %q", words)
	}
}

func TestPieceSaysAllThatTheBenchNeeds(t *testing.T) {
	_, words := shapes(Piece(cheek(), "left", Meta{Count: 4, Material: "EVA 10"}))
	all := strings.Join(words, "\n")
	for _, want := range []string{"lantern room", "cheek", "LEFT", "cut 4", "EVA 10", "10 mm", "show face up",
		"long · square", "right · 22.5° · A → brow.left", "left · 22.5° · B → jaw.right", "short · −17°", "pivot Ø 5 mm", "window", "vent", "eye"} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is missing in %q", want, words)
		}
	}
}

// arrows finds strokes of two points that start on an edge at a level, and which way they lead.
func arrowAt(d draw.Drawing, y float64) (way float64) {
	for _, it := range d.Items {
		if s, ok := it.(draw.Stroke); ok && s.Role == draw.Mark && len(s.Path.Segs) == 1 && math.Abs(s.Path.Start.Y-y) < 1e-6 {
			way = s.Path.Segs[0].End.Y - y
		}
	}
	return way
}

func TestBevelArrowPointsToWhereTheOtherFaceEnds(t *testing.T) {
	for _, c := range []struct {
		name  string
		bevel float64
		trace string
		want  float64 // sign of the arrow's y at the upper edge, whose outside is up
	}{
		{"back face smaller", 0.3, "", -1},
		{"back face larger", -0.3, "", 1},
		{"back face smaller, seen from the back", 0.3, "back", 1},
		{"square", 0, "", 0},
	} {
		show := rect(200, 100)
		p := part.Part{Name: "p", Thickness: 10, Show: show, Back: show, Edges: edgesOf(show, 10), Trace: c.trace}
		p.Edges[2].Bevel, p.Edges[2].Run = c.bevel, 10*math.Tan(c.bevel)
		way := arrowAt(Piece(p, "", Meta{}), 100)
		if way*c.want < 0 || (way == 0) != (c.want == 0) {
			t.Errorf("%s: the arrow leads by %v", c.name, way)
		}
	}
}

func TestWordsStayOffTheLinesAndOffEachOther(t *testing.T) {
	for _, p := range []part.Part{cheek(), roof(), sliver(), tab()} {
		d := Piece(p, "", Meta{})
		var boxes [][4]r2.Vec
		var texts []string
		for _, it := range d.Items {
			l, ok := it.(draw.Label)
			if !ok {
				continue
			}
			// The words' own height, without the air around them.
			corners := draw.Label{At: l.At, Text: l.Text, Size: l.Size * 0.9, Angle: l.Angle, Anchor: l.Anchor}.Corners(d.Em)
			for i, b := range boxes {
				if draw.Overlap(corners, b) {
					t.Errorf("%s: %q at %v lies on %q", p.Name, l.Text, l.At, texts[i])
				}
			}
			for _, o := range []shape.Outline{p.Show, p.Back} {
				if crosses(corners, draw.Ring(o), true) {
					t.Errorf("%s: %q lies on an outline", p.Name, l.Text)
				}
			}
			boxes, texts = append(boxes, corners), append(texts, l.Text)
		}
	}
}

func TestOddPartsAreDrawnWithoutPanic(t *testing.T) {
	nan := math.NaN()
	dotted := part.Part{Name: "dot", Show: polygon("a b", at(0, 0), at(0, 0)), Edges: []part.Edge{{Name: "a", Bevel: nan, Run: nan}, {Name: "b"}}}
	many := part.Part{Name: "traced", Show: shape.Outline{Start: at(100, 0)}}
	for i := 1; i <= 5000; i++ {
		a := 2 * math.Pi * float64(i) / 5000
		many.Show.Edges = append(many.Show.Edges, shape.Edge{Name: "e", Segs: []shape.Seg{{End: at(100*math.Cos(a), 100*math.Sin(a))}}})
		many.Edges = append(many.Edges, part.Edge{Name: "e", Length: 0.13})
	}
	many.Back = many.Show
	for _, p := range []part.Part{{}, dotted, many, {Name: "lost", Show: polygon("a b c", at(nan, 0), at(1, 0), at(0, math.Inf(1)))}} {
		SVG(p.Name, []draw.Drawing{Piece(p, "left", Meta{})})
	}
}

// grainOf finds the arrow that stands under the word grain, as the direction of its shaft.
func grainOf(d draw.Drawing) (dir r2.Vec, ok bool) {
	named, long := false, 0.0
	for _, it := range d.Items {
		if l, is := it.(draw.Label); is {
			named = named || l.Text == "grain"
		}
		s, is := it.(draw.Stroke)
		if !is || s.Role != draw.Mark || len(s.Path.Segs) != 1 {
			continue
		}
		if step := r2.Sub(s.Path.Segs[0].End, s.Path.Start); r2.Norm(step) >= 15-1e-9 {
			dir, long = r2.Unit(step), r2.Norm(step)
		}
	}
	return dir, named && long > 0
}

func TestGrainArrowFollowsTheSheetAndTurnsOverWithTheHand(t *testing.T) {
	for _, c := range []struct {
		hand  string
		trace string
		want  float64 // degrees
	}{{"left", "", 30}, {"right", "", 150}, {"left", "back", 150}, {"right", "back", 30}} {
		p := cheek()
		p.Lines, p.Holes, p.Marks = nil, nil, nil
		p.Trace, p.Grained, p.Grain = c.trace, true, 30*math.Pi/180
		dir, ok := grainOf(Piece(p, c.hand, Meta{}))
		sin, cos := math.Sincos(c.want * math.Pi / 180)
		if !ok || math.Abs(r2.Cross(dir, r2.Vec{X: cos, Y: sin})) > 1e-9 {
			t.Errorf("%s hand traced on %q: grain along %.3f, %v; want %v°", c.hand, c.trace, dir, ok, c.want)
		}
	}
	if _, ok := grainOf(Piece(cheek(), "left", Meta{})); ok {
		t.Error("a sheet without grain has an arrow")
	}
	narrow := sliver()
	narrow.Grained, narrow.Grain = true, math.Pi/2
	if d := Piece(narrow, "", Meta{}); d.Box.Max.Y <= draw.OfOutline(narrow.Show).Max.Y {
		t.Error("no room on the piece, and no arrow above it")
	}
}
