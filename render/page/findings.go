package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/kind"
	"bevelbook/calc/source"
	"bevelbook/journal"
)

// nameless are the faults and findings whose messages hold names only, never a number.
var nameless = []string{
	"unused", "unmirrored", "own-measure",
	string(eval.UnknownName), string(eval.UnknownField), string(eval.UnknownFunction), string(eval.SetTwice),
	string(eval.Loop), string(eval.Waiting), kind.UnknownKey, kind.NeedsKey, kind.ReservedName,
}

// fit makes a finding fit to be published: a message that could spell a private measurement says
// only that there is one.
func (b *Book) fit(f finding.Finding) finding.Finding {
	blk, near := b.privacyAt(f.At)
	inside := blk != nil && blk.Private()
	if !f.Private && !inside && (!near || slices.Contains(nameless, f.Name)) && !b.tells(f) {
		return f
	}
	f.Private = f.Private || inside
	f.Message = "kept private: the message would show a measurement of the wearer"
	f.Help = "`bevelbook proof` shows it on your own screen"
	f.Notes = nil
	return f
}

// tells looks for a private measurement, as the journal shows it, in what a finding says: a check may
// have read it from a tool or a limit.
func (b *Book) tells(f finding.Finding) bool {
	for _, k := range b.kept {
		if spells(f.Message, k.text) || spells(f.Help, k.text) {
			return true
		}
		for _, n := range f.Notes {
			if spells(n.Message, k.text) {
				return true
			}
		}
	}
	return false
}

// repeats tells whether a value that was worked out with private measurements is one of them again,
// as the sum of a measurement and nothing is, or shows one, as the box of an outline may.
func (b *Book) repeats(c eval.Cell, text string) bool {
	if c.Privacy == eval.Open {
		return false
	}
	q, isNumber := c.Value.(eval.Quantity)
	return slices.ContainsFunc(b.kept, func(k keptNumber) bool {
		if isNumber && q.Dim == k.Dim && math.Abs(q.Value-k.Value) <= 1e-9*math.Abs(k.Value) {
			return true
		}
		return spells(text, k.text)
	})
}

// spells tells whether a number stands in a text by itself, not as the end of a longer one.
func spells(text, number string) bool {
	for from := 0; ; {
		i := strings.Index(text[from:], number)
		if i < 0 {
			return false
		}
		at := from + i
		if at == 0 || !strings.ContainsRune("0123456789.,", rune(text[at-1])) {
			return true
		}
		from = at + 1
	}
}

// keptNumber is a private measurement and how the journal shows it.
type keptNumber struct {
	eval.Quantity
	text string
}

// keptNumbers are the private measurements, each once.
func keptNumbers(s *journal.Snapshot) []keptNumber {
	var list []keptNumber
	for _, q := range s.Program.Kept() {
		list = append(list, keptNumber{q, q.Show(s.Settings.Style)})
	}
	slices.SortFunc(list, func(a, b keptNumber) int {
		return cmp.Or(strings.Compare(a.text, b.text), cmp.Compare(a.Value, b.Value))
	})
	return slices.CompactFunc(list, func(a, b keptNumber) bool { return a.text == b.text && a.Value == b.Value && a.Dim == b.Dim })
}

// privacyAt tells the block at a place, and whether what is worked out there is near to a private
// measurement.
func (b *Book) privacyAt(at source.Span) (*journal.Block, bool) {
	p, ok := b.pageOf(at)
	if !ok {
		return nil, false
	}
	if blk := blockAt(p, at); blk != nil {
		n := blk.Eval.Node
		members := blk.Eval.Members // in the order of the text
		if i := sort.Search(len(members), func(i int) bool { return members[i].At.Start > at.Start }) - 1; i >= 0 && at.Start < members[i].Expr.Span().End {
			n = members[i]
		}
		return blk, n.NearPrivate()
	}
	for _, x := range p.Spans {
		if x.Node != nil && x.At.Start <= at.Start && at.Start < x.At.End {
			return nil, x.Node.NearPrivate()
		}
	}
	return nil, false
}

// Found lists what was found on a page.
func (b *Book) Found(p *journal.Page) []finding.Finding { return b.on(p.Path).list }

// Count counts a page's findings that nobody accepted.
func (b *Book) Count(p *journal.Page) (stops, minds int) {
	if b.Share {
		return 0, 0
	}
	for _, f := range b.on(p.Path).list {
		switch {
		case f.Accepted != "":
		case f.Severity == finding.Stop:
			stops++
		case f.Severity == finding.Mind:
			minds++
		}
	}
	return stops, minds
}

// Finding is a finding as the page at from shows it.
func (b *Book) Finding(from string, f finding.Finding) Finding {
	v := Finding{
		Severity: f.Severity.String(), Name: f.Name, Message: f.Message, Help: f.Help, Accepted: f.Accepted,
		Place: place(f.At), Href: b.toPlace(from, f.At),
	}
	for _, n := range f.Notes {
		v.Notes = append(v.Notes, Link{n.Message + " (" + place(n.At) + ")", b.toPlace(from, n.At)})
	}
	return v
}

func place(at source.Span) string {
	if at.IsZero() {
		return ""
	}
	p := at.Place()
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// isTrouble tells whether a finding is why something of the block could not be worked out.
func isTrouble(f finding.Finding) bool {
	return f.Severity == finding.Stop || f.Name == string(eval.Waiting)
}

// troubles are what kept a block, or a part of it, from being worked out.
func (b *Book) troubles(from string, blk *journal.Block) []Trouble {
	var list []Trouble
	for _, f := range blk.Findings() {
		if isTrouble(f) {
			list = append(list, b.trouble(from, b.fit(f)))
		}
	}
	return list
}

func (b *Book) trouble(from string, f finding.Finding) Trouble {
	t := Trouble{Message: f.Message, Place: place(f.At), Help: f.Help}
	if !f.Private {
		t.Line, t.Column, t.Width = excerpt(f.At)
	}
	for _, n := range f.Notes {
		where := Link{place(n.At), b.toPlace(from, n.At)}
		if f.Name == string(eval.Waiting) {
			t.Waits = append(t.Waits, where)
			continue
		}
		t.Notes = append(t.Notes, Link{n.Message + " (" + where.Text + ")", where.Href})
	}
	return t
}

// excerpt is the line of a place, with the characters that are meant.
func excerpt(at source.Span) (line string, column, width int) {
	if at.IsZero() {
		return "", 0, 0
	}
	line, offset := at.Line()
	offset = min(offset, len(line))
	end := min(len(line), max(offset, offset+at.End-at.Start))
	return line, 1 + utf8.RuneCountInString(line[:offset]), max(1, utf8.RuneCountInString(line[offset:end]))
}

// atCard are the findings inside a block's fence that its card does not tell as troubles.
func (b *Book) atCard(from string, blk *journal.Block) []Finding {
	if b.Share {
		return nil
	}
	var list []Finding
	var own []finding.Finding
	for _, f := range b.on(blk.Page.Path).list {
		fence := blk.Entry.Fence
		if f.At.Start < fence.Start || f.At.Start >= fence.End {
			continue
		}
		if own == nil {
			own = append(blk.Findings(), finding.Finding{})
		}
		told := slices.ContainsFunc(own, func(o finding.Finding) bool {
			return isTrouble(o) && o.Name == f.Name && o.At == f.At
		})
		if !told {
			list = append(list, b.Finding(from, f))
		}
	}
	return list
}
