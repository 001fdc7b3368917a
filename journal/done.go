package journal

import (
	"iter"

	"bevelbook/calc/kind"
)

// Need is what a section needs of one part, in pieces of each hand; a stack's layers count as one piece.
type Need struct {
	Part             string // as its section calls it
	Rows             []Row  // of all its hands and layers
	One, Left, Right int
}

// Handed tells whether the part is made left and right.
func (n *Need) Handed() bool { return n.Left+n.Right > 0 }

// All is the number of pieces.
func (n *Need) All() int { return n.One + n.Left + n.Right }

// Needs lists what a section needs, in the order of the ledger.
func (s *Snapshot) Needs(section string) []*Need {
	var list []*Need
	byName := map[string]*Need{}
	for r := range s.rowsOf(section) {
		n := byName[r.Part.Name]
		if n == nil {
			n = &Need{Part: r.Part.Name}
			byName[n.Part] = n
			list = append(list, n)
		}
		n.Rows = append(n.Rows, r)
		if r.Part.Layer != n.Rows[0].Part.Layer {
			continue // a further layer of the same pieces
		}
		switch r.Hand {
		case "left":
			n.Left += r.Count
		case "right":
			n.Right += r.Count
		default:
			n.One += r.Count
		}
	}
	return list
}

// rowsOf goes through the rows of a section in the order of the ledger.
func (s *Snapshot) rowsOf(section string) iter.Seq[Row] {
	return func(yield func(Row) bool) {
		pages := s.Pages
		if section != "" {
			sec, ok := s.Section(section)
			if !ok {
				return
			}
			pages = sec.Pages
		}
		for _, p := range pages {
			if p.Section() != section {
				continue
			}
			for _, r := range s.Rows(p) {
				if !yield(r) {
					return
				}
			}
		}
	}
}

// Done adds up the tallies of a section by part and stage. Each sum stands where it was last added to.
func (s *Snapshot) Done(section string) map[string]map[string]kind.Tallied {
	sums := map[string]map[string]kind.Tallied{}
	for _, b := range s.OfKind("tally") {
		if b.Page.Section() != section {
			continue
		}
		for _, t := range b.Out.Tally {
			if sums[t.Part] == nil {
				sums[t.Part] = map[string]kind.Tallied{}
			}
			sum := sums[t.Part][t.Stage]
			t.One, t.Left, t.Right = t.One+sum.One, t.Left+sum.Left, t.Right+sum.Right
			t.Handed = t.Handed || sum.Handed
			sums[t.Part][t.Stage] = t
		}
	}
	return sums
}

// Share is how much of the part a stage has done, 0 to 1. What is too many is not more than all.
func (n *Need) Share(done map[string]kind.Tallied, stage string) float64 {
	if n.All() == 0 {
		return 0
	}
	t := done[stage]
	if !n.Handed() || !t.Handed {
		return min(1, float64(t.One+t.Left+t.Right)/float64(n.All()))
	}
	return float64(min(t.Left, n.Left)+min(t.Right, n.Right)) / float64(n.All())
}
