package main

import (
	"fmt"
	"os"
	"path/filepath"

	"bevelbook/render/site"
)

var press = command{
	name: "press", usage: "[DIR] [--out OUT] [--share]",
	doc: "writes the site: all or nothing, and only the files that changed",
	long: "The site is written even when findings stop the build, so that you can read them there; the exit code\n" +
		"is 1 then. It never deletes a file that it did not write, and refuses a folder that holds something else.",
	run: runPress,
}

func runPress(c *call) int {
	out := c.flags.String("out", "", "`folder` of the site; DIR/pressed if left out")
	share := c.flags.Bool("share", false, "the copy for others: without the findings page")
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	dir := dirOf(rest)
	if *out == "" {
		*out = filepath.Join(dir, "pressed")
	}
	o, err := c.open(dir, *out)
	if err != nil {
		return c.fault(err)
	}
	c.short(o.found)
	c.progress("pressing into %s", *out)
	res, err := site.Press(o.snap, os.DirFS(dir), o.found, site.Options{Out: *out, Root: dir, Share: *share, Layouts: newSolver()})
	if err != nil {
		return c.fault(err)
	}
	for _, left := range res.Left {
		fmt.Fprintf(c.err, "left out: %s\n", left)
	}
	for _, path := range res.Overwritten {
		fmt.Fprintf(c.err, "%s had been changed by hand and was written anew\n", path)
	}
	for _, path := range res.Spared {
		fmt.Fprintf(c.err, "%s had been changed by hand and is no page any more; it was left\n", path)
	}
	fmt.Fprintf(c.err, "%s: %d files written, %d as they were, %d removed\n", *out, res.Written, res.Kept, res.Removed)
	return exitOf(o.found)
}
