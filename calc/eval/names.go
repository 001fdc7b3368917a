package eval

import (
	"fmt"
	"slices"

	"bevelbook/calc/finding"
)

// spot is a name in a space, set or not.
type spot struct{ section, name string }

// theSection is the spot at which nodes wait that ask whether there is a section of that name.
func theSection(name string) spot { return spot{"\x00", name} }

// seekers are the nodes that looked for a name where nothing sets it. They are looked at again when
// something does.
type seekers struct {
	nodes []*Node
	backs []int32 // where in the seeks of each node this stands
}

// seek is one name that a node looked for in vain, and where it stands among the seekers.
type seek struct {
	spot spot
	slot int32
}

// seek notes that the node which is being resolved looked for a name in vain.
func (p *Program) seek(n *Node, s spot) {
	if p.resolving != n {
		return
	}
	for _, known := range n.seeks {
		if known.spot == s {
			return
		}
	}
	list := p.seekers[s]
	if list == nil {
		list = &seekers{}
		p.seekers[s] = list
	}
	n.seeks = append(n.seeks, seek{s, int32(len(list.nodes))})
	list.nodes = append(list.nodes, n)
	list.backs = append(list.backs, int32(len(n.seeks)-1))
}

// unseek forgets what a node looked for.
func (p *Program) unseek(n *Node) {
	for _, k := range n.seeks {
		list := p.seekers[k.spot]
		last := len(list.nodes) - 1
		if int(k.slot) != last {
			m, back := list.nodes[last], list.backs[last]
			list.nodes[k.slot], list.backs[k.slot] = m, back
			m.seeks[back].slot = k.slot
		}
		list.nodes[last] = nil
		list.nodes, list.backs = list.nodes[:last], list.backs[:last]
		if last == 0 {
			delete(p.seekers, k.spot)
		}
	}
	n.seeks = n.seeks[:0]
}

// space is the space of a section, made when it is the first time asked for.
func (p *Program) space(section string) space {
	sp := p.spaces[section]
	if sp == nil {
		sp = space{}
		p.spaces[section] = sp
		p.renamed(theSection(section))
	}
	return sp
}

// spot is where a node's name stands, false for a node that sets none outside of its own block.
func (n *Node) spot() (spot, bool) {
	b := n.Block
	switch {
	case b == nil:
		return spot{}, false
	case n.Key != "":
		return spot{b.Section, n.Key}, b.own == nil
	}
	return spot{b.Section, b.Name}, !b.Unbound && (b.Name != "" || !b.Values)
}

// bind gives a node its name; of several the first in the order of the texts has it.
func (p *Program) bind(sp space, s spot, n *Node) {
	if n.bound {
		if p.doubles[s] != nil {
			p.update.spots[s] = true // its text is new: the order may be another
		}
		return
	}
	n.bound = true
	first := sp[s.name]
	if first == nil {
		sp[s.name] = n
		p.renamed(s)
		return
	}
	list := p.doubles[s]
	if list == nil {
		list = []*Node{first}
	}
	p.doubles[s] = append(list, n)
	if p.update != nil {
		p.update.names = true // those in it, if it is a block of values
		p.update.spots[s] = true
	}
}

// unbind takes a node's name away.
func (p *Program) unbind(n *Node) {
	s, _ := n.spot()
	if !n.bound {
		return
	}
	n.bound = false
	sp := p.spaces[s.section]
	list := p.doubles[s]
	if len(list) < 2 {
		delete(p.doubles, s)
		delete(sp, s.name)
		p.renamed(s)
		return
	}
	i := slices.Index(list, n)
	list = slices.Delete(list, i, i+1)
	p.doubles[s] = list
	p.update.spots[s], p.update.names = true, true
	if sp[s.name] == n {
		sp[s.name] = list[0]
	}
}

// renamed has everybody look again who looked for a name that is set or was set.
func (p *Program) renamed(s spot) {
	if p.update == nil {
		return
	}
	p.update.names = true
	if list := p.seekers[s]; list != nil {
		for _, n := range list.nodes {
			p.update.relink[n] = true
		}
	}
}

// order puts those who set one name into the order of the texts; the first has it.
func (p *Program) order(s spot) {
	list := p.doubles[s]
	if list == nil {
		return
	}
	slices.SortFunc(list, func(a, b *Node) int {
		switch {
		case a == b:
			return 0
		case a.before(b):
			return -1
		}
		return 1
	})
	sp := p.spaces[s.section]
	if first := sp[s.name]; first != list[0] {
		sp[s.name] = list[0]
		p.update.names = true
		p.lookAgain(first)
		for _, n := range list {
			p.update.relink[n] = true // one of them may have seen itself
		}
	}
}

// lookAgain has the users of a node, and of the values of a named block of them, look for what they mean.
func (p *Program) lookAgain(n *Node) {
	for _, u := range n.Users {
		p.update.relink[u] = true
	}
	if n.Expr != nil {
		return
	}
	for _, m := range n.Block.own {
		for _, u := range m.Users {
			p.update.relink[u] = true
		}
	}
}

// tellDoubles reports all but the first of those who set one name, with both places.
func (p *Program) tellDoubles(s spot) {
	list := p.doubles[s]
	for i, n := range list {
		was := n.twice
		n.twice = nil
		if i > 0 && !n.lost {
			n.twice = setTwice(s.name, n, list[0])
		}
		if was != nil || n.twice != nil {
			n.gatherFindings()
			p.shows(n)
		}
	}
	if len(list) == 1 {
		delete(p.doubles, s)
	}
}

// setTwice is the finding of a node whose name is set before.
func setTwice(name string, n, first *Node) *finding.Finding {
	help, message := "Keep one of them, or give one another name; the first one counts until then", name+" is set twice"
	if n.Key == "" && name == n.Block.Kind {
		help = fmt.Sprintf("Put them into one, or write a name behind the word, as in ```%s NAME", name)
		message = fmt.Sprintf("this is the second %s here without a name of its own", name)
	}
	f := Err(SetTwice, n.At, help, "%s", message)
	f.Notes = []finding.Related{{At: first.At, Message: "it was set here first"}}
	return &f
}

// gatherFindings puts together all that is found at a node.
func (n *Node) gatherFindings() {
	if n.twice == nil && len(n.loops) == 0 {
		n.Findings = n.worked
		return
	}
	n.Findings = nil
	if n.twice != nil {
		n.Findings = append(n.Findings, *n.twice)
	}
	n.Findings = append(append(n.Findings, n.loops...), n.worked...)
}
