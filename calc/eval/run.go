package eval

import (
	"runtime"
	"sync"

	"bevelbook/calc/finding"
	"bevelbook/calc/syntax"
)

// Run works out every node, each after what it needs, the independent ones side by side.
func (p *Program) Run() {
	var waves [][]*Node
	for _, n := range p.Nodes() {
		for n.height >= len(waves) {
			waves = append(waves, nil)
		}
		waves[n.height] = append(waves[n.height], n)
	}
	for _, nodes := range waves {
		p.wave(nodes)
		for _, n := range nodes {
			p.note(n)
		}
	}
}

// wave works out nodes that do not need each other.
func (p *Program) wave(nodes []*Node) {
	const few = 16 // below this a goroutine costs more than it gives
	workers := min(runtime.GOMAXPROCS(0), 1+len(nodes)/few)
	if workers == 1 {
		for _, n := range nodes {
			p.work(n)
		}
		return
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(nodes); i += workers {
				p.work(nodes[i])
			}
		})
	}
	wg.Wait()
}

// work gives a node its cell. What it finds is kept with it.
func (p *Program) work(n *Node) {
	if n.fixed() {
		return
	}
	n.Cell, n.worked, n.guessed, n.Reads = Cell{Value: Unknown{n}}, nil, false, nil
	defer n.gatherFindings()
	switch {
	case n.Expr != nil:
		p.workValue(n)
	case n.Block.Values:
		n.Cell = gather(n)
	default:
		p.workBlock(n)
	}
}

// workValue works out a named value or an inline expression.
func (p *Program) workValue(n *Node) {
	c, ok := p.try(n, n.Expr)
	if !ok {
		return
	}
	if n.Block != nil && n.Block.Private {
		c.Privacy = Kept
	}
	if n.Block != nil && n.Block.Check != nil {
		found := n.Block.Check(n.Key, c.Value, n.Expr.Span())
		n.worked = append(n.worked, found...)
	}
	n.Cell = c
}

// gather makes the record of a block of values from its values.
func gather(n *Node) Cell {
	r := &Record{Kind: n.Block.Kind, Name: n.Block.Name}
	for _, m := range n.Block.Members {
		r.Fields = append(r.Fields, Result{Name: m.Key, Value: m.Cell.Value, Privacy: m.Cell.Privacy})
	}
	return Cell{Value: r}
}

// workBlock works out the keys of a block and hands them to its kind.
func (p *Program) workBlock(n *Node) {
	if n.Block.Clear != nil {
		n.Block.Clear()
	}
	args := make([]Arg, 0, len(n.Block.Syntax.Entries))
	whole := true
	privacy := Open
	for _, e := range n.Block.Syntax.Entries {
		a := Arg{Entry: e}
		if n.takesWord(e) {
			a.Words, _ = bareWords(e.Value)
		} else {
			c, ok := p.try(n, e.Value)
			whole = whole && ok
			a.Cell = c
			privacy = max(privacy, c.Privacy)
		}
		args = append(args, a)
	}
	if !whole {
		return
	}
	rec, found := n.Block.Work(args, func(path string) ([]byte, error) { return p.read(n, path) })
	n.worked = append(n.worked, found...)
	if rec == nil {
		return
	}
	for i := range rec.Fields {
		rec.Fields[i].Privacy = max(rec.Fields[i].Privacy, min(privacy, Shaped))
	}
	n.Cell = Cell{Value: rec, Privacy: min(privacy, Shaped)}
}

// try works out one expression for a node and keeps the fault, if any, with the node.
func (p *Program) try(n *Node, e syntax.Expr) (c Cell, ok bool) {
	defer func() {
		r := recover()
		if r == nil {
			return
		}
		b, mine := r.(bailout)
		if !mine {
			panic(r)
		}
		if n.Block != nil && n.Block.Private {
			b.f.Private = true
		}
		if !n.alreadyWaits(b.f) {
			n.worked = append(n.worked, b.f)
		}
		if u, fresh := n.Cell.Value.(Unknown); b.waits != nil && fresh && u.Waits == n {
			n.Cell = Cell{Value: Unknown{b.waits}}
		}
		c, ok = n.Cell, false
	}()
	ev := evaluator{p, n}
	return ev.cell(e), true
}

// alreadyWaits tells whether the node says already that it waits for the same thing.
func (n *Node) alreadyWaits(f finding.Finding) bool {
	if f.Name != string(Waiting) {
		return false
	}
	for _, g := range n.worked {
		if g.Name == f.Name && g.Message == f.Message {
			return true
		}
	}
	return false
}

// root is the node that must be mended before this one can be worked out: itself, or, since nodes are
// worked out after what they need, the one that its own need has already named.
func (n *Node) root() *Node {
	if u, ok := n.Cell.Value.(Unknown); ok && u.Waits != nil {
		return u.Waits
	}
	return n
}
