// Package draw describes a drawing as data: strokes, fills, labels and dimensions in millimetres.
//
// x points right and y points up, as in the outlines of package shape; a writer that needs y down
// turns it itself. A drawing knows roles (what a line means), never colours, pens or formats: the
// figure writer maps roles to the theme, the template writers to pens and layers.
package draw

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// Role says what a mark means.
type Role string

// The roles. Writers give each a look; DXF gives each a layer.
const (
	Cut    Role = "cut"    // the blade follows it: the show face's outline
	Hole   Role = "hole"   // cut inside the part
	Back   Role = "back"   // the back face's outline, dashed
	Mark   Role = "mark"   // drawn on the part with a pen: lines, match marks, arrows
	Drill  Role = "drill"  // a centre to drill
	Dim    Role = "dim"    // dimension lines and their numbers
	Note   Role = "note"   // words on the part
	Name   Role = "name"   // the part's name: words, larger
	Body   Role = "body"   // filled foam in a section
	Body2  Role = "body2"  // filled foam of the neighbouring layer or panel
	Hatch  Role = "hatch"  // section hatching
	Centre Role = "centre" // centre and symmetry lines, chain-dotted
	Accent Role = "accent" // the one thing that the figure is about: an angle, an odd edge
	Wearer Role = "wearer" // the body side
)

// Shades are the roles of filled faces of a shape in space, from the one that looks brightest to the one
// that looks darkest. Filled areas of one shade that follow each other are one surface to a writer.
var Shades = [...]Role{"shade1", "shade2", "shade3", "shade4", "shade5"}

// IsShade tells whether a role is one of the shades.
func (r Role) IsShade() bool { return slices.Contains(Shades[:], r) }

// Drawing is one figure or one piece at full size.
type Drawing struct {
	Title string // short: becomes the SVG's title
	Desc  string // one or two sentences for people who cannot see it
	Box   r2.Box // what is to be seen, in mm
	// Em is the height of ordinary lettering in mm of the drawing; labels scale from it.
	// A figure that is shown 340 px wide stays legible when Em is about 1/28 of Box's width.
	Em    float64
	Items []Item
}

// Item is a Stroke, an Area, a Label or a Dimension.
type Item interface{ item() }

// Stroke is a line along a path.
type Stroke struct {
	Role Role
	Path shape.Path
}

// Area is a closed outline with holes, filled (Fill) or only stroked.
type Area struct {
	Role    Role
	Outline shape.Outline
	Holes   []shape.Outline
	Fill    bool
	Hatch   float64 // hatching angle in radians when Role is Hatch
}

// Anchor is the side of a label that stands at its point.
type Anchor int

// The anchors.
const (
	Middle Anchor = iota
	Start
	End
)

// Label is one line of words.
type Label struct {
	Role   Role
	At     r2.Vec
	Text   string
	Size   float64 // in Em; 0 means 1
	Angle  float64 // radians, counter-clockwise
	Anchor Anchor
}

// Dimension is a measured distance between two points, drawn Off mm to the left of A→B
// (negative: to the right) with extension lines, ticks and its text along the line.
type Dimension struct {
	A, B r2.Vec
	Off  float64
	Text string
}

// Angle is a measured angle: an arc of Radius mm about At, from From to To (radians,
// counter-clockwise), with its text outside the middle of the arc.
type Angle struct {
	At       r2.Vec
	Radius   float64
	From, To float64
	Text     string
}

// Point is a place without extent: a drill centre or a mark.
type Point struct {
	Role Role
	At   r2.Vec
}

func (Stroke) item()    {}
func (Area) item()      {}
func (Label) item()     {}
func (Dimension) item() {}
func (Angle) item()     {}
func (Point) item()     {}

// Add appends items.
func (d *Drawing) Add(items ...Item) { d.Items = append(d.Items, items...) }
