package eval

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/syntax"
)

// Block is what linking and working out need of one block.
type Block struct {
	Section string // "" is the journal's own space
	Name    string // "" for an unnamed block of values, whose names stand in the section itself
	Kind    string
	At      source.Span
	Syntax  *syntax.Block
	// Values: each key names a value of its own (dims, wearer). Such a block has no Work.
	Values bool
	// Unbound blocks cannot be referred to by name.
	Unbound bool
	// Private: its values are measurements that are not published.
	Private bool
	// Word tells which keys take bare words instead of an expression; nil for none.
	Word func(key string) bool
	// Check, when not nil, looks at each value of a Values block.
	Check func(key string, v Value, at source.Span) []finding.Finding
	// Work turns the evaluated keys into the block's result; read hands it files. It may be called from
	// any goroutine.
	Work func(args []Arg, read Files) (*Record, []finding.Finding)

	Node    *Node   // set by Link
	Members []*Node // the nodes of its values, set by Link
	own     space   // the names of a named block of values
}

// Arg is one key of a block, worked out.
type Arg struct {
	Entry *syntax.Entry
	Cell
	Words []syntax.Ident // the bare words, when the key takes them; the cell is empty then
}

// Node is one thing to work out: a named value, a block, or an inline expression.
type Node struct {
	ID      string // "forearm.cheek", "wall"; "" for inline expressions and unbound blocks
	Section string
	At      source.Span
	Expr    syntax.Expr // nil for a block
	Block   *Block      // the block it belongs to or is; nil for inline expressions
	Key     string      // the name of a value inside its block

	Cell     Cell
	Findings []finding.Finding
	Reads    []string // paths of the files that it asked for while it was worked out

	refs    []ref                 // names and fields in its expressions that stand for other nodes
	byExpr  map[syntax.Expr]*Node // the same, where they are many; made when it is worked out
	Needs   []*Node               // what it needs, each once, in the order of the text
	Users   []*Node               // who needs it
	waiting int                   // needs not yet worked out
}

// ref says for which node a name or field stands.
type ref struct {
	expr syntax.Expr
	node *Node
}

// Program is the linked graph of a whole journal.
type Program struct {
	Nodes  []*Node
	spaces map[string]space // by section; "" is the journal's own
	Inline map[syntax.Expr]*Node
	Files  Files    // nil for a program without files; set before Run
	near   sync.Map // answers to what a mistyped name means
}

type space map[string]*Node

// Span is one inline expression of a page.
type Span struct {
	Section string
	Expr    syntax.Expr
}

// Link makes the graph of all blocks and inline expressions. Blocks get their Node.
func Link(blocks []*Block, spans []Span) *Program {
	p := &Program{spaces: map[string]space{"": {}}, Inline: make(map[syntax.Expr]*Node, len(spans))}
	for _, b := range blocks {
		p.declare(b)
	}
	for _, s := range spans {
		n := &Node{Section: s.Section, At: s.Expr.Span(), Expr: s.Expr}
		p.Nodes = append(p.Nodes, n)
		p.Inline[s.Expr] = n
	}
	for _, n := range p.Nodes {
		p.resolve(n)
	}
	p.breakLoops()
	return p
}

// declare makes the nodes of a block and binds their names.
func (p *Program) declare(b *Block) {
	sp := p.space(b.Section)
	id := b.Name
	if b.Section != "" && id != "" {
		id = b.Section + "." + id
	}
	n := &Node{ID: id, Section: b.Section, At: b.At, Block: b}
	b.Node, b.Members, b.own = n, nil, nil
	if !b.Values {
		p.Nodes = append(p.Nodes, n)
		if !b.Unbound {
			p.bind(sp, b.Name, n)
		}
		return
	}
	inner := sp
	if b.Name != "" {
		inner = space{}
		b.own = inner
		p.bind(sp, b.Name, n)
	}
	for _, e := range b.Syntax.Entries {
		v := &Node{ID: join(id, b.Section, e.Name()), Section: b.Section, At: e.Key[0].At, Expr: e.Value, Block: b, Key: e.Name()}
		p.Nodes = append(p.Nodes, v)
		p.bind(inner, e.Name(), v)
		b.Members = append(b.Members, v)
		n.Needs = append(n.Needs, v)
		v.Users = append(v.Users, n)
	}
	for _, e := range b.Syntax.Lost {
		v := &Node{ID: join(id, b.Section, e.Name()), Section: b.Section, At: e.Key[0].At, Block: b, Key: e.Name()}
		v.Cell = Cell{Value: Unknown{v}}
		p.Nodes = append(p.Nodes, v)
		if inner[e.Name()] == nil {
			inner[e.Name()] = v
		}
	}
	p.Nodes = append(p.Nodes, n)
}

func join(block, section, name string) string {
	switch {
	case block != "":
		return block + "." + name
	case section != "":
		return section + "." + name
	}
	return name
}

func (p *Program) space(section string) space {
	sp := p.spaces[section]
	if sp == nil {
		sp = space{}
		p.spaces[section] = sp
	}
	return sp
}

// bind gives a node its name; the first keeps it, a second is a finding that shows both places.
func (p *Program) bind(sp space, name string, n *Node) {
	first, ok := sp[name]
	if !ok {
		sp[name] = n
		return
	}
	help, message := "Keep one of them, or give one another name; the first one counts until then", name+" is set twice"
	if n.Key == "" && name == n.Block.Kind {
		help = fmt.Sprintf("Put them into one, or write a name behind the word, as in ```%s NAME", name)
		message = fmt.Sprintf("this is the second %s here without a name of its own", name)
	}
	f := Err(SetTwice, n.At, help, "%s", message)
	f.Notes = []finding.Related{{At: first.At, Message: "it was set here first"}}
	n.Findings = append(n.Findings, f)
}

// needs notes the nodes that a node's expressions stand for, each once.
func (n *Node) needs(refs []ref) {
	seen := make(map[*Node]bool, len(refs))
	for _, r := range refs {
		if !seen[r.node] {
			seen[r.node] = true
			n.Needs = append(n.Needs, r.node)
			r.node.Users = append(r.node.Users, n)
		}
	}
}

// resolve finds what every name of a node stands for.
func (p *Program) resolve(n *Node) {
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
	n.needs(n.refs)
}

func (n *Node) takesWord(e *syntax.Entry) bool {
	if n.Block.Word == nil || !n.Block.Word(e.Name()) {
		return false
	}
	_, ok := bareWords(e.Value)
	return ok
}

// stands finds the node that a name, or a chain of name.name, stands for, or nil.
func (p *Program) stands(n *Node, e syntax.Expr) *Node {
	switch e := e.(type) {
	case *syntax.Name:
		return p.lookup(n, e.Text)
	case *syntax.Field:
		if m := p.stands(n, e.X); m != nil {
			return m.value(e.Name.Text)
		}
		if s, ok := e.X.(*syntax.Name); ok && s.Text != "" {
			return p.spaces[s.Text][e.Name.Text]
		}
	}
	return nil
}

// value is the node of one value of a named block of values, or nil.
func (n *Node) value(name string) *Node {
	if n.Block == nil || n.Expr != nil {
		return nil
	}
	return n.Block.own[name]
}

// lookup finds a name as seen from n: in its own named block, its section, the journal's space. A
// value does not see itself where something further out has its name, so that `roof: 2 * roof.side.area`
// may speak of the section roof; where nothing has, it needs itself, which is a loop.
func (p *Program) lookup(n *Node, name string) *Node {
	spaces := [3]space{2: p.spaces[""]}
	if n.Block != nil {
		spaces[0] = n.Block.own
	}
	spaces[1] = p.spaces[n.Section]
	self := false
	for _, s := range spaces {
		m := s[name]
		if m != nil && m != n {
			return m
		}
		self = self || m != nil
	}
	if self && p.spaces[name] == nil {
		return n
	}
	return nil
}

// Lookup finds a node by the name that a page of the section would write.
func (p *Program) Lookup(section, name string) *Node {
	return p.lookup(&Node{Section: section}, name)
}

// Names lists, sorted, the names that a page of the section can write without a dot, sections included.
func (p *Program) Names(section string) []string {
	var names []string
	for _, s := range []string{section, ""} {
		for name := range p.spaces[s] {
			names = append(names, name)
		}
	}
	for s := range p.spaces {
		if s != "" {
			names = append(names, s)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// maxLoops bounds the loops that are reported; more come to light when these are mended.
const maxLoops = 100

// breakLoops reports every loop once, with its steps, and takes its nodes out of the order. Of loops
// that share all their values only the first is reported.
func (p *Program) breakLoops() {
	const (
		fresh = iota
		open
		done
	)
	state := make(map[*Node]int, len(p.Nodes))
	type frame struct {
		n    *Node
		next int
	}
	loops := 0
	for _, root := range p.Nodes {
		if state[root] != fresh {
			continue
		}
		stack := []frame{{n: root}}
		state[root] = open
		for len(stack) > 0 {
			f := &stack[len(stack)-1]
			if f.next == len(f.n.Needs) {
				state[f.n] = done
				stack = stack[:len(stack)-1]
				continue
			}
			m := f.n.Needs[f.next]
			f.next++
			switch state[m] {
			case fresh:
				state[m] = open
				stack = append(stack, frame{n: m})
			case open:
				f.next--
				cutArrow(f.n, f.next)
				if f.n.Cell.Value != nil && m.Cell.Value != nil {
					continue // both are in loops already
				}
				if loops == maxLoops {
					f.n.Cell = Cell{Value: Unknown{m.root()}}
					continue
				}
				loops++
				var loop []*Node
				for i := len(stack) - 1; i >= 0 && (len(loop) == 0 || loop[len(loop)-1] != m); i-- {
					loop = append(loop, stack[i].n)
				}
				slices.Reverse(loop)
				report(loop)
			}
		}
	}
}

// cutArrow takes away the i-th need of a node.
func cutArrow(n *Node, i int) {
	m := n.Needs[i]
	n.Needs = slices.Delete(n.Needs, i, i+1)
	i = slices.Index(m.Users, n)
	m.Users = slices.Delete(m.Users, i, i+1)
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
	first.Findings = append(first.Findings, f)
	for _, n := range loop {
		if n.Cell.Value == nil {
			n.Cell = Cell{Value: Unknown{first}}
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
