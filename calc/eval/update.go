package eval

import (
	"maps"
	"reflect"
	"slices"

	"bevelbook/calc/finding"
)

// Swap is a text that takes the place of another of the same key; either may be nil.
type Swap struct{ Old, New *Passage }

// Outcome tells what an Update reached.
type Outcome struct {
	// Shown are nodes of other texts than the replaced ones whose value, findings or working may read
	// otherwise now.
	Shown []*Node
	// Users are the nodes whose users came or went; those that are gone are among them.
	Users []*Node
	// Kept tells that the private measurements are others than before.
	Kept bool
}

// update is what is known while texts are replaced.
type update struct {
	users  map[*Node]bool // whose users came or went
	relink map[*Node]bool // to be resolved again
	spots  map[spot]bool  // names that several set, to be told anew
	names  bool           // some name was set or taken away
	shown  map[*Node]bool
	told   []*Node        // whose working reads otherwise
	forced map[*Node]bool // whose users are worked out again whatever comes out
	queue  map[int][]*Node
	queued map[*Node]bool
	reach  map[*Node]bool // queued because a need has another value
	kept   bool
}

// Update replaces texts, and works out again what hangs on them or on the files at the given paths: a
// node whose value comes out the same goes no further. The result is that of LinkTexts and Run over all
// texts as they stand now. Nobody may look at the program meanwhile.
func (p *Program) Update(swaps []Swap, files []string) Outcome {
	p.round++
	u := &update{
		users: map[*Node]bool{}, relink: map[*Node]bool{}, spots: map[spot]bool{}, shown: map[*Node]bool{}, forced: map[*Node]bool{},
		queue: map[int][]*Node{}, queued: map[*Node]bool{}, reach: map[*Node]bool{},
	}
	p.update = u
	defer func() { p.update = nil }()
	suspects, written := p.replace(swaps)
	knotted := p.retie(suspects)
	if u.names {
		p.near.Clear()
		for n := range p.guessing {
			p.enqueue(n)
		}
	}
	for _, path := range files {
		for n := range p.readers[path] {
			p.enqueue(n)
			u.reach[n] = true
		}
	}
	for _, n := range slices.Concat(written, knotted) {
		if n.done < p.round {
			p.enqueue(n)
		}
	}
	for _, s := range swaps {
		if s.New != nil {
			for _, b := range s.New.Blocks {
				b.Was = nil
			}
		}
	}
	p.again()
	p.tellOn()
	for s := range u.spots {
		p.tellDoubles(s)
	}
	return p.outcome()
}

// replace takes old texts out, puts new ones in and has every name looked up again that may stand for
// something else. It gives the nodes that need others than before, and those to be worked out.
func (p *Program) replace(swaps []Swap) (suspects map[*Node]bool, written []*Node) {
	u := p.update
	owners := map[*Node]space{} // named blocks of values, with the names they had
	var gone []*Node
	for _, s := range swaps {
		var old *remains
		if s.Old != nil {
			delete(p.texts, s.Old.Key)
			old = remainsOf(s.Old)
			for _, b := range s.Old.Blocks {
				if p.blocks[b.Section]--; b.own != nil {
					owners[b.Node] = b.own
				}
			}
		}
		if s.New != nil {
			old.into(p)
			p.declareText(s.New, old)
			written = append(written, s.New.nodes...)
		}
		gone = append(gone, old.rest()...)
	}
	for _, n := range gone {
		p.drop(n)
	}
	for _, s := range swaps {
		if s.Old != nil {
			for _, b := range s.Old.Blocks {
				p.close(b.Section)
			}
		}
	}
	for n, own := range owners {
		p.compareOwn(n, own)
	}
	for s := range u.spots {
		p.order(s)
	}
	for _, n := range written {
		u.relink[n] = true
	}
	suspects = map[*Node]bool{}
	for n := range u.relink {
		if n.text == nil {
			continue
		}
		refs := n.refs
		if p.resolve(n) {
			suspects[n] = true
			n.done = 0
		}
		if !slices.Equal(refs, n.refs) && n.written < p.round {
			written = append(written, n)
			u.reach[n] = true
		}
	}
	for _, n := range gone {
		if n.knot != nil {
			suspects[n] = true
		}
	}
	return suspects, written
}

// drop takes a node out of the graph.
func (p *Program) drop(n *Node) {
	p.unbind(n)
	p.unseek(n)
	p.forget(n)
	for _, u := range n.Users {
		p.update.relink[u] = true
	}
	n.text = nil
	n.Reads = p.unread(n)
	delete(p.guessing, n)
	p.keep(n, nil)
}

// close takes a section without blocks away.
func (p *Program) close(section string) {
	if section != "" && p.blocks[section] == 0 && p.spaces[section] != nil {
		delete(p.spaces, section)
		delete(p.blocks, section)
		p.renamed(theSection(section))
	}
}

// compareOwn has the users of a named block of values look again if it sets other names than before.
func (p *Program) compareOwn(n *Node, was space) {
	is := n.Block.own
	if n.text == nil {
		p.update.names = true
		return // its users look again anyway
	}
	same := len(is) == len(was)
	for name, m := range was {
		if is[name] != m {
			same = false
			for _, u := range m.Users {
				p.update.relink[u] = true
			}
		}
	}
	if !same {
		p.update.names = true
		for _, u := range n.Users {
			p.update.relink[u] = true
		}
	}
}

// remains are the nodes of a text that is replaced, by what they stand for.
type remains struct {
	p     *Program
	nodes map[identity][]*Node
	order []*Node
}

// identity is what a node stands for, whatever is written there.
type identity struct{ section, kind, block, key string }

func (n *Node) identity() identity {
	return identity{n.Section, n.Block.Kind, n.Block.Name, n.Key}
}

func remainsOf(t *Passage) *remains {
	r := &remains{nodes: map[identity][]*Node{}, order: t.nodes}
	for _, n := range t.nodes {
		if n.Block != nil {
			id := n.identity()
			r.nodes[id] = append(r.nodes[id], n)
		}
	}
	return r
}

func (r *remains) into(p *Program) {
	if r != nil {
		r.p = p
	}
}

// take gives the first of the nodes that stood for the same thing, and notes what others see of it that
// is no value.
func (r *remains) take(as *Node) *Node {
	if r == nil || as.Block == nil {
		return nil
	}
	id := as.identity()
	list := r.nodes[id]
	if len(list) == 0 {
		return nil
	}
	n := list[0]
	r.nodes[id] = list[1:]
	if n.Block.Private != as.Block.Private || n.lost != as.lost || as.lost {
		r.p.update.forced[n] = true
	}
	if as.Expr == nil && as.Key == "" && as.Block.Was != nil && as.Block.Was == n.Block && n.lasts() {
		n.done = r.p.round
	}
	if (n.Expr == nil) != (as.Expr == nil) || n.Expr != nil && n.Expr.Span().Text() != as.Expr.Span().Text() {
		r.p.update.told = append(r.p.update.told, n)
	}
	return n
}

// lasts tells whether a node's value can be kept when its text is read again and reads the same: nothing
// that it tells names a place.
func (n *Node) lasts() bool {
	_, unknown := n.Cell.Value.(Unknown)
	return n.Cell.Value != nil && !unknown && len(n.worked) == 0 && !n.fixed()
}

// rest are the nodes that nothing in the new text stands for.
func (r *remains) rest() []*Node {
	if r == nil {
		return nil
	}
	left := map[*Node]bool{}
	for _, list := range r.nodes {
		for _, n := range list {
			left[n] = true
		}
	}
	var list []*Node
	for _, n := range r.order {
		if left[n] || n.Block == nil {
			list = append(list, n)
		}
	}
	return list
}

// retie undoes the knots that suspects are part of, looks for new ones, and gives heights anew. It
// returns the nodes of all of them.
func (p *Program) retie(suspects map[*Node]bool) []*Node {
	var touched []*Node
	undo := func(k *knot) {
		for _, n := range k.nodes {
			if n.knot != k {
				continue
			}
			n.knot, n.looped, n.loops, n.done = nil, false, nil, 0
			n.gatherFindings()
			if n.text != nil {
				suspects[n] = true
				touched = append(touched, n)
			}
		}
		p.knots--
	}
	for n := range maps.Clone(suspects) {
		if k := n.knot; k != nil {
			undo(k)
		}
	}
	for n := range suspects {
		if n.text == nil {
			delete(suspects, n)
		}
	}
	// A knot's text is read again: its places are told anew.
	for _, n := range p.rewritten() {
		if k := n.knot; k != nil {
			undo(k)
		}
	}
	if len(suspects) == 0 {
		return nil
	}
	roots := sortedNodes(suspects)
	ground := -1
	if p.knots == 0 { // heights are those of before; of new nodes they are 0
		ground = p.ground(roots)
	}
	for _, k := range p.search(roots, suspects, ground) {
		if old := k.nodes[0].knot; old != nil && !slices.ContainsFunc(k.nodes, func(n *Node) bool { return suspects[n] }) {
			continue // as it was
		}
		for _, n := range k.nodes {
			if n.knot != nil {
				undo(n.knot)
			}
		}
		p.tie(k)
		p.knots++
		touched = append(touched, k.nodes...)
		for _, n := range k.nodes {
			suspects[n] = true
			p.update.forced[n], n.done = true, 0
		}
	}
	settle(sortedNodes(suspects))
	for _, n := range touched {
		p.shows(n)
	}
	return touched
}

// ground is a height below which no suspect of before lies.
func (p *Program) ground(suspects []*Node) int {
	least := int(^uint(0) >> 1)
	for _, n := range suspects {
		if n.made < p.round {
			least = min(least, n.height)
		}
	}
	return least
}

// rewritten are the nodes of replaced texts that are part of a knot.
func (p *Program) rewritten() []*Node {
	if p.knots == 0 {
		return nil
	}
	var list []*Node
	for n := range p.update.relink {
		if n.knot != nil && n.written == p.round {
			list = append(list, n)
		}
	}
	return list
}

func sortedNodes(set map[*Node]bool) []*Node {
	list := make([]*Node, 0, len(set))
	for n := range set {
		list = append(list, n)
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
	return list
}

// enqueue has a node worked out when those below it are.
func (p *Program) enqueue(n *Node) {
	u := p.update
	if n.text == nil || u.queued[n] {
		return
	}
	u.queued[n] = true
	u.queue[n.height] = append(u.queue[n.height], n)
}

// again works out what is queued, from the ground up, and what hangs on it as far as values differ.
func (p *Program) again() {
	u := p.update
	for len(u.queue) > 0 {
		least := -1
		for h := range u.queue {
			if least < 0 || h < least {
				least = h
			}
		}
		nodes := u.queue[least]
		delete(u.queue, least)
		before := make([]Cell, len(nodes))
		found := make([][]finding.Finding, len(nodes))
		for i, n := range nodes {
			before[i], found[i] = n.Cell, n.Findings
			n.Reads = p.unread(n)
		}
		p.wave(nodes)
		for i, n := range nodes {
			p.note(n)
			changed := u.forced[n] || !p.same(before[i], n.Cell)
			if changed {
				for _, m := range n.Users {
					if !m.fixed() {
						u.reach[m] = true
						p.enqueue(m)
					}
				}
			}
			if n.written == p.round && n.made < p.round && !u.reach[n] && !changed {
				continue
			}
			if changed || u.reach[n] || !reflect.DeepEqual(found[i], n.Findings) {
				u.shown[n] = true
			}
			if changed || u.reach[n] {
				u.told = append(u.told, n)
			}
		}
	}
}

// tellOn notes the nodes that stand for nothing but another whose working reads otherwise now: they
// show it as theirs.
func (p *Program) tellOn() {
	u := p.update
	met := map[*Node]bool{}
	for at := 0; at < len(u.told); at++ {
		n := u.told[at]
		for _, m := range n.Users {
			if !met[m] && m.Expr != nil && len(m.refs) == 1 && m.refs[0].expr == m.Expr {
				met[m] = true
				u.shown[m] = true
				u.told = append(u.told, m)
			}
		}
	}
}

// shows notes that a node reads otherwise now.
func (p *Program) shows(n *Node) {
	if p.update != nil {
		p.update.shown[n] = true
	}
}

func (p *Program) outcome() Outcome {
	u := p.update
	o := Outcome{Kept: u.kept}
	for n := range u.shown {
		if n.text != nil && n.written < p.round {
			o.Shown = append(o.Shown, n)
		}
	}
	for n := range u.users {
		o.Users = append(o.Users, n)
	}
	return o
}

// note keeps what the program knows of a node that was worked out: what it read, whether it was a guess,
// which measurement it is.
func (p *Program) note(n *Node) {
	for _, path := range n.Reads {
		if p.readers[path] == nil {
			p.readers[path] = map[*Node]bool{}
		}
		p.readers[path][n] = true
	}
	if n.guessed {
		p.guessing[n] = true
	} else if p.update != nil {
		delete(p.guessing, n)
	}
	p.keep(n, keptOf(n.Cell))
}

// unread forgets which files a node read.
func (p *Program) unread(n *Node) []string {
	for _, path := range n.Reads {
		if delete(p.readers[path], n); len(p.readers[path]) == 0 {
			delete(p.readers, path)
		}
	}
	return nil
}

// keep counts the nodes that are the same private measurement.
func (p *Program) keep(n *Node, k *keptAs) {
	was := n.kept
	if was == nil && k == nil || was != nil && k != nil && *was == *k {
		return
	}
	changed := false
	if was != nil {
		if p.kept[*was]--; p.kept[*was] == 0 {
			delete(p.kept, *was)
			changed = true
		}
	}
	if k != nil {
		p.kept[*k]++
		changed = changed || p.kept[*k] == 1
	}
	n.kept = k
	if p.update != nil && changed {
		p.update.kept = true
	}
}
