package editor

import (
	"bytes"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// overlay is the journal's folder with the editor's unsaved texts in the place of its files, or beside
// them where the disk has none yet. Texts are by slash-separated path; whoever reads through the
// overlay sees them as they are then.
type overlay struct {
	disk  fs.FS
	texts map[string]string
}

// Open opens a text, else what the disk has.
func (o overlay) Open(name string) (fs.File, error) {
	if text, ok := o.texts[name]; ok {
		return &openText{Reader: bytes.NewReader([]byte(text)), info: textInfo{name, int64(len(text))}}, nil
	}
	return o.disk.Open(name)
}

// Stat tells of a text, else of what the disk has.
func (o overlay) Stat(name string) (fs.FileInfo, error) {
	if text, ok := o.texts[name]; ok {
		return textInfo{name, int64(len(text))}, nil
	}
	return fs.Stat(o.disk, name)
}

// ReadDir lists a folder with the texts that stand in it. A text in a folder that the disk lacks is not
// found before it is saved.
func (o overlay) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.disk, name)
	if err != nil {
		return list, err
	}
	for p, text := range o.texts {
		if path.Dir(p) != name {
			continue
		}
		e := fs.FileInfoToDirEntry(textInfo{p, int64(len(text))})
		i, found := slices.BinarySearchFunc(list, e.Name(), func(d fs.DirEntry, s string) int { return strings.Compare(d.Name(), s) })
		if found {
			list[i] = e
		} else {
			list = slices.Insert(list, i, e)
		}
	}
	return list, nil
}

// openText is a text that is read.
type openText struct {
	*bytes.Reader
	info textInfo
}

func (t *openText) Stat() (fs.FileInfo, error) { return t.info, nil }
func (*openText) Close() error                 { return nil }

// textInfo tells of a text what an fs.FileInfo tells of a file.
type textInfo struct {
	path string
	size int64
}

func (t textInfo) Name() string     { return path.Base(t.path) }
func (t textInfo) Size() int64      { return t.size }
func (textInfo) Mode() fs.FileMode  { return 0o444 }
func (textInfo) ModTime() time.Time { return time.Time{} }
func (textInfo) IsDir() bool        { return false }
func (textInfo) Sys() any           { return nil }
