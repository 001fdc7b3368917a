package editor

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/kind"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
	"bevelbook/cmd/bevelbook/editor/rpc"
	"bevelbook/journal/entry"
	"bevelbook/journal/proof"
)

// mostItems bounds a list of proposals; a client asks again when more of the word is written.
const mostItems = 200

// completion proposes what may be written at a place.
func (s *server) completion(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	can := s.client.Capabilities.TextDocument.Completion.CompletionItem
	l := proposals{cursor: sp.cursor(), snippets: can.SnippetSupport, markdown: markup(can.DocumentationFormat) == "markdown"}
	l.gather()
	return l.answer(), nil
}

// proposals are what may be written at a cursor.
type proposals struct {
	cursor
	snippets, markdown bool
	items              []proposal
}

// proposal is one word, or more, that may be written.
type proposal struct {
	label   string
	kind    int
	detail  string // shown beside it
	doc     string // shown when it is chosen
	insert  string // what is written, where it is more than the label
	snippet string // the same with places to fill in, for clients that have them
	rank    int    // nearer things come first
}

func (l *proposals) add(p proposal) {
	word, label := strings.ToLower(l.word()), strings.ToLower(p.label)
	if strings.Contains(label, word) {
		l.items = append(l.items, p)
	}
}

// answer sorts the proposals and puts them into the protocol's shape.
func (l *proposals) answer() completionList {
	begins := func(p proposal) int {
		if name := p.label[strings.LastIndexByte(p.label, '.')+1:]; strings.HasPrefix(name, l.word()) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(l.items, func(a, b proposal) int {
		return cmp.Or(begins(a)-begins(b), a.rank-b.rank, strings.Compare(a.label, b.label))
	})
	list := completionList{Items: []completionItem{}}
	if len(l.items) > mostItems {
		l.items, list.IsIncomplete = l.items[:mostItems], true
	}
	at := l.text.between(l.start, l.at)
	for i, p := range l.items {
		item := completionItem{Label: p.label, Kind: p.kind, Detail: p.detail, SortText: fmt.Sprintf("%03d", i),
			InsertTextFormat: formatPlain, TextEdit: &TextEdit{at, cmp.Or(p.insert, p.label)}}
		if l.snippets && p.snippet != "" {
			item.InsertTextFormat, item.TextEdit.NewText = formatSnippet, p.snippet
		}
		if p.doc != "" {
			c := card{markdown: l.markdown}
			c.line(p.doc)
			doc := c.content()
			item.Documentation = &doc
		}
		list.Items = append(list.Items, item)
	}
	return list
}

func (l *proposals) gather() {
	switch l.where {
	case atFence:
		l.kinds()
	case atKey:
		l.keys()
	case atValue:
		l.expression()
	case atArrow:
		l.add(proposal{label: "-> ", kind: itemSnippet, detail: "a value in the text", snippet: "-> $0"})
	case atFront:
		for _, key := range entry.Keys(l.page.IsHome()) {
			if _, given := l.page.Doc.Front.At[key]; !given {
				l.add(proposal{label: key, kind: itemProperty, insert: key + ": "})
			}
		}
	case atSection:
		for _, s := range l.snap.Sections {
			if len(s.Pages) == 1 && s.Pages[0] == l.page {
				continue // it is what is being written
			}
			l.add(proposal{label: s.Name, kind: itemModule})
		}
	case atAccept:
		for _, c := range proof.All {
			l.add(proposal{label: c.Name, kind: itemEnumMember, detail: c.Severity.String(), doc: c.Doc, insert: c.Name + ": "})
		}
	}
}

// kinds proposes kinds of block, each as a word and, with places to fill in, as a whole block.
func (l *proposals) kinds() {
	for _, k := range kind.All {
		l.add(proposal{label: k.Name, kind: itemStruct, doc: k.Doc})
		if !l.snippets {
			continue
		}
		n := 1
		body := k.Name + " ${1:name}\n"
		for _, key := range k.Keys {
			if key.Required {
				n++
				body += fmt.Sprintf("%s: $%d\n", key.Name, n)
			}
		}
		l.add(proposal{label: k.Name + " …", kind: itemSnippet, detail: "a whole block", doc: k.Doc, snippet: body + "$0\n```", rank: 1})
	}
}

// keys proposes the keys of a kind that are not given yet.
func (l *proposals) keys() {
	k := l.block.Kind
	given := map[string]bool{}
	for _, e := range slices.Concat(l.block.Syntax.Entries, l.block.Syntax.Lost) {
		if !holds(e.Key[0].At, l.at) {
			given[e.Name()] = true
		}
	}
	switch len(l.words) {
	case 0:
		for i, key := range k.Keys {
			p := proposal{label: key.Usage(), kind: itemProperty, doc: key.Help(), insert: key.Name + ": ", rank: i}
			if key.Arg != "" {
				p.insert, p.snippet = key.Name+" ", key.Name+" ${1:"+key.Arg+"}: $0"
			}
			if !given[key.Name] {
				l.add(p)
			}
		}
		if k.Name == "wearer" {
			for _, name := range kind.Measures() {
				if !given[name] {
					l.add(proposal{label: name, kind: itemVariable, detail: "a body measurement", insert: name + ": ", rank: len(k.Keys)})
				}
			}
		}
	case 1:
		for _, name := range l.edges() {
			if !given[l.words[0].Text+" "+name] {
				l.add(proposal{label: name, kind: itemField, detail: "an edge", insert: name + ": "})
			}
		}
	}
}

// edges are the edges of the block's parts, or, as long as the block is half written, those of its
// outlines.
func (l *proposals) edges() []string {
	var names []string
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, p := range l.block.Out.Parts {
		for _, e := range p.Edges {
			add(e.Name)
		}
	}
	for _, e := range l.block.Syntax.Entries {
		if key := keyOf(l.block.Kind, e); len(l.block.Out.Parts) > 0 || key == nil || key.Want != kind.Outline || key.Arg != "" {
			continue
		}
		if o, ok := l.snap.Program.AskAs(l.block.Eval.Node, e.Value).Cell.Value.(eval.Outline); ok {
			for _, e := range o.Edges {
				add(e.Name)
			}
		}
	}
	return names
}

// expression proposes what may go on an expression.
func (l *proposals) expression() {
	before := l.last(0)
	switch {
	case isOp(before, "."):
		l.parts()
	case before.Kind == syntax.Number, before.Kind == syntax.Word && before.Text == "as":
		l.units()
	case before.Kind == syntax.Word && !isWordOperator(before.Text), isOp(before, ")"), isOp(before, "]"):
		for i, o := range wordOperators {
			l.add(proposal{label: o, kind: itemKeyword, insert: o + " ", rank: i})
		}
	case l.key != nil && (l.key.Want == kind.Word || l.key.Want == kind.Names):
		l.bareWords()
	default:
		l.values()
	}
}

// wordOperators are the operators that are words.
var wordOperators = []string{"as", "to", "and", "or"}

func isWordOperator(word string) bool {
	return slices.Contains(wordOperators, word) || word == "not" || word == "x"
}

func (l *proposals) bareWords() {
	for i, w := range l.key.Words {
		l.add(proposal{label: w, kind: itemEnumMember, doc: l.key.Doc, rank: i})
	}
}

// units proposes units of measure, first those that the key takes.
func (l *proposals) units() {
	want, known := unit.Dim{}, false
	if l.key != nil {
		want, known = dimensions[l.key.Want]
	}
	for i, u := range unit.All() {
		rank := i
		if known && u.Dim != want {
			rank += 1000
		}
		l.add(proposal{label: u.Name, kind: itemUnit, detail: u.Doc, rank: rank})
	}
}

// dimensions tells what some keys want, as far as one dimension says it.
var dimensions = map[kind.Want]unit.Dim{
	kind.Length: unit.Length, kind.Angle: unit.Angle, kind.Mass: unit.Mass, kind.Time: unit.Time,
	kind.Volume: unit.Volume, kind.Place: unit.Length, kind.Outline: unit.Length,
}

// parts proposes what stands behind a value and a dot: names of a section, results of a block.
func (l *proposals) parts() {
	at, ok := l.chain()
	if !ok {
		return
	}
	e, faults := syntax.ParseExpr(at)
	if len(faults) > 0 {
		return
	}
	p := l.snap.Program
	if name, ok := e.(*syntax.Name); ok && p.Lookup(l.page.Section(), name.Text) == nil {
		for own, n := range p.Space(name.Text) {
			l.add(l.named(own, n, 0))
		}
		return
	}
	v := p.AskAs(l.asker(), e).Cell.Value
	rec, _ := v.(*eval.Record)
	for i, name := range eval.PartNames(v) {
		item := proposal{label: name, kind: itemField, rank: i}
		if rec != nil {
			f, _ := rec.Field(name)
			item.detail = l.shown(eval.Cell{Value: f.Value, Privacy: f.Privacy})
			item.doc = f.Formula
		}
		l.add(item)
	}
}

// asker stands for whoever asks at the cursor.
func (l *proposals) asker() *eval.Node {
	n := &eval.Node{Section: l.page.Section()}
	if l.block != nil {
		n.Block = l.block.Eval
	}
	return n
}

// values proposes names, functions and arguments.
func (l *proposals) values() {
	function, begins := l.call()
	if begins {
		l.arguments(function)
	}
	only := ""
	if l.key != nil && function == "" {
		only = map[kind.Want]string{kind.AMaterial: "material", kind.ATool: "tool"}[l.key.Want]
		l.bareWords()
		if l.key.Want == kind.Truth {
			l.add(proposal{label: "yes", kind: itemKeyword})
			l.add(proposal{label: "no", kind: itemKeyword})
		}
	}
	l.names(only)
	if only != "" {
		return
	}
	l.add(proposal{label: "pi", kind: itemVariable, detail: "3.14159…", rank: 3000})
	l.add(proposal{label: chooseName, kind: itemFunction, detail: chooseUsage, doc: chooseDoc, insert: "if(", snippet: "if(${1:condition}, ${2:then}, ${3:else})", rank: 3000})
	for _, f := range eval.Functions() {
		l.add(proposal{label: f.Name, kind: itemFunction, detail: f.Usage(), doc: f.Doc, insert: f.Name + "(", snippet: callSnippet(f), rank: 3000})
	}
}

// arguments proposes the names of a function's arguments.
func (l *proposals) arguments(function string) {
	for _, f := range eval.Functions() {
		if f.Name != function {
			continue
		}
		for _, p := range f.Params {
			l.add(proposal{label: p.Name + ":", kind: itemField, detail: f.Usage(), insert: p.Name + ": ", rank: -1})
		}
	}
}

// callSnippet is a call with places for the arguments that it needs; arguments whose names say
// something are named.
func callSnippet(f *eval.Function) string {
	var args []string
	for _, p := range f.Params {
		if !p.Optional {
			args = append(args, p.Name)
		}
	}
	if len(args) == 0 {
		return f.Name + "($1)"
	}
	named := len(args) > 1 && !slices.ContainsFunc(args, func(s string) bool { return len(s) < 3 })
	for i, a := range args {
		args[i] = fmt.Sprintf("${%d:%s}", i+1, a)
		if named {
			args[i] = fmt.Sprintf("%s: $%d", a, i+1)
		}
	}
	return f.Name + "(" + strings.Join(args, ", ") + ")"
}

// names proposes the names in reach: of the block, of the section, of the journal, then those of other
// sections under their full name. only, when not "", is the kind of block that is wanted.
func (l *proposals) names(only string) {
	p := l.snap.Program
	fits := func(n *eval.Node) bool {
		return only == "" || n.Block != nil && n.Expr == nil && n.Key == "" && n.Block.Kind == only
	}
	if l.block != nil && l.block.Name != "" && only == "" {
		for _, m := range l.block.Eval.Members {
			if m.Key != l.sets {
				l.add(l.named(m.Key, m, 0))
			}
		}
	}
	own := l.page.Section()
	seen := map[string]bool{l.sets: l.block != nil && l.block.Kind.Values && l.block.Name == ""}
	for rank, section := range []string{own, ""} {
		for name, n := range p.Space(section) {
			if !seen[name] && fits(n) {
				seen[name] = true
				l.add(l.named(name, n, 1000*(1+rank)))
			}
		}
	}
	for section := range p.Sections() {
		if section == own {
			continue
		}
		for name, n := range p.Space(section) {
			if fits(n) {
				l.add(l.named(section+"."+name, n, 4000))
			}
		}
		if only == "" {
			l.add(proposal{label: section, kind: itemModule, detail: "a section", rank: 5000})
		}
	}
}

// named is the proposal of a name.
func (l *proposals) named(label string, n *eval.Node, rank int) proposal {
	p := proposal{label: label, kind: itemVariable, detail: l.shown(n.Cell), rank: rank}
	if n.Block != nil && n.Expr == nil && n.Key == "" {
		p.kind, p.detail = itemStruct, n.Block.Kind
	}
	return p
}
