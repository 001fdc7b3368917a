package kind

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/mesh"
	"bevelbook/calc/unit"
)

var meshKind = Kind{
	Name: "mesh",
	Doc:  "a model of flat faces from a file, OBJ or STL, scaled, its faces turned into panels with bevels and seams",
	Keys: shellKeys(
		Key{Name: "model", Want: Words, Required: true, Doc: "the file, as in \"models/hood.obj\""},
		Key{Name: "unit", Want: Length, Doc: "what 1 in the file is; neither format says, so it is 1 mm unless this does"},
		Key{Name: "scale", Want: Number, Doc: "how many times as large it is made"},
		Key{Name: "width", Want: Length, Doc: "in place of a scale: how wide the model is made, along x"},
		Key{Name: "depth", Want: Length, Doc: "in place of a scale: how deep, along y"},
		Key{Name: "height", Want: Length, Doc: "in place of a scale: how high, along z"},
		Key{Name: "girth", Want: Length, Doc: "in place of a scale: the girth of what it goes around, taken as round, at the height that `around` says"},
		Key{Name: "around", Want: Number, Doc: "with a girth: where on the model, from 0 at its foot to 1 at its top; 50 % if it does not say"},
		Key{Name: "ease", Want: Length, Doc: "with a girth: the room between it and the inside"},
		Key{Name: "up", Want: Word, Words: []string{"z", "y"}, Doc: "the axis of the file that points up; z if it does not say"},
		Key{Name: "grow", Want: Word, Words: []string{"inwards", "outwards"}, Doc: "which way the wall grows: inwards from a model that is the outside, outwards from one that is the inside; inwards if it does not say"},
		Key{Name: "flat", Want: Length, Doc: "how far the corners of one panel may stray from its plane; 0.1 mm if it does not say"},
		Key{Name: "weld", Want: Length, Doc: "how near to each other corners are one; 0.01 mm if it does not say"},
		Key{Name: "rims", Want: Count, Doc: "how many open rims it is meant to have"},
		Key{Name: "open", Want: Names, Doc: "panels that are left out"},
	),
	Work: workMesh,
}

const (
	// NoModel is the fault of a model that cannot be read or that no foam can be cut from.
	NoModel = "no-model"
	// ModelOpen: open edges that the block does not count as rims.
	ModelOpen = "model-open"
	// ModelBent: faces of a file whose corners are not in one plane.
	ModelBent = "model-bent"
	// ModelMoved: corners that had to be moved for the panels to be flat, or that cannot follow the wall.
	ModelMoved = "model-moved"
	// ModelFaces: a face that touches itself or another one.
	ModelFaces = "model-faces"
)

// mostPanels is how many panels of one model anyone cuts: at ten minutes each, more than two months of
// full days. A model above it was not made for foam.
const mostPanels = 2000

func workMesh(b *Bench) {
	layers := b.panelLayers()
	path := string(b.Items("model")[0].(eval.Text))
	f := b.model(path)
	if b.Word("up", "z") == "y" {
		f.StandUp()
	}
	by := b.meshScale(f, layers)
	f.Scale(by)
	b.Give("scale", eval.Num(by, unit.None), "mm for 1 in the file", "")
	o := mesh.Options{Weld: b.Num("weld", 0.01), Flat: b.Num("flat", 0.1), Most: mostPanels}
	b.meshBent(f)
	triangles := len(f.Tri)
	m, flaws := f.Build(o)
	b.meshFlaws(flaws, triangles)
	b.Give("triangles", eval.Num(float64(triangles), unit.None), "", "")
	b.Give("panels", eval.Num(float64(len(m.Panels)), unit.None), "", "")
	if len(m.Rims) == 0 {
		b.Quiet("model_volume", eval.Num(m.Volume, unit.Volume))
	}
	b.meshRims(m)
	b.meshMoved(m, o.Flat)
	s, family := meshShell(m)
	s.Inside = b.Word("grow", "inwards") == "outwards"
	b.walled(s, layers)
	b.meshCorners(m, layers.total, s.Inside)
	for i := len(m.Panels); i < len(s.Faces); i++ {
		s.Faces[i].Open = true
	}
	b.shell(shellWork{shell: s, layers: layers, family: func(face string) string { return family[face] }})
}

// model reads the file.
func (b *Bench) model(path string) *mesh.Facets {
	at := b.Where("model")
	data, err := b.File(path)
	if errors.Is(err, eval.ErrNoFile) {
		b.Fail(NoModel, at, "Write its path from the journal's folder, as in models/hood.obj", "there is no file %s", path)
	}
	if err != nil {
		b.Fail(NoModel, at, "Put the model into the journal's models folder", "%s cannot be read: %v", path, err)
	}
	f, err := mesh.Read(path, data)
	if fault := (*mesh.Fault)(nil); errors.As(err, &fault) {
		b.Fail(NoModel, at, fault.Help, "%s cannot be read: %v", path, fault)
	}
	return f
}

// meshScale is how many mm 1 in the file is.
func (b *Bench) meshScale(f *mesh.Facets, layers layering) float64 {
	one := 1.0
	if b.Has("unit") {
		one = b.above("unit")
	}
	var given []string
	for _, key := range []string{"scale", "width", "depth", "height", "girth"} {
		if b.Has(key) {
			given = append(given, key)
		}
	}
	if len(given) > 1 {
		b.Fail(KeysClash, b.Where(given[1]), "Keep one of them", "%s and %s both say how large it is", given[0], given[1])
	}
	if len(given) == 1 && given[0] != "scale" {
		b.above(given[0])
	}
	box := f.Box()
	size := r3.Sub(box.Max, box.Min)
	by := one
	switch {
	case b.Has("scale"):
		by = one * b.Num("scale", 1)
	case b.Has("width"):
		by = b.Num("width", 0) / size.X
	case b.Has("depth"):
		by = b.Num("depth", 0) / size.Y
	case b.Has("height"):
		by = b.Num("height", 0) / size.Z
	case b.Has("girth"):
		by = b.meshGirth(f, box, layers)
	}
	b.meshSize(by*math.Max(size.X, math.Max(size.Y, size.Z)), by)
	return by
}

// The greatest size of a model, in mm, that can be foam for a person.
const (
	leastModel = 5
	mostModel  = 20_000
)

func (b *Bench) meshSize(size, by float64) {
	if size >= leastModel && size <= mostModel && by > 0 {
		return
	}
	at := b.Where("model")
	for _, key := range []string{"unit", "scale", "width", "depth", "height", "girth"} {
		if b.Has(key) {
			at = b.Where(key)
		}
	}
	b.Fail(NoModel, at, "Say how large it is: `height: 240 mm`, `width`, `depth` or `scale`; or what 1 in the file is, as in `unit: 1 in`",
		"the model would be %.3g mm large", size)
}

// meshGirth scales a model so that a girth and its ease fit inside: what goes around is taken as round,
// so ease e adds 2π·e, and a wall that grows inwards adds 2π·t to what the outside must measure.
func (b *Bench) meshGirth(f *mesh.Facets, box r3.Box, layers layering) float64 {
	at := b.Num("around", 0.5)
	if !(at > 0 && at < 1) {
		b.Fail(eval.WrongValue, b.Where("around"), "50 % is the middle", "around lies between 0 and 1")
	}
	own := f.Girth(box.Min.Z + at*(box.Max.Z-box.Min.Z))
	if !(own > 0) {
		b.Fail(NoModel, b.Where("girth"), "Choose another height with `around`", "the model has nothing to go around at that height")
	}
	room := b.Num("ease", 0)
	if b.Word("grow", "inwards") == "inwards" {
		room += layers.total
	}
	return (b.Num("girth", 0) + 2*math.Pi*room) / own
}

func (b *Bench) meshBent(f *mesh.Facets) {
	if n := len(f.Bent); n > 0 {
		b.Note(finding.Note, ModelBent, b.Where("model"), "It is cut along a diagonal into flat panels; draw the fold that you want in the model",
			"the model has %s whose corners are not in one plane, the first in line %d", some(n, "face"), f.Bent[0])
	}
}

// flawWords says for people what each flaw is, with how to mend it.
var flawWords = map[mesh.FlawKind][2]string{
	mesh.SharedEdge: {"more than two faces meet in an edge", "Take the extra face out, or part the model there; a face that stands twice is one too many"},
	mesh.OneSided:   {"the model has only one side: going round it leads to the back of the same face", "Part it there, or leave a face out"},
	mesh.Pinched:    {"a face with windows or a pinched corner cannot be laid out as one panel", "Part it into simple faces in the model"},
	mesh.Touching:   {"faces run into each other or lie on each other", "Join the bodies into one in the model, or move them apart"},
}

// meshFlaws stops at flaws without a model, and tells the others.
func (b *Bench) meshFlaws(flaws []mesh.Flaw, triangles int) {
	at := b.Where("model")
	for i, f := range flaws {
		if f.Kind == mesh.TooFine {
			b.Fail(NoModel, at, "Reduce it to the flat faces that you would cut, or raise `flat`",
				"the model has at least %d flat faces in its %d triangles; the most that can be cut as panels is %d", f.Count, triangles, mostPanels)
		}
		words := flawWords[f.Kind]
		text := fmt.Sprintf("%s: %s, at (%.1f, %.1f, %.1f) mm", words[0], f.Place, f.At.X, f.At.Y, f.At.Z)
		if f.Count > 1 {
			text += fmt.Sprintf(", and %d more", f.Count-1)
		}
		if i == len(flaws)-1 {
			b.Fail(ModelFaces, at, words[1], "%s", text)
		}
		b.found = append(b.found, eval.Err(ModelFaces, at, words[1], "%s", text))
	}
}

// meshRims tells open edges that the block does not count.
func (b *Bench) meshRims(m *mesh.Model) {
	b.Quiet("rims", eval.Num(float64(len(m.Rims)), unit.None))
	meant := int(b.Num("rims", 0))
	if len(m.Rims) == meant {
		return
	}
	at := b.Where("model")
	if b.Has("rims") {
		at = b.Where("rims")
	}
	if len(m.Rims) == 0 {
		b.Note(finding.Mind, ModelOpen, at, "Write `rims: 0`, or leave a panel out with `open`", "the model is closed, and %d rims are meant", meant)
		return
	}
	rim := m.Rims[0]
	p := m.Points[rim[0]]
	b.Note(finding.Mind, ModelOpen, at, fmt.Sprintf("If they are meant, write `rims: %d`; else close the gap in the model: corners that should be one are joined by a larger `weld`, and both faces at an edge need the same corners", len(m.Rims)),
		"the model is open along %s, the first of %d edges from (%.1f, %.1f, %.1f) mm", some(len(m.Rims), "rim"), len(rim), p.X, p.Y, p.Z)
}

func some(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// meshMoved tells when flattening moved corners by more than the tolerance.
func (b *Bench) meshMoved(m *mesh.Model, flat float64) {
	if m.Moved > flat {
		b.Note(finding.Note, ModelMoved, b.Where("model"), "Check that it still looks as meant, or give a smaller `flat`",
			"the model's corners were moved by up to %s so that all panels are flat", b.mm(m.Moved))
	}
}

// meshCorners tells corners of more than three planes that cannot follow all of them by the wall.
func (b *Bench) meshCorners(m *mesh.Model, wall float64, out bool) {
	const tol = 0.05 // mm: below what a blade in foam can follow
	if !out {
		wall = -wall
	}
	_, missed := m.Offset(wall, tol)
	if len(missed) == 0 {
		return
	}
	worst := missed[0]
	for _, c := range missed {
		if c.Off > worst.Off {
			worst = c
		}
	}
	b.Note(finding.Note, ModelMoved, b.Where("model"), "Nothing need be done: the panels get a small extra cut there; fit them dry before gluing",
		"at %s more than three panels meet whose far sides share no point: the place nearest to all misses one by %s, at (%.1f, %.1f, %.1f) mm",
		some(len(missed), "corner"), b.mm(worst.Off), worst.At.X, worst.At.Y, worst.At.Z)
}
