package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// corner is one corner of one face: where its loop comes to Loop[at].
type corner struct{ face, at int }

// fan is the corners of faces round one point, counter-clockwise seen from outside, each sharing an
// edge with the next. In a closed fan the last shares one with the first.
type fan struct {
	point   int
	corners []corner
	closed  bool
}

// twins finds, for each step i→j of a loop, the edge that makes it.
func (s *Shell) twins() map[[2]int]Edge {
	n := 0
	for _, f := range s.Faces {
		n += len(f.Loop)
	}
	at := make(map[[2]int]Edge, n)
	for i, f := range s.Faces {
		for e := range f.Loop {
			from, to := s.ends(Edge{i, e})
			at[[2]int{from, to}] = Edge{i, e}
		}
	}
	return at
}

// fans are the fans of all points. A point at which the surface is pinched has several.
func (s *Shell) fans(at map[[2]int]Edge) []fan {
	done := make([][]bool, len(s.Faces))
	for i, f := range s.Faces {
		done[i] = make([]bool, len(f.Loop))
	}
	var list []fan
	for i, f := range s.Faces {
		for k := range f.Loop {
			if done[i][k] {
				continue
			}
			fn := s.fanFrom(corner{i, k}, at)
			for _, c := range fn.corners {
				done[c.face][c.at] = true
			}
			list = append(list, fn)
		}
	}
	return list
}

func (s *Shell) fanFrom(first corner, at map[[2]int]Edge) fan {
	fn := fan{point: s.Faces[first.face].Loop[first.at], corners: []corner{first}}
	for c := first; ; {
		next, ok := s.after(c, at)
		if !ok {
			break
		}
		if next == first {
			fn.closed = true
			return fn
		}
		fn.corners = append(fn.corners, next)
		c = next
	}
	var before []corner
	for c := first; ; {
		prev, ok := s.before(c, at)
		if !ok {
			break
		}
		before = append(before, prev)
		c = prev
	}
	for i, j := 0, len(before)-1; i < j; i, j = i+1, j-1 {
		before[i], before[j] = before[j], before[i]
	}
	fn.corners = append(before, fn.corners...)
	return fn
}

// after is the next corner counter-clockwise round the point: beyond the edge by which the loop comes.
func (s *Shell) after(c corner, at map[[2]int]Edge) (corner, bool) {
	loop := s.Faces[c.face].Loop
	v, prev := loop[c.at], loop[(c.at+len(loop)-1)%len(loop)]
	e, ok := at[[2]int{v, prev}]
	return corner{e.Face, e.Edge}, ok
}

// before is the next corner clockwise: beyond the edge by which the loop leaves.
func (s *Shell) before(c corner, at map[[2]int]Edge) (corner, bool) {
	loop := s.Faces[c.face].Loop
	v, next := loop[c.at], loop[(c.at+1)%len(loop)]
	e, ok := at[[2]int{next, v}]
	if !ok {
		return corner{}, false
	}
	return corner{e.Face, (e.Edge + 1) % len(s.Faces[e.Face].Loop)}, true
}

// closing is where the moved planes of a closed fan meet: for each face the corners of its moved side,
// in the order of its loop. Where all planes share a point, as they do at three faces and wherever a
// corner is regular, each has that one. Else the moved surface has small edges of its own there, between
// faces that only touched in the point: each face that gets one has two corners or more.
type closing struct {
	planes []plane  // of the faces, moved
	edges  []plane  // of the cut between face i and the next
	flat   []bool   // face i and the next lie in one plane
	in     []r3.Vec // direction of the edge by which face i's loop comes to the point
	out    []r3.Vec // and of the one by which it leaves
	at     r3.Vec
	ridge  float64 // 1 if all edges are ridges, −1 if all are hollow, 0 for both kinds
}

// closes is how far off a plane a point may be and still lie on it, mm.
const closes = 1e-6

// solve gives the corners of each face's moved side; false where no arrangement of planes closes.
func (c *closing) solve() ([][]r3.Vec, bool) {
	k := len(c.planes)
	if p, ok := c.common(); ok {
		list := make([][]r3.Vec, k)
		for i := range list {
			list[i] = []r3.Vec{p}
		}
		return list, true
	}
	if k < 4 {
		return nil, false
	}
	if c.ridge != 0 {
		if list, ok := c.envelope(); ok {
			return list, true
		}
	}
	return c.searched()
}

// common is the point that all planes share, if they do.
func (c *closing) common() (r3.Vec, bool) {
	j, most := 0, 0.0
	for i, p := range c.planes {
		if s := r3.Norm2(r3.Cross(c.planes[0].n, p.n)); s > most {
			j, most = i, s
		}
	}
	l, best := 0, 0.0
	axis := r3.Cross(c.planes[0].n, c.planes[j].n)
	for i, p := range c.planes {
		if s := math.Abs(r3.Dot(axis, p.n)); s > best {
			l, best = i, s
		}
	}
	x, ok := meet3(c.planes[0], c.planes[j], c.planes[l])
	if !ok {
		return x, false
	}
	for i, p := range c.planes {
		if math.Abs(p.over(x)) > closes || c.flat[i] && math.Abs(c.edges[i].over(x)) > closes {
			return x, false
		}
	}
	return x, true
}

// node is the point that the moved planes of three faces share. Two that lie in one plane are told
// apart by the cut between them.
func (c *closing) node(a, b, d int) (r3.Vec, bool) {
	list := [3]plane{c.planes[a], c.planes[b], c.planes[d]}
	k := len(c.planes)
	for x, i := range [3]int{a, b, d} {
		for _, j := range [3]int{a, b, d} {
			if c.flat[i] && j == (i+1)%k && i != j {
				list[x] = c.edges[i]
			}
		}
	}
	return meet3(list[0], list[1], list[2])
}

// envelope walks round the moved side of each face from plane to plane, taking always the first that is
// hit: right where all edges are ridges (what the planes enclose is convex) or all are hollow.
func (c *closing) envelope() ([][]r3.Vec, bool) {
	k := len(c.planes)
	list := make([][]r3.Vec, k)
	for i := range k {
		last := (i + k - 1) % k
		j, from := (i+1)%k, math.Inf(-1)
		dir := c.in[i]
		for j != last {
			if len(list[i]) > k {
				return nil, false
			}
			hit, at, best := -1, r3.Vec{}, math.Inf(1)
			for step := 1; step < k; step++ {
				m := (j + step) % k // in order round the point, so that of equals the later one is taken
				if m == i || m == j {
					continue
				}
				x, ok := c.node(i, j, m)
				if !ok {
					continue
				}
				s := r3.Dot(dir, r3.Sub(x, c.at))
				if s < from-samePoint || r3.Dot(c.planes[m].n, dir)*c.ridge <= 0 {
					continue // behind, or left and not entered
				}
				if s < best-samePoint || s < best+samePoint && ahead(i, m, hit, k) {
					hit, at, best = m, x, min(s, best)
				}
			}
			if hit < 0 {
				return nil, false
			}
			list[i] = append(list[i], at)
			j = hit
			if j == last {
				break
			}
			dir = r3.Unit(r3.Scale(c.ridge, r3.Cross(c.planes[i].n, c.planes[j].n)))
			from = r3.Dot(dir, r3.Sub(at, c.at))
		}
	}
	return list, true
}

// ahead tells whether face m comes after hit, counted counter-clockwise from face i.
func ahead(i, m, hit, k int) bool { return hit < 0 || (m-i+k)%k > (hit-i+k)%k }

// mostSearched is how many faces round a point are tried in all arrangements: 132 for eight.
const mostSearched = 8

// searched tries all ways in which the faces round the point can be neighbours on the moved side (the
// triangulations of a polygon with the faces as corners) and takes the one with the least new edges in
// which no face's side crosses itself.
func (c *closing) searched() ([][]r3.Vec, bool) {
	k := len(c.planes)
	if k > mostSearched {
		return nil, false
	}
	var best [][]r3.Vec
	least := math.Inf(1)
	for _, t := range triangulations(0, k-1) {
		list, length, ok := c.arranged(t)
		if ok && length < least-samePoint {
			best, least = list, length
		}
	}
	return best, best != nil
}

// triangulations are all ways to part the polygon with corners from … to into triangles.
func triangulations(from, to int) [][][3]int {
	if to-from < 2 {
		return [][][3]int{nil}
	}
	var list [][][3]int
	for m := from + 1; m < to; m++ {
		for _, a := range triangulations(from, m) {
			for _, b := range triangulations(m, to) {
				t := append(append([][3]int{{from, m, to}}, a...), b...)
				list = append(list, t)
			}
		}
	}
	return list
}

// arranged gives the corners of each face for one arrangement, and the length of the new edges.
func (c *closing) arranged(triangles [][3]int) (list [][]r3.Vec, length float64, ok bool) {
	k := len(c.planes)
	type turn struct {
		to   int // the neighbour that is left behind, counted from the face
		node r3.Vec
	}
	turns := make([][]turn, k)
	for _, t := range triangles {
		x, ok := c.node(t[0], t[1], t[2])
		if !ok {
			return nil, 0, false
		}
		for i := range t {
			a, b := (t[(i+1)%3]-t[i]+k)%k, (t[(i+2)%3]-t[i]+k)%k
			turns[t[i]] = append(turns[t[i]], turn{min(a, b), x})
		}
	}
	list = make([][]r3.Vec, k)
	for i := range list {
		for step := 1; step < k; step++ {
			for _, t := range turns[i] {
				if t.to == step {
					list[i] = append(list[i], t.node)
				}
			}
		}
		if !c.clean(i, list[i]) {
			return nil, 0, false
		}
		for m := 1; m < len(list[i]); m++ {
			length += r3.Norm(r3.Sub(list[i][m], list[i][m-1]))
		}
	}
	return list, length, true
}

// clean tells whether the run of a face's side, from far off over the nodes and off again, does not
// cross itself.
func (c *closing) clean(i int, nodes []r3.Vec) bool {
	if len(nodes) < 2 {
		return true
	}
	far := 1.0
	for _, x := range nodes {
		far = max(far, r3.Norm(r3.Sub(x, c.at)))
	}
	far *= 1e3
	fr := frameOf(c.planes[i].n)
	fr.Origin = c.at
	run := polygon{fr.flat(r3.Sub(nodes[0], r3.Scale(far, c.in[i])))}
	for _, x := range nodes {
		q := fr.flat(x)
		if d := len(run) - 1; math.Hypot(run[d].X-q.X, run[d].Y-q.Y) > samePoint {
			run = append(run, q)
		}
	}
	run = append(run, fr.flat(r3.Add(nodes[len(nodes)-1], r3.Scale(far, c.out[i]))))
	for a := 0; a+1 < len(run); a++ {
		for b := a + 2; b+1 < len(run); b++ {
			if crossed(run[a], run[a+1], run[b], run[b+1]) {
				return false
			}
		}
	}
	return true
}
