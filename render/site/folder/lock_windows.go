package folder

import (
	"errors"
	"fmt"

	"golang.org/x/sys/windows"
)

// lock does nothing: here a folder that is held open cannot be renamed.
func lock(string) (unlock func(), err error) { return func() {}, nil }

// lockBeside keeps a file open that nobody else may open, and that goes when it is closed or the process ends.
func lockBeside(name string) (unlock func(), err error) {
	p, err := windows.UTF16PtrFromString(name)
	if err != nil {
		return nil, err
	}
	const alone = 0 // share mode
	h, err := windows.CreateFile(p, windows.GENERIC_WRITE, alone, nil, windows.CREATE_ALWAYS,
		windows.FILE_ATTRIBUTE_HIDDEN|windows.FILE_FLAG_DELETE_ON_CLOSE, 0)
	switch {
	case errors.Is(err, windows.ERROR_SHARING_VIOLATION), errors.Is(err, windows.ERROR_ACCESS_DENIED):
		return nil, errBusy
	case err != nil:
		return nil, fmt.Errorf("locking %s: %w", name, err)
	}
	return func() { windows.CloseHandle(h) }, nil
}
