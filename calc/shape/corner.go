package shape

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"
)

// Fillet rounds corners with arcs of the radius, in mm. Corner i is the start of edge i, counted
// from 0; without a list all corners are rounded, joints that are smooth already left alone. Each arc
// is a new edge, "corner1" at the start of the first edge and so on. An edge of which nothing is left
// goes away, so that a rectangle may become round-ended.
// Errors: a corner that does not exist or is smooth, a radius that does not fit.
func (o Outline) Fillet(radius float64, corners ...int) (Outline, error) {
	return o.ease("radius", radius, corners, rounded)
}

// Chamfer cuts corners off by a straight edge that starts and ends size mm from the corner, measured
// along the edges. Corners, names and errors are as of Fillet.
func (o Outline) Chamfer(size float64, corners ...int) (Outline, error) {
	return o.ease("chamfer", size, corners, cutOff)
}

// easing works out where a corner between two curves is replaced, and by what. It is false if the
// measure does not fit.
type easing func(a, b curve, measure float64) (end, start float64, s Seg, ok bool)

// cutOff leaves the edges at the same distance along each.
func cutOff(a, b curve, measure float64) (end, start float64, s Seg, ok bool) {
	end, start = 1-a.reversed().parameterAt(measure), b.parameterAt(measure)
	return end, start, Seg{Kind: Line, End: b.at(start)}, measure <= a.length()+onEdge && measure <= b.length()+onEdge
}

// parameterAt is the parameter at a length along the curve, 1 beyond its end.
func (c curve) parameterAt(length float64) float64 {
	whole := c.length()
	if length >= whole {
		return 1
	}
	if c.Kind != Cubic {
		return length / whole
	}
	lo, hi := 0.0, 1.0
	for hi-lo > newtonStep {
		mid := (lo + hi) / 2
		if c.lengthBetween(0, mid) < length {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// rounded puts the arc's centre where both edges, moved by the radius to the corner's inner side,
// meet; the arc touches each edge at the foot of its centre.
func rounded(a, b curve, radius float64) (end, start float64, s Seg, ok bool) {
	sense := math.Copysign(1, r2.Cross(a.tangent(1), b.tangent(0)))
	ra, rb := newRail(a, sense*radius), newRail(b, sense*radius)
	if ra.gone || rb.gone || !meetAt(ra, rb) {
		return 0, 0, s, false
	}
	centre := ra.end.at
	end, oka := a.footBy(ra, ra.end, centre)
	start, okb := b.footBy(rb, rb.start, centre)
	if !oka || !okb {
		return 0, 0, s, false
	}
	p, q := a.at(end), b.at(start)
	sweep := turn(centre, p, q)
	if sweep*sense <= 0 {
		return 0, 0, s, false
	}
	return end, start, Seg{Kind: Arc, End: q, Bulge: math.Tan(sweep / 4)}, true
}

// footBy is the parameter of the point of c that is nearest to the centre of an arc that touches it.
func (c curve) footBy(r *rail, at cut, centre r2.Vec) (float64, bool) {
	var t float64
	switch {
	case c.Kind == Cubic:
		if at.part < 0 || at.part >= len(r.spans) {
			return 0, false
		}
		span := r.spans[at.part]
		t = span[0] + at.t*(span[1]-span[0])
	case c.round():
		mid, _ := c.circle()
		if t = turn(mid, c.from, centre) / c.sweep(); t < -onEdge/c.length() {
			t += 2 * math.Pi / math.Abs(c.sweep())
		}
	default:
		t = r2.Dot(r2.Sub(centre, c.from), c.chord()) / r2.Norm2(c.chord())
	}
	slack := onEdge / c.length()
	return unitRange(t), t >= -slack && t <= 1+slack
}

// ease replaces corners one by one.
func (o Outline) ease(what string, measure float64, corners []int, how easing) (Outline, error) {
	if err := size(what, measure); err != nil {
		return Outline{}, err
	}
	list, edge, err := o.solid()
	if err != nil {
		return Outline{}, err
	}
	e := easer{o: o, list: list, edge: edge, lo: make([]float64, len(list)), hi: slices.Repeat([]float64{1}, len(list)), new: map[int]Seg{}}
	for i := range o.Edges {
		k := slices.Index(edge, i)
		j := (k + len(list) - 1) % len(list)
		asked := slices.Contains(corners, i)
		switch {
		case len(corners) > 0 && !asked, !asked && smooth(list[j], list[k]):
			continue
		case smooth(list[j], list[k]):
			return Outline{}, fmt.Errorf("%s is smooth already", e.corner(i))
		}
		end, start, s, ok := how(list[j], list[k], measure)
		if !ok {
			return Outline{}, e.tooLarge(what, measure, i)
		}
		e.hi[j], e.lo[k], e.new[k] = end, start, s
	}
	for _, i := range corners {
		if i < 0 || i >= len(o.Edges) {
			return Outline{}, fmt.Errorf("there is no corner %d; the outline has %d", i+1, len(o.Edges))
		}
	}
	return e.outline(what, measure)
}

// easer holds what is left of each segment, and the new edge before a segment.
type easer struct {
	o      Outline
	list   []curve
	edge   []int
	lo, hi []float64
	new    map[int]Seg
}

func (e easer) corner(i int) string {
	n := len(e.o.Edges)
	return fmt.Sprintf("corner %d, between %s and %s,", i+1, e.o.Edges[(i+n-1)%n].Name, e.o.Edges[i].Name)
}

func (e easer) tooLarge(what string, measure float64, i int) error {
	return fmt.Errorf("a %s of %s mm does not fit %s", what, number(measure), e.corner(i)[:len(e.corner(i))-1])
}

// outline puts the pieces together.
func (e easer) outline(what string, measure float64) (Outline, error) {
	var out Outline
	var last *Edge // the arc at the first corner closes the outline
	names := newNames(e.o)
	for k, c := range e.list {
		i := e.edge[k]
		first := k == 0 || e.edge[k-1] != i
		if s, ok := e.new[k]; ok {
			added := Edge{Name: names.pick("corner" + strconv.Itoa(i+1)), Segs: []Seg{s}}
			if k == 0 {
				last = &added
			} else {
				out.Edges = append(out.Edges, added)
			}
		}
		if k == 0 {
			out.Start = c.at(e.lo[0])
		}
		slack := onEdge / c.length()
		if e.hi[k] < e.lo[k]-slack {
			return Outline{}, e.tooLarge(what, measure, i)
		}
		if first {
			out.Edges = append(out.Edges, Edge{Name: e.o.Edges[i].Name})
		}
		if e.hi[k]-e.lo[k] > slack {
			edge := &out.Edges[len(out.Edges)-1]
			edge.Segs = append(edge.Segs, c.between(e.lo[k], e.hi[k]).Seg)
		}
	}
	if last != nil {
		out.Edges = append(out.Edges, *last)
	}
	out.Edges = slices.DeleteFunc(out.Edges, func(edge Edge) bool { return len(edge.Segs) == 0 })
	if err := out.IsSimple(); err != nil {
		return Outline{}, fmt.Errorf("a %s of %s mm does not fit: %w", what, number(measure), err)
	}
	return out, nil
}

// takenNames are those of edges, each once.
type takenNames map[string]bool

func newNames(o Outline) takenNames {
	t := takenNames{}
	for _, e := range o.Edges {
		t[e.Name] = true
	}
	return t
}

// pick is the name itself, or with _2, _3… if it is taken.
func (t takenNames) pick(name string) string {
	pick := name
	for k := 2; t[pick]; k++ {
		pick = name + "_" + strconv.Itoa(k)
	}
	t[pick] = true
	return pick
}
