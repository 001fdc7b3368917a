package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// refuse says why the folder out, an absolute path, must not become a site. What it holds is looked at later.
func refuse(out, journal string) error {
	if filepath.Dir(out) == out {
		return errors.New("that is the root of all folders")
	}
	info, err := os.Lstat(out)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Mode()&fs.ModeSymlink != 0:
		return errors.New("that is a link to another place; name the place itself")
	case !info.IsDir():
		return errors.New("that is a file, not a folder")
	}
	if home, err := os.UserHomeDir(); err == nil && isOrHolds(info, home) {
		return errors.New("that is the home folder, or holds it")
	}
	if journal != "" && isOrHolds(info, journal) {
		return errors.New("that is the journal itself, or holds it; name a folder of its own, such as pressed inside the journal")
	}
	return nil
}

// isOrHolds tells whether folder lies at inner or around it, links followed.
func isOrHolds(folder fs.FileInfo, inner string) bool {
	real, err := filepath.EvalSymlinks(inner)
	if err != nil {
		return false
	}
	if real, err = filepath.Abs(real); err != nil {
		return false
	}
	for {
		if info, err := os.Stat(real); err == nil && os.SameFile(folder, info) {
			return true
		}
		up := filepath.Dir(real)
		if up == real {
			return false
		}
		real = up
	}
}

// hold keeps other presses out. If a press was killed between two renames, it puts the old site back first.
func (p *Press) hold() error {
	unlock, err := lockBeside(p.out + ".bevelbook-lock")
	if err != nil {
		return err
	}
	p.unlocks = append(p.unlocks, unlock)
	err = p.holdFolder(p.out)
	if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if !has(p.aside, manifestName) {
		p.fresh = true // at most an empty folder was put aside; clear sees to it
		return nil
	}
	if err := p.holdFolder(p.aside); err != nil {
		return err
	}
	return os.Rename(p.aside, p.out)
}

func (p *Press) holdFolder(folder string) error {
	if _, err := os.Lstat(folder); err != nil {
		return err
	}
	unlock, err := lock(folder)
	if err == nil {
		p.unlocks = append(p.unlocks, unlock)
	}
	return err
}

// look reads the list of pressed files and walks what is really there.
func (p *Press) look() error {
	listed, err := readManifest(p.out)
	unlisted := errors.Is(err, fs.ErrNotExist)
	if err != nil && !unlisted {
		return err
	}
	p.listed, p.old, p.folders = listed, map[string]fs.FileInfo{}, map[string]fs.FileMode{}
	return filepath.WalkDir(p.out, func(name string, d fs.DirEntry, err error) error {
		if err != nil || name == p.out {
			return err
		}
		if unlisted {
			return errors.New("the folder is not empty and no site was pressed into it before; name a new or an empty one")
		}
		rel, err := filepath.Rel(p.out, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if rel == manifestName {
			return nil
		}
		if rel == buildingName {
			return fmt.Errorf("the folder holds an unfinished site (%s)", buildingName)
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		if d.IsDir() {
			p.folders[rel] = info.Mode().Perm()
		} else {
			p.old[rel] = info
		}
		return nil
	})
}
