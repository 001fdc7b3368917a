package draw

import (
	"math"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// TextWidth guesses the width of words in their own height: 0.56 a character, about right for
// the digits and small letters of a plain sans-serif face.
func TextWidth(text string) float64 { return 0.56 * float64(utf8.RuneCountInString(text)) }

// ReadableEm is the lettering height for a figure of this extent that stays legible on a narrow
// page: 12 px when the figure is 340 px wide and at most 512 px high.
func ReadableEm(box r2.Box) float64 {
	return math.Max((box.Max.X-box.Min.X)/28, (box.Max.Y-box.Min.Y)/42)
}

// Fit sets the drawing's Em and Box so that everything in it shows and reads, with a margin of that
// many Em all round. Dimensions too near the object or on top of each other are moved outwards.
// A drawing without extent gets a box of 1 mm.
func Fit(d *Drawing, margin float64) {
	bare := empty()
	for _, it := range d.Items {
		bare = union(bare, Extent(it, 0))
	}
	// Lettering grows with the box and the box with its lettering; a handful of rounds settles it.
	// Long words would never settle: the bound keeps the object at two fifths of the width at least.
	d.Em = orOne(ReadableEm(bare))
	limit := 2.5 * d.Em
	items := d.Items
	for range 12 {
		d.Items = items
		Frame(d, d.Em, margin)
		next := math.Min(orOne(ReadableEm(d.Box)), limit)
		if math.Abs(next-d.Em) < 0.005*d.Em {
			break
		}
		d.Em = next
	}
}

// Frame sets the drawing's Box so that everything in it shows with lettering em mm high, with a margin of
// that many Em all round, and moves dimensions outwards as Fit does.
func Frame(d *Drawing, em, margin float64) {
	d.Em, d.Items = em, spread(d.Items, em)
	d.Box = empty()
	for _, it := range d.Items {
		d.Box = union(d.Box, Extent(it, em))
	}
	pad := r2.Vec{X: margin * em, Y: margin * em}
	d.Box = r2.Box{Min: r2.Sub(d.Box.Min, pad), Max: r2.Add(d.Box.Max, pad)}
	if !(d.Box.Max.X > d.Box.Min.X) || !(d.Box.Max.Y > d.Box.Min.Y) {
		d.Box = r2.Box{Max: r2.Vec{X: 1, Y: 1}}
	}
}

func orOne(x float64) float64 {
	if x > 0 && !math.IsInf(x, 0) {
		return x
	}
	return 1
}

// Extent is the box around an item with lettering em mm high; em 0 leaves lettering out.
// An item without extent gives a box whose Min exceeds its Max.
func Extent(it Item, em float64) r2.Box {
	switch it := it.(type) {
	case Stroke:
		return ofSegs(include(empty(), it.Path.Start), it.Path.Start, it.Path.Segs)
	case Area:
		return OfOutline(it.Outline)
	case Point:
		return include(empty(), it.At)
	case Label:
		return it.extent(em)
	case Dimension:
		box := include(include(empty(), it.A), it.B)
		if em > 0 {
			lines, label := it.Drawn(em)
			box = union(ofLines(box, lines), label.extent(em))
		}
		return box
	case Angle:
		arc, lines, label := it.Drawn(em)
		box := ofSegs(include(empty(), arc.Start), arc.Start, arc.Segs)
		return union(ofLines(box, lines), label.extent(em))
	}
	return empty()
}

// extent is the box around the label's words.
func (l Label) extent(em float64) r2.Box {
	box := empty()
	if em == 0 || l.Text == "" {
		return box
	}
	for _, c := range l.Corners(em) {
		box = include(box, c)
	}
	return box
}

// Corners of the box around the words with lettering em mm high; they stand centred on At in height.
func (l Label) Corners(em float64) [4]r2.Vec {
	if l.Size > 0 {
		em *= l.Size
	}
	w := em * TextWidth(l.Text)
	left := -w / 2
	switch l.Anchor {
	case Start:
		left = 0
	case End:
		left = -w
	}
	sin, cos := math.Sincos(l.Angle)
	dir, up := r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	from, to := along(l.At, dir, left), along(l.At, dir, left+w)
	return [4]r2.Vec{along(from, up, -em*0.6), along(to, up, -em*0.6), along(to, up, em*0.6), along(from, up, em*0.6)}
}

// OfOutline is the box around an outline, curves included.
func OfOutline(o shape.Outline) r2.Box {
	box, from := empty(), o.Start
	for _, e := range o.Edges {
		box = ofSegs(include(box, from), from, e.Segs)
		if n := len(e.Segs); n > 0 {
			from = e.Segs[n-1].End
		}
	}
	return box
}

func ofLines(box r2.Box, lines []Line) r2.Box {
	for _, l := range lines {
		box = include(include(box, l.A), l.B)
	}
	return box
}

func ofSegs(box r2.Box, from r2.Vec, segs []shape.Seg) r2.Box {
	for _, s := range segs {
		box = include(box, s.End)
		switch s.Kind {
		case shape.Arc:
			box = ofArc(box, from, s)
		case shape.Cubic: // its control points hold it: close enough for a box to look at
			box = include(include(box, s.C1), s.C2)
		}
		from = s.End
	}
	return box
}

// ofArc adds the points of an arc that lie farthest left, right, up and down.
func ofArc(box r2.Box, from r2.Vec, s shape.Seg) r2.Box {
	c, r, ok := ArcCentre(from, s)
	if !ok {
		return box
	}
	start := math.Atan2(from.Y-c.Y, from.X-c.X)
	sweep := 4 * math.Atan(s.Bulge)
	for q := range 4 {
		angle := float64(q) * math.Pi / 2
		turn := math.Mod(angle-start, 2*math.Pi)
		if sweep > 0 && turn < 0 {
			turn += 2 * math.Pi
		} else if sweep < 0 && turn > 0 {
			turn -= 2 * math.Pi
		}
		if math.Abs(turn) <= math.Abs(sweep) {
			box = include(box, r2.Vec{X: c.X + r*math.Cos(angle), Y: c.Y + r*math.Sin(angle)})
		}
	}
	return box
}

// ArcCentre finds the circle of an arc that leads from a point; not ok when it is straight.
func ArcCentre(from r2.Vec, s shape.Seg) (centre r2.Vec, radius float64, ok bool) {
	chord := r2.Sub(s.End, from)
	length := math.Hypot(chord.X, chord.Y)
	if length == 0 || s.Bulge == 0 {
		return r2.Vec{}, 0, false
	}
	// The centre stands (1−b²)/(4b) chords to the left of the chord's middle.
	k := (1 - s.Bulge*s.Bulge) / (4 * s.Bulge)
	centre = r2.Vec{
		X: (from.X+s.End.X)/2 - k*chord.Y,
		Y: (from.Y+s.End.Y)/2 + k*chord.X,
	}
	return centre, math.Abs(length * (1 + s.Bulge*s.Bulge) / (4 * s.Bulge)), true
}

func empty() r2.Box {
	inf := math.Inf(1)
	return r2.Box{Min: r2.Vec{X: inf, Y: inf}, Max: r2.Vec{X: -inf, Y: -inf}}
}

// include stretches a box to a point; a point that is not finite is left out.
func include(b r2.Box, p r2.Vec) r2.Box {
	if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
		return b
	}
	b.Min.X, b.Min.Y = min(b.Min.X, p.X), min(b.Min.Y, p.Y)
	b.Max.X, b.Max.Y = max(b.Max.X, p.X), max(b.Max.Y, p.Y)
	return b
}

func union(a, b r2.Box) r2.Box {
	return r2.Box{
		Min: r2.Vec{X: min(a.Min.X, b.Min.X), Y: min(a.Min.Y, b.Min.Y)},
		Max: r2.Vec{X: max(a.Max.X, b.Max.X), Y: max(a.Max.Y, b.Max.Y)},
	}
}
