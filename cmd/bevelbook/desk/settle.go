package desk

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"time"
)

// How long changes are gathered. A single save is told after settleQuiet; one that is written in
// pieces after settleMost at the latest, with the next piece to follow. A burst (version control
// changing a branch) is told when it ebbs.
const (
	settleQuiet = 3 * time.Millisecond
	settleMost  = 12 * time.Millisecond
	burst       = 8 // paths
	burstQuiet  = 30 * time.Millisecond
	burstMost   = 250 * time.Millisecond
)

// settleHold is how long a file that is gone or empty is given to come back: some editors move the
// old file aside or empty it before they write the new one, and a page that flashes away would lose
// its reader's place.
const settleHold = 100 * time.Millisecond

// settle gathers changes until they have settled.
type settle struct {
	root        string
	pending     map[string]*change
	first, last time.Time // of the changes that were noted since the last batch
	all         bool
}

// change is one path of which something was heard.
type change struct {
	created bool
	until   time.Time // it is held back until then, zero if it is not
}

// note takes in that something happened to a path.
func (s *settle) note(rel string, created bool, now time.Time) {
	if s.pending == nil {
		s.pending = map[string]*change{}
	}
	c := s.pending[rel]
	if c == nil {
		c = &change{}
		s.pending[rel] = c
	}
	c.created = c.created || created
	s.touch(now)
}

// everything takes in that anything may have happened.
func (s *settle) everything(now time.Time) {
	s.all = true
	s.touch(now)
}

func (s *settle) touch(now time.Time) {
	if s.first.IsZero() {
		s.first = now
	}
	s.last = now
}

// take gives what has settled, or nil and how long to wait, 0 for nothing to wait for.
func (s *settle) take(now time.Time) (*batch, time.Duration) {
	if !s.first.IsZero() {
		quiet, most := settleQuiet, settleMost
		if len(s.pending) > burst {
			quiet, most = burstQuiet, burstMost
		}
		if wait := min(s.last.Add(quiet).Sub(now), s.first.Add(most).Sub(now)); wait > 0 {
			return nil, wait
		}
	} else if wait := s.held(now); wait > 0 || len(s.pending) == 0 {
		return nil, wait
	}
	b := &batch{all: s.all}
	if s.all {
		clear(s.pending)
	}
	moved := s.arrived()
	for rel, c := range s.pending {
		if s.keep(rel, c, moved, now) {
			continue
		}
		b.paths = append(b.paths, rel)
		delete(s.pending, rel)
	}
	s.first, s.last, s.all = time.Time{}, time.Time{}, false
	if len(b.paths) == 0 && !b.all {
		return nil, s.held(now)
	}
	slices.Sort(b.paths)
	return b, 0
}

// held is how long the next path that is held back has to wait, 0 if it need not wait any longer or
// none is.
func (s *settle) held(now time.Time) time.Duration {
	var first time.Time
	for _, c := range s.pending {
		if first.IsZero() || c.until.Before(first) {
			first = c.until
		}
	}
	return max(first.Sub(now), 0)
}

// arrived tells whether a page or a folder came with this batch: what went at the same time was then
// moved, not about to be written anew, and both are told together.
func (s *settle) arrived() bool {
	for rel, c := range s.pending {
		if !c.created {
			continue
		}
		info, err := os.Lstat(s.at(rel))
		if err == nil && (info.IsDir() || path.Ext(rel) == ".md" && info.Size() > 0) {
			return true
		}
	}
	return false
}

// keep tells whether a path waits for its file to come back.
func (s *settle) keep(rel string, c *change, moved bool, now time.Time) bool {
	info, err := os.Lstat(s.at(rel))
	gone := err != nil
	empty := !gone && info.Mode().IsRegular() && info.Size() == 0
	if !empty && (!gone || moved) {
		return false
	}
	if c.until.IsZero() {
		c.until = now.Add(settleHold)
	}
	return now.Before(c.until)
}

func (s *settle) at(rel string) string { return filepath.Join(s.root, filepath.FromSlash(rel)) }
