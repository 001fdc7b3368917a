package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"

	"bevelbook/cmd/bevelbook/desk"
	"bevelbook/journal"
)

var deskCommand = command{
	name: "desk", usage: "[DIR] [--port N] [--open] [--lan] [--poll]",
	doc: "shows the site while you write: each save is on the page at once",
	long: "It serves the site from memory to this machine's browser and writes nothing. The page that is open\n" +
		"follows each save where it stands; errors and findings stand beside it, for you only. End it with Ctrl-C.\n\n" +
		"With --lan a phone at the bench can look too: it prints an address with a random key, and a code to scan.\n" +
		"Who has the key sees the author's copy: the site with its findings, not your measurements. It is plain\n" +
		"HTTP, so use it in a network that you trust, and only while you need it.",
	run: runDesk,
}

func runDesk(c *call) int {
	port := c.flags.Int("port", desk.DefaultPort, "`number` of the port; 0 takes a free one")
	open := c.flags.Bool("open", false, "open the page in the browser")
	lan := c.flags.Bool("lan", false, "let other devices of the network look, with a key")
	poll := c.flags.Bool("poll", false, "look through the folder twice a second, where changes are not told: network drives")
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	if *port < 0 || *port > 65535 {
		return c.wrong("a port is a number from 0 to 65535, not %d", *port)
	}
	dir := dirOf(rest)
	d, err := desk.Open(desk.Options{Dir: dir, Port: *port, Any: !c.given("port"), LAN: *lan, Poll: *poll, Layouts: newSolver(), Tell: c.progress})
	if errors.Is(err, journal.ErrNoJournal) {
		err = fmt.Errorf("%s holds no journal.md; `bevelbook begin DIR` lays out a new journal", named(dir))
	}
	if err != nil {
		return c.fault(err)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	fmt.Fprintf(c.out, "%s\n", d.Address())
	if *lan {
		d.Invite(c.out)
	}
	if *open {
		if err := browse(d.Ticket()); err != nil {
			fmt.Fprintf(c.err, "bevelbook desk: no browser could be opened: %v\n", err)
		}
	}
	if err := d.Serve(ctx); err != nil {
		return c.fault(err)
	}
	return exitDone
}

// given tells whether a flag was set.
func (c *call) given(name string) (is bool) {
	c.flags.Visit(func(f *flag.Flag) { is = is || f.Name == name })
	return is
}

// browse opens an address in the browser that the system takes for it.
func browse(address string) error {
	var open *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		open = exec.Command("open", address)
	case "windows":
		open = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	default:
		open = exec.Command("xdg-open", address)
	}
	if err := open.Start(); err != nil {
		return err
	}
	go open.Wait()
	return nil
}
