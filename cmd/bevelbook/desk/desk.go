package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"bevelbook/journal"
	"bevelbook/journal/layout"
	"bevelbook/journal/proof"
	"bevelbook/render/site"
	"bevelbook/themes"
)

// Options say how a desk is set up.
type Options struct {
	Dir  string // the journal's folder
	Port int    // to listen on, 0 for a free one
	Any  bool   // take a free port if another program has this one
	LAN  bool   // listen to other devices of the network too, which then need the key
	Poll bool   // look through the folder again and again instead of watching it

	// Layouts lays parts on sheets, and may know them from before; nil works them out anew.
	Layouts *layout.Solver

	// Tell is given a line for the maker's terminal now and then; nil for silence.
	Tell func(format string, args ...any)
}

// Desk is one desk at work.
type Desk struct {
	opt    Options
	root   string // the journal's folder, absolute
	lan    bool
	key    string      // that other devices have to show, "" without LAN
	pass   string      // what a device that showed it carries from then on
	ticket string      // in place of the key, once, for the browser that this program opens
	spent  atomic.Bool // whether the ticket was shown
	look   *themes.Theme
	tell   func(format string, args ...any)
	limits limits

	listener net.Listener
	watch    *watcher
	calls    chan func() // work for the loop
	closing  chan struct{}

	// What follows belongs to the loop.
	book    *book
	notes   *notes    // of the book as it is, nil until somebody asks
	streams []*stream // the oldest first
	polling string
	said    string // to the terminal, last
	fault   string // why the journal cannot be read at present, "" while it can
	slip    string // why it is not drawn as it asks
}

// limits bound what others can make a desk do; tests narrow them.
type limits struct {
	streams int           // open at once
	header  time.Duration // to send a request
	write   time.Duration // to take an answer, or one message of a stream
	idle    time.Duration // between requests
}

var plainLimits = limits{streams: 64, header: 5 * time.Second, write: 30 * time.Second, idle: 2 * time.Minute}

// DefaultPort is where a desk listens if nobody says otherwise: always the same place, so that a
// page finds a desk that was started anew.
const DefaultPort = 7153

// Open reads the journal and listens. The error says what to do about it.
func Open(opt Options) (*Desk, error) {
	root, err := filepath.Abs(opt.Dir)
	if err != nil {
		return nil, err
	}
	d := &Desk{
		opt: opt, root: root, lan: opt.LAN, tell: opt.Tell, limits: plainLimits,
		calls: make(chan func()), closing: make(chan struct{}),
	}
	if d.tell == nil {
		d.tell = func(string, ...any) {}
	}
	if opt.LAN {
		d.key, d.pass, d.ticket = random(), random(), random()
	}
	if d.listener, err = listen(opt); err != nil {
		return nil, err
	}
	// The watch stands before the first look, so that nothing is missed between them.
	d.watch = newWatcher(root, skipped)
	d.watch.poll = opt.Poll
	d.watch.start()
	d.polling = d.watch.polling
	if d.book, err = openBook(root, opt.Layouts, d.relaid); err == nil {
		d.look, err = d.theme()
	}
	if err != nil {
		d.listener.Close()
		d.watch.close()
		return nil, err
	}
	return d, nil
}

// listen takes the port, on loopback or on every address of the machine.
func listen(opt Options) (net.Listener, error) {
	host := "127.0.0.1"
	if opt.LAN {
		host = ""
	}
	l, err := net.Listen("tcp", net.JoinHostPort(host, fmt.Sprint(opt.Port)))
	if errors.Is(err, syscall.EADDRINUSE) && opt.Any {
		l, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, fmt.Errorf("port %d cannot be had (%w); another desk may use it, or give --port 0 for a free one", opt.Port, errors.Unwrap(err))
	}
	return l, nil
}

// Port is the port that it listens on.
func (d *Desk) Port() int { return d.listener.Addr().(*net.TCPAddr).Port }

// Address is where the maker's own browser finds the desk; with a key it lets the browser in.
func (d *Desk) Address() string { return d.address("127.0.0.1", d.key) }

// Ticket is Address for a browser that is opened by a command, whose words others on this machine may
// read: its key is good for one visit.
func (d *Desk) Ticket() string { return d.address("127.0.0.1", d.ticket) }

func (d *Desk) address(host, key string) string {
	a := "http://" + net.JoinHostPort(host, fmt.Sprint(d.Port())) + "/"
	if key != "" {
		a += "?key=" + key
	}
	return a
}

// Serve works until the context ends, then lets go of every open page and of the port.
func (d *Desk) Serve(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	go d.watch.run(ctx)
	done := make(chan struct{})
	go func() { d.loop(ctx); close(done) }()
	server := &http.Server{
		Handler: d.guarded(http.HandlerFunc(d.serve)), ReadHeaderTimeout: d.limits.header, ReadTimeout: d.limits.header,
		WriteTimeout: d.limits.write, IdleTimeout: d.limits.idle, MaxHeaderBytes: 16 << 10, ErrorLog: silent,
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(d.listener) }()
	var err error
	select {
	case err = <-failed:
	case <-ctx.Done():
		close(d.closing)
		soon, stop := context.WithTimeout(context.Background(), 3*time.Second)
		defer stop()
		if server.Shutdown(soon) != nil {
			server.Close() // somebody would not let go
		}
	}
	cancel()
	<-done
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// book is the journal with its site in memory. The folder is held open: no name in it, not even a
// link that appears later, leads out of it.
type book struct {
	*site.State
	root *os.Root
}

func openBook(dir string, layouts *layout.Solver, later func()) (*book, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("%w in %s", journal.ErrNoJournal, dir)
	}
	state, err := site.Open(root.FS(), journal.Options{}, site.Options{Layouts: layouts, Later: later})
	if err != nil {
		root.Close()
		return nil, err
	}
	return &book{state, root}, nil
}

// relaid shows a layout that was searched for beside the writing, when it is there.
func (d *Desk) relaid() { d.ask(d.show) }

// theme is the look of the journal, from which the strip comes too.
func (d *Desk) theme() (*themes.Theme, error) {
	name := ""
	d.book.Read(func(s *journal.Snapshot, _ *proof.Findings) { name = s.Settings.Theme })
	return themes.Get(cmp.Or(name, "drafting"))
}

// skipped tells of a path below a journal whether it is none of the journal's: hidden, or the
// written site.
func skipped(rel string) bool {
	for i, name := range strings.Split(rel, "/") {
		if strings.HasPrefix(name, ".") || name == "node_modules" || i == 0 && name == "pressed" || i > 32 {
			return true
		}
	}
	return false
}
