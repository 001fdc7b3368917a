package main

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

const onePanel = "```panel rail\noutline: rect(width: %v mm, height: %v mm)\nthickness: 10 mm\n```\n"

// plotted prints a journal of one panel and returns the file.
func plotted(t testing.TB, paper string, width, height float64) string {
	t.Helper()
	dir, out := journalOf(t, fmt.Sprintf(onePanel, width, height)), t.TempDir()
	bevelbook(t, "plot", dir, "--paper", paper, "--out", out)
	return filepath.Join(out, "loose-parts-"+paper+".pdf")
}

// TestSheetsHaveTheSizeOfTheirPaper: A series, ISO 216; Letter and Tabloid, ANSI/ASME Y14.1; Legal, common
// practice. A unit of PDF is 1/72 in (ISO 32000-1, 8.3.2.3).
func TestSheetsHaveTheSizeOfTheirPaper(t *testing.T) {
	needs(t, "pdfinfo", "poppler-utils")
	const mm, in = 72 / 25.4, 72.0
	boxes := regexp.MustCompile(`Page +(\d+) MediaBox: +([0-9.-]+) +([0-9.-]+) +([0-9.-]+) +([0-9.-]+)`)
	for paper, size := range map[string][2]float64{
		"a4": {210 * mm, 297 * mm}, "a3": {297 * mm, 420 * mm}, "a2": {420 * mm, 594 * mm},
		"a1": {594 * mm, 841 * mm}, "a0": {841 * mm, 1189 * mm},
		"letter": {8.5 * in, 11 * in}, "legal": {8.5 * in, 14 * in}, "tabloid": {11 * in, 17 * in},
	} {
		out, err := exec.Command("pdfinfo", "-box", "-f", "1", "-l", "99", plotted(t, paper, 430, 330)).Output()
		if err != nil {
			t.Fatal(err)
		}
		pages := boxes.FindAllSubmatch(out, -1)
		if len(pages) < 2 {
			t.Fatalf("%s: no cover and sheet in\n%s", paper, out)
		}
		for _, p := range pages[1:] { // a cover may be a smaller page
			var v [4]float64
			for i := range v {
				v[i], _ = strconv.ParseFloat(string(p[2+i]), 64)
			}
			w, h := v[2]-v[0], v[3]-v[1]
			// Sheets may lie on their side; pdfinfo prints two decimals.
			near(t, fmt.Sprintf("%s, page %s: short side", paper, p[1]), min(w, h), size[0], 0.011)
			near(t, fmt.Sprintf("%s, page %s: long side", paper, p[1]), max(w, h), size[1], 0.011)
		}
	}
}

const dot = 25.4 / 300 // mm, at 300 dpi

// scanned is one page of a printed file as an office scanner sees it.
func scanned(t testing.TB, file string, page int) *image.Gray {
	t.Helper()
	needs(t, "pdftoppm", "poppler-utils")
	n := strconv.Itoa(page)
	data, err := exec.Command("pdftoppm", "-r", "300", "-gray", "-f", n, "-l", n, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	var w, h, most int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil || most != 255 {
		t.Fatalf("no grey picture: %v", err)
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}
}

// upright finds the vertical lines of a page that are about so long, as the place of their middle and
// their length, in mm. It knows nothing of where the page puts them.
func upright(page *image.Gray, length float64) (lines [][2]float64) {
	b := page.Bounds()
	var run []float64 // lengths of neighbouring dark columns
	for x := 0; x <= b.Dx(); x++ {
		longest := 0
		for y, n := 0, 0; x < b.Dx() && y < b.Dy(); y++ {
			if n++; page.Pix[y*page.Stride+x] >= 140 {
				n = 0
			}
			longest = max(longest, n)
		}
		if l := float64(longest) * dot; math.Abs(l-length) < 1 {
			run = append(run, l)
			continue
		}
		if len(run) > 0 {
			sum := 0.0
			for _, l := range run {
				sum += l
			}
			lines = append(lines, [2]float64{(float64(x) - float64(len(run))/2) * dot, sum / float64(len(run))})
			run = nil
		}
	}
	return lines
}

// turned swaps rows and columns, so that level lines stand upright.
func turned(p *image.Gray) *image.Gray {
	b := p.Bounds()
	q := image.NewGray(image.Rect(0, 0, b.Dy(), b.Dx()))
	for y := range b.Dy() {
		for x := range b.Dx() {
			q.Pix[x*q.Stride+y] = p.Pix[y*p.Stride+x]
		}
	}
	return q
}

// apart tells whether two of the lines stand at a distance, within 0.1 mm.
func apart(lines [][2]float64, distance float64) bool {
	for i, a := range lines {
		for _, b := range lines[i+1:] {
			if math.Abs(b[0]-a[0]-distance) < 0.1 {
				return true
			}
		}
	}
	return false
}

func TestPrintedSquareOf50mmMeasuresTrueAt300Dpi(t *testing.T) {
	for _, paper := range []string{"a4", "letter"} {
		page := scanned(t, plotted(t, paper, 120, 80), 1)
		sizes := []float64{50}
		if paper == "letter" {
			sizes = append(sizes, 50.8) // 2 in
		}
		for _, size := range sizes {
			if across, down := upright(page, size), upright(turned(page), size); !apart(across, size) || !apart(down, size) {
				t.Errorf("%s: no square of %v mm: upright lines %.3f, level lines %.3f (place, length)", paper, size, across, down)
			}
		}
	}
}

// TestPrintedPanelMeasuresTrueAt300Dpi measures a panel on one large sheet, where it lies on its side.
func TestPrintedPanelMeasuresTrueAt300Dpi(t *testing.T) {
	const width, height = 430, 230
	sheet := scanned(t, plotted(t, "a2", width, height), 2) // behind the cover
	if across, down := upright(sheet, width), upright(turned(sheet), height); !apart(across, height) || !apart(down, width) {
		t.Errorf("upright lines %.3f, level lines %.3f (place, length): no panel of %v × %v mm", across, down, width, height)
	}
}

// TestPlotsAreTheSameEachTime: the same journal gives the same bytes, so that nothing is written anew.
func TestPlotsAreTheSameEachTime(t *testing.T) {
	for _, format := range []string{"pdf", "svg", "dxf"} {
		var first []byte
		for range 2 {
			out := t.TempDir()
			bevelbook(t, "plot", filepath.Join("testdata", "lighthouse"), "forearm", "--as", format, "--out", out)
			files, err := filepath.Glob(filepath.Join(out, "*"))
			if err != nil || len(files) != 1 {
				t.Fatalf("%v, %v", files, err)
			}
			data, err := os.ReadFile(files[0])
			if err != nil {
				t.Fatal(err)
			}
			if first != nil && !bytes.Equal(first, data) {
				t.Errorf("%s differs from one plot to the next", format)
			}
			first = data
		}
	}
}
