package journal

// Change tells what an Update did. Paths are sorted.
type Change struct {
	// All: the settings changed, so that every page is worked out and shown anew. The lists below
	// are then without meaning.
	All bool
	// Texts are the pages that were read again, new and removed ones among them.
	Texts []string
	// Pages are those whose results or findings of the language may be others now: Texts, and the
	// pages that a changed value reached, however far.
	Pages []string
	// Files are the journal's other files that changed, are new or gone.
	Files []string
}

// Update brings the snapshot up to date after the named files changed, were made or removed: pages,
// pictures, traces, models; the path of a folder stands for all below it. Names that are no part of a
// journal do no harm. Nobody may read the snapshot meanwhile: whoever shares it holds a lock, as
// site.State does. After an error, ErrNoJournal or one of reading, the snapshot is as it was.
func (s *Snapshot) Update(changed ...string) (Change, error) {
	fresh, err := Load(s.fsys, s.opt)
	if err != nil {
		return Change{}, err
	}
	*s = *fresh
	return Change{All: true}, nil
}
