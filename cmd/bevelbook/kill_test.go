package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// treeSum is one number for all names and bytes below a folder, but for the list that the writer keeps
// for itself, which holds times.
func treeSum(t testing.TB, dir string) string {
	t.Helper()
	h := sha256.New()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		fmt.Fprintf(h, "%s %d\n%s", filepath.ToSlash(rel), len(data), data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

// TestKilledPressLeavesTheOldSiteOrTheNewOne: a smoke of the whole command; render/site/folder tests
// every moment of the writing.
func TestKilledPressLeavesTheOldSiteOrTheNewOne(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir, outs := t.TempDir(), t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", "lighthouse"))); err != nil {
		t.Fatal(err)
	}
	site := filepath.Join(outs, "site")
	bevelbook(t, "press", dir, "--out", site)
	before := treeSum(t, site)
	shop := filepath.Join(dir, "shop.md")
	text, err := os.ReadFile(shop)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(shop, append(text, "\nAnother word about the shop.\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	bevelbook(t, "press", dir, "--out", filepath.Join(outs, "next"))
	after := treeSum(t, filepath.Join(outs, "next"))
	if before == after {
		t.Fatal("the change did not reach the site")
	}
	for pause := time.Duration(0); pause < 60*time.Millisecond; pause += 6 * time.Millisecond {
		press := exec.Cmd{Path: self, Args: []string{"bevelbook", "press", dir, "--out", site}}
		if err := press.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(pause)
		press.Process.Kill()
		press.Wait()
		if now := treeSum(t, site); now != before && now != after {
			t.Fatalf("killed after %v, the site is neither the old one nor the new one", pause)
		}
	}
	// The next press clears what lies about and is done.
	bevelbook(t, "press", dir, "--out", site)
	if treeSum(t, site) != after {
		t.Error("the press after it did not finish the site")
	}
	if left, err := os.ReadDir(outs); err != nil || len(left) != 2 {
		t.Errorf("beside the sites lie %v, %v", left, err)
	}
}

// TestSampleBuildProofsClean: what newcomers see first has nothing that stops it.
func TestSampleBuildProofsClean(t *testing.T) {
	bevelbook(t, "proof", filepath.Join("..", "..", "sample-build"))
}
