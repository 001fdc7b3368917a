package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "renew the golden files")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bevelbook": main})
}

// TestScripts runs the commands as a maker types them; each script is one txtar file to read. In the
// folder of each lies a small journal, `lighthouse`, that proofs clean.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script", UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			return os.CopyFS(filepath.Join(env.WorkDir, "lighthouse"), os.DirFS("testdata/lighthouse"))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "lay": lay, "frames": frames},
	})
}

// exits runs a command that must end with a given code: exits 1 bevelbook proof.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND [ARGUMENT…]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var ended *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &ended):
		got = ended.ExitCode()
	default:
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("%v ended with %d, not %d", args[1:], got, want)
	}
}

// lay copies a folder with all that is in it: lay lighthouse other.
func lay(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: lay FROM TO")
	}
	ts.Check(os.CopyFS(ts.MkAbs(args[1]), os.DirFS(ts.MkAbs(args[0]))))
}

// frames puts each line of a file into a frame of the editor's protocol, $WORK being the script's folder:
// frames LINES FRAMES.
func frames(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: frames LINES FRAMES")
	}
	var b strings.Builder
	for line := range strings.Lines(ts.ReadFile(args[0])) {
		line = strings.ReplaceAll(strings.TrimSpace(line), "$WORK", filepath.ToSlash(ts.Getenv("WORK")))
		fmt.Fprintf(&b, "Content-Length: %d\r\n\r\n%s", len(line), line)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(b.String()), 0o644))
}

// needs skips a test, with the reason, where an outside judge is missing; in CI that is a failure.
func needs(t testing.TB, program, from string) {
	t.Helper()
	if _, err := exec.LookPath(program); err == nil {
		return
	}
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is missing", program)
	}
	t.Skipf("%s (%s) is not installed", program, from)
}
