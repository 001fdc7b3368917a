package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// clear removes what a killed press left at the folder name, if it carries our mark.
func (p *Press) clear(name string) error {
	info, err := os.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.IsDir() {
		return unmarked(name)
	}
	unlock, err := lock(name)
	if err != nil {
		return err
	}
	defer unlock()
	if has(name, buildingName) {
		return removeUnfinished(name)
	}
	if has(name, manifestName) {
		if err := sweep(name, p.out); err != nil {
			return fmt.Errorf("a press was killed, and of the site before it something is left: %w", err)
		}
		return nil
	}
	if os.Remove(name) != nil { // goes if empty
		return unmarked(name)
	}
	return nil
}

func unmarked(name string) error {
	return fmt.Errorf("%s is in the way and was not made by a press; move it away", name)
}

func has(folder, name string) bool {
	info, err := os.Lstat(filepath.Join(folder, name))
	return err == nil && info.Mode().IsRegular()
}

// removeUnfinished removes a growing site, its mark last, so that a kill leaves it marked.
func removeUnfinished(folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() != buildingName {
			if err := os.RemoveAll(filepath.Join(folder, e.Name())); err != nil {
				return err
			}
		}
	}
	if err := os.Remove(filepath.Join(folder, buildingName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.Remove(folder)
}

// sweep removes the old site's tree once the new one stands at out. What a person added or changed there while the
// press ran is moved to the new site; where that cannot be it stays, and the error names it.
func sweep(old, out string) error {
	listed, err := readManifest(old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var folders []string
	var stuck []error
	err = filepath.WalkDir(old, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			folders = append(folders, name)
			return nil
		}
		rel, err := filepath.Rel(old, name)
		if err != nil || rel == manifestName {
			return err
		}
		if err := settle(name, filepath.Join(out, rel), filepath.ToSlash(rel), listed); err != nil {
			stuck = append(stuck, err)
		}
		reached("file swept")
		return nil
	})
	if err := errors.Join(append(stuck, err)...); err != nil {
		return err
	}
	for _, folder := range slices.Backward(folders[1:]) {
		if err := os.Remove(folder); err != nil {
			return err
		}
	}
	if err := os.Remove(filepath.Join(old, manifestName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.Remove(old)
}

// settle removes one file of the old tree, or moves it to the new site if it came while the press ran.
func settle(name, there, rel string, listed map[string]record) error {
	info, err := os.Lstat(name)
	if err != nil {
		return err
	}
	was, ours := listed[rel]
	if ours {
		pressed, err := was.isPressed(name, info)
		if err != nil {
			return err
		}
		if pressed {
			return os.Remove(name)
		}
	}
	now, err := os.Lstat(there)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.MkdirAll(filepath.Dir(there), 0o777); err != nil {
			return err
		}
		return os.Rename(name, there)
	case err != nil:
		return err
	case ours, isAlike(name, there, info, now):
		return os.Remove(name)
	}
	pressed, err := readManifest(filepath.Clean(there[:len(there)-len(rel)]))
	if err != nil {
		return err
	}
	if _, clash := pressed[rel]; clash || now.IsDir() {
		return fmt.Errorf("%s came while the site was written, and the site has a file of that name; move it away", name)
	}
	if info.ModTime().After(now.ModTime()) { // two versions of a file that is not ours: the later one stays
		return os.Rename(name, there)
	}
	return os.Remove(name)
}

// isAlike tells whether two files are one, or have the same content. Size and time do not settle it: two files
// written within one tick of the clock may share both.
func isAlike(a, b string, infoA, infoB fs.FileInfo) bool {
	if os.SameFile(infoA, infoB) {
		return true
	}
	if infoA.Mode().Type() != infoB.Mode().Type() {
		return false
	}
	if infoA.Mode()&fs.ModeSymlink != 0 {
		targetA, errA := os.Readlink(a)
		targetB, errB := os.Readlink(b)
		return errors.Join(errA, errB) == nil && targetA == targetB
	}
	if !infoA.Mode().IsRegular() || infoA.Size() != infoB.Size() {
		return false
	}
	sumA, errA := sumFile(a)
	sumB, errB := sumFile(b)
	return errors.Join(errA, errB) == nil && sumA == sumB
}
