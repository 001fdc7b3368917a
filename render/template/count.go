package template

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// MostSheets bounds the sheets of a set that large pieces take.
const MostSheets = mostSheets

// Sheets counts the sheets that a piece takes by itself, 0 for one that shares a sheet with others. The
// error is that of printing it. A set of pieces can be printed when each can and their sheets together
// are no more than MostSheets.
func Sheets(d draw.Drawing, paper Paper) (int, error) {
	size := r2.Sub(d.Box.Max, d.Box.Min)
	if !(size.X > 0 && size.Y > 0) || math.IsInf(size.X, 0) || math.IsInf(size.Y, 0) {
		return 0, fmt.Errorf("%s has no size that can be printed", d.Title)
	}
	if fits(size, paper) || !paper.Roll && fits(size, paper.turned()) {
		return 0, nil
	}
	t, err := tile(0, d, paper)
	if err != nil {
		return 0, err
	}
	return len(t.append(nil, d)), nil
}
