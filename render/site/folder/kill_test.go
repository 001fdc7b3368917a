package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The test binary presses "after" into a folder and kills itself on the way when the environment says so.
const (
	envOut  = "SITE_TEST_OUT"  // where to press
	envKill = "SITE_TEST_KILL" // at which point, counted from 0
	envHow  = "SITE_TEST_HOW"  // what the file system lacks
	envSize = "SITE_TEST_SIZE" // how many files more
)

func TestMain(m *testing.M) {
	if out := os.Getenv(envOut); out != "" {
		pressAndDie(out)
	}
	os.Exit(m.Run())
}

func pressAndDie(out string) {
	var last, size int
	fmt.Sscan(os.Getenv(envKill), &last)
	fmt.Sscan(os.Getenv(envSize), &size)
	if strings.Contains(os.Getenv(envHow), "no exchange") {
		tradePlaces = func(string, string) error { return errors.ErrUnsupported }
	}
	if strings.Contains(os.Getenv(envHow), "no links") {
		link = func(string, string) error { return errors.ErrUnsupported }
	}
	points := 0
	reached = func(string) {
		if points == last {
			self, _ := os.FindProcess(os.Getpid())
			self.Kill()
			select {}
		}
		points++
	}
	if _, err := tryPress(out, grown(after, size, "after")); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

// grown adds n files, every third with a text of its own.
func grown(files tree, n int, text string) tree {
	more := with(files)
	for i := range n {
		own := ""
		if i%3 == 0 {
			own = text
		}
		more[fmt.Sprintf("many/%d/%d.html", i%10, i)] = strings.Repeat(own, 500)
	}
	return more
}

func child(out, how string, kill, size int) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), envOut+"="+out, envHow+"="+how, fmt.Sprint(envKill, "=", kill), fmt.Sprint(envSize, "=", size))
	cmd.Stderr = os.Stderr
	return cmd
}

func TestKilledAtAnyPointTheOldOrTheNewSiteStands(t *testing.T) {
	for _, how := range []string{"", "no exchange", "no links"} {
		t.Run("with "+how, func(t *testing.T) {
			t.Parallel()
			for kill := 0; ; kill++ {
				out := filepath.Join(t.TempDir(), "pressed")
				press(t, out, before)
				lay(t, out, added)
				err := child(out, how, kill, 0).Run()
				if _, gone := os.Stat(out); how == "no exchange" && errors.Is(gone, fs.ErrNotExist) {
					p, err := Open(out, "") // between two renames: the next press puts it back
					if err != nil {
						t.Fatal(err)
					}
					p.Abandon()
				}
				wantTree(t, out, with(before, added), with(after, added))
				press(t, out, after)
				wantTree(t, out, with(after, added))
				wantAlone(t, out)
				if err == nil { // it came to its end
					if kill < 20 {
						t.Errorf("only %d points reached", kill)
					}
					return
				}
				if kill > 200 {
					t.Fatal("the press never ends")
				}
			}
		})
	}
}

func TestKilledAtAnyPointOfAFirstPressNothingOrTheNewSiteStands(t *testing.T) {
	t.Parallel()
	for _, how := range []string{"missing", "empty", "empty, no exchange"} {
		for kill := 0; ; kill++ {
			out := filepath.Join(t.TempDir(), "pressed")
			if how != "missing" {
				if err := os.Mkdir(out, 0o777); err != nil {
					t.Fatal(err)
				}
			}
			err := child(out, how, kill, 0).Run()
			if _, missing := os.Stat(out); missing == nil {
				wantTree(t, out, tree{}, after)
			}
			press(t, out, before)
			wantTree(t, out, before)
			wantAlone(t, out)
			if err == nil {
				break
			}
			if kill > 200 {
				t.Fatal("the press never ends")
			}
		}
	}
}

func TestKilledAtAnyMomentTheOldOrTheNewSiteStands(t *testing.T) {
	t.Parallel()
	const size, never = 300, 1 << 30
	out := filepath.Join(t.TempDir(), "pressed")
	old, new := with(grown(before, size, "before"), added), with(grown(after, size, "after"), added)
	press(t, out, grown(before, size, "before"))
	lay(t, out, added)
	for range 25 {
		cmd := child(out, "", never, size)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(rand.N(60 * time.Millisecond))
		cmd.Process.Kill()
		cmd.Wait()
		wantTree(t, out, old, new)
		press(t, out, grown(before, size, "before"))
		wantTree(t, out, old)
		wantAlone(t, out)
	}
}
