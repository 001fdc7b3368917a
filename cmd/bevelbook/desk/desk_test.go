package desk

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// patience is how long a test waits for what must happen; only a broken desk makes it wait that long.
const patience = 60 * time.Second

// eventually waits until something holds.
func eventually(t testing.TB, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if holds() {
			return
		}
	}
	t.Fatalf("it did not come about that %s", what)
}

// small is a journal of two entries: the second uses a value of the first.
func small(t testing.TB) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "build")
	write(t, dir, "journal.md", "---\ntitle: The lamp\nauthor: Nobody\n---\nWelcome.\n")
	write(t, dir, "shop.md", "---\ntitle: Shop\n---\n```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\n```\n")
	write(t, dir, "log/one.md", firstEntry("330 mm"))
	write(t, dir, "log/two.md", "---\ntitle: Two\ndate: 2026-09-06\nsection: helm\n---\nIt is `-> flats / 2` to the middle.\n")
	return dir
}

// firstEntry is long enough to scroll, with a card at its end.
func firstEntry(flats string) string {
	words := strings.Repeat("A board leans on the next one and the glue holds both of them until the morning. ", 12) + "\n\n"
	return "---\ntitle: One\ndate: 2026-09-05\nsection: helm\nsides: [left, right]\n---\nThe first words.\n\n" + strings.Repeat(words, 4) +
		"```dims\nflats: " + flats + "\nside:  flats * tan(180 deg / 8)\n```\n\nIt is `-> side` wide.\n\n" + strings.Repeat(words, 3) +
		"```panel board\noutline: rect(width: side, height: 260 mm)\nmaterial: foam10\nhand: pair\nhole eye: circle(diameter: 5 mm, at: (20 mm, 45 mm))\n```\n\nThe last words.\n\n" +
		strings.Repeat(words, 4)
}

func write(t testing.TB, dir, name, text string) {
	t.Helper()
	at := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// running is a desk at work in a test.
type running struct {
	*Desk
	t    testing.TB
	dir  string
	stop func()
}

// runDesk opens a desk and has it serve until the test ends or stop is called.
func runDesk(t testing.TB, opt Options, narrow ...func(*Desk)) *running {
	t.Helper()
	d, err := Open(opt)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range narrow {
		n(d)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		if err := d.Serve(ctx); err != nil {
			t.Error(err)
		}
	}()
	r := &running{Desk: d, t: t, dir: opt.Dir}
	r.stop = func() {
		cancel()
		<-done
	}
	t.Cleanup(r.stop)
	return r
}
