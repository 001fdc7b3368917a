//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package folder

import (
	"errors"
	"fmt"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// lock holds the folder itself until unlocked or the process ends, so that nothing need be written to keep a second
// press out. A folder that is renamed stays locked. It fails with errBusy when another holds it or swaps it away.
func lock(folder string) (unlock func(), err error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	if err := flock(f); err != nil {
		f.Close()
		return nil, err
	}
	held, err := f.Stat()
	if err != nil {
		f.Close()
		return nil, err
	}
	if now, err := os.Lstat(folder); err != nil || !os.SameFile(held, now) {
		f.Close()
		return nil, errBusy
	}
	return func() { f.Close() }, nil
}

// flock tries a few times: a program that this one has just begun to start holds the lock of a press that
// is over, until its own code takes over.
func flock(f *os.File) error {
	const tries, pause = 20, 10 * time.Millisecond
	for try := 1; ; {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, unix.EWOULDBLOCK) && try < tries:
			try++
			time.Sleep(pause)
		case errors.Is(err, unix.EWOULDBLOCK):
			return errBusy
		case !errors.Is(err, unix.EINTR):
			return fmt.Errorf("locking %s: %w", f.Name(), err)
		}
	}
}

// lockBeside is not needed where folders can be locked.
func lockBeside(string) (unlock func(), err error) { return func() {}, nil }
