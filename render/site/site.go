package site

import (
	"bytes"
	"fmt"
	"io/fs"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/render/figure"
	"bevelbook/render/page"
	"bevelbook/render/site/folder"
	"bevelbook/themes"
)

// Options say where a site goes and for whom it is.
type Options struct {
	Out   string // the folder to write
	Root  string // the journal's folder on the disk, which is never written to; "" if it has none
	Share bool   // for others: no findings
	Theme string // in place of the journal's own; "" takes that
	// Layouts lays parts on sheets, and may know them from before; nil works them out anew.
	Layouts *layout.Solver
	// Later, when set, keeps pages from waiting for a layout: they show the first one at hand, and Later is
	// called, from any goroutine, when a better one is there.
	Later func()
}

// Result tells what a press did.
type Result struct {
	folder.Result
	// Left are files that the journal refers to and the site could not take, each with the reason.
	Left []string
}

// spare is how much of the heap may be waste while a site is pressed, in percent of what is in use:
// a snapshot is large and stays, pages are soon forgotten. It holds a thousand entries below 200 MB.
const spare = 50

// plainTheme is the theme of a journal that names none.
const plainTheme = "drafting"

// Press writes the site of a snapshot whose files lie in fsys. found is what was found in it, for
// the author's copy. If it fails, the old site stands.
func Press(s *journal.Snapshot, fsys fs.FS, found []finding.Finding, opt Options) (Result, error) {
	defer debug.SetGCPercent(debug.SetGCPercent(spare))
	theme, err := themes.Get(themeOf(s, opt))
	if err != nil {
		return Result{}, err
	}
	to, err := folder.Open(opt.Out, opt.Root)
	if err != nil {
		return Result{}, err
	}
	defer to.Abandon()
	p := &press{newPlan(s, fsys, page.NewBook(s, found, opt.Share), theme), to}
	p.published = p.file
	p.laid(opt)
	if err := p.all(); err != nil {
		return Result{}, err
	}
	result, err := to.Finish()
	slices.Sort(p.left)
	return Result{result, p.left}, err
}

// all puts every file of the site into its place.
func (p *press) all() error {
	for _, phase := range [][]job{p.assets(), p.files(), p.templates()} {
		if err := run(phase); err != nil {
			return err
		}
	}
	if err := run(p.pages()); err != nil {
		return err
	}
	return run(p.indexes())
}

// shelf is where the files of a site are put: a folder on the disk, or memory.
type shelf interface {
	Put(path string, data []byte) error
	// Keep takes over a file that an earlier press made, and tells where it lies on the disk; "" if
	// there is none.
	Keep(path string) (name string, err error)
}

func themeOf(s *journal.Snapshot, opt Options) string {
	for _, name := range []string{opt.Theme, s.Settings.Theme} {
		if name != "" {
			return name
		}
	}
	return plainTheme
}

// laid tells the pages how parts are laid on sheets.
func (p *plan) laid(opt Options) {
	p.layouts, p.later = opt.Layouts, opt.Later
	if p.layouts == nil {
		p.layouts = layout.NewSolver(nil)
	}
	p.book.Lay, p.book.Shopping = p.lay, p.shopping
}

// press draws the files of a planned site onto a shelf.
type press struct {
	*plan
	to shelf
}

// plan says what a site holds and where everything stands, before anything is drawn.
type plan struct {
	*journal.Snapshot
	fsys  fs.FS
	share bool
	book  *page.Book
	theme *themes.Theme
	look  *page.Look

	layouts *layout.Solver
	later   func() // nil: pages wait for their layouts

	taken   map[string]bool // paths that are spoken for, letter case folded
	entries []*journal.Page // with a date, oldest first, those that are shown
	others  []*journal.Page // without a date
	uses    map[string]use  // the files that shown pages refer to, by their path in the journal
	groups  []*group        // by section, those with shown parts
	groupOf map[string]*group
	joined  journal.Joined // what seam blocks say of edges

	published func(name string, f page.File) // notes the copy of a file; called from any goroutine

	mu      sync.Mutex         // guards what follows
	digests map[string]*digest // by page
	left    []string
}

// newPlan decides where everything stands: pages first, then files, then templates, so that what is
// linked to from outside keeps its address the longest.
func newPlan(s *journal.Snapshot, fsys fs.FS, book *page.Book, theme *themes.Theme) *plan {
	p := &plan{
		Snapshot: s, fsys: fsys, share: book.Share, book: book, theme: theme, look: page.NewLook(theme),
		taken: map[string]bool{}, uses: map[string]use{}, digests: map[string]*digest{},
	}
	p.place()
	p.use()
	p.group()
	return p
}

// digest is what other pages tell of a page.
type digest struct {
	told  sync.Once
	line  page.Line // its Href is relative to the root
	read  sync.Once
	words string
}

// job is one piece of work that does not wait for others of its phase.
type job func() error

// run does the jobs of a phase on all cores, in their order as far as possible.
func run(jobs []job) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for _, j := range jobs {
		g.Go(j)
	}
	return g.Wait()
}

// leave notes a file that the site does without.
func (p *plan) leave(path string, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.left = append(p.left, fmt.Sprintf("%s: %v", path, err))
}

// buffers are reused between pages.
var buffers = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// draw writes one page.
func (p *press) draw(path, name string, view page.View) error {
	buf := buffers.Get().(*bytes.Buffer)
	defer buffers.Put(buf)
	buf.Reset()
	if err := p.look.Draw(buf, name, view); err != nil {
		return err
	}
	return p.to.Put(path, buf.Bytes())
}

// assets are the files of the theme.
func (p *press) assets() []job {
	put := func(path string, data []byte) job { return func() error { return p.to.Put(path, data) } }
	return []job{
		put(stylePath, append([]byte(figure.Style+"\n"), p.theme.Style...)),
		put(scriptPath, p.theme.Script),
		put(iconPath, p.theme.Icon),
	}
}

// frame is what a page at a path carries around its content.
func (p *plan) frame(path, title, here string) page.Frame {
	f := page.Frame{
		Lang: p.Settings.Language, Journal: p.Settings.Title, Author: p.Settings.Author,
		Title: title, Root: page.Root(path), Here: here, Findings: !p.share, Generated: "bevelbook",
	}
	if f.Lang == "" {
		f.Lang = "en"
	}
	if p.hasFeed() {
		f.Feed = feedPath
	}
	return f
}
