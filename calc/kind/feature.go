package kind

import (
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/part"
	"bevelbook/calc/shape"
	"bevelbook/calc/source"
)

// features reads the entries of `hole NAME`, `line NAME` or `mark NAME`.
func (b *Bench) features(key string) []part.Feature {
	var list []part.Feature
	for _, e := range b.Each(key) {
		list = append(list, b.feature(key, e.Name, e.Arg.Value, e))
	}
	return list
}

// feature makes one hole, line or mark of a value that fits its key.
func (b *Bench) feature(key, name string, v eval.Value, e Argument) part.Feature {
	f := part.Feature{Name: name}
	switch v := v.(type) {
	case eval.Point:
		f.At = v.Vec
	case eval.List:
		pen := shape.MoveTo(v[0].(eval.Point).Vec)
		for _, p := range v[1:] {
			pen.LineTo(p.(eval.Point).Vec)
		}
		f.Path = b.drawn(pen.Path())(e)
	case eval.Path:
		f.Path = v.Path
		if key == "hole" {
			f.Shape = b.closed(v, e)
		}
	case eval.Outline:
		f.Shape = v.Outline
		if key == "line" {
			f.Path, f.Shape = v.Outline.Path(), shape.Outline{}
		}
	}
	return f
}

func (b *Bench) closed(v eval.Value, e Argument) shape.Outline {
	o, err := eval.Closed(v)
	if err != nil {
		b.Fail(eval.BadShape, e.Arg.Entry.Value.Span(), "A hole goes round once and does not cross itself", "this hole cannot be cut: %v", err)
	}
	return o.Outline
}

func (b *Bench) drawn(p shape.Path, err error) func(Argument) shape.Path {
	return func(e Argument) shape.Path {
		if err != nil {
			b.Fail(eval.BadShape, e.Arg.Entry.Value.Span(), "Check its points", "this line cannot be drawn: %v", err)
		}
		return p
	}
}

// OffPart is the finding of a mark that lies beside its part.
const OffPart = "off-part"

// inside refuses holes that do not lie inside both faces, and marks off the part. where is the place at
// which a feature stands in the text, by its key and name.
func (b *Bench) inside(p part.Part, where func(key, name string) source.Span) {
	called := strings.TrimPrefix(p.Name, b.Name+".")
	for i, h := range p.Holes {
		at := where("hole", h.Name)
		if !p.Show.ContainsOutline(h.Shape) {
			b.Fail(eval.BadShape, at, "Move it, or make it smaller", "the hole %s does not lie inside %s", h.Name, called)
		}
		if !p.Back.ContainsOutline(h.Shape) {
			b.Fail(eval.BadShape, at, "Move it away from the bevelled edge", "the hole %s comes out through a bevel of %s", h.Name, called)
		}
		for _, g := range p.Holes[:i] {
			if touch(g.Shape, h.Shape) {
				b.Fail(eval.BadShape, at, "Move one of them", "the holes %s and %s run into each other", g.Name, h.Name)
			}
		}
	}
	for _, m := range p.Marks {
		if !p.Show.Contains(m.At) {
			b.Note(finding.Mind, OffPart, where("mark", m.Name), "Check its coordinates", "the mark %s lies beside %s", m.Name, called)
		}
	}
}

// touch tells whether two holes overlap: their rims cross, or one lies in the other.
func touch(a, c shape.Outline) bool {
	p, q := a.Bounds(), c.Bounds()
	if p.Max.X < q.Min.X || q.Max.X < p.Min.X || p.Max.Y < q.Min.Y || q.Max.Y < p.Min.Y {
		return false
	}
	rim, other := a.Flatten(0.1), c.Flatten(0.1)
	for i, from := range rim {
		to := rim[(i+1)%len(rim)]
		for j, u := range other {
			if cross(from, to, u, other[(j+1)%len(other)]) {
				return true
			}
		}
	}
	return a.Contains(other[0]) || c.Contains(rim[0])
}

// cross tells whether the stretches a–b and c–d cross: each has the other's ends on both sides.
func cross(a, b, c, d r2.Vec) bool {
	side := func(a, b, p r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
