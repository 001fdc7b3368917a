// Package trace reads outlines that a maker drew, or drew over a scan, from an SVG file: paths and the
// basic shapes, in groups, with transforms, viewBox and physical units (SVG 2, chapters 7 to 10).
//
// What comes out is in mm, x right, y up, from the lower left corner of the drawing's page, so that an
// outline and its holes read from one file lie where they were drawn. The package executes nothing,
// expands no entity and follows no reference; what it passes over it names. It imports nothing of ours
// but shape.
package trace

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// The limits of what is read. A drawing of a part stays far below them.
const (
	maxBytes    = 8 << 20
	maxElements = 200_000
	maxDepth    = 64
)

// Drawing is an SVG file as read.
type Drawing struct {
	page   page
	shapes []figure
	names  []string        // of everything that has an id, in the order of the file
	groups map[string]bool // the ids of groups
	left   []string        // what was passed over in the whole file
}

// figure is one element that draws.
type figure struct {
	kind    string
	ids     []string // its own id and those of the groups around it, "" left out
	attrs   map[string]string
	move    affine
	strange string // why it cannot be read, ""
}

// id is the element's own name.
func (f figure) id() string { return f.attrs["id"] }

// Line is one run of a figure: closed, or from end to end.
type Line struct {
	shape.Path
	Closed bool
}

// Read reads a file. Errors: too large, no SVG, XML that is broken; each says where.
func Read(data []byte) (*Drawing, error) {
	if len(data) > maxBytes {
		return nil, fmt.Errorf("the file has more than %d MB", maxBytes>>20)
	}
	r := reader{dec: xml.NewDecoder(bytes.NewReader(data)), out: &Drawing{groups: map[string]bool{}}}
	for {
		token, err := r.dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil {
			err = r.token(token)
		}
		if err != nil {
			line, column := r.dec.InputPos()
			if broken := (*xml.SyntaxError)(nil); errors.As(err, &broken) {
				err = errors.New(broken.Msg)
			}
			return nil, fmt.Errorf("line %d, column %d: %w", line, column, err)
		}
	}
	if !r.begun {
		return nil, errors.New("it holds no svg element")
	}
	return r.out, nil
}

// reader walks one file.
type reader struct {
	dec      *xml.Decoder
	out      *Drawing
	open     []level
	elements int
	begun    bool
}

// level is an open element with what it hands on to those inside.
type level struct {
	id      string
	move    affine
	style   bool   // its text is style rules
	strange string // why nothing inside can be read, ""
}

// svgSpace is the namespace of SVG; elements of others are notes of the program that wrote the file.
const svgSpace = "http://www.w3.org/2000/svg"

func (r *reader) token(t xml.Token) error {
	switch t := t.(type) {
	case xml.StartElement:
		return r.start(t)
	case xml.EndElement:
		r.open = r.open[:len(r.open)-1]
	case xml.CharData:
		if n := len(r.open); n > 0 && r.open[n-1].style && bytes.Contains(t, []byte("transform")) {
			r.leave("transforms in style rules are not followed")
		}
	case xml.Directive:
		if bytes.Contains(t, []byte("ENTITY")) {
			r.leave("entities that the file declares are not expanded")
		}
	}
	return nil
}

func (r *reader) leave(format string, args ...any) {
	const most = 20
	if text := fmt.Sprintf(format, args...); len(r.out.left) < most {
		r.out.left = append(r.out.left, text)
	}
}

// drawn are the elements whose lines are read, and those that only hold others.
var (
	drawn   = map[string]bool{"path": true, "rect": true, "circle": true, "ellipse": true, "line": true, "polyline": true, "polygon": true}
	holders = map[string]bool{"svg": true, "g": true, "defs": true, "a": true, "switch": true, "symbol": true, "clipPath": true, "mask": true, "marker": true, "pattern": true}
	// silent elements draw no line of their own.
	silent = map[string]bool{"title": true, "desc": true, "metadata": true, "style": true, "script": true, "stop": true, "linearGradient": true, "radialGradient": true, "view": true}
)

func (r *reader) start(t xml.StartElement) error {
	if r.elements++; r.elements > maxElements {
		return fmt.Errorf("more than %d elements", maxElements)
	}
	if len(r.open) >= maxDepth {
		return fmt.Errorf("elements lie more than %d deep in each other", maxDepth)
	}
	attrs := map[string]string{}
	for _, a := range t.Attr {
		if a.Name.Space == "" {
			attrs[a.Name.Local] = a.Value
		}
	}
	name := t.Name.Local
	if len(r.open) == 0 {
		return r.root(t, attrs)
	}
	here := r.open[len(r.open)-1]
	l := level{id: attrs["id"], move: here.move, style: name == "style", strange: here.strange}
	ours := t.Name.Space == svgSpace || t.Name.Space == ""
	switch {
	case !ours:
		l.strange = "it is not SVG"
	case name == "svg":
		l.strange = "it lies in an svg inside of the svg"
	case styled(attrs["style"]):
		l.strange = "its style moves or draws it; write that as transform or d"
	}
	m, err := transforms(attrs["transform"])
	if err != nil {
		l.strange = err.Error()
	}
	l.move = here.move.after(m)
	if ours {
		r.note(name, attrs, l)
	}
	r.open = append(r.open, l)
	return nil
}

// note keeps an element that draws, and the name of any.
func (r *reader) note(name string, attrs map[string]string, l level) {
	if l.id != "" {
		r.out.names = append(r.out.names, l.id)
		if holders[name] {
			r.out.groups[l.id] = true
		}
	}
	if holders[name] || silent[name] {
		return
	}
	f := figure{kind: name, attrs: attrs, move: l.move, strange: l.strange}
	if !drawn[name] {
		f.strange = "what " + article(name) + " draws is not read"
	}
	for _, o := range append(r.open, l) {
		if o.id != "" {
			f.ids = append(f.ids, o.id)
		}
	}
	r.out.shapes = append(r.out.shapes, f)
}

// article puts "a" or "an" before an element's name.
func article(name string) string {
	if name != "use" && strings.IndexByte("aeiou", name[0]) >= 0 {
		return "an " + name
	}
	return "a " + name
}

// styled tells whether a style attribute holds geometry, which CSS may.
func styled(style string) bool {
	for rule := range strings.SplitSeq(style, ";") {
		name, value, _ := strings.Cut(rule, ":")
		switch strings.TrimSpace(name) {
		case "transform", "translate", "rotate", "scale", "d", "offset-path":
			return strings.TrimSpace(value) != "none"
		}
	}
	return false
}

// root reads the outermost element: it must be svg, and gives the page.
func (r *reader) root(t xml.StartElement, attrs map[string]string) error {
	if t.Name.Local != "svg" || r.begun {
		return fmt.Errorf("the outermost element is %s, not svg", t.Name.Local)
	}
	p, err := readPage(attrs)
	if err != nil {
		return err
	}
	r.out.page, r.begun = p, true
	r.open = append(r.open, level{move: p.toMM})
	return nil
}

// Sized tells whether the file says how large it is in real units; without, or in px, a unit of it is
// counted as 1/96 in (CSS Values and Units 3, 6.2).
func (d *Drawing) Sized() bool { return d.page.sized }

// Left names what was passed over in the file.
func (d *Drawing) Left() []string { return d.left }

// Names lists the ids in the file, in its order.
func (d *Drawing) Names() []string { return d.names }

// find lists the figures of an id, its own or those of a group.
func (d *Drawing) find(id string) []figure {
	var list []figure
	for _, f := range d.shapes {
		for _, name := range f.ids {
			if name == id {
				list = append(list, f)
				break
			}
		}
	}
	return list
}

// Lines reads the figure of an id, or all figures of a group, in mm. left names what of a group was
// passed over. Errors: no such id, nothing that can be read, path data that is broken.
func (d *Drawing) Lines(id string) (lines []Line, left []string, err error) {
	found := d.find(id)
	if len(found) == 0 {
		return nil, nil, &Unknown{ID: id, Names: d.names}
	}
	for _, f := range found {
		if f.strange != "" {
			if !d.groups[id] {
				return nil, nil, errors.New(f.strange)
			}
			left = append(left, fmt.Sprintf("%s: %s", f.named(), f.strange))
			continue
		}
		got, err := f.lines()
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", f.named(), err)
		}
		lines = append(lines, got...)
	}
	if len(lines) == 0 {
		return nil, left, errors.New("it draws no line that can be read")
	}
	return lines, left, nil
}

// named is the figure for people.
func (f figure) named() string {
	if id := f.id(); id != "" {
		return f.kind + " " + id
	}
	return f.kind
}

// Point reads the place of an id, in mm: the middle of a circle, an ellipse or a rect, else the start
// of its line.
func (d *Drawing) Point(id string) (r2.Vec, error) {
	found := d.find(id)
	switch {
	case len(found) == 0:
		return r2.Vec{}, &Unknown{ID: id, Names: d.names}
	case len(found) > 1:
		return r2.Vec{}, errors.New("it is a group of several figures, not one place")
	case found[0].strange != "":
		return r2.Vec{}, errors.New(found[0].strange)
	}
	return found[0].place()
}

// Unknown is the error of an id that the file does not have.
type Unknown struct {
	ID    string
	Names []string
}

// Error names the id.
func (u *Unknown) Error() string { return fmt.Sprintf("nothing in it has the id %s", u.ID) }
