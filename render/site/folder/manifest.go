package folder

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

const (
	manifestName = ".bevelbook-pressed"  // lists what a press wrote; makes a folder ours
	buildingName = ".bevelbook-building" // marks a folder that is not yet a site
	manifestHead = "bevelbook pressed files, format 1: SHA-256, bytes, time of change in ns, path"
	buildingText = "A site being built. Nothing here is the only copy; the next press removes it.\n"
)

// record is what the manifest knows of one file.
type record struct {
	sum  [sha256.Size]byte
	size int64
	when int64 // modification time, ns since 1970 UTC
}

// isAsWritten tells by size and time whether the file still is what the press wrote.
func (r record) isAsWritten(info fs.FileInfo) bool {
	return info.Mode().IsRegular() && info.Size() == r.size && info.ModTime().UnixNano() == r.when
}

// isPressed tells the same by content, if size or time leave it open.
func (r record) isPressed(name string, info fs.FileInfo) (bool, error) {
	if r.isAsWritten(info) {
		return true, nil
	}
	if !info.Mode().IsRegular() || info.Size() != r.size {
		return false, nil
	}
	sum, err := sumFile(name)
	return err == nil && sum == r.sum, err
}

// readManifest reads the list in folder; a folder without one gives an error that is fs.ErrNotExist.
func readManifest(folder string) (map[string]record, error) {
	f, err := os.Open(filepath.Join(folder, manifestName))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	records, err := parseManifest(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name(), err)
	}
	return records, nil
}

func parseManifest(r io.Reader) (map[string]record, error) {
	lines := bufio.NewScanner(r)
	if !lines.Scan() || lines.Text() != manifestHead {
		return nil, errors.Join(errors.New("line 1: not a list of pressed files of this format"), lines.Err())
	}
	records := map[string]record{}
	for n := 2; lines.Scan(); n++ {
		path, rec, err := parseRecord(lines.Text())
		if err == nil {
			if _, twice := records[path]; twice {
				err = fmt.Errorf("%q stands twice", path)
			}
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", n, err)
		}
		records[path] = rec
	}
	return records, lines.Err()
}

func parseRecord(line string) (string, record, error) {
	var rec record
	fields := strings.SplitN(line, " ", 4)
	if len(fields) != 4 || len(fields[0]) != 2*len(rec.sum) {
		return "", rec, errors.New("want SHA-256, bytes, time and path")
	}
	_, errSum := hex.Decode(rec.sum[:], []byte(fields[0]))
	size, errSize := strconv.ParseInt(fields[1], 10, 64)
	when, errWhen := strconv.ParseInt(fields[2], 10, 64)
	rec.size, rec.when = size, when
	return fields[3], rec, errors.Join(errSum, errSize, errWhen, checkPath(fields[3]))
}

// manifestText lists the records by path.
func manifestText(records map[string]record) []byte {
	var b bytes.Buffer
	b.WriteString(manifestHead + "\n")
	for _, path := range slices.Sorted(maps.Keys(records)) {
		r := records[path]
		fmt.Fprintf(&b, "%x %d %d %s\n", r.sum, r.size, r.when, path)
	}
	return b.Bytes()
}

// sumFile gives the SHA-256 of a file.
func sumFile(name string) (sum [sha256.Size]byte, err error) {
	f, err := os.Open(name)
	if err != nil {
		return sum, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return sum, err
	}
	h.Sum(sum[:0])
	return sum, nil
}
