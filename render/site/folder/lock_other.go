//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// lock does nothing: folders cannot be locked here.
func lock(string) (unlock func(), err error) { return func() {}, nil }

// lockBeside makes a file that must not yet exist. A killed press leaves it behind for a person to remove.
func lockBeside(name string) (unlock func(), err error) {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	switch {
	case errors.Is(err, fs.ErrExist):
		return nil, fmt.Errorf("%w, or was killed: then remove %s", errBusy, name)
	case err != nil:
		return nil, err
	}
	return func() { f.Close(); os.Remove(name) }, nil
}
