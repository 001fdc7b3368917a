package desk

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// batch is what changed at one time.
type batch struct {
	paths []string // files and folders, slash-separated and relative to the journal, sorted
	all   bool     // anything may have changed: the folder was replaced, or events were lost
	// polling is why the folder is looked through again and again instead of being watched, "" while
	// it is watched.
	polling string
}

// watcher tells of changes below a folder. It watches folders, never files: editors replace files,
// and a watch would stay with the old one. The parent of the folder is watched too, so that a folder
// that is replaced as a whole is seen.
type watcher struct {
	root string            // absolute
	skip func(string) bool // tells of a path below root whether nobody cares for it
	out  chan batch
	most int  // watches, 0 for as many as the system gives; tests set it
	poll bool // do not even try to watch

	notify  *fsnotify.Watcher // nil while polling
	dirs    map[string]bool   // watched folders below root, "." for itself
	stamps  map[string]stamp  // of the last look, while polling
	folder  os.FileInfo       // root at the last look, nil if it was not there
	took    time.Duration     // the last look
	polling string
	settle  settle
}

// newWatcher readies a watcher; run does the work.
func newWatcher(root string, skip func(string) bool) *watcher {
	return &watcher{root: root, skip: skip, out: make(chan batch), dirs: map[string]bool{}}
}

// start begins to watch. Changes after it are told by run.
func (w *watcher) start() {
	w.settle.root = w.root
	if w.poll {
		w.fallBack("as asked")
		return
	}
	notify, err := fsnotify.NewWatcher()
	if err != nil {
		w.fallBack(err.Error())
		return
	}
	w.notify = notify
	w.watchAll()
	if kind := remote(w.root); kind != "" && w.polling == "" {
		w.polling = "it lies on a drive (" + kind + ") that does not tell of what other machines write"
		w.begin()
	}
}

// run tells of changes until the context ends.
func (w *watcher) run(ctx context.Context) {
	defer w.close()
	var ready *batch
	look := time.NewTimer(time.Hour)
	look.Stop()
	for {
		var out chan batch
		var due <-chan time.Time
		var next batch
		if ready == nil {
			var wait time.Duration
			if ready, wait = w.settle.take(time.Now()); ready == nil && wait > 0 {
				due = time.After(wait)
			}
		}
		if ready != nil {
			out, next = w.out, *ready
			next.polling = w.polling
		}
		var events chan fsnotify.Event
		var faults chan error
		if w.notify != nil {
			events, faults = w.notify.Events, w.notify.Errors
		}
		if w.polling != "" && due == nil && out == nil {
			look.Reset(w.pause())
		}
		select {
		case <-ctx.Done():
			return
		case out <- next:
			ready = nil
		case <-due:
		case <-look.C:
			w.look()
		case ev, ok := <-events:
			if !ok {
				return
			}
			w.see(ev)
			w.drain()
		case err := <-faults:
			w.fault(err)
		}
	}
}

func (w *watcher) close() {
	if w.notify != nil {
		w.notify.Close()
	}
}

// drain takes the events that have come in already, so that a burst is settled as one.
func (w *watcher) drain() {
	for range 4096 {
		if w.notify == nil {
			return
		}
		select {
		case ev, ok := <-w.notify.Events:
			if !ok {
				return
			}
			w.see(ev)
		default:
			return
		}
	}
}

// see notes one event.
func (w *watcher) see(ev fsnotify.Event) {
	if ev.Op&^fsnotify.Chmod == 0 {
		return // nothing that is written
	}
	if ev.Name == w.root {
		if ev.Op.Has(fsnotify.Create) || ev.Op.Has(fsnotify.Remove) || ev.Op.Has(fsnotify.Rename) {
			w.again()
		}
		return
	}
	below, ok := strings.CutPrefix(ev.Name, w.root+string(filepath.Separator))
	if !ok {
		return // beside the journal
	}
	rel := filepath.ToSlash(below)
	if w.skip(rel) {
		return
	}
	created := ev.Op.Has(fsnotify.Create)
	if w.dirs[rel] && (ev.Op.Has(fsnotify.Remove) || ev.Op.Has(fsnotify.Rename) || created) {
		w.forget(rel)
	}
	if created && w.isDir(rel) {
		if err := w.watch(rel, true); err != nil {
			w.fallBack(err.Error())
			return
		}
	}
	w.settle.note(rel, created, time.Now())
}

func (w *watcher) isDir(rel string) bool {
	info, err := os.Lstat(filepath.Join(w.root, filepath.FromSlash(rel)))
	return err == nil && info.IsDir()
}

// again begins anew: the folder itself went, came or was replaced.
func (w *watcher) again() {
	w.forget(".")
	w.watchAll()
	w.settle.everything(time.Now())
}

// fault is an error of the watching. Lost events are caught up with; anything else ends it.
func (w *watcher) fault(err error) {
	if errors.Is(err, fsnotify.ErrEventOverflow) {
		w.again()
		return
	}
	if err != nil {
		w.fallBack(err.Error())
	}
}

// watchAll watches the folder's parent and every folder below. A folder that is not there will be
// told of by its parent.
func (w *watcher) watchAll() {
	if parent := filepath.Dir(w.root); parent != w.root {
		if err := w.notify.Add(parent); err != nil && !errors.Is(err, fs.ErrPermission) {
			w.fallBack(err.Error())
			return
		}
	}
	if err := w.watch(".", false); err != nil {
		w.fallBack(err.Error())
	}
}

// watch watches a folder and those in it. In a new one the files are noted: they may have been
// written before the watch stood. Folders that vanish meanwhile are not missed.
func (w *watcher) watch(rel string, fresh bool) error {
	if err := w.add(rel); err != nil {
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
			return nil
		}
		return err
	}
	list, err := os.ReadDir(filepath.Join(w.root, filepath.FromSlash(rel)))
	if err != nil {
		return nil
	}
	for _, d := range list {
		below := path.Join(rel, d.Name())
		switch {
		case w.skip(below):
		case d.IsDir():
			if err := w.watch(below, fresh); err != nil {
				return err
			}
		case fresh && d.Type().IsRegular():
			w.settle.note(below, true, time.Now())
		}
	}
	return nil
}

// errWatches is the fault of a system that gives no more watches.
var errWatches = errors.New("no more folders can be watched")

func (w *watcher) add(rel string) error {
	if w.most > 0 && len(w.dirs) >= w.most {
		return fmt.Errorf("%w than %d", errWatches, w.most)
	}
	if err := w.notify.Add(filepath.Join(w.root, filepath.FromSlash(rel))); err != nil {
		return err
	}
	w.dirs[rel] = true
	return nil
}

// forget takes the watches off a folder and those in it. A folder that was moved keeps its watches
// in the system under the old name, so this comes before its new name is watched.
func (w *watcher) forget(rel string) {
	for dir := range w.dirs {
		if rel == "." || dir == rel || strings.HasPrefix(dir, rel+"/") {
			w.notify.Remove(filepath.Join(w.root, filepath.FromSlash(dir))) // gone already, as a rule
			delete(w.dirs, dir)
		}
	}
}
