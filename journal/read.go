package journal

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"bevelbook/calc/eval"
	"bevelbook/journal/entry"
)

// Limits that keep a wrong folder from being read as a journal.
const (
	maxPages = 100_000
	maxDepth = 32      // of folders
	maxRead  = 4 << 20 // bytes of one page; entry refuses pages far shorter than this
)

// text is one Markdown file as read.
type text struct {
	path, text string
}

// read lists the folder and reads its Markdown files. Hidden folders and the written site are left out.
func read(fsys fs.FS, opt Options) ([]text, map[string]int64, error) {
	if _, err := fs.Stat(fsys, HomeName); err != nil {
		return nil, nil, ErrNoJournal
	}
	l := listing{fsys: fsys, opt: opt, files: map[string]int64{}}
	if err := fs.WalkDir(fsys, ".", l.visit); err != nil {
		return nil, nil, err
	}
	if !slices.Contains(l.pages, HomeName) {
		return nil, nil, ErrNoJournal // it is a folder or a link
	}
	slices.Sort(l.pages)
	texts, err := readAll(fsys, l.pages)
	return texts, l.files, err
}

// listing is what a walk through folders finds.
type listing struct {
	fsys  fs.FS
	opt   Options
	pages []string
	files map[string]int64
}

func (l *listing) visit(p string, d fs.DirEntry, err error) error {
	if err != nil {
		return err
	}
	if d.IsDir() {
		return enter(p, l.opt)
	}
	if !d.Type().IsRegular() || strings.HasPrefix(path.Base(p), ".") {
		return nil // links could lead out of the journal
	}
	if path.Ext(p) == ".md" {
		l.pages = append(l.pages, p)
		if len(l.pages) > maxPages {
			return errTooMany
		}
		return nil
	}
	info, err := d.Info()
	if err == nil {
		l.files[p] = info.Size()
	}
	return nil
}

var errTooMany = fmt.Errorf("more than %d Markdown files: is this the right folder?", maxPages)

// enter tells whether a folder is walked into.
func enter(p string, opt Options) error {
	base := path.Base(p)
	switch {
	case p == ".":
		return nil
	case strings.HasPrefix(base, "."), p == "pressed", p == opt.Skip, base == "node_modules":
		return fs.SkipDir
	case strings.Count(p, "/") >= maxDepth:
		return fs.SkipDir
	}
	return nil
}

// readAll reads files side by side.
func readAll(fsys fs.FS, paths []string) ([]text, error) {
	texts := make([]text, len(paths))
	errs := make([]error, len(paths))
	eachOf(len(paths), func(i int) {
		data, err := readPage(fsys, paths[i])
		texts[i], errs[i] = text{paths[i], string(data)}, err
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return texts, nil
}

// readPage reads as much of a file as can matter: a file of many gigabytes is no page.
func readPage(fsys fs.FS, path string) ([]byte, error) {
	f, err := fsys.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxRead))
}

// parsePages parses texts side by side.
func parsePages(texts []text) []*Page {
	pages := make([]*Page, len(texts))
	eachOf(len(texts), func(i int) {
		p := &Page{Path: texts[i].path}
		p.Doc, p.Found = entry.Read(texts[i].path, texts[i].text, p.IsHome())
		p.parse()
		pages[i] = p
	})
	return pages
}

// eachOf calls work for 0 to n-1 on all cores.
func eachOf(n int, work func(i int)) {
	var wg sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), n)
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				work(i)
			}
		})
	}
	wg.Wait()
}

// maxFile bounds a file that a block asks for: a model of two million triangles is 100 MB.
const maxFile = 256 << 20

// reader hands the journal's own files to the blocks that ask for them. A path that leaves the
// journal, or a file that the walk did not list (a link, a hidden one), is not there.
func (s *Snapshot) reader() eval.Files {
	return func(path string) ([]byte, error) {
		size, ok := s.Files[path]
		switch {
		case !ok:
			return nil, eval.ErrNoFile
		case size > maxFile:
			return nil, fmt.Errorf("it is larger than %d MB", maxFile>>20)
		}
		return fs.ReadFile(s.fsys, path)
	}
}
