package main

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

//go:embed begin
var firstPages embed.FS

var begin = command{
	name: "begin", usage: "DIR",
	doc:  "lays out a new journal that proofs clean",
	long: "DIR is made if it is not there; a folder that holds anything is left alone.",
	run:  runBegin,
}

func runBegin(c *call) int {
	rest, code, ok := c.parse(1)
	if !ok {
		return code
	}
	if len(rest) == 0 {
		return c.wrong("name the folder of the new journal")
	}
	dir := rest[0]
	if held, err := os.ReadDir(dir); err == nil && len(held) > 0 {
		return c.fault(fmt.Errorf("%s is not empty; name a new folder", dir))
	}
	pages, err := fs.Sub(firstPages, "begin")
	if err != nil {
		return c.fault(err)
	}
	if err := os.CopyFS(dir, pages); err != nil {
		return c.fault(err)
	}
	fmt.Fprintf(c.err, "%s is laid out. Next:\n  bevelbook proof %s\n  bevelbook press %s\nand open %s\n",
		dir, dir, dir, filepath.Join(dir, "pressed", "index.html"))
	return exitDone
}
