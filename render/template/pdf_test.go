package template

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
)

func paper(t testing.TB, name string) Paper {
	t.Helper()
	p, err := ParsePaper(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func printSet(t testing.TB, set Set) []byte {
	t.Helper()
	var out bytes.Buffer
	missing, err := PDF(&out, set)
	if err != nil {
		t.Fatal(err)
	}
	if len(missing) > 0 {
		t.Fatalf("no glyph for %q", missing)
	}
	return out.Bytes()
}

// scan prints pages to grey pictures at 300 dpi, as an office scanner would.
func scan(t *testing.T, document []byte) []*image.Gray {
	t.Helper()
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftoppm is missing")
		}
		t.Skip("pdftoppm (poppler-utils) is not installed")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "set.pdf")
	if err := os.WriteFile(file, document, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftoppm", "-r", "300", "-gray", file, filepath.Join(dir, "p")).CombinedOutput()
	if err != nil || len(out) > 0 {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "p*.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	var pages []*image.Gray
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var w, h, most int
		if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil || most != 255 || len(data) < w*h {
			t.Fatalf("%s is no grey picture: %v", name, err)
		}
		pages = append(pages, &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)})
	}
	return pages
}

const dot = 25.4 / 300 // mm

func dark(p *image.Gray, x, y int) bool { return p.GrayAt(x, y).Y < 140 }

// rule finds where a line crosses a level of the page (y from the top, all mm), looking between two
// places: the middle of its dark dots.
func rule(t *testing.T, p *image.Gray, y, from, to float64) float64 {
	t.Helper()
	sum, n := 0.0, 0
	for x := int(from / dot); x <= int(to/dot); x++ {
		if dark(p, x, int(y/dot)) {
			sum += float64(x) + 0.5
			n++
		}
	}
	if n == 0 || n > 9 {
		t.Fatalf("%d dark dots between %.1f mm and %.1f mm at %.1f mm from the top: no single line", n, from, to, y)
	}
	return sum / float64(n) * dot
}

// ruleDown is rule along a column.
func ruleDown(t *testing.T, p *image.Gray, x, from, to float64) float64 {
	t.Helper()
	b := p.Bounds()
	turned := image.NewGray(image.Rect(0, 0, b.Dy(), b.Dx()))
	for y := int(from / dot); y <= int(to/dot); y++ {
		turned.SetGray(y, int(x/dot), p.GrayAt(int(x/dot), y))
	}
	return rule(t, turned, x, from, to)
}

func TestPrintedSquareMeasures50mmAnd2InOnPaperAt300Dpi(t *testing.T) {
	for _, name := range []string{"a4", "letter"} {
		paper := paper(t, name)
		pages := scan(t, printSet(t, Set{Title: "Gallery", Paper: paper, Pieces: []draw.Drawing{Piece(tab(), "", Meta{})}}))
		cover := pages[0]
		// ISO 216 and ANSI/ASME Y14.1, to the dot.
		if w, h := float64(cover.Bounds().Dx())*dot, float64(cover.Bounds().Dy())*dot; math.Abs(w-paper.Width) > dot || math.Abs(h-paper.Height) > dot {
			t.Errorf("%s is printed %.2f × %.2f mm", name, w, h)
		}
		right := paper.Width - margin
		side := func(left, size, level float64) {
			a, b := rule(t, cover, level, left-2, left+2), rule(t, cover, level, left+size-2, left+size+2)
			x := left + 8
			up, down := ruleDown(t, cover, x, margin-2, margin+2), ruleDown(t, cover, x, margin+size-2, margin+size+2)
			if math.Abs(b-a-size) > 0.1 || math.Abs(down-up-size) > 0.1 {
				t.Errorf("%s: the square of %.1f mm measures %.3f × %.3f mm", name, size, b-a, down-up)
			}
		}
		side(right-50, 50, margin+40)
		if paper.Inch {
			side(right-50-5-50.8, 50.8, margin+40)
		}
	}
}

// gauge is a bare panel of a known size.
func gauge(w, h float64) draw.Drawing {
	o := rect(w, h)
	return Piece(part.Part{Name: "gauge", Thickness: 10, Show: o, Back: o, Edges: edgesOf(o, 10)}, "", Meta{})
}

func TestPanelMeasuresTrueAcrossTheSeamsOfTiles(t *testing.T) {
	const w, h = 430, 330
	d := gauge(w, h)
	paper := paper(t, "a4")
	pages := scan(t, printSet(t, Set{Title: "Gauge", Paper: paper, Pieces: []draw.Drawing{d}}))
	sheets, err := arrange([]draw.Drawing{d}, paper)
	if err != nil {
		t.Fatal(err)
	}
	pages = pages[len(pages)-len(sheets):]
	tl := sheets[0].tiled
	// seam finds, on a page, the chain line at a side: it is drawn a known half overlap inside of the
	// window, and both neighbours are laid on it. Across a seam, lengths add up from line to line.
	row := tl.rows - 1
	level := tl.paper.Height - margin - foot - 60 // mm from the top of the page, in the lowest row
	length := 0.0
	for col := range tl.cols {
		page := pages[tl.at(col, row)]
		window, part := windowOn(tl.paper), tl.tile(col, row)
		left, right := window.Min.X+overlap/2, window.Max.X-overlap/2
		if col == 0 {
			left = window.Min.X - part.Min.X
		}
		if col == tl.cols-1 {
			right = window.Min.X + w - part.Min.X
		}
		a, b := solid(t, page, level, left), solid(t, page, level, right)
		length += b - a
	}
	if math.Abs(length-w) > 0.1*float64(tl.cols) {
		t.Errorf("a panel %v mm wide measures %.3f mm over %d sheets", w, length, tl.cols)
	}
}

// solid is rule for a line that may be a chain line: it looks along it for a stretch that is drawn.
func solid(t *testing.T, p *image.Gray, level, near float64) float64 {
	t.Helper()
	for dy := 0.0; dy < 9; dy += 0.25 {
		y := int((level + dy) / dot)
		n := 0
		for x := int((near - 2) / dot); x <= int((near+2)/dot); x++ {
			if p.GrayAt(x, y).Y < 200 {
				n++
			}
		}
		if n > 0 && n <= 9 {
			sum, weight := 0.0, 0.0
			for x := int((near - 2) / dot); x <= int((near+2)/dot); x++ {
				ink := 255 - float64(p.GrayAt(x, y).Y)
				sum += ink * (float64(x) + 0.5)
				weight += ink
			}
			return sum / weight * dot
		}
	}
	t.Fatalf("no line near %.1f mm at %.1f mm from the top", near, level)
	return 0
}

func TestTilesOfACurveShowAllOfIt(t *testing.T) {
	d := Piece(roof(), "", Meta{})
	for _, name := range []string{"a4", "letter", "a3", "roll:300mm"} {
		sheets, err := arrange([]draw.Drawing{d}, paper(t, name))
		if err != nil {
			t.Fatal(err)
		}
		// Every point of the outline, followed finely, lies in the cell of a sheet that is printed.
		from := d.Items[0].(draw.Area).Outline.Start
		for _, e := range d.Items[0].(draw.Area).Outline.Edges {
			for _, seg := range e.Segs {
				for _, b := range draw.Beziers(from, seg) {
					if !printedOn(sheets, b[0]) || !printedOn(sheets, r2.Scale(0.5, r2.Add(b[0], b[3]))) {
						t.Fatalf("%s: %v is on no sheet", name, b[0])
					}
				}
				from = seg.End
			}
		}
	}
}

func printedOn(sheets []sheet, p r2.Vec) bool {
	for _, s := range sheets {
		if s.tiled == nil {
			return true
		}
		if b := s.tiled.tile(s.col, s.row); p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y {
			return true
		}
	}
	return false
}

func TestPiecesOnASheetLieInItsWindowAndApart(t *testing.T) {
	var pieces []draw.Drawing
	for i := range 60 {
		pieces = append(pieces, gauge(20+float64(i*37%170), 15+float64(i*53%240)))
	}
	for _, p := range append(Papers, paper(t, "roll:914mm"), paper(t, "roll:24in")) {
		sheets, err := arrange(pieces, p)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[int]int{}
		for _, s := range sheets {
			if s.tiled != nil {
				seen[s.tiled.piece] = 1
				continue
			}
			window := windowOn(s.paper)
			for i, l := range s.on {
				seen[l.piece]++
				if l.box.Min.X < window.Min.X-1e-9 || l.box.Min.Y < window.Min.Y-1e-9 || l.box.Max.X > window.Max.X+1e-9 || l.box.Max.Y > window.Max.Y+1e-9 {
					t.Errorf("%s: piece %d at %v leaves %v", p.Name, l.piece, l.box, window)
				}
				for _, o := range s.on[:i] {
					if draw.Overlap(corners(l.box), corners(o.box)) {
						t.Errorf("%s: pieces %d and %d lie on each other", p.Name, l.piece, o.piece)
					}
				}
			}
		}
		for i := range pieces {
			if seen[i] != 1 {
				t.Errorf("%s: piece %d is printed %d times", p.Name, i, seen[i])
			}
		}
	}
}

func TestSameSetGivesSameBytes(t *testing.T) {
	set := Set{Title: "Gallery", Paper: paper(t, "letter"), Pieces: []draw.Drawing{Piece(cheek(), "left", Meta{}), Piece(roof(), "", Meta{})}}
	if !bytes.Equal(printSet(t, set), printSet(t, set)) {
		t.Error("two runs differ")
	}
}

func TestSetsWrittenAtOnceAreLikeOneWrittenAlone(t *testing.T) {
	set := Set{Title: "Gallery", Paper: paper(t, "a4"), Pieces: []draw.Drawing{Piece(cheek(), "left", Meta{}), Piece(roof(), "", Meta{})}}
	// Further characters in the other documents must leave no trace in this one.
	other := set
	other.Title = "ÄÖÜ Ωжž"
	want := printSet(t, set)
	results := make(chan []byte)
	for range 4 {
		go func() {
			var out, rest bytes.Buffer
			if _, err := PDF(&rest, other); err == nil {
				_, err = PDF(&out, set)
				if err != nil {
					out.Reset()
				}
			}
			results <- out.Bytes()
		}()
	}
	for range 4 {
		if !bytes.Equal(<-results, want) {
			t.Error("a set written beside others differs")
		}
	}
}

func TestPlainSetLooksLikeACompressedOne(t *testing.T) {
	set := Set{Title: "Gallery", Paper: paper(t, "a4"), Pieces: []draw.Drawing{Piece(cheek(), "left", Meta{}), Piece(roof(), "", Meta{})}}
	compressed := printSet(t, set)
	set.Plain = true
	plain := printSet(t, set)
	if len(plain) <= len(compressed) {
		t.Errorf("%d bytes, compressed %d", len(plain), len(compressed))
	}
	want := scan(t, compressed)
	for i, page := range scan(t, plain) {
		if !bytes.Equal(page.Pix, want[i].Pix) {
			t.Errorf("page %d differs", i+1)
		}
	}
}

func TestCharactersWithoutGlyphAreReportedOnceAndDrawnAsBoxes(t *testing.T) {
	d := gauge(100, 100)
	for title, want := range map[string]string{"塔 tower 塔 ☂": "塔☂", "boat 🚣 🚣": "🚣", "cut \xff short": ""} {
		d.Title = title
		var out bytes.Buffer
		missing, err := PDF(&out, Set{Title: "Löten ½ δ → ±", Paper: paper(t, "a4"), Pieces: []draw.Drawing{d}})
		if err != nil || string(missing) != want {
			t.Errorf("%q: missing %q, %v", title, string(missing), err)
		}
	}
	// The sets differ in the piece's title only, so what more ink there is is the boxes'.
	ink := func(title string) (dots int) {
		d.Title = title
		var out bytes.Buffer
		if _, err := PDF(&out, Set{Title: "set", Paper: paper(t, "a4"), Pieces: []draw.Drawing{d}}); err != nil {
			t.Fatal(err)
		}
		for _, v := range scan(t, out.Bytes())[0].Pix {
			if v < 140 {
				dots++
			}
		}
		return dots
	}
	none := ink("")
	for _, title := range []string{"塔", "🚣"} {
		if n := ink(title) - none; n < 60 {
			t.Errorf("%s adds %d dark dots, too few for a box", title, n)
		}
	}
}

// The entry is PrintScaling of the viewer preferences in the catalogue (ISO 32000-1, 12.2, table 150).
func TestPrintDialogueIsAskedToKeepTheSize(t *testing.T) {
	document := printSet(t, Set{Title: "set", Paper: paper(t, "a4"), Pieces: []draw.Drawing{gauge(100, 100)}})
	_, catalogue, _ := bytes.Cut(document, []byte("/Type /Catalog\n"))
	catalogue, _, _ = bytes.Cut(catalogue, []byte("endobj"))
	if !regexp.MustCompile(`(?m)^[^%]* /ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>`).Match(catalogue) {
		t.Errorf("catalogue %s", catalogue)
	}
}

func TestCurvesOfATiledPieceStandOnceInTheFile(t *testing.T) {
	d := Piece(roof(), "", Meta{})
	document := printSet(t, Set{Title: "set", Paper: paper(t, "a4"), Pieces: []draw.Drawing{d}})
	if pages, forms := bytes.Count(document, []byte("/Type /Page\n")), bytes.Count(document, []byte("/Subtype /Form")); pages < 5 || forms != 1 {
		t.Errorf("%d pages, %d forms", pages, forms)
	}
}

func TestSetsThatCannotBePrintedAreRefused(t *testing.T) {
	huge, endless, lost := gauge(1e6, 1e6), gauge(10, 10), gauge(10, 10)
	endless.Box.Max.X, lost.Box.Min.Y = math.Inf(1), math.NaN()
	for name, pieces := range map[string][]draw.Drawing{"none": nil, "huge": {huge}, "endless": {endless}, "lost": {lost}} {
		if _, err := PDF(&bytes.Buffer{}, Set{Title: "set", Paper: paper(t, "a4"), Pieces: pieces}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	for name, size := range map[string]float64{"a point nowhere": 100, "a point nowhere on tiles": 400} {
		d := gauge(size, size)
		d.Add(draw.Stroke{Path: shape.Path{Segs: []shape.Seg{{End: r2.Vec{X: math.NaN()}}}}})
		if _, err := PDF(&bytes.Buffer{}, Set{Title: "set", Paper: paper(t, "a4"), Pieces: []draw.Drawing{d}}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestPapersAreReadByName(t *testing.T) {
	for name, want := range map[string]string{"A4": "210 297", "letter": "215.9 279.4", "Tabloid": "279.4 431.8", "a0": "841 1189", "roll:914mm": "914 4000", "ROLL: 36 in": "914.4 4000", "legal": "215.9 355.6"} {
		p, err := ParsePaper(name)
		if got := fmt.Sprintf("%.4g %.4g", p.Width, p.Height); err != nil || got != want {
			t.Errorf("%s is %s (%v), want %s", name, got, err, want)
		}
	}
	for _, name := range []string{"", "a9", "roll:", "roll:5mm", "roll:NaN", "roll:1e9"} {
		if _, err := ParsePaper(name); err == nil || !strings.Contains(err.Error(), "roll") {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func BenchmarkPDFOfOnePiece(b *testing.B)   { benchmarkPDF(b, 1) }
func BenchmarkPDFOf30Pieces(b *testing.B)   { benchmarkPDF(b, 30) }
func BenchmarkPDFOf500Pieces(b *testing.B)  { benchmarkPDF(b, 500) }
func BenchmarkPDFOf2000Pieces(b *testing.B) { benchmarkPDF(b, 2000) }

// benchmarkPDF draws and prints a set in which each tenth piece is tiled.
func benchmarkPDF(b *testing.B, n int) {
	paper := paper(b, "a4")
	kinds := []part.Part{cheek(), sliver(), tab(), cheek(), sliver(), tab(), cheek(), sliver(), tab(), roof()}
	b.ReportAllocs()
	for b.Loop() {
		var pieces []draw.Drawing
		for i := range n {
			pieces = append(pieces, Piece(kinds[i%len(kinds)], "", Meta{}))
		}
		var out bytes.Buffer
		if _, err := PDF(&out, Set{Title: "All", Paper: paper, Pieces: pieces}); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(out.Len()), "bytes")
	}
}

func BenchmarkPiece(b *testing.B) {
	p := cheek()
	b.ReportAllocs()
	for b.Loop() {
		Piece(p, "left", Meta{})
	}
}
