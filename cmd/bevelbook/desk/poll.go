package desk

import (
	"hash/maphash"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// How often a folder is looked through that cannot be watched: pollEvery, and for large folders no
// more than a part of the time.
const (
	pollEvery = 500 * time.Millisecond
	pollShare = 20
)

// pollFresh is the age below which a file's time says too little: many file systems count in whole
// seconds or two, and a save of the same length within one is seen by its content only.
const pollFresh = 3 * time.Second

// stamp is what a look keeps of a file.
type stamp struct {
	size    int64
	time    time.Time
	content uint64 // of a fresh file, else 0
}

// fallBack goes over to polling.
func (w *watcher) fallBack(why string) {
	if w.notify != nil {
		w.notify.Close()
		w.notify = nil
		w.settle.everything(time.Now()) // something may have been missed
	}
	w.polling = why
	w.begin()
}

// begin takes the first look, with which the next ones are compared.
func (w *watcher) begin() {
	w.folder, _ = os.Stat(w.root)
	w.stamps, w.took = w.scan()
}

// pause is the time until the next look.
func (w *watcher) pause() time.Duration { return max(pollEvery, pollShare*w.took) }

// look notes what has changed since the last look.
func (w *watcher) look() {
	now := time.Now()
	folder, err := os.Stat(w.root)
	if err != nil || !os.SameFile(folder, w.folder) {
		if err == nil || w.folder != nil {
			w.settle.everything(now) // another folder stands there, or none
		}
		w.folder = folder
	}
	stamps, took := w.scan()
	for rel, s := range stamps {
		if old, known := w.stamps[rel]; !known || old != s && !old.like(s) {
			w.settle.note(rel, !known, now)
		}
	}
	for rel := range w.stamps {
		if _, there := stamps[rel]; !there {
			w.settle.note(rel, false, now)
		}
	}
	w.stamps, w.took = stamps, took
}

// like tells whether two looks saw the same file, one while it was fresh and one later.
func (s stamp) like(later stamp) bool {
	return s.size == later.size && s.time.Equal(later.time) && (s.content == later.content || later.content == 0)
}

var pollSeed = maphash.MakeSeed()

// scan looks at every file. What cannot be read is not there.
func (w *watcher) scan() (map[string]stamp, time.Duration) {
	begun := time.Now()
	stamps := map[string]stamp{}
	filepath.WalkDir(w.root, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		rel, err := filepath.Rel(w.root, at)
		if err != nil || rel == "." {
			return nil
		}
		rel = filepath.ToSlash(rel)
		if w.skip(rel) {
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		info, err := d.Info()
		if err != nil || !info.Mode().IsRegular() {
			return nil
		}
		s := stamp{size: info.Size(), time: info.ModTime()}
		if begun.Sub(s.time) < pollFresh+w.pause() && s.size < 4<<20 {
			if data, err := os.ReadFile(at); err == nil {
				s.content = maphash.Bytes(pollSeed, data)
			}
		}
		stamps[rel] = s
		return nil
	})
	return stamps, time.Since(begun)
}
