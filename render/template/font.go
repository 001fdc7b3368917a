package template

import (
	"strings"
	"sync"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// family is what the document calls the Go fonts.
const family = "go"

// face is one of the Go fonts.
type face struct {
	style  string // as the document calls it
	data   []byte
	chars  *sfnt.Font // tells which characters there are
	widths *fpdf.Fpdf // knows how wide they are written; only ever read
}

var faces = sync.OnceValue(func() [2]face {
	list := [2]face{{data: goregular.TTF}, {data: gobold.TTF, style: "B"}}
	for i, f := range list {
		chars, err := sfnt.Parse(f.data)
		if err != nil {
			panic(err) // the fonts are part of the program
		}
		widths := fpdf.New("P", "mm", "A4", "")
		widths.AddUTF8FontFromBytes(family, f.style, f.data)
		widths.SetFont(family, f.style, 1)
		list[i].chars, list[i].widths = chars, widths
	}
	return list
})

func faceOf(bold bool) face {
	if bold {
		return faces()[1]
	}
	return faces()[0]
}

func (f face) has(r rune) bool {
	i, err := f.chars.GlyphIndex(nil, r)
	return err == nil && i != 0
}

// measure is the width of words in multiples of their size.
func measure(text string, bold bool) float64 {
	return float64(faceOf(bold).widths.GetStringSymbolWidth(written(text))) / 1000
}

// written is text as a document can hold it, in codes of 16 bits. The fonts have nothing beyond those:
// a box stands for such a character, as the fonts themselves draw one for others that they lack.
func written(text string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF {
			return '□'
		}
		return r
	}, text)
}
