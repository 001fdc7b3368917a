package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"
)

// checkPath refuses what is not a plain path inside a site, or would not survive a move to another system.
func checkPath(path string) error {
	switch {
	case !utf8.ValidString(path):
		return fmt.Errorf("the path %q is not UTF-8", path)
	case strings.ContainsFunc(path, unicode.IsControl):
		return fmt.Errorf("the path %q has a control character", path)
	case strings.Contains(path, `\`):
		return fmt.Errorf("the path %q has a backslash; folders are parted by /", path)
	case path == "." || !fs.ValidPath(path) || !filepath.IsLocal(filepath.FromSlash(path)):
		return fmt.Errorf("the path %q is not a plain relative path", path)
	}
	if top, _, _ := strings.Cut(path, "/"); fold(top) == manifestName || fold(top) == buildingName {
		return fmt.Errorf("the path %q is kept for the list of pressed files", path)
	}
	return nil
}

// claims are the paths of one site, with the folders they stand in. Two paths that differ only in case are one file
// on many systems, so they clash. (Letters spelled with and without combining marks are not compared.)
type claims map[string]claim // by folded path

type claim struct {
	path   string
	folder bool
}

// add claims path for a file, and its parents for folders.
func (c claims) add(path string) error {
	for i := range path {
		if path[i] == '/' {
			if err := c.check(path[:i], true); err != nil {
				return err
			}
		}
	}
	if err := c.check(path, false); err != nil {
		return err
	}
	for i := range path {
		if path[i] == '/' {
			c[fold(path[:i])] = claim{path[:i], true}
		}
	}
	c[fold(path)] = claim{path, false}
	return nil
}

// check tells what speaks against path being a folder, or a file.
func (c claims) check(path string, folder bool) error {
	was, ok := c[fold(path)]
	switch {
	case !ok, was.path == path && folder && was.folder:
		return nil
	case was.path != path:
		return fmt.Errorf("the paths %q and %q differ only in case", was.path, path)
	case was.folder != folder:
		return fmt.Errorf("the path %q is wanted for a file and for a folder", path)
	}
	return fmt.Errorf("the path %q is put twice", path)
}

// errInTheWay marks a file of somebody else's at a path the site needs.
var errInTheWay = errors.New("was not written by a press, and the site needs its name; move it away or rename the page")

// stranger tells whether a file or folder that is not ours may stay at path beside the claimed ones.
func (c claims) stranger(path string, folder bool) error {
	for i := range path {
		if path[i] == '/' {
			if was, ok := c[fold(path[:i])]; ok && !was.folder {
				return errInTheWay
			}
		}
	}
	if was, ok := c[fold(path)]; ok && !(folder && was.folder) {
		return errInTheWay
	}
	return nil
}

// fold maps letters that differ only in case to one of them (Unicode simple case folding).
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for f := unicode.SimpleFold(r); f != r; f = unicode.SimpleFold(f) {
			least = min(least, f)
		}
		if 'A' <= least && least <= 'Z' {
			return least + 'a' - 'A'
		}
		return least
	}, s)
}
