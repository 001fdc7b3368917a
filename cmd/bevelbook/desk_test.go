package main

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// laidDesk starts `bevelbook desk` as a program of its own and gives the address that it prints.
func laidDesk(t *testing.T, flags ...string) (*exec.Cmd, string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "lighthouse"))); err != nil {
		t.Fatal(err)
	}
	c := &exec.Cmd{Path: self, Args: append([]string{"bevelbook", "desk", dir, "--port", "0"}, flags...), Stderr: os.Stderr}
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Process.Kill(); c.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	go io.Copy(io.Discard, out)
	return c, strings.TrimSpace(line)
}

func TestTheDeskServesAndEndsWithASignal(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("signals of this kind are unknown here")
	}
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		c, address := laidDesk(t)
		if !strings.HasPrefix(address, "http://127.0.0.1:") {
			t.Fatalf("it prints %q", address)
		}
		answer, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(answer.Body)
		answer.Body.Close()
		if err != nil || !strings.Contains(string(text), `id="desk"`) {
			t.Errorf("the first page is %.200s (%v)", text, err)
		}
		// A page that listens does not keep it.
		stream, err := http.Get(address + ".desk/stream?page=index.html")
		if err != nil {
			t.Fatal(err)
		}
		defer stream.Body.Close()
		c.Process.Signal(signal)
		done := make(chan error, 1)
		go func() { done <- c.Wait() }()
		select {
		case err := <-done:
			if err != nil {
				t.Errorf("after %v it ends with %v", signal, err)
			}
		case <-time.After(time.Minute):
			t.Fatalf("after %v it does not end", signal)
		}
	}
}

// A desk that nobody writes for does nothing, with a page open too.
func TestAnIdleDeskTakesNoTime(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the time that a program took is read from /proc")
	}
	c, address := laidDesk(t)
	stream, err := http.Get(address + ".desk/stream?page=index.html")
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	go io.Copy(io.Discard, stream.Body)
	// The time counts in hundredths of a second. What the start left to do may take a while.
	least := 1 << 30
	for range 20 {
		before := ticks(t, c.Process.Pid)
		time.Sleep(time.Second)
		if least = min(least, ticks(t, c.Process.Pid)-before); least == 0 {
			return
		}
	}
	t.Errorf("in its quietest second it takes %d ms", 10*least)
}

// ticks is the time that a program has taken, user and system (proc(5), fields 14 and 15 of stat).
func ticks(t *testing.T, pid int) int {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), ") ")
	var user, system int
	f := strings.Fields(rest)
	fmt.Sscan(f[11], &user)
	fmt.Sscan(f[12], &system)
	return user + system
}
