package folder

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sync"
)

// Result tells what a press did. Paths are those of the site.
type Result struct {
	Written     int      // files that are new or differ from the old site's
	Kept        int      // files that were right already
	Removed     int      // files of an earlier press that the site no longer has
	Overwritten []string // pressed files that a person had changed, and that were put right
	Spared      []string // pressed files that a person had changed, left lying though the site no longer has them
}

// Press is one writing of a site: Open, Put each file, then Finish or Abandon.
type Press struct {
	out      string // the site's folder, absolute
	building string // the folder beside it in which the new site grows
	aside    string // where the old site waits if the two cannot trade places in one step
	unlocks  []func()
	fresh    bool // there is no old site

	listed  map[string]record      // what the last press wrote
	old     map[string]fs.FileInfo // what lies in out now, folders apart
	folders map[string]fs.FileMode // the folders in out

	mu      sync.Mutex // guards what follows
	started bool       // building exists
	made    map[string]bool
	claims  claims
	records map[string]record // the new site
	stale   map[string]bool   // of records, those to take over from the old site
	result  Result
	failed  error
	closed  bool
}

// errBusy tells that another process holds the folder.
var errBusy = errors.New("another press is at work there")

// Open makes ready to write a site into the folder out, which is made if it is missing. It refuses a folder that
// holds something else than an earlier press and what was added to one, and the folder of the journal (if given) or
// one around it. It clears up what a killed press left behind. Nobody else can press into out until Finish or Abandon.
func Open(out, journal string) (*Press, error) {
	abs, err := filepath.Abs(out)
	if err != nil {
		return nil, err
	}
	if err := refuse(abs, journal); err != nil {
		return nil, fmt.Errorf("cannot write the site to %s: %w", out, err)
	}
	parent, name := filepath.Split(abs)
	p := &Press{
		out:      abs,
		building: filepath.Join(parent, "."+name+".bevelbook-new"),
		aside:    filepath.Join(parent, "."+name+".bevelbook-old"),
		made:     map[string]bool{".": true},
		claims:   claims{},
		records:  map[string]record{},
		stale:    map[string]bool{},
	}
	if err := p.ready(); err != nil {
		p.Abandon()
		return nil, fmt.Errorf("cannot write the site to %s: %w", out, err)
	}
	return p, nil
}

// ready takes hold of the folder, clears leftovers and looks at what is there.
func (p *Press) ready() error {
	if err := os.MkdirAll(filepath.Dir(p.out), 0o777); err != nil {
		return err
	}
	if err := p.hold(); err != nil {
		return err
	}
	for _, leftover := range []string{p.aside, p.building} {
		if err := p.clear(leftover); err != nil {
			return err
		}
	}
	if p.fresh {
		return p.start() // the new folder stands in for the missing one as the thing to lock
	}
	return p.look()
}

// Put adds a file to the site. The bytes are not kept; only what differs from the old site is written. It may be
// called from several goroutines, for each path once. After an error Finish publishes nothing.
func (p *Press) Put(path string, data []byte) error {
	err := p.put(path, data)
	if err != nil {
		err = fmt.Errorf("cannot put %q into the site: %w", path, err)
		p.mu.Lock()
		defer p.mu.Unlock()
		if p.failed == nil {
			p.failed = err
		}
	}
	return err
}

func (p *Press) put(path string, data []byte) error {
	if err := checkPath(path); err != nil {
		return err
	}
	if err := p.claim(path); err != nil {
		return err
	}
	rec := record{sum: sha256.Sum256(data), size: int64(len(data))}
	state, err := p.compare(path, rec)
	if err != nil {
		return err
	}
	if state == same {
		rec.when = p.old[path].ModTime().UnixNano()
	} else if rec.when, err = p.write(path, data); err != nil {
		return err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.records[path] = rec
	switch state {
	case same:
		p.stale[path] = true
		p.result.Kept++
	case changedByHand:
		p.result.Overwritten = append(p.result.Overwritten, path)
		fallthrough
	case differs:
		p.result.Written++
	}
	return nil
}

// Keep takes over a file of the old site, if it still is what the last press wrote there. It gives the file's place
// on the disk, "" if there is nothing to keep; then nothing was done and the path is free to be put.
func (p *Press) Keep(path string) (name string, err error) {
	was, listed := p.listed[path]
	info, there := p.old[path]
	if !listed || !there || !was.isAsWritten(info) {
		return "", nil
	}
	if err := p.claim(path); err != nil {
		return "", fmt.Errorf("cannot keep %q in the site: %w", path, err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.records[path] = was
	p.stale[path] = true
	p.result.Kept++
	return p.within(path), nil
}

func (p *Press) claim(path string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return errors.New("the site is finished")
	}
	return p.claims.add(path)
}

// state is how the old site's file stands to what is wanted.
type state int

const (
	differs       state = iota // missing, or pressed from something else
	same                       // byte for byte what is wanted
	changedByHand              // neither what is wanted nor what was pressed
)

// compare holds the old site's file against the wanted one, reading it only if its size or time are not as pressed.
func (p *Press) compare(path string, want record) (state, error) {
	info, there := p.old[path]
	was, listed := p.listed[path]
	switch {
	case !there:
		return differs, nil
	case !listed:
		return differs, errInTheWay
	case was.isAsWritten(info):
		if was.sum == want.sum {
			return same, nil
		}
		return differs, nil
	case !info.Mode().IsRegular():
		return changedByHand, nil
	}
	sum, err := sumFile(p.within(path))
	switch {
	case err != nil:
		return differs, err
	case sum == want.sum:
		return same, nil
	case sum == was.sum:
		return differs, nil
	}
	return changedByHand, nil
}

// within gives the place of a path in the site's folder.
func (p *Press) within(path string) string { return filepath.Join(p.out, filepath.FromSlash(path)) }

// write puts a new file into the growing site and gives its time.
func (p *Press) write(name string, data []byte) (when int64, err error) {
	if err := p.makeFolder(path.Dir(name)); err != nil {
		return 0, err
	}
	f, err := os.OpenFile(filepath.Join(p.building, filepath.FromSlash(name)), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return 0, err
	}
	reached("file begun")
	_, err = f.Write(data)
	info, errStat := f.Stat()
	if err := errors.Join(err, errStat, f.Close()); err != nil {
		return 0, err
	}
	reached("file written")
	return info.ModTime().UnixNano(), nil
}

// makeFolder makes a folder of the growing site, and the growing site itself if need be.
func (p *Press) makeFolder(name string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if err := p.start(); err != nil {
		return err
	}
	return p.makeInside(name)
}

func (p *Press) makeInside(name string) error {
	if p.made[name] {
		return nil
	}
	if err := p.makeInside(path.Dir(name)); err != nil {
		return err
	}
	mode, known := p.folders[name]
	if !known {
		mode = 0o777
	}
	if err := os.Mkdir(filepath.Join(p.building, filepath.FromSlash(name)), mode|0o700); err != nil {
		return err
	}
	p.made[name] = true
	return nil
}

// start makes the folder in which the new site grows, marked as unfinished.
func (p *Press) start() error {
	if p.started {
		return nil
	}
	if err := os.Mkdir(p.building, 0o777); errors.Is(err, fs.ErrExist) {
		return errBusy
	} else if err != nil {
		return err
	}
	unlock, err := lock(p.building)
	if err != nil {
		return err
	}
	p.unlocks = append(p.unlocks, unlock)
	if _, err := os.Lstat(p.out); p.fresh && err == nil {
		os.Remove(p.building)
		return errBusy
	}
	p.started = true
	reached("building made")
	return os.WriteFile(filepath.Join(p.building, buildingName), []byte(buildingText), 0o666)
}

// Abandon leaves the old site as it is and removes what was built. After Finish it does nothing.
func (p *Press) Abandon() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return
	}
	p.closed = true
	if p.started {
		removeUnfinished(p.building)
	}
	p.release()
}

func (p *Press) release() {
	for _, unlock := range p.unlocks {
		unlock()
	}
	p.unlocks = nil
}

// reached is where tests stop a press.
var reached = func(point string) {}
