package kind

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/eval"
	"bevelbook/calc/solid"
)

var box = Kind{
	Name: "box",
	Doc:  "a box with level ends, straight or tapered: front, right, back, left, floor and lid with their bevels and seams",
	Keys: shellKeys(
		Key{Name: "width", Want: Length, Required: true, Doc: "from left to right at the bottom"},
		Key{Name: "depth", Want: Length, Required: true, Doc: "from front to back at the bottom"},
		Key{Name: "height", Want: Length, Required: true, Doc: "upright"},
		Key{Name: "top_width", Want: Length, Doc: "at the top; as at the bottom if it does not say"},
		Key{Name: "top_depth", Want: Length, Doc: "at the top; as at the bottom if it does not say"},
		Key{Name: "shift", Want: Place, Doc: "how far the middle of the top lies to the right of and behind that of the bottom"},
		Key{Name: "sizes", Want: Word, Words: []string{"outside", "inside"}, Doc: "which side of the walls the sizes are; outside if it does not say"},
		Key{Name: "corners", Want: Word, Words: []string{"mitre", "butt"}, Doc: "how panels meet; mitred if it does not say"},
		Key{Name: "through", Want: Names, Doc: "panels that keep their width and cover the ends of those they meet, the first before the second; front and back of butted corners if it does not say"},
		Key{Name: "open", Want: Names, Doc: "panels that are left out, as in lid, floor, front"},
	),
	Work: workBox,
}

// boxOrder is who runs through at butted corners that nobody names.
var boxOrder = []string{"front", "back", "left", "right", solid.Floor, solid.Lid}

func workBox(b *Bench) {
	layers := b.panelLayers()
	bottom := r2.Vec{X: b.above("width"), Y: b.above("depth")}
	top := bottom
	for key, size := range map[string]*float64{"top_width": &top.X, "top_depth": &top.Y} {
		if b.Has(key) {
			*size = b.above(key)
		}
	}
	height := b.above("height")
	s := solid.Box(bottom, top, height, b.spot("shift"))
	s.Inside = b.Word("sizes", "outside") == "inside"
	b.walled(s, layers)
	b.shell(shellWork{shell: s, layers: layers, family: boxFamily, through: b.through(s, boxOrder)})
}

// boxFamily takes the panels that stand opposite each other together.
func boxFamily(face string) string {
	switch face {
	case "front", "back":
		return "front"
	case "left", "right":
		return "side"
	}
	return ""
}

// spot reads a point of the plan.
func (b *Bench) spot(key string) r2.Vec {
	a, _ := b.arg(key)
	p, _ := a.Value.(eval.Point)
	for _, v := range []float64{p.X, p.Y} {
		b.within(key, max(v, -v))
	}
	return p.Vec
}

// through reads who runs through where: panels that `through` names before all others, those named first
// before those named later; with `corners: butt`, the rest in a given order.
func (b *Bench) through(s *solid.Shell, order []string) func(a, c int) (int, bool) {
	butt := b.Word("corners", "mitre") == "butt"
	named, ok := b.arg("through")
	if !butt && !ok {
		return nil
	}
	rank := make([]int, len(s.Faces))
	for i, f := range s.Faces {
		rank[i] = len(s.Faces) + slices.Index(order, f.Name)
	}
	for i, w := range named.Words {
		face := s.FaceIndex(w.Text)
		if face < 0 {
			b.Fail(eval.UnknownName, w.At, nearOr(w.Text, faceNames(s), "Its panels are "), "%s has no panel %s", b.Name, w.Text)
		}
		rank[face] = i
	}
	return func(a, c int) (int, bool) {
		first := a
		if rank[c] < rank[a] {
			first = c
		}
		return first, butt || rank[first] < len(s.Faces)
	}
}
