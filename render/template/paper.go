package template

import (
	"fmt"
	"strconv"
	"strings"
)

// Paper is a size of sheet in mm, upright.
type Paper struct {
	Name          string
	Width, Height float64
	Roll          bool // Height is the longest sheet; each is cut off as long as it needs to be
	Inch          bool // its users measure in inches too
}

// Papers are the sizes by name: ISO 216 for the A series, ANSI/ASME Y14.1 for Letter and Tabloid
// (its sizes A and B); Legal is 8.5 × 14 in by common practice.
var Papers = []Paper{
	{Name: "a4", Width: 210, Height: 297},
	{Name: "a3", Width: 297, Height: 420},
	{Name: "a2", Width: 420, Height: 594},
	{Name: "a1", Width: 594, Height: 841},
	{Name: "a0", Width: 841, Height: 1189},
	{Name: "letter", Width: 8.5 * 25.4, Height: 11 * 25.4, Inch: true},
	{Name: "legal", Width: 8.5 * 25.4, Height: 14 * 25.4, Inch: true},
	{Name: "tabloid", Width: 11 * 25.4, Height: 17 * 25.4, Inch: true},
}

// Widths of a roll that are taken, and the longest sheet that is cut off it: a PDF page is at most
// 14,400 units, 5.08 m, long (ISO 32000-1, annex C).
const (
	leastRoll = 200
	mostRoll  = 2000
	rollSheet = 4000
)

// ParsePaper finds a paper by its name, in any case, or reads a roll by its width: "roll:914mm",
// "roll:36in". The error lists what there is.
func ParsePaper(name string) (Paper, error) {
	low := strings.ToLower(strings.TrimSpace(name))
	names := make([]string, len(Papers))
	for i, p := range Papers {
		if p.Name == low {
			return p, nil
		}
		names[i] = p.Name
	}
	if width, ok := strings.CutPrefix(low, "roll:"); ok {
		return parseRoll(name, strings.TrimSpace(width))
	}
	return Paper{}, fmt.Errorf("no paper is called %q: there are %s, and rolls such as roll:914mm", name, strings.Join(names, ", "))
}

func parseRoll(name, width string) (Paper, error) {
	unit, inch := 1.0, false
	if w, ok := strings.CutSuffix(width, "in"); ok {
		width, unit, inch = w, 25.4, true
	} else {
		width = strings.TrimSuffix(width, "mm")
	}
	n, err := strconv.ParseFloat(strings.TrimSpace(width), 64)
	mm := n * unit
	if err != nil || !(mm >= leastRoll && mm <= mostRoll) {
		return Paper{}, fmt.Errorf("%q is not a roll: write its width from %d mm to %d mm, such as roll:914mm or roll:36in", name, leastRoll, mostRoll)
	}
	return Paper{Name: strings.ReplaceAll(strings.ToLower(name), " ", ""), Width: mm, Height: rollSheet, Roll: true, Inch: inch}, nil
}

// turned is the paper lying on its side; a roll cannot be turned.
func (p Paper) turned() Paper {
	p.Width, p.Height = p.Height, p.Width
	return p
}

// The printed page in mm: most printers leave at most 6.4 mm (a quarter inch) of an edge unprinted,
// common practice. The foot holds the sheet's name and the bar to measure.
const (
	margin = 10.0
	foot   = 13.0
)

// window is the size of what a sheet can show.
func (p Paper) window() (w, h float64) { return p.Width - 2*margin, p.Height - 2*margin - foot }
