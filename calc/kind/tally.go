package kind

import (
	"strconv"
	"strings"

	"bevelbook/calc/eval"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
)

// Stages are the steps that a tally counts, in the order of the work.
var Stages = []string{"cut", "glued", "sealed", "painted"}

// Tallied is one count of a tally.
type Tallied struct {
	Stage string // one of Stages
	Part  string // as its section calls it: "cheek", "roof.side"
	// One is the count of a part without hands, Left and Right those of one with; Handed tells which.
	One, Left, Right int
	Handed           bool
	At               source.Span // of the key
}

// Count is the count of a hand: "left", "right", or "" for all of them.
func (t Tallied) Count(hand string) int {
	switch {
	case !t.Handed && hand == "":
		return t.One
	case t.Handed && hand == "left":
		return t.Left
	case t.Handed && hand == "right":
		return t.Right
	case t.Handed && hand == "":
		return t.Left + t.Right
	}
	return 0
}

var tally = Kind{
	Name:    "tally",
	Doc:     "what has really been cut, glued, sealed and painted since the tally before; tallies of a section add up",
	Unbound: true,
	Keys: []Key{
		{Name: "cut", Arg: "PART", More: true, Want: Counts, Doc: "how many; of a part with two hands the left and the right ones, as in cut cheek: 2, 1"},
		{Name: "glued", Arg: "PART", More: true, Want: Counts, Doc: "likewise"},
		{Name: "sealed", Arg: "PART", More: true, Want: Counts, Doc: "likewise"},
		{Name: "painted", Arg: "PART", More: true, Want: Counts, Doc: "likewise"},
	},
	Work: workTally,
}

func workTally(b *Bench) {
	counts := map[string]map[string]string{} // by part and stage, as written
	var parts []string
	for _, stage := range Stages {
		for _, e := range b.Each(stage) {
			t := tallied(stage, e)
			b.Out.Tally = append(b.Out.Tally, t)
			if counts[t.Part] == nil {
				counts[t.Part] = map[string]string{}
				parts = append(parts, t.Part)
			}
			counts[t.Part][stage] = t.String()
		}
	}
	table := Table{Title: "Done", Head: append([]string{"part"}, Stages...)}
	for _, p := range parts {
		row := []string{p}
		for _, stage := range Stages {
			row = append(row, counts[p][stage])
		}
		table.Rows = append(table.Rows, row)
	}
	if len(parts) > 0 {
		b.Table(table)
	}
}

func tallied(stage string, e Argument) Tallied {
	key := e.Arg.Entry.Key
	t := Tallied{Stage: stage, Part: e.Name, At: key[0].At.To(key[len(key)-1].At)}
	n := func(v eval.Value) int { return int(v.(eval.Quantity).Value) }
	if hands, ok := e.Arg.Value.(eval.List); ok && len(hands) == 2 {
		t.Left, t.Right, t.Handed = n(hands[0]), n(hands[1]), true
		return t
	} else if ok {
		t.One = n(hands[0])
		return t
	}
	t.One = n(e.Arg.Value)
	return t
}

// String is the count for people: "4", or "2 left, 1 right".
func (t Tallied) String() string {
	if !t.Handed {
		return strconv.Itoa(t.One)
	}
	return strconv.Itoa(t.Left) + " left, " + strconv.Itoa(t.Right) + " right"
}

// counts tells whether a value is a whole number, or two of them.
func counts(v eval.Value) string {
	list, ok := v.(eval.List)
	if !ok {
		return whole(v)
	}
	if len(list) != 1 && len(list) != 2 {
		return strconv.Itoa(len(list)) + " of them"
	}
	for _, item := range list {
		if why := whole(item); why != "" {
			return why
		}
	}
	return ""
}

// NearestPart is the part that a mistyped name of a tally most likely means, or "", and how its names
// are written there.
func NearestPart(name string, parts []string) string {
	near := spell.Nearest(name, parts)
	return strings.ReplaceAll(near, ".", " ")
}
