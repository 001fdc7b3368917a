package editor

import (
	"slices"

	"bevelbook/calc/eval"
	"bevelbook/cmd/bevelbook/editor/rpc"
)

// signatureHelp tells how the function is called in whose brackets something is written, and which of
// its arguments that is.
func (s *server) signatureHelp(p positionParams) (any, *rpc.Error) {
	sp, ok := s.spot(p.TextDocument.URI, p.Position)
	if !ok {
		return nil, nil
	}
	c := sp.cursor()
	name, _ := c.call()
	for _, f := range callable() {
		if f.name != name || c.where != atValue {
			continue
		}
		help := signatureInfo{Label: f.usage, Documentation: f.doc}
		for _, p := range f.params {
			help.Parameters = append(help.Parameters, parameterInfo{p})
		}
		return signatureHelp{Signatures: []signatureInfo{help}, Active: c.argument(f.params)}, nil
	}
	return nil, nil
}

// function is what is told of a function of the language.
type function struct {
	name, usage, doc string
	params           []string
}

// callable lists the functions; if has no row of its own among them, as it works out one side only.
func callable() []function {
	list := []function{{chooseName, chooseUsage, chooseDoc, []string{"condition", "then", "else"}}}
	for _, f := range eval.Functions() {
		g := function{name: f.Name, usage: f.Usage(), doc: f.Doc}
		for _, p := range f.Params {
			g.params = append(g.params, p.Name)
		}
		if f.Rest.Name != "" {
			g.params = append(g.params, f.Rest.Name)
		}
		list = append(list, g)
	}
	return list
}

// argument is which of the parameters the cursor is at: the one that is named there, else the one whose
// turn it is by the commas before it. Further arguments count as the last.
func (c *cursor) argument(params []string) int {
	depth, commas := 0, 0
	named := ""
	for i := range c.value {
		switch t := c.last(i); {
		case isOp(t, ")"), isOp(t, "]"):
			depth++
		case (isOp(t, "(") || isOp(t, "[")) && depth == 0:
			if j := slices.Index(params, named); j >= 0 {
				return j
			}
			return max(0, min(commas, len(params)-1))
		case isOp(t, "("), isOp(t, "["):
			depth--
		case isOp(t, ",") && depth == 0:
			commas++
		case isOp(t, ":") && depth == 0 && commas == 0:
			named = c.last(i + 1).Text
		}
	}
	return 0
}
