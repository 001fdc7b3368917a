// Package pdf writes pages of lines and words as PDF 1.4 (ISO 32000-1), as much of it as templates need.
//
// Millimetres, y up, origin at the page's lower left corner. The same calls give the same bytes:
// no dates, no random identifiers. Words are set in the Go fonts, embedded as Type 3 fonts that hold
// only the glyphs in use, so a sheet costs a few kilobytes. The package knows paths and words only.
package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"sync"
	"unicode/utf16"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// PointsPerMM is the size of a millimetre in user units of 1/72 in (ISO 32000-1, 8.3.2.3).
const PointsPerMM = 72 / 25.4

// The first objects of every document.
const (
	catalogObject = 1 + iota
	pagesObject
	infoObject
	resourcesObject
	firstFree
)

// Document gathers pages; WriteTo ends it.
type Document struct {
	title   string
	out     []byte
	offsets []int // by object number; 0 is unused
	pages   []int // object numbers
	forms   []int
	subsets []*subset
	missing []rune
	known   map[rune]bool // missing ones already noted
}

// New starts a document.
func New(title string) *Document {
	d := &Document{title: title, offsets: make([]int, firstFree), known: map[rune]bool{}}
	d.out = append(d.out, "%PDF-1.4\n%\xe2\xe3\xcf\xd3\n"...)
	return d
}

// Clone is a document that begins with all that this one holds, its forms above all, and goes its own
// way from here. Neither sees what the other is given later.
func (d *Document) Clone() *Document {
	c := *d
	c.out, c.offsets = append(make([]byte, 0, 2*len(d.out)+1<<16), d.out...), slices.Clone(d.offsets)
	c.pages, c.forms, c.missing = slices.Clone(d.pages), slices.Clone(d.forms), slices.Clone(d.missing)
	c.known, c.subsets = maps.Clone(d.known), nil
	for _, s := range d.subsets {
		c.subsets = append(c.subsets, &subset{face: s.face, runes: slices.Clone(s.runes), codes: maps.Clone(s.codes)})
	}
	return &c
}

// Form is a drawing kept once in the document and drawn on any page.
type Form int

// Form keeps a content; nothing of it shows outside of the box.
func (d *Document) Form(box r2.Box, c *Content) Form {
	dict := append([]byte(nil), "/Type/XObject/Subtype/Form/BBox["...)
	for i, x := range [4]float64{box.Min.X, box.Min.Y, box.Max.X, box.Max.Y} {
		if i > 0 {
			dict = append(dict, ' ')
		}
		dict = draw.AppendNumber(dict, x, 3)
	}
	dict = append(dict, fmt.Sprintf("]/Resources %d 0 R", resourcesObject)...)
	d.forms = append(d.forms, d.stream(string(dict), c.ops))
	return Form(len(d.forms) - 1)
}

// Page adds a page of that size in mm.
func (d *Document) Page(width, height float64, c *Content) {
	body := append([]byte(nil), "2.83464567 0 0 2.83464567 0 0 cm\n"...)
	content := d.stream("", append(body, c.ops...))
	page := append([]byte(nil), "/Type/Page/Parent 2 0 R/MediaBox[0 0 "...)
	page = draw.AppendNumber(page, width*PointsPerMM, 4)
	page = draw.AppendNumber(append(page, ' '), height*PointsPerMM, 4)
	page = append(page, fmt.Sprintf("]/Resources %d 0 R/Contents %d 0 R", resourcesObject, content)...)
	d.pages = append(d.pages, d.object(d.number(), page))
}

// Pages is the number of pages so far.
func (d *Document) Pages() int { return len(d.pages) }

// Missing lists the characters that the fonts cannot show, each once, as first met.
func (d *Document) Missing() []rune { return d.missing }

// WriteTo ends the document and writes it.
func (d *Document) WriteTo(w io.Writer) (int64, error) {
	d.resources()
	kids := []byte("/Type/Pages/Count " + strconv.Itoa(len(d.pages)) + "/Kids[")
	for _, p := range d.pages {
		kids = append(strconv.AppendInt(kids, int64(p), 10), " 0 R "...)
	}
	d.object(pagesObject, append(kids, ']'))
	d.object(infoObject, append(utf16Hex([]byte("/Producer(bevelbook)/Title"), d.title), "/Trapped/False"...))
	// No scaling by default in the print dialogue (ISO 32000-1, 12.2): a template must keep its size.
	d.object(catalogObject, []byte("/Type/Catalog/Pages 2 0 R/ViewerPreferences<</PrintScaling/None/DisplayDocTitle true>>"))
	start := len(d.out)
	d.out = append(d.out, fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(d.offsets))...)
	for _, at := range d.offsets[1:] {
		digits := strconv.Itoa(at)
		d.out = append(append(append(d.out, "0000000000"[len(digits):]...), digits...), " 00000 n \n"...)
	}
	d.out = append(d.out, fmt.Sprintf("trailer\n<</Size %d/Root %d 0 R/Info %d 0 R>>\nstartxref\n%d\n%%%%EOF\n",
		len(d.offsets), catalogObject, infoObject, start)...)
	n, err := w.Write(d.out)
	return int64(n), err
}

// resources lists all fonts and forms once, for every page and form.
func (d *Document) resources() {
	dict := []byte("/ProcSet[/PDF/Text]/Font<<")
	for i, s := range d.subsets {
		dict = append(dict, fmt.Sprintf("/F%d %d 0 R", i, d.font(s))...)
	}
	dict = append(dict, ">>/XObject<<"...)
	for i, n := range d.forms {
		dict = append(dict, "/X"...)
		dict = strconv.AppendInt(dict, int64(i), 10)
		dict = strconv.AppendInt(append(dict, ' '), int64(n), 10)
		dict = append(dict, " 0 R"...)
	}
	d.object(resourcesObject, append(dict, ">>"...))
}

// number takes the next free object number.
func (d *Document) number() int {
	d.offsets = append(d.offsets, 0)
	return len(d.offsets) - 1
}

// object writes a dictionary as an object and returns its number.
func (d *Document) object(n int, dict []byte) int {
	d.begin(n)
	d.out = append(append(append(d.out, "<<"...), dict...), ">>\nendobj\n"...)
	return n
}

func (d *Document) begin(n int) {
	d.offsets[n] = len(d.out)
	d.out = append(strconv.AppendInt(d.out, int64(n), 10), " 0 obj\n"...)
}

// smallest stream that is compressed, in bytes: a shorter one gains less than the work costs.
const smallest = 256

// stream writes data as an object, compressed if that gains something, and returns its number.
func (d *Document) stream(dict string, data []byte) int {
	if len(data) < smallest {
		return d.raw(dict+"/Length "+strconv.Itoa(len(data)), data)
	}
	return d.compressed(dict, deflate(data))
}

func (d *Document) compressed(dict string, data []byte) int {
	return d.raw(dict+"/Filter/FlateDecode/Length "+strconv.Itoa(len(data)), data)
}

// raw writes a stream's dictionary and its bytes as they are.
func (d *Document) raw(dict string, data []byte) int {
	n := d.number()
	d.begin(n)
	d.out = append(append(d.out, "<<"...), dict...)
	d.out = append(append(d.out, ">>stream\n"...), data...)
	d.out = append(d.out, "\nendstream\nendobj\n"...)
	return n
}

// deflaters are kept: a new one costs more than most sheets.
var deflaters = sync.Pool{New: func() any {
	w, err := zlib.NewWriterLevel(io.Discard, zlib.BestSpeed)
	if err != nil {
		panic(err) // the level is a constant
	}
	return w
}}

func deflate(data []byte) []byte {
	var out bytes.Buffer
	w := deflaters.Get().(*zlib.Writer)
	defer deflaters.Put(w)
	w.Reset(&out)
	_, err := w.Write(data)
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic(err) // a buffer takes everything
	}
	return out.Bytes()
}

// utf16Hex appends text as a PDF text string (ISO 32000-1, 7.9.2.2): UTF-16BE with its mark, in hex.
func utf16Hex(dst []byte, s string) []byte {
	dst = append(dst, "<FEFF"...)
	for _, u := range utf16.Encode([]rune(s)) {
		dst = appendHex(appendHex(dst, byte(u>>8)), byte(u))
	}
	return append(dst, '>')
}

func appendHex(dst []byte, b byte) []byte {
	const digits = "0123456789ABCDEF"
	return append(dst, digits[b>>4], digits[b&15])
}
