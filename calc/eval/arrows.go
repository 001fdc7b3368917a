package eval

import "slices"

// resolve finds what every name of a node stands for, and tells whether it needs other nodes than before.
func (p *Program) resolve(n *Node) (moved bool) {
	p.unseek(n)
	p.resolving = n
	n.refs, n.byExpr = nil, nil
	switch {
	case n.Expr != nil:
		n.refs = p.reach(n, n.Expr)
	case n.Key == "" && !n.Block.Values:
		for _, e := range n.Block.Syntax.Entries {
			if !n.takesWord(e) {
				n.refs = append(n.refs, p.reach(n, e.Value)...)
			}
		}
	}
	p.resolving = nil
	needs := n.wanted()
	if slices.Equal(needs, n.Needs) {
		return false
	}
	p.forget(n)
	for _, m := range needs {
		n.Needs, n.slots = append(n.Needs, m), append(n.slots, int32(len(m.Users)))
		m.Users, m.backs = append(m.Users, n), append(m.backs, int32(len(n.Needs)-1))
		p.usersOf(m)
	}
	return true
}

// wanted are the nodes that a node's expressions stand for, each once; of a block of values, its values.
func (n *Node) wanted() []*Node {
	if n.Expr == nil && n.Key == "" && n.Block.Values {
		return n.Block.Members
	}
	const few = 16
	var list []*Node
	if len(n.refs) <= few {
		for _, r := range n.refs {
			if !slices.Contains(list, r.node) {
				list = append(list, r.node)
			}
		}
		return list
	}
	seen := make(map[*Node]bool, len(n.refs))
	for _, r := range n.refs {
		if !seen[r.node] {
			seen[r.node] = true
			list = append(list, r.node)
		}
	}
	return list
}

// forget takes away all arrows from a node to what it needs.
func (p *Program) forget(n *Node) {
	for i, m := range n.Needs {
		j, last := int(n.slots[i]), len(m.Users)-1
		if j != last {
			u, back := m.Users[last], m.backs[last]
			m.Users[j], m.backs[j] = u, back
			u.slots[back] = int32(j)
		}
		m.Users[last] = nil
		m.Users, m.backs = m.Users[:last], m.backs[:last]
		p.usersOf(m)
	}
	n.Needs, n.slots = n.Needs[:0:0], n.slots[:0]
}

// usersOf notes that a node's users came or went.
func (p *Program) usersOf(m *Node) {
	if p.update != nil {
		p.update.users[m] = true
	}
}

// fixed tells whether a node's value does not come from what it needs: it could not be read, or it is
// in a loop.
func (n *Node) fixed() bool { return n.lost || n.looped }

// arrange gives every node of a new graph its height, and ties up the values that need each other.
func (p *Program) arrange(all []*Node) {
	if left := climb(all); len(left) > 0 {
		for _, k := range p.search(left, nil, 0) {
			p.tie(k)
			p.knots++
		}
		climb(all)
	}
}

// climb gives each node a height above those of all that it needs, as far as loops let it (Kahn's
// topological order). It returns the nodes that it did not reach, in their order.
func climb(all []*Node) (left []*Node) {
	var ready []*Node
	for _, n := range all {
		n.height, n.waiting = 0, len(n.Needs)
		if n.fixed() {
			n.waiting = 0
		}
		if n.waiting == 0 {
			ready = append(ready, n)
		}
	}
	for at := 0; at < len(ready); at++ {
		n := ready[at]
		for _, u := range n.Users {
			if u.fixed() {
				continue
			}
			u.height = max(u.height, n.height+1)
			if u.waiting--; u.waiting == 0 {
				ready = append(ready, u)
			}
		}
	}
	if len(ready) == len(all) {
		return nil
	}
	for _, n := range all {
		if n.waiting > 0 {
			left = append(left, n)
		}
	}
	return left
}

// settle gives nodes whose needs have changed their heights, and raises those above them as far as
// needed. A height that could be lower does no harm.
func settle(nodes []*Node) {
	least := func(n *Node) int {
		h := 0
		if !n.fixed() {
			for _, m := range n.Needs {
				h = max(h, m.height+1)
			}
		}
		return h
	}
	for _, n := range nodes {
		n.height = least(n)
	}
	queue := slices.Clone(nodes)
	for at := 0; at < len(queue); at++ {
		n := queue[at]
		n.height = max(n.height, least(n))
		for _, u := range n.Users {
			if !u.fixed() && u.height <= n.height {
				u.height = n.height + 1
				queue = append(queue, u)
			}
		}
	}
}
