// Package part holds the piece that is cut: the outlines of both faces, its named edges with their
// bevels, its material, hand and count, and where the journal says so. Everything after the kinds
// (ledger, checks, templates, layouts) reads parts and needs to know no kind.
//
// Millimetres, radians, grams. The show face is the outside, seen from outside; the back face is
// towards the body. Bevel β is the angle of the cut from square: β > 0 makes the back face the
// smaller one, β < 0 (a hollow corner) the larger. Run r = t·tan β; cut width w = t/cos β.
package part

import (
	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
	"bevelbook/calc/source"
)

// Hand says which hands of a part are made.
type Hand string

// The hands a maker may ask for.
const (
	Auto  Hand = ""      // geometry decides: one shape if it is its own mirror image
	Left  Hand = "left"  // as drawn, for the left only
	Right Hand = "right" // as drawn, for the right only
	Pair  Hand = "pair"  // drawn as the left one, mirrored for the right
)

// Edge is one edge of a part with all that the bench needs of it.
type Edge struct {
	Name       string
	Length     float64 // on the show face, mm
	BackLength float64 // on the back face, mm
	Bevel      float64 // β, radians
	Run        float64 // t·tan β, mm; positive moves the back edge inwards
	CutWidth   float64 // t/cos β, mm
	Meets      string  // the edge that it meets, "right.left" or "", for figures and templates
	Letter     string  // the same letter stands on both edges that meet, or ""
	// Matches are where match marks stand: distances in mm along the show edge from where it starts.
	// Edges that meet run against each other, so the other edge's are its length less these.
	Matches []float64
}

// Side is one edge of a part as a seam sees it.
type Side struct {
	Part       string  // "forearm.cheek", as PartID writes it
	Edge       string  // its name on the part
	Length     float64 // on the show face, mm
	BackLength float64 // on the back face, mm
	Bevel      float64 // β, radians
	CutWidth   float64 // mm
}

// Seam is two edges that meet.
type Seam struct {
	A, B     Side
	Letter   string  // the letter on both, or ""
	Dihedral float64 // δ, the inner angle between the panels, radians; 0 if nothing says it
	Butt     bool    // one panel runs through and the other stands against it: no shared bevel
	GlueArea float64 // of one of the two cut faces, mm²
	Order    int     // when it is glued, from 1; 0 if nothing says it
	At       source.Span
}

// Feature is a named outline, path or point on the show face.
type Feature struct {
	Name  string
	Shape shape.Outline // holes
	Path  shape.Path    // lines
	At    r2.Vec        // marks
}

// Part is one cut piece, drawn as one hand, with what is needed of it.
type Part struct {
	Section string // "" in the journal's own space
	Name    string // the block's name, or block.panel in a shell
	Layer   string // for a piece of a stack: its layer's name; "" otherwise
	At      source.Span
	Block   string // name of the block that made it

	Material  string  // block name of the material, "" for a bare thickness
	Thickness float64 // mm
	Density   float64 // g/mm³, 0 if unknown
	Depth     float64 // of the layer's show side below the stack's show face, mm
	Trim      float64 // allowance added all round to a layer that is trimmed after gluing, mm

	Show, Back shape.Outline
	Edges      []Edge // as in Show.Edges, same order
	Holes      []Feature
	Lines      []Feature
	Marks      []Feature
	Grained    bool    // the sheet has a grain or texture
	Grain      float64 // where it runs on the show face, radians counter-clockwise from level; either way along
	Trace      string  // "back" when the template is traced on the back face

	Hand  Hand
	Count int  // for each hand, for each side of the section
	Worn  bool // one of its faces is towards the body
	// StackWorn: the stack that it is cut from says itself that it is worn, and is checked there.
	StackWorn bool
	// Odd names edges whose bevel differs from all their likes and so wants a cross on the template.
	Odd []string

	Area     float64 // show face less holes, mm²
	BackArea float64 // back face less holes, mm²
	Volume   float64 // mm³
	Weight   float64 // g, 0 if the density is unknown
	// SelfMirrored is found by geometry: outline, bevels, holes, lines and marks.
	SelfMirrored bool
	// FromPrivate is set when a private measurement shaped the part: its workings are not published.
	FromPrivate bool
}

// MirrorTolerance is how far, in mm, two outlines may differ and still be the same cut: well below
// what a blade in foam can follow.
const MirrorTolerance = 0.01

// Figure is what makes a part differ from its mirror image: outline, bevels, holes, lines, marks.
func (p Part) Figure() shape.Figure {
	f := shape.Figure{Outline: p.Show}
	for _, e := range p.Edges {
		f.Bevels = append(f.Bevels, e.Bevel)
	}
	for _, h := range p.Holes {
		f.Holes = append(f.Holes, h.Shape)
	}
	for _, l := range p.Lines {
		f.Lines = append(f.Lines, l.Path)
	}
	for _, m := range p.Marks {
		f.Marks = append(f.Marks, m.At)
	}
	return f
}
