package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"syscall"
)

// Finish puts the new site in the place of the old one. If nothing changed it touches nothing at all. If it fails,
// the old site stands, unless the error says that the new one does.
func (p *Press) Finish() (Result, error) {
	result, err := p.finish()
	p.Abandon()
	if err != nil {
		err = fmt.Errorf("writing the site to %s: %w", p.out, err)
	}
	return result, err
}

func (p *Press) finish() (Result, error) {
	p.mu.Lock()
	failed, closed := p.failed, p.closed
	p.mu.Unlock()
	if closed {
		return Result{}, errors.New("the press is over")
	}
	if failed != nil {
		return Result{}, failed
	}
	carried, err := p.sort()
	if err != nil {
		return Result{}, err
	}
	if !p.fresh && p.result.Written == 0 && p.result.Removed == 0 {
		return p.result, nil
	}
	if err := p.complete(carried); err != nil {
		return Result{}, err
	}
	left, err := p.swap()
	if err != nil {
		return Result{}, err
	}
	p.started = false // it is the site now
	if left != "" {
		if err := sweep(left, p.out); err != nil {
			return p.result, fmt.Errorf("the new site stands, but of the old one something is left: %w", err)
		}
	}
	return p.result, nil
}

// sort parts what lies in the old site and not in the new: pressed files go, everything else is carried over.
func (p *Press) sort() (carried []string, err error) {
	for name, info := range p.old {
		if _, put := p.records[name]; put {
			continue
		}
		was, listed := p.listed[name]
		if listed {
			pressed, err := was.isPressed(p.within(name), info)
			if err != nil {
				return nil, err
			}
			if pressed {
				p.result.Removed++
				continue
			}
			p.result.Spared = append(p.result.Spared, name)
		}
		if err := p.claims.stranger(name, false); err != nil {
			return nil, fmt.Errorf("%s %w", p.within(name), err)
		}
		carried = append(carried, name)
	}
	slices.Sort(carried)
	slices.Sort(p.result.Spared)
	slices.Sort(p.result.Overwritten)
	return carried, nil
}

// complete makes the growing site whole: what did not change, what is carried over, the list, and takes off its mark.
func (p *Press) complete(carried []string) error {
	if err := p.makeOldFolders(); err != nil {
		return err
	}
	for name := range p.stale {
		if err := p.take(name); err != nil {
			return err
		}
	}
	for _, name := range carried {
		if err := p.take(name); err != nil {
			return err
		}
	}
	list := filepath.Join(p.building, manifestName)
	if err := os.WriteFile(list, manifestText(p.records), 0o666); err != nil {
		return err
	}
	reached("list written")
	if info, err := os.Stat(p.out); err == nil {
		if err := os.Chmod(p.building, info.Mode().Perm()); err != nil {
			return err
		}
	}
	return os.Remove(filepath.Join(p.building, buildingName))
}

// makeOldFolders makes the folders that no press made, even those that are empty.
func (p *Press) makeOldFolders() error {
	ours := map[string]bool{}
	for name := range p.listed {
		for dir := path.Dir(name); dir != "." && !ours[dir]; dir = path.Dir(dir) {
			ours[dir] = true
		}
	}
	for name := range p.folders {
		if ours[name] {
			continue
		}
		if err := p.claims.stranger(name, true); err != nil {
			return fmt.Errorf("%s %w", p.within(name), err)
		}
		if err := p.makeFolder(name); err != nil {
			return err
		}
	}
	return p.makeFolder(".")
}

// take links a file of the old site into the growing one, or copies it where links are not to be had.
func (p *Press) take(name string) error {
	if err := p.makeFolder(path.Dir(name)); err != nil {
		return err
	}
	from, to := p.within(name), filepath.Join(p.building, filepath.FromSlash(name))
	defer reached("file taken")
	info := p.old[name]
	if info.Mode()&fs.ModeSymlink != 0 {
		target, err := os.Readlink(from)
		if err != nil {
			return err
		}
		return os.Symlink(target, to)
	}
	err := link(from, to)
	if err == nil || errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrExist) {
		return err
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is neither a file nor a folder; move it out of the site", from)
	}
	return copyFile(from, to)
}

var link = os.Link // tests put a failing one here

// copyFile copies bytes, permissions and time.
func copyFile(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return err
	}
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, info.Mode().Perm()|0o200)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err := errors.Join(err, out.Close()); err != nil {
		return err
	}
	return errors.Join(os.Chtimes(to, info.ModTime(), info.ModTime()), os.Chmod(to, info.Mode().Perm()))
}

var tradePlaces = exchange // tests put a failing one here

// swap puts the new site in its place and tells where the old one, if any, now is.
func (p *Press) swap() (left string, err error) {
	reached("before swap")
	defer reached("after swap")
	if p.fresh {
		return "", os.Rename(p.building, p.out)
	}
	err = tradePlaces(p.building, p.out)
	if err == nil {
		return p.building, nil
	}
	if !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, syscall.EINVAL) {
		return "", fmt.Errorf("the folder cannot be renamed (is it a mount point?): %w", err)
	}
	if err := os.Rename(p.out, p.aside); err != nil {
		return "", err
	}
	reached("old site aside")
	if err := os.Rename(p.building, p.out); err != nil {
		return "", errors.Join(err, os.Rename(p.aside, p.out))
	}
	return p.aside, nil
}
