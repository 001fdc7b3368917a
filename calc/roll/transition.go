package roll

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/shape"
)

// Transition leads from a level convex polygon to a level circle above it. Its skin is the tightest
// one: over each side of the polygon a flat triangle whose tip touches the circle where that runs
// alongside, and at each corner a part of a slanting cone between two such triangles.
type Transition struct {
	Base   []r2.Vec // corners, counter-clockwise; side i leads from corner i to the next
	Centre r2.Vec   // of the circle, seen from above
	Radius float64  // of the circle, mm
	Height float64  // of the circle above the base, mm
}

// Bend is a straight line of the skin, from a corner to the circle, along which it is bent.
type Bend struct {
	Corner int
	Line   shape.Path // on the flat pattern, from the corner
}

// Pattern is a flat piece of a transition.
type Pattern struct {
	shape.Outline
	Bends []Bend
}

// corner i of the base, in space.
func (t Transition) corner(i int) r3.Vec {
	p := t.Base[i%len(t.Base)]
	return r3.Vec{X: p.X, Y: p.Y}
}

// Middle of the side i, in space.
func (t Transition) Middle(i int) r3.Vec { return r3.Scale(0.5, r3.Add(t.corner(i), t.corner(i+1))) }

// Touch is the angle at which the circle runs alongside the side i: the direction of the side's
// normal outwards. It rises from side to side, and by a full turn with the sides round.
func (t Transition) Touch(i int) float64 {
	n := len(t.Base)
	normal := func(i int) float64 {
		d := r3.Sub(t.corner(i+1), t.corner(i))
		return math.Atan2(-d.X, d.Y)
	}
	angle := normal(i % n)
	first := normal(0)
	for angle < first-1e-12 {
		angle += 2 * math.Pi
	}
	return angle + 2*math.Pi*float64(i/n)
}

// At is the point of the circle at an angle.
func (t Transition) At(angle float64) r3.Vec {
	s, c := math.Sincos(angle)
	return r3.Vec{X: t.Centre.X + t.Radius*c, Y: t.Centre.Y + t.Radius*s, Z: t.Height}
}

// Flat is the development from the middle of one side to the middle of a later one, counter-clockwise
// seen from above; side n + i is side i after a full turn. It is the triangulation of sheet-metal layout
// with true lengths (Pattern Development, sheet metal, BCcampus, chapters 24 to 26), but each cone is followed by its own curve and not by chords. Each corner gets
// divisions + 1 bend lines. names are those of the base's sides; the halves at the seams get `_b` where
// the pattern starts and `_a` where it ends. Edges: those of the base, end, top, start.
func (t Transition) Flat(from, to, divisions int, names []string) (Pattern, error) {
	if err := t.check(); err != nil {
		return Pattern{}, err
	}
	n := len(t.Base)
	if from < 0 || to <= from || to > from+n || len(names) != n || divisions < 1 {
		return Pattern{}, errors.New("the development goes from one side to a later one, once round at most")
	}
	middle, touch := t.Middle(from), t.At(t.Touch(from))
	start := r2.Vec{}
	tip := r2.Vec{Y: dist(middle, touch)}
	rim := shape.Path{Start: tip}
	var p Pattern
	var base []shape.Edge
	foot := start // the corner, or at first the middle of a side, that was laid down last
	for i := from; i < to; i++ {
		last, name := t.corner(i), names[i%n]
		if i == from {
			last, name = middle, name+"_b"
		}
		corner := t.corner(i + 1)
		next := third(foot, tip, dist(last, corner), dist(touch, corner))
		base = append(base, line(name, next))
		fan := t.fan(i+1, next, tip, t.Touch(i), t.Touch(i+1))
		for k := range divisions + 1 {
			share := float64(k) / float64(divisions)
			p.Bends = append(p.Bends, Bend{(i + 1) % n, shape.Path{Start: next, Segs: []shape.Seg{{End: fan.at(share)}}}})
		}
		rim.Segs = append(rim.Segs, fan.segs...)
		foot, tip, touch = next, fan.segs[len(fan.segs)-1].End, t.At(t.Touch(i+1))
	}
	end := t.Middle(to)
	last := third(foot, tip, dist(t.corner(to), end), dist(touch, end))
	edges := append(base, line(names[to%n]+"_a", last), line("end", tip),
		shape.Edge{Name: "top", Segs: rim.Reversed().Segs}, line("start", start))
	var err error
	p.Outline, err = closed(start, edges...)
	return p, err
}

func (t Transition) check() error {
	err := errors.Join(sized("diameter at the top", 2*t.Radius, 1e-3), sized("height", t.Height, 1e-3),
		sized("shift", math.Hypot(t.Centre.X, t.Centre.Y), 0))
	if err != nil {
		return err
	}
	n := len(t.Base)
	if n < 3 || n > 1000 {
		return fmt.Errorf("the base has 3 to 1000 sides, not %d", n)
	}
	for i, b := range t.Base {
		if err := errors.Join(sized("base", math.Abs(b.X), 0), sized("base", math.Abs(b.Y), 0)); err != nil {
			return err
		}
		a, c := t.Base[(i+n-1)%n], t.Base[(i+1)%n]
		if !(r2.Cross(r2.Sub(b, a), r2.Sub(c, b)) > 0) {
			return errors.New("the base is not convex")
		}
	}
	return nil
}

func dist(a, b r3.Vec) float64 { return r3.Norm(r3.Sub(a, b)) }

// third is the point to the right of a→b that lies la from a and lb from b.
func third(a, b r2.Vec, la, lb float64) r2.Vec {
	along := r2.Sub(b, a)
	d := r2.Norm(along)
	along = r2.Scale(1/d, along)
	x := (la*la - lb*lb + d*d) / (2 * d)
	y := math.Sqrt(math.Max(0, la*la-x*x))
	return r2.Add(a, r2.Add(r2.Scale(x, along), r2.Scale(y, r2.Vec{X: along.Y, Y: -along.X})))
}

// fan is the flat part of a cone between two of its lines.
type fan struct {
	segs   []shape.Seg
	points []r2.Vec // along the rim, at equal steps of the angle on the circle
}

// at is the point of the rim at a share of the angle.
func (f fan) at(share float64) r2.Vec {
	return f.points[int(math.Round(share*float64(len(f.points)-1)))]
}

// fan lays down the cone with its tip at corner i, flat at the point tip, from the circle's angle a,
// flat at the point rim, to b. A line of the cone to the circle at u has the length ρ; the flat angle
// between lines grows by √(r² − ρ′²)/ρ, since the rim keeps its length.
func (t Transition) fan(i int, tip, rim r2.Vec, a, b float64) fan {
	c := t.corner(i)
	ρ := func(u float64) (length, slope, turn float64) {
		s, cos := math.Sincos(u)
		p := t.At(u)
		length = dist(p, c)
		slope = t.Radius * ((p.Y-c.Y)*cos - (p.X-c.X)*s) / length
		return length, slope, math.Sqrt(math.Max(0, t.Radius*t.Radius-slope*slope)) / length
	}
	from := r2.Sub(rim, tip)
	start := math.Atan2(from.Y, from.X)
	type node struct{ p, d r2.Vec }
	nodes := func(n int) []node {
		list := make([]node, n+1)
		angle, h := start, (b-a)/float64(n)
		for k := range list {
			u := a + h*float64(k)
			if k > 0 {
				angle -= gauss(func(u float64) float64 { _, _, turn := ρ(u); return turn }, u-h, u)
			}
			length, slope, turn := ρ(u)
			s, c := math.Sincos(angle)
			list[k] = node{r2.Add(tip, r2.Scale(length, r2.Vec{X: c, Y: s})),
				r2.Add(r2.Scale(slope, r2.Vec{X: c, Y: s}), r2.Scale(length*turn, r2.Vec{X: s, Y: -c}))}
		}
		return list
	}
	// Halve the steps until the cubics' middles lie on the curve.
	const finest = 1024
	for n := 16; ; n *= 2 {
		list := nodes(2 * n)
		h := (b - a) / float64(n)
		worst := 0.0
		var f fan
		for k := 0; k < 2*n; k += 2 {
			p, q := list[k], list[k+2]
			middle := r2.Add(r2.Scale(0.5, r2.Add(p.p, q.p)), r2.Scale(h/8, r2.Sub(p.d, q.d)))
			worst = math.Max(worst, r2.Norm(r2.Sub(middle, list[k+1].p)))
			f.segs = append(f.segs, shape.Seg{Kind: shape.Cubic, End: q.p,
				C1: r2.Add(p.p, r2.Scale(h/3, p.d)), C2: r2.Sub(q.p, r2.Scale(h/3, q.d))})
			f.points = append(f.points, p.p)
		}
		f.points = append(f.points, list[2*n].p)
		if worst <= Tolerance/4 || n >= finest {
			return f
		}
	}
}

// gauss integrates over one step (Gauss and Legendre's rule of five points; Abramowitz and Stegun,
// table 25.4).
func gauss(f func(float64) float64, a, b float64) float64 {
	mid, half := (a+b)/2, (b-a)/2
	sum := 0.5688888888888889 * f(mid)
	for _, w := range [][2]float64{{0.5384693101056831, 0.4786286704993665}, {0.9061798459386640, 0.2369268850561891}} {
		sum += w[1] * (f(mid-half*w[0]) + f(mid+half*w[0]))
	}
	return half * sum
}
