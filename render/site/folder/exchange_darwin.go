package folder

import "golang.org/x/sys/unix"

// exchange lets two folders trade places in one step, where the file system can.
func exchange(a, b string) error {
	return unix.RenamexNp(a, b, unix.RENAME_SWAP)
}
