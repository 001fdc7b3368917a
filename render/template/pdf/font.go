package pdf

import (
	"fmt"
	"strconv"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/gonum/spatial/r2"
)

// face is one of the fonts with the glyphs that anybody has asked for. Each glyph is read and
// compressed once for all documents.
type face struct {
	name string
	font *sfnt.Font
	unit fixed.Int26_6 // font units per em

	mu     sync.Mutex
	glyphs map[rune]*glyph
}

// glyph is a character as a Type 3 procedure.
type glyph struct {
	advance int    // font units
	proc    []byte // compressed
	missing bool   // the font lacks it: the procedure draws a box
}

var faces = sync.OnceValue(func() [2]*face {
	return [2]*face{load("GoRegular", goregular.TTF), load("GoBold", gobold.TTF)}
})

func faceOf(bold bool) *face {
	if bold {
		return faces()[1]
	}
	return faces()[0]
}

func load(name string, ttf []byte) *face {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the fonts are part of the program
	}
	return &face{name: name, font: f, unit: fixed.Int26_6(f.UnitsPerEm()), glyphs: map[rune]*glyph{}}
}

func (f *face) measure(text string) float64 {
	sum := 0
	for _, r := range text {
		sum += f.glyph(r).advance
	}
	return float64(sum) / float64(f.unit)
}

// glyph finds a character's shape; one that the font lacks is a box.
func (f *face) glyph(r rune) *glyph {
	f.mu.Lock()
	defer f.mu.Unlock()
	if g := f.glyphs[r]; g != nil {
		return g
	}
	g := f.read(r)
	f.glyphs[r] = g
	return g
}

func (f *face) read(r rune) *glyph {
	var buf sfnt.Buffer
	// At a size of one em in font units, 26.6 numbers are font units.
	size := f.unit
	i, err := f.font.GlyphIndex(&buf, r)
	if err != nil || i == 0 {
		return f.box()
	}
	advance, err := f.font.GlyphAdvance(&buf, i, size, font.HintingNone)
	if err != nil {
		return f.box()
	}
	segs, err := f.font.LoadGlyph(&buf, i, size, nil)
	if err != nil {
		return f.box()
	}
	return &glyph{advance: int(advance), proc: deflate(procedure(int(advance), segs))}
}

// procedure writes a glyph's outline in font units, y up, filled.
func procedure(advance int, segs sfnt.Segments) []byte {
	vec := func(p fixed.Point26_6) r2.Vec { return r2.Vec{X: float64(p.X), Y: -float64(p.Y)} }
	b := segs.Bounds()
	c := Content{ops: fmt.Appendf(nil, "%d 0 %d %d %d %d d1\n", advance, int(b.Min.X), -int(b.Max.Y), int(b.Max.X), -int(b.Min.Y))}
	var at r2.Vec
	for _, s := range segs {
		p := vec(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			c.xy(p)
			c.op("m")
		case sfnt.SegmentOpLineTo:
			c.xy(p)
			c.op("l")
		case sfnt.SegmentOpQuadTo: // raised to a cubic
			q := vec(s.Args[1])
			c.xy(r2.Add(at, r2.Scale(2.0/3, r2.Sub(p, at))))
			c.xy(r2.Add(q, r2.Scale(2.0/3, r2.Sub(p, q))))
			c.xy(q)
			c.op("c")
			p = q
		case sfnt.SegmentOpCubeTo:
			c.xy(p)
			c.xy(vec(s.Args[1]))
			p = vec(s.Args[2])
			c.xy(p)
			c.op("c")
		}
		at = p
	}
	c.op("f")
	return c.ops
}

// box stands for a character that the font lacks.
func (f *face) box() *glyph {
	em := float64(f.unit)
	c := Content{ops: fmt.Appendf(nil, "%d 0 0 0 %d %d d1\n", f.unit*6/10, f.unit*6/10, f.unit*7/10)}
	c.Rect(r2.Box{Min: r2.Vec{X: 0.06 * em}, Max: r2.Vec{X: 0.54 * em, Y: 0.7 * em}})
	c.Rect(r2.Box{Min: r2.Vec{X: 0.11 * em, Y: 0.05 * em}, Max: r2.Vec{X: 0.49 * em, Y: 0.65 * em}})
	c.Fill()
	return &glyph{advance: int(f.unit) * 6 / 10, proc: deflate(c.ops), missing: true}
}

// subset is a font of the document: at most 255 of a face's characters, coded from 1 as first used.
type subset struct {
	face  *face
	runes []rune
	codes map[rune]byte
}

const subsetSize = 255

// code finds the document's font and the code in it that show a character.
func (d *Document) code(f *face, r rune) (font int, code byte) {
	last := -1
	for i, s := range d.subsets {
		if s.face != f {
			continue
		}
		if code, ok := s.codes[r]; ok {
			return i, code
		}
		if len(s.runes) < subsetSize {
			last = i
		}
	}
	if f.glyph(r).missing && !d.known[r] {
		d.known[r] = true
		d.missing = append(d.missing, r)
	}
	if last < 0 {
		d.subsets = append(d.subsets, &subset{face: f, codes: map[rune]byte{}})
		last = len(d.subsets) - 1
	}
	s := d.subsets[last]
	s.runes = append(s.runes, r)
	s.codes[r] = byte(len(s.runes))
	return last, s.codes[r]
}

// font writes a subset as a Type 3 font (ISO 32000-1, 9.6.5) and returns its object number.
func (d *Document) font(s *subset) int {
	procs, names, widths := []byte("/CharProcs<<"), []byte("/Encoding<</Differences[1"), []byte("/Widths[")
	for i, r := range s.runes {
		g := s.face.glyph(r)
		name := "/g" + strconv.Itoa(i+1)
		names = append(names, name...)
		procs = fmt.Appendf(procs, "%s %d 0 R", name, d.compressed("", g.proc))
		widths = strconv.AppendInt(append(widths, ' '), int64(g.advance), 10)
	}
	unicode := d.stream("", toUnicode(s.runes))
	dict := fmt.Appendf(nil, "/Type/Font/Subtype/Type3/Name/%s/FontBBox[0 0 0 0]/FirstChar 1/LastChar %d/FontMatrix[", s.face.name, len(s.runes))
	scale := strconv.FormatFloat(1/float64(s.face.unit), 'f', -1, 64)
	dict = fmt.Appendf(dict, "%s 0 0 %s 0 0]/Resources<<>>/ToUnicode %d 0 R", scale, scale, unicode)
	dict = append(append(append(dict, procs...), ">>"...), names...)
	dict = append(append(append(dict, "]>>"...), widths...), ']')
	return d.object(d.number(), dict)
}

// toUnicode tells which character each code is, so that words can be searched and read aloud
// (ISO 32000-1, 9.10.3).
func toUnicode(runes []rune) []byte {
	out := []byte("/CIDInit/ProcSet findresource begin 12 dict begin begincmap/CMapName/T def/CMapType 2 def\n" +
		"1 begincodespacerange<00><FF>endcodespacerange\n")
	for from := 0; from < len(runes); from += 100 { // at most 100 in one list
		part := runes[from:min(from+100, len(runes))]
		out = fmt.Appendf(out, "%d beginbfchar\n", len(part))
		for i, r := range part {
			out = append(appendHex(append(out, '<'), byte(from+i+1)), "><"...)
			hex := utf16Hex(nil, string(r))
			out = append(append(out, hex[len("<FEFF"):]...), '\n')
		}
		out = append(out, "endbfchar\n"...)
	}
	return append(out, "endcmap end end"...)
}
