package site

import (
	"bytes"
	"container/list"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"bevelbook/render/page"
)

// mostStored bounds what a store keeps, in bytes; what was asked for the longest ago goes first.
const mostStored = 48 << 20

// store keeps files that were drawn.
type store struct {
	mu    sync.Mutex
	files map[string]*list.Element // of stored
	order *list.List               // the one asked for last is first
	size  int
}

type stored struct {
	path string
	data []byte
}

func newStore() *store { return &store{files: map[string]*list.Element{}, order: list.New()} }

func (s *store) get(path string) ([]byte, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	e := s.files[path]
	if e == nil {
		return nil, false
	}
	s.order.MoveToFront(e)
	return e.Value.(stored).data, true
}

func (s *store) put(path string, data []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.remove(s.files[path])
	s.files[path] = s.order.PushFront(stored{path, data})
	s.size += len(data)
	for s.size > mostStored && s.order.Len() > 1 {
		s.remove(s.order.Back())
	}
}

func (s *store) remove(e *list.Element) {
	if e == nil {
		return
	}
	f := s.order.Remove(e).(stored)
	delete(s.files, f.path)
	s.size -= len(f.data)
}

func (s *store) drop(path string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.remove(s.files[path])
}

// lists are the files that are drawn from the whole journal.
var listFiles = []string{homePath, logPath, partsPath, partsJSONPath, partsCSVPath, materialsPath, findingsPath, searchPath, indexPath, feedPath}

// dropLists forgets what is drawn from the whole journal.
func (s *store) dropLists() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, path := range listFiles {
		s.remove(s.files[path])
	}
	for path, e := range s.files {
		if strings.HasPrefix(path, "sections/") {
			s.remove(e)
		}
	}
}

func (s *store) clear() {
	s.mu.Lock()
	defer s.mu.Unlock()
	clear(s.files)
	s.order.Init()
	s.size = 0
}

// memory is a shelf that keeps what is put.
type memory struct {
	files map[string][]byte
}

// Put keeps a copy: those who draw use their bytes again.
func (m *memory) Put(path string, data []byte) error {
	m.files[path] = bytes.Clone(data)
	return nil
}

// Keep has nothing from before.
func (m *memory) Keep(string) (string, error) { return "", nil }

// copies are the published copies of files that were made. A picture is made once, whatever is asked.
type copies struct {
	making sync.Mutex // held while one is made

	mu   sync.Mutex // guards what follows
	made map[string]page.File
	left map[string]bool // names that the site does without, or that are made
}

func (c *copies) put(name string, f page.File) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.made == nil {
		c.made = map[string]page.File{}
	}
	c.made[name] = f
}

func (c *copies) get(name string) (f page.File, made, tried bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	f, made = c.made[name]
	return f, made, c.left[strings.TrimSuffix(name, thumbOf(""))]
}

func (c *copies) try(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.left == nil {
		c.left = map[string]bool{}
	}
	c.left[name] = true
}

// drop forgets the copy of a file.
func (c *copies) drop(name string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.made, name)
	delete(c.made, thumbOf(name))
	delete(c.left, name)
}

// keep forgets the copies of files that are used in another way than before.
func (c *copies) keep(was, is map[string]use) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for name := range c.left {
		if u, ok := is[name]; !ok || u != was[name] {
			delete(c.made, name)
			delete(c.made, thumbOf(name))
			delete(c.left, name)
		}
	}
}

// publish is the copy of a file; it is made when it is asked for the first time.
func (s *State) publish(name string) (page.File, bool) {
	f, made, tried := s.copies.get(name)
	if made || tried {
		return f, made
	}
	source := strings.TrimSuffix(name, thumbOf(""))
	u, ok := s.plan.uses[source]
	if !ok {
		return page.File{}, false
	}
	s.copies.making.Lock()
	defer s.copies.making.Unlock()
	if f, made, tried = s.copies.get(name); made || tried {
		return f, made
	}
	shelf := &memory{files: map[string][]byte{}}
	p := &press{s.plan, shelf}
	if err := p.publish(source, u); err != nil {
		return page.File{}, false // it is gone since the journal was read; an update will tell
	}
	s.copies.try(source)
	for path, data := range shelf.files {
		s.pictures.put(path, data)
	}
	f, made, _ = s.copies.get(name)
	return f, made
}

// make makes the copy that stands at a path of the site.
func (c *copies) make(s *State, p *press, path string) error {
	for name, u := range s.plan.uses {
		if !strings.HasPrefix(path, u.as) {
			continue
		}
		if _, made := s.publish(name); !made {
			continue
		}
		for _, as := range []string{name, thumbOf(name)} {
			if f, made, _ := c.get(as); made && f.Path == path {
				if err := p.publish(name, u); err != nil {
					return fmt.Errorf("%s: %w", name, err)
				}
				return nil
			}
		}
	}
	return &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
}

// all makes every copy.
func (c *copies) all(s *State) []page.File {
	var files []page.File
	for _, name := range slices.Sorted(maps.Keys(s.plan.uses)) {
		for _, as := range []string{name, thumbOf(name)} {
			if f, ok := s.publish(as); ok {
				files = append(files, f)
			}
		}
	}
	return files
}
