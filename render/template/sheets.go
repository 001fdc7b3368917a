package template

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/draw"
)

// overlap is what neighbouring tiles of one piece share, mm.
const overlap = 10.0

// apart is the room between pieces on one sheet, mm.
const apart = 5.0

// mostSheets is the largest set that is written; past it something is drawn at a wrong scale.
const mostSheets = 5000

// sheet is one printed page of templates.
type sheet struct {
	paper Paper
	tiled *tiling // of one large piece, or nil
	col   int     // of the tile, from 0 at the left
	row   int     // from 0 at the top
	on    []laid  // pieces of a shared sheet
}

// laid is a piece on a sheet.
type laid struct {
	piece    int
	shift    r2.Vec // from the drawing's coordinates to the page's, after the turn
	quarters int    // quarter turns counter-clockwise
	box      r2.Box // on the page
}

// turn is the angle that a piece is turned by, radians counter-clockwise.
func (l laid) turn() float64 { return float64(l.quarters) * math.Pi / 2 }

// tiling is a piece that takes more than one sheet.
type tiling struct {
	piece      int
	paper      Paper
	cols, rows int
	origin     r2.Vec // of the lowest left tile, in the drawing
	shown      shown
	sheets     []int // sheet number by row and column, -1 where nothing is drawn
}

// step is the distance from tile to tile.
func (t *tiling) step() (x, y float64) {
	w, h := t.paper.window()
	return w - overlap, h - overlap
}

// tile is the window of a tile, in the drawing. Row 0 is the top.
func (t *tiling) tile(col, row int) r2.Box {
	w, h := t.paper.window()
	x, y := t.step()
	low := r2.Vec{X: t.origin.X + float64(col)*x, Y: t.origin.Y + float64(t.rows-1-row)*y}
	return r2.Box{Min: low, Max: r2.Vec{X: low.X + w, Y: low.Y + h}}
}

// cell is a tile up to the seams in the middle of its overlaps.
func (t *tiling) cell(col, row int) r2.Box {
	b := t.tile(col, row)
	half := r2.Vec{X: overlap / 2, Y: overlap / 2}
	return r2.Box{Min: r2.Add(b.Min, half), Max: r2.Sub(b.Max, half)}
}

// at is the number of a tile's sheet, or -1.
func (t *tiling) at(col, row int) int {
	if col < 0 || row < 0 || col >= t.cols || row >= t.rows {
		return -1
	}
	return t.sheets[row*t.cols+col]
}

// tileName is the tile's row as a letter and its column as a number: B3.
func tileName(col, row int) string {
	name := ""
	for row >= 0 {
		name = string(rune('A'+row%26)) + name
		row = row/26 - 1
	}
	return fmt.Sprintf("%s%d", name, col+1)
}

// arrange puts the pieces on sheets: large ones tiled, small ones together. Which way up the paper
// goes is what takes fewer sheets.
func arrange(pieces []draw.Drawing, paper Paper) ([]sheet, error) {
	var sheets []sheet
	var small []int
	for i, d := range pieces {
		size := r2.Sub(d.Box.Max, d.Box.Min)
		if !(size.X > 0 && size.Y > 0) || math.IsInf(size.X, 0) || math.IsInf(size.Y, 0) {
			return nil, fmt.Errorf("%s has no size that can be printed", d.Title)
		}
		if fits(size, paper) || !paper.Roll && fits(size, paper.turned()) {
			small = append(small, i)
			continue
		}
		t, err := tile(i, d, paper)
		if err != nil {
			return nil, err
		}
		sheets = t.append(sheets, d)
		if len(sheets) > mostSheets {
			return nil, fmt.Errorf("%s brings the set past %d sheets: take larger paper or look for a wrong unit", d.Title, mostSheets)
		}
	}
	return append(sheets, share(pieces, small, paper)...), nil
}

// fits tells whether a piece goes on one sheet of the paper as it lies, turned or not.
func fits(size r2.Vec, paper Paper) bool {
	w, h := paper.window()
	return size.X <= w && size.Y <= h || size.Y <= w && size.X <= h
}

// tile cuts a large piece into windows that overlap.
func tile(piece int, d draw.Drawing, paper Paper) (*tiling, error) {
	best := newTiling(piece, d, paper)
	if !paper.Roll {
		if other := newTiling(piece, d, paper.turned()); other.cols*other.rows < best.cols*best.rows {
			best = other
		}
	}
	if best.cols*best.rows > mostSheets {
		return nil, fmt.Errorf("%s would take %d sheets of %s: take larger paper or look for a wrong unit", d.Title, best.cols*best.rows, paper.Name)
	}
	return best, nil
}

func newTiling(piece int, d draw.Drawing, paper Paper) *tiling {
	t := &tiling{piece: piece, paper: paper}
	x, y := t.step()
	size := r2.Sub(d.Box.Max, d.Box.Min)
	count := func(length, step float64) int {
		return int(math.Max(1, math.Min(mostSheets+1, math.Ceil((length-overlap)/step))))
	}
	t.cols, t.rows = count(size.X, x), count(size.Y, y)
	// The piece stands in the middle of all its tiles.
	t.origin = r2.Vec{
		X: d.Box.Min.X - (float64(t.cols)*x+overlap-size.X)/2,
		Y: d.Box.Min.Y - (float64(t.rows)*y+overlap-size.Y)/2,
	}
	return t
}

// append numbers the tiles that show something, row by row, and adds their sheets.
func (t *tiling) append(sheets []sheet, d draw.Drawing) []sheet {
	t.sheets = make([]int, t.cols*t.rows)
	t.shown = content(d)
	for row := range t.rows {
		for col := range t.cols {
			t.sheets[row*t.cols+col] = -1
			if !t.shown.in(t.tile(col, row)) {
				continue
			}
			t.sheets[row*t.cols+col] = len(sheets)
			sheets = append(sheets, sheet{paper: t.paper, tiled: t, col: col, row: row})
		}
	}
	return sheets
}

// shown is what of a drawing takes up paper: runs of short steps and boxes of words.
type shown struct {
	rings [][]r2.Vec
	runs  [][]r2.Vec
	words [][4]r2.Vec
}

func content(d draw.Drawing) shown {
	var s shown
	for _, it := range d.Items {
		switch it := it.(type) {
		case draw.Area:
			s.rings = append(s.rings, draw.Ring(it.Outline))
		case draw.Stroke:
			s.runs = append(s.runs, steps(it.Path))
		case draw.Label:
			s.words = append(s.words, it.Corners(d.Em))
		}
	}
	return s
}

// in tells whether a window shows any of it; the inside of a panel counts, for it holds the
// taped sheets together.
func (s shown) in(window r2.Box) bool {
	box := corners(window)
	mid := r2.Scale(0.5, r2.Add(window.Min, window.Max))
	for _, ring := range s.rings {
		if crosses(box, ring, true) || within(mid, ring) {
			return true
		}
	}
	return s.marks(box)
}

// fills tells whether a window lies inside of one ring, so that no part of it is free.
func (s shown) fills(window r2.Box) bool {
	box := corners(window)
	mid := r2.Scale(0.5, r2.Add(window.Min, window.Max))
	return slices.ContainsFunc(s.rings, func(ring []r2.Vec) bool { return !crosses(box, ring, true) && within(mid, ring) })
}

// marks tells whether lines or words stand in a box.
func (s shown) marks(box [4]r2.Vec) bool {
	for _, run := range s.runs {
		if crosses(box, run, false) {
			return true
		}
	}
	for _, w := range s.words {
		if draw.Overlap(box, w) {
			return true
		}
	}
	return false
}

func corners(b r2.Box) [4]r2.Vec {
	return [4]r2.Vec{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
}

// share packs small pieces on sheets; whichever way up the paper takes fewer sheets, but for those
// that fit one way only.
func share(pieces []draw.Drawing, small []int, paper Paper) []sheet {
	if paper.Roll {
		return pack(pieces, small, paper)
	}
	lying := paper.turned()
	var onlyUp, onlyLying, either []int
	for _, i := range small {
		size := r2.Sub(pieces[i].Box.Max, pieces[i].Box.Min)
		switch {
		case !fits(size, lying):
			onlyUp = append(onlyUp, i)
		case !fits(size, paper):
			onlyLying = append(onlyLying, i)
		default:
			either = append(either, i)
		}
	}
	mostUp := append(pack(pieces, slices.Concat(onlyUp, either), paper), pack(pieces, onlyLying, lying)...)
	mostLying := append(pack(pieces, onlyUp, paper), pack(pieces, slices.Concat(onlyLying, either), lying)...)
	if len(mostLying) < len(mostUp) {
		return mostLying
	}
	return mostUp
}

// shelf is a row of pieces on a sheet.
type shelf struct {
	sheet        int
	x, y, height float64 // next free x; foot of the shelf, measured down from the window's top
}

// newest shelves that are looked at for room: keeps the packing linear in the number of pieces.
const openShelves = 16

// pack stands pieces on shelves, the tallest first.
func pack(pieces []draw.Drawing, small []int, paper Paper) []sheet {
	w, h := paper.window()
	type block struct {
		piece, quarters int
		size            r2.Vec
	}
	blocks := make([]block, len(small))
	for i, n := range small {
		b := block{piece: n, size: r2.Sub(pieces[n].Box.Max, pieces[n].Box.Min)}
		if b.size.X > w || b.size.Y > h {
			b.size.X, b.size.Y, b.quarters = b.size.Y, b.size.X, 1
		}
		blocks[i] = b
	}
	slices.SortStableFunc(blocks, func(a, b block) int { return cmp.Compare(b.size.Y, a.size.Y) })
	var sheets []sheet
	var shelves []shelf
	for _, b := range blocks {
		s := room(shelves, b.size, w)
		if s < 0 {
			next := shelf{sheet: len(sheets), height: b.size.Y}
			if n := len(shelves); n > 0 && shelves[n-1].y+shelves[n-1].height+apart+b.size.Y <= h {
				next.sheet, next.y = shelves[n-1].sheet, shelves[n-1].y+shelves[n-1].height+apart
			} else {
				sheets = append(sheets, sheet{paper: paper})
			}
			shelves = append(shelves, next)
			s = len(shelves) - 1
		}
		put := &shelves[s]
		low := r2.Vec{X: margin + put.x, Y: paper.Height - margin - put.y - b.size.Y}
		put.x += b.size.X + apart
		on := &sheets[put.sheet]
		on.on = append(on.on, lay(b.piece, pieces[b.piece], low, b.quarters))
	}
	if paper.Roll {
		for i := range sheets {
			sheets[i].cutOff()
		}
	}
	return sheets
}

// room finds a shelf among the newest that takes a piece, or -1.
func room(shelves []shelf, size r2.Vec, width float64) int {
	for i := max(0, len(shelves)-openShelves); i < len(shelves); i++ {
		if s := shelves[i]; size.Y <= s.height && s.x+size.X <= width {
			return i
		}
	}
	return -1
}

// lay puts a drawing's box with its lower left corner at a place of the page.
func lay(piece int, d draw.Drawing, low r2.Vec, quarters int) laid {
	size := r2.Sub(d.Box.Max, d.Box.Min)
	corner := d.Box.Min // the corner of the drawing that comes to lie lowest and leftmost
	if quarters == 1 {
		// (x, y) turns to (−y, x): the box's upper left corner becomes the lower left one.
		corner = r2.Vec{X: -d.Box.Max.Y, Y: d.Box.Min.X}
		size.X, size.Y = size.Y, size.X
	}
	return laid{piece: piece, quarters: quarters, shift: r2.Sub(low, corner), box: r2.Box{Min: low, Max: r2.Add(low, size)}}
}

// cutOff shortens a sheet of a roll to what lies on it.
func (s *sheet) cutOff() {
	low := s.paper.Height
	for _, l := range s.on {
		low = math.Min(low, l.box.Min.Y)
	}
	spare := low - margin - foot
	s.paper.Height -= spare
	for i := range s.on {
		l := &s.on[i]
		l.shift.Y -= spare
		l.box.Min.Y -= spare
		l.box.Max.Y -= spare
	}
}
