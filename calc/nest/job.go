package nest

import (
	"errors"
	"fmt"
	"math"

	"bevelbook/calc/shape"

	"gonum.org/v1/gonum/spatial/r2"
)

// Turns says how an item may be turned from how it was drawn.
type Turns uint8

// The turns a material allows.
const (
	Any     Turns = iota // every angle
	Quarter              // 0°, 90°, 180°, 270°
	Half                 // 0°, 180°: a grain that has no arrow
	None                 // as drawn
)

// Item is one outline and how many copies of it are wanted.
type Item struct {
	Name    string
	Outline []r2.Vec   // a simple polygon in either sense, the first point not repeated
	Holes   [][]r2.Vec // simple polygons inside of it, clear of one another
	Slack   float64    // mm by which the true outline may reach beyond the polygon, at most
	Count   int
	Turns   Turns
}

// Sheet is one size of sheet. It is a rectangle from the origin, or the outline if there is one.
type Sheet struct {
	Name          string
	Width, Height float64
	Outline       []r2.Vec // a simple polygon, for an offcut that is no rectangle
	Count         int      // how many there are; 0: as many as are needed
}

// Job is what is to be laid on what.
type Job struct {
	Items  []Item
	Sheets []Sheet // in the order in which they are to be used up: offcuts first
	Gap    float64 // mm between parts at least: the kerf
	Margin float64 // mm from a part to the rim of the sheet at least
	// FillHoles lets small parts lie in the holes of large ones.
	FillHoles bool
}

// Effort is how long to search, in placements tried, and what to tell meanwhile.
type Effort struct {
	Steps  int64  // placements that each start may try out beyond the first layout; 0: the first layout as it is
	Starts int    // independent searches side by side, of which the best counts; 0 is 1
	Random uint64 // where the sequence of random numbers begins
	// Spent measures the effort by something else than steps, such as time: the share that is used up. The search
	// ends at 1, and it plans by the larger of the two shares. As with Stop, the result depends on the moment.
	Spent func() float64
	// Stop ends the search early when it returns true; it is asked often and by several goroutines at
	// once. A search that it ends depends on the moment.
	Stop func() bool
	// Progress hears of each better layout and now and then in between; one call at a time.
	Progress func(Progress)
}

// Progress is how far a search has come.
type Progress struct {
	Done   float64 // share of the steps used, 0 to 1
	Sheets int     // used by the best layout so far
	Length float64 // on the last of them
}

// Placement is one copy on one sheet. Move turns the item's own coordinates about their origin, then
// shifts them, to the sheet's; it never mirrors.
type Placement struct {
	Item, Copy int // places in Job.Items, and 0 to Count-1
	Sheet      int // place in Layout.Sheets
	Move       shape.Motion
}

// Used is one sheet that carries parts.
type Used struct {
	Sheet  int     // place in Job.Sheets
	Number int     // which of those, from 0
	Area   float64 // of the parts on it, holes taken off
	Share  float64 // that area over the sheet's, 0 to 1
	Length float64 // from the sheet's left side to the right end of its parts
}

// Reason is why a copy was left out.
type Reason uint8

// The reasons.
const (
	TooLarge Reason = iota // for every sheet, in every turn it may have
	NoRoom                 // on the sheets that there are
)

// String is the reason as the end of a sentence about the part.
func (r Reason) String() string {
	if r == NoRoom {
		return "finds no room on the sheets there are"
	}
	return "is larger than every sheet"
}

// Left is a copy that found no place.
type Left struct {
	Item, Copy int
	Reason     Reason
}

// Layout is where everything lies. Placements are sorted by sheet, item and copy.
type Layout struct {
	Placed []Placement
	Sheets []Used
	Left   []Left
	Steps  int64 // placements tried by the start that won
}

// Length is the length used on the last sheet; 0 without any.
func (l Layout) Length() float64 {
	if len(l.Sheets) == 0 {
		return 0
	}
	return l.Sheets[len(l.Sheets)-1].Length
}

// The limits of what is laid out; anything beyond is refused with a sentence.
const (
	maxCopies = 20_000
	maxRing   = 100_000 // points of one ring
	maxSize   = 1e6     // mm: no coordinate is larger
	leastArea = 1e-9    // mm²: a ring with less encloses nothing
)

// FromOutline makes an item of an outline and its holes. Curves become chords that stray by tol mm at
// most, and that is the item's slack; straight outlines have none.
func FromOutline(name string, o shape.Outline, holes []shape.Outline, tol float64) Item {
	it := Item{Name: name, Outline: o.Flatten(tol), Count: 1}
	curved := isCurved(o)
	for _, h := range holes {
		it.Holes = append(it.Holes, h.Flatten(tol))
		curved = curved || isCurved(h)
	}
	if curved {
		it.Slack = tol
	}
	return it
}

func isCurved(o shape.Outline) bool {
	for _, e := range o.Edges {
		for _, s := range e.Segs {
			if s.Kind == shape.Cubic || s.Kind == shape.Arc && s.Bulge != 0 {
				return true
			}
		}
	}
	return false
}

// valid refuses what cannot be laid out, naming it.
func (j Job) valid() error {
	if !(j.Gap >= 0 && j.Gap <= maxSize) {
		return fmt.Errorf("the gap between parts is %g mm; it must be 0 or more", j.Gap)
	}
	if !(j.Margin >= 0 && j.Margin <= maxSize) {
		return fmt.Errorf("the margin is %g mm; it must be 0 or more", j.Margin)
	}
	copies := 0
	for i, it := range j.Items {
		if err := it.valid(); err != nil {
			return fmt.Errorf("%s: %w", named(it.Name, "item", i), err)
		}
		if copies += it.Count; copies > maxCopies {
			return fmt.Errorf("there are more than %d parts to lay out", maxCopies)
		}
	}
	for i, s := range j.Sheets {
		if err := s.valid(); err != nil {
			return fmt.Errorf("%s: %w", named(s.Name, "sheet", i), err)
		}
	}
	return nil
}

func named(name, what string, i int) string {
	if name != "" {
		return name
	}
	return fmt.Sprintf("%s %d", what, i+1)
}

func (it Item) valid() error {
	switch {
	case it.Count < 0 || it.Count > maxCopies:
		return fmt.Errorf("%d copies; there can be 0 to %d", it.Count, maxCopies)
	case !(it.Slack >= 0 && it.Slack <= maxSize):
		return fmt.Errorf("the slack is %g mm; it must be 0 or more", it.Slack)
	case it.Turns > None:
		return errors.New("unknown turns")
	}
	if err := validRing(it.Outline); err != nil {
		return err
	}
	for k, h := range it.Holes {
		if err := validRing(h); err != nil {
			return fmt.Errorf("hole %d: %w", k+1, err)
		}
	}
	return nil
}

func (s Sheet) valid() error {
	if s.Count < 0 {
		return fmt.Errorf("%d sheets; there can be 0 (as many as needed) or more", s.Count)
	}
	if s.Outline != nil {
		return validRing(s.Outline)
	}
	if !(s.Width > 0 && s.Width <= maxSize) || !(s.Height > 0 && s.Height <= maxSize) {
		return fmt.Errorf("the sheet measures %g mm by %g mm; both must be more than 0 and at most %g mm", s.Width, s.Height, maxSize)
	}
	return nil
}

func validRing(ring []r2.Vec) error {
	if len(ring) < 3 {
		return fmt.Errorf("an outline needs three points; there are %d", len(ring))
	}
	if len(ring) > maxRing {
		return fmt.Errorf("the outline has %d points; the most is %d", len(ring), maxRing)
	}
	for _, p := range ring {
		if !(math.Abs(p.X) <= maxSize && math.Abs(p.Y) <= maxSize) {
			return fmt.Errorf("the point (%g, %g) is no place within %g mm", p.X, p.Y, maxSize)
		}
	}
	if math.Abs(ringArea(ring)) < leastArea {
		return errors.New("the outline encloses no area")
	}
	return nil
}
