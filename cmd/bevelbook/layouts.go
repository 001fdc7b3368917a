package main

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"

	"bevelbook/calc/kind"
	"bevelbook/calc/nest"
	"bevelbook/journal"
	"bevelbook/journal/layout"
)

// mostLayouts is how many layouts are kept on the disk.
const mostLayouts = 200

// layouts keeps layouts in the user's folder for caches, a file each. Without such a folder it forgets.
type layouts struct{ dir string }

// newSolver makes what lays parts out, with what it found in earlier runs.
func newSolver() *layout.Solver {
	dir, err := os.UserCacheDir()
	if err != nil {
		return layout.NewSolver(nil)
	}
	dir = filepath.Join(dir, "bevelbook", "layouts")
	if os.MkdirAll(dir, 0o700) != nil {
		return layout.NewSolver(nil)
	}
	return layout.NewSolver(layouts{dir})
}

// file is where a layout is kept; keys are digits and letters.
func (l layouts) file(key string) string { return filepath.Join(l.dir, key+".json") }

// Get reads a layout.
func (l layouts) Get(key string) ([]byte, bool) {
	data, err := os.ReadFile(l.file(key))
	return data, err == nil
}

// Put keeps a layout, and forgets the oldest ones beyond the most. What cannot be written is worked out again.
func (l layouts) Put(key string, data []byte) {
	if _, err := writeChanged(l.file(key), data); err != nil {
		return
	}
	list, err := os.ReadDir(l.dir)
	if err != nil || len(list) <= mostLayouts {
		return
	}
	slices.SortFunc(list, func(a, b os.DirEntry) int { return cmp.Compare(age(a), age(b)) })
	for _, e := range list[:len(list)-mostLayouts] {
		os.Remove(filepath.Join(l.dir, e.Name()))
	}
}

// age is when a file was written.
func age(e os.DirEntry) int64 {
	info, err := e.Info()
	if err != nil {
		return 0
	}
	return info.ModTime().UnixNano()
}

// laid lays rows out as a block asks, and tells on a terminal how far it is.
func (c *call) laid(s *journal.Snapshot, ask kind.Sheets, rows []journal.Row) ([]layout.Result, []layout.Left, error) {
	plans, left := layout.PlansOf(s, ask, "", rows)
	solver := newSolver()
	var results []layout.Result
	for _, p := range plans {
		told := -1
		r, err := solver.Solve(p, func(at nest.Progress) {
			if tenth := int(10 * at.Done); tenth > told {
				told = tenth
				c.progress("laying out %s: %d %%, %s", p.Material, 10*tenth, counted(at.Sheets, "sheet"))
			}
		})
		if err != nil {
			return nil, left, err
		}
		results = append(results, r)
	}
	return results, left, nil
}
