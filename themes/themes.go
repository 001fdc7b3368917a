// Package themes holds the looks of a site: page templates, styles and the little script that
// pages carry, embedded in the program.
//
// A theme is a folder: one template for each kind of page (the views of package page are their
// data), palette.txt (colours by day and by night), style.css and script.js; and what the live preview
// puts around a page: desk.html, desk.css, desk.js. Nothing in a theme asks another host for anything.
// The package imports nothing of ours.
package themes

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"slices"
	"strings"
)

//go:embed drafting
var folders embed.FS

// Pages are the pages that every theme defines as templates of these names.
var Pages = []string{
	"home", "log", "entry", "section", "parts", "materials", "findings", "plain", "search",
}

// shared are the templates that pages have in common and that are drawn once for many; and those of
// the live preview.
var shared = []string{"head", "masthead", "foot", "desk", "desk-errors"}

// Theme is one look, ready for use by several goroutines.
type Theme struct {
	Name   string
	Pages  *template.Template // holds each of Pages, and head, masthead, foot
	Style  []byte             // style.css, the palette's colours first
	Script []byte
	Icon   []byte // icon.svg

	DeskStyle, DeskScript []byte // of the live preview; no pressed page holds them
}

// Names lists the themes in alphabetical order.
func Names() []string {
	var names []string
	list, err := folders.ReadDir(".")
	if err != nil {
		return nil
	}
	for _, d := range list {
		if d.IsDir() {
			names = append(names, d.Name())
		}
	}
	return names
}

// Get reads a theme. An unknown name is an error that tells the known ones.
func Get(name string) (*Theme, error) {
	if !slices.Contains(Names(), name) {
		return nil, fmt.Errorf("no theme is called %q; there is %s", name, strings.Join(Names(), ", "))
	}
	folder, err := fs.Sub(folders, name)
	if err != nil {
		return nil, err
	}
	return read(name, folder)
}

func read(name string, folder fs.FS) (*Theme, error) {
	pages, err := template.New(name).ParseFS(folder, "*.html")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	for _, p := range slices.Concat(Pages, shared) {
		if pages.Lookup(p) == nil {
			return nil, fmt.Errorf("theme %s defines no template %q", name, p)
		}
	}
	palette, err := fs.ReadFile(folder, "palette.txt")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	colours, err := readPalette(string(palette))
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	style, err := fs.ReadFile(folder, "style.css")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	script, err := fs.ReadFile(folder, "script.js")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	icon, err := fs.ReadFile(folder, "icon.svg")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	deskStyle, err := fs.ReadFile(folder, "desk.css")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	deskScript, err := fs.ReadFile(folder, "desk.js")
	if err != nil {
		return nil, fmt.Errorf("theme %s: %w", name, err)
	}
	return &Theme{
		Name:   name,
		Pages:  pages,
		Style:  bytes.Join([][]byte{[]byte(colours.css()), style}, nil),
		Script: script,
		Icon:   icon,

		DeskStyle: deskStyle, DeskScript: deskScript,
	}, nil
}
