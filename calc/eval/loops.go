package eval

import (
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/finding"
)

// knot is values that need each other, each by way of the others: a strongly connected part of the
// graph. What is reported of it depends on nothing else, so that it need not be looked at again
// until one of its values changes.
type knot struct{ nodes []*Node }

// search finds the knots that can be reached from roots by way of needs (Tarjan's algorithm). Nodes
// that are neither among the suspects nor higher than the ground are not gone through: no way leads from
// there to a suspect. suspects may be nil, then all are gone through.
func (p *Program) search(roots []*Node, suspects map[*Node]bool, ground int) []*knot {
	type visit struct {
		index, low int
		open       bool
	}
	type frame struct {
		n    *Node
		v    *visit
		next int
	}
	seen := map[*Node]*visit{}
	var path []*Node
	var stack []frame
	var knots []*knot
	enter := func(n *Node) {
		v := &visit{len(seen), len(seen), true}
		seen[n] = v
		path = append(path, n)
		stack = append(stack, frame{n: n, v: v})
	}
	for _, root := range roots {
		if seen[root] != nil {
			continue
		}
		enter(root)
		for len(stack) > 0 {
			f := &stack[len(stack)-1]
			deep := suspects == nil || suspects[f.n] || f.n.height > ground
			if deep && f.next < len(f.n.Needs) {
				m := f.n.Needs[f.next]
				f.next++
				switch v := seen[m]; {
				case v == nil:
					enter(m)
				case v.open:
					f.v.low = min(f.v.low, v.index)
				}
				continue
			}
			n, v := f.n, f.v
			stack = stack[:len(stack)-1]
			if len(stack) > 0 {
				up := stack[len(stack)-1].v
				up.low = min(up.low, v.low)
			}
			if v.low != v.index {
				continue
			}
			i := len(path) - 1
			for path[i] != n {
				i--
			}
			part := slices.Clone(path[i:])
			path = path[:i]
			for _, m := range part {
				seen[m].open = false
			}
			if len(part) > 1 || slices.Contains(n.Needs, n) {
				knots = append(knots, &knot{part})
			}
		}
	}
	return knots
}

// maxLoops bounds the loops of one knot that are reported; more come to light when these are mended.
const maxLoops = 100

// tie reports every loop of a knot once, with its steps. Of loops that share all their values only the
// first is reported. Values of the knot that are in no reported loop wait for one.
func (p *Program) tie(k *knot) {
	slices.SortFunc(k.nodes, func(a, b *Node) int {
		if a.before(b) {
			return -1
		}
		return 1
	})
	const (
		fresh = iota
		open
		done
	)
	state := make(map[*Node]int, len(k.nodes))
	for _, n := range k.nodes {
		n.knot, n.looped, n.loops = k, false, nil
	}
	type frame struct {
		n    *Node
		next int
	}
	loops := 0
	stack := []frame{{n: k.nodes[0]}} // all others can be reached from it
	state[k.nodes[0]] = open
	for len(stack) > 0 {
		f := &stack[len(stack)-1]
		if f.next == len(f.n.Needs) {
			state[f.n] = done
			stack = stack[:len(stack)-1]
			continue
		}
		m := f.n.Needs[f.next]
		f.next++
		switch {
		case m.knot != k:
		case state[m] == fresh:
			state[m] = open
			stack = append(stack, frame{n: m})
		case state[m] == done || f.n.looped && m.looped: // both are in loops already
		case loops == maxLoops:
			first := m
			if m.looped {
				first = m.root()
			}
			f.n.join(first)
		default:
			loops++
			var loop []*Node
			for i := len(stack) - 1; i >= 0 && (len(loop) == 0 || loop[len(loop)-1] != m); i-- {
				loop = append(loop, stack[i].n)
			}
			slices.Reverse(loop)
			report(loop)
		}
	}
	for _, n := range k.nodes {
		n.gatherFindings()
	}
}

// report puts the loop's finding at its first node.
func report(loop []*Node) {
	const most = 50 // steps told one by one
	first := loop[0]
	f := Err(Loop, first.At, "Work one of them out from something else", "%s", loopText(loop))
	for i, n := range loop[1:] {
		if i == most {
			break
		}
		f.Notes = append(f.Notes, finding.Related{At: n.At, Message: "by way of " + n.label()})
	}
	first.loops = append(first.loops, f)
	for _, n := range loop {
		n.join(first)
	}
}

// join makes a node part of a loop that its first node reports.
func (n *Node) join(first *Node) {
	if !n.looped {
		n.looped, n.Cell, n.worked = true, Cell{Value: Unknown{first}}, nil
		if n.Expr == nil && n.Block.Clear != nil {
			n.Block.Clear()
		}
	}
}

// loopText is "a needs itself: a → b → a", a long loop with its middle left out.
func loopText(loop []*Node) string {
	first := loop[0].label()
	if len(loop) == 1 {
		return first + " needs itself"
	}
	const ends = 6
	var steps []string
	for i, n := range loop {
		switch {
		case i < ends || i >= len(loop)-ends:
			steps = append(steps, n.label())
		case i == ends:
			steps = append(steps, fmt.Sprintf("%d more", len(loop)-2*ends))
		}
	}
	return first + " needs itself: " + strings.Join(append(steps, first), " → ")
}

func (n *Node) label() string {
	if n.ID != "" {
		return n.ID
	}
	if n.Block != nil {
		return "this " + n.Block.Kind
	}
	return "this expression"
}
