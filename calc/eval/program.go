package eval

import (
	"maps"
	"slices"
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
	// Was is the block that this one replaces, if it reads the same and all that its Work gave besides the
	// record has been taken over: it is worked out again only when something that it needs has changed.
	Was *Block
	// Clear, when not nil, takes back what an earlier Work gave besides the record.
	Clear func()

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

// Node is one thing to work out: a named value, a block, or an inline expression. It stands for the
// same thing as long as its text holds it: when the text is replaced, it gets what is written now.
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

	refs   []ref                 // names and fields in its expressions that stand for other nodes
	byExpr map[syntax.Expr]*Node // the same, where they are many; made when it is worked out
	Needs  []*Node               // what it needs, each once, in the order of the text
	Users  []*Node               // who needs it, in no order
	slots  []int32               // where in the Users of each need it stands
	backs  []int32               // where in the Needs of each user it stands
	seeks  []seek                // names that it looked for in vain

	text    *Passage // nil when it is gone, and for what was only asked
	key     string   // of its text
	order   int      // its place in the text
	written int      // the round in which its text was read
	height  int      // above those of all that it needs; nodes of one height do not need each other
	lost    bool     // its value could not be read
	knot    *knot    // the values that need each other and it is one of; nil for nearly all
	done    int      // the round in which its text was read and read the same: its value stands
	looped  bool     // it is in a loop that is reported

	twice   *finding.Finding // its name is set before
	loops   []finding.Finding
	worked  []finding.Finding // while it was worked out
	guessed bool              // what it says depends on which names there are
	kept    *keptAs           // the measurement that it is; nil for nearly all
	bound   bool              // it has its name in a space, or waits to have it
	made    int               // the round in which it came to be
	waiting int               // needs that have no height yet, while the graph is arranged
}

// ref says for which node a name or field stands.
type ref struct {
	expr syntax.Expr
	node *Node
}

// Program is the linked graph of a whole journal.
type Program struct {
	Files Files // nil for a program without files; set before Run

	texts    map[string]*Passage
	spaces   map[string]space // by section; "" is the journal's own
	blocks   map[string]int   // how many blocks a section has: without any it is none
	doubles  map[spot][]*Node // who sets a name, where several do, the first first
	seekers  map[spot]*seekers
	guessing map[*Node]bool
	readers  map[string]map[*Node]bool // who read a file, by its path
	kept     map[keptAs]int            // private measurements, and how many nodes have each
	near     sync.Map                  // answers to what a mistyped name means

	round     int
	update    *update // nil but while texts are replaced
	knots     int
	resolving *Node // the node that notes what it looks for
}

type space map[string]*Node

// Span is one inline expression of a page.
type Span struct {
	Section string
	Expr    syntax.Expr
}

// Passage is what one page gives to the graph: blocks and inline expressions, in the order of the text.
type Passage struct {
	Key    string // its place in the order of all texts, and its name; the page's path
	Blocks []*Block
	Spans  []Span
	Inline []*Node // the nodes of the spans, set by Link

	nodes []*Node
}

// Link makes the graph of all blocks and inline expressions. Blocks get their Node.
func Link(blocks []*Block, spans []Span) *Program {
	return LinkTexts([]*Passage{{Blocks: blocks, Spans: spans}})
}

// LinkTexts makes the graph of several texts, which come in the order of their keys. Of a name that is
// set twice the first one counts.
func LinkTexts(texts []*Passage) *Program {
	p := &Program{
		texts: map[string]*Passage{}, spaces: map[string]space{"": {}}, blocks: map[string]int{},
		doubles: map[spot][]*Node{}, seekers: map[spot]*seekers{},
		guessing: map[*Node]bool{}, readers: map[string]map[*Node]bool{}, kept: map[keptAs]int{},
	}
	for _, t := range texts {
		p.declareText(t, nil)
	}
	all := p.Nodes()
	for _, n := range all {
		p.resolve(n)
	}
	for s := range p.doubles {
		p.tellDoubles(s)
	}
	p.arrange(all)
	return p
}

// Nodes lists all nodes in the order of the texts.
func (p *Program) Nodes() []*Node {
	var list []*Node
	for _, key := range slices.Sorted(maps.Keys(p.texts)) {
		list = append(list, p.texts[key].nodes...)
	}
	return list
}

// Page is the key of the text that holds the node, or last held it.
func (n *Node) Page() string { return n.key }

// before tells whether a node comes before another in the order of the texts.
func (n *Node) before(m *Node) bool {
	if n.text != m.text {
		return n.text.Key < m.text.Key
	}
	return n.order < m.order
}

// declareText makes the nodes of a text and binds their names. Nodes that stood for the same things in
// the text that it replaces are taken over from old.
func (p *Program) declareText(t *Passage, old *remains) {
	p.texts[t.Key] = t
	t.nodes, t.Inline = nil, make([]*Node, 0, len(t.Spans))
	d := declaring{p, t, old}
	for _, b := range t.Blocks {
		d.block(b)
	}
	for _, s := range t.Spans {
		n := d.node(Node{Section: s.Section, At: s.Expr.Span(), Expr: s.Expr})
		t.Inline = append(t.Inline, n)
	}
}

// declaring is a text while its nodes are made.
type declaring struct {
	p   *Program
	t   *Passage
	old *remains
}

// node adds a node to the text, or gives one from before what is written now.
func (d declaring) node(as Node) *Node {
	n := d.old.take(&as)
	if n == nil {
		n = &as
		n.made = d.p.round
	} else {

		n.At, n.Expr, n.Block, n.lost = as.At, as.Expr, as.Block, as.lost
		n.twice, n.refs, n.byExpr = nil, nil, nil
		n.gatherFindings() // it may not be worked out again
	}
	n.text, n.key, n.order, n.written = d.t, d.t.Key, len(d.t.nodes), d.p.round
	if n.lost {
		n.worked, n.Findings, n.Cell = nil, nil, Cell{Value: Unknown{n}}
	}
	d.t.nodes = append(d.t.nodes, n)
	return n
}

// block makes the nodes of a block and binds their names.
func (d declaring) block(b *Block) {
	p := d.p
	sp := p.space(b.Section)
	p.blocks[b.Section]++
	id := b.Name
	if b.Section != "" && id != "" {
		id = b.Section + "." + id
	}
	b.Node, b.Members, b.own = nil, nil, nil
	if !b.Values {
		b.Node = d.node(Node{ID: id, Section: b.Section, At: b.At, Block: b})
		if !b.Unbound {
			p.bind(sp, spot{b.Section, b.Name}, b.Node)
		}
		return
	}
	if b.Name != "" {
		b.own = space{}
	}
	bind := func(name string, n *Node) {
		if b.own == nil {
			p.bind(sp, spot{b.Section, name}, n)
			return
		}
		if first := b.own[name]; first == nil {
			b.own[name] = n
		} else if !n.lost {
			n.twice = setTwice(name, n, first)
		}
	}
	for _, e := range b.Syntax.Entries {
		v := d.node(Node{ID: join(id, b.Section, e.Name()), Section: b.Section, At: e.Key[0].At, Expr: e.Value, Block: b, Key: e.Name()})
		bind(e.Name(), v)
		b.Members = append(b.Members, v)
	}
	for _, e := range b.Syntax.Lost {
		v := d.node(Node{ID: join(id, b.Section, e.Name()), Section: b.Section, At: e.Key[0].At, Block: b, Key: e.Name(), lost: true})
		bind(e.Name(), v)
	}
	b.Node = d.node(Node{ID: id, Section: b.Section, At: b.At, Block: b})
	if b.Name != "" {
		p.bind(sp, spot{b.Section, b.Name}, b.Node)
	}
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

func (n *Node) takesWord(e *syntax.Entry) bool {
	if n.Block.Word == nil || !n.Block.Word(e.Name()) {
		return false
	}
	_, ok := bareWords(e.Value)
	return ok
}

// stands finds the node that a name, or a chain of name.name, stands for, or nil. A node that is part of
// the graph notes what it looked for in vain.
func (p *Program) stands(n *Node, e syntax.Expr) *Node {
	switch e := e.(type) {
	case *syntax.Name:
		return p.lookup(n, e.Text)
	case *syntax.Field:
		if m := p.stands(n, e.X); m != nil {
			return m.value(e.Name.Text)
		}
		if s, ok := e.X.(*syntax.Name); ok && s.Text != "" {
			m := p.spaces[s.Text][e.Name.Text]
			if m == nil {
				p.seek(n, spot{s.Text, e.Name.Text})
			}
			return m
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
	self := false
	if n.Block != nil {
		m := n.Block.own[name]
		if m != nil && m != n {
			return m
		}
		self = m != nil
	}
	for _, s := range [2]string{n.Section, ""} {
		m := p.spaces[s][name]
		if m != nil && m != n {
			return m
		}
		self = self || m != nil
		if m == nil {
			p.seek(n, spot{s, name})
		}
		if s == "" {
			break
		}
	}
	if !self {
		return nil
	}
	p.seek(n, theSection(name))
	if p.spaces[name] == nil {
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
