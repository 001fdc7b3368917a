package journal

import (
	"net/url"
	"path"
	"strings"
)

// Target is where a link or picture of a page leads.
type Target struct {
	Path     string // relative to the journal, "" for a place on the page itself
	Fragment string // behind #
	Outside  bool   // has a scheme or a host: not ours to follow
	Escapes  bool   // leads out of the journal's folder, or is absolute
}

// Resolve finds where a link written on the page leads.
func (p *Page) Resolve(target string) Target {
	u, err := url.Parse(target)
	if err != nil {
		return Target{Path: target, Escapes: true}
	}
	if u.Scheme != "" || u.Host != "" || strings.HasPrefix(target, "//") {
		return Target{Outside: true}
	}
	t := Target{Fragment: u.Fragment}
	if u.Path == "" {
		return t
	}
	joined := path.Join(path.Dir(p.Path), u.Path)
	t.Path = joined
	t.Escapes = path.IsAbs(u.Path) || joined == ".." || strings.HasPrefix(joined, "../") || strings.ContainsRune(u.Path, '\\')
	return t
}

// Has tells whether the journal holds a file or page of this path.
func (s *Snapshot) Has(path string) bool {
	if _, ok := s.byPath[path]; ok {
		return true
	}
	_, ok := s.Files[path]
	return ok
}
