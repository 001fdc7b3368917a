package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // the two formats of published pictures, to read their sizes
	_ "image/png"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"

	"bevelbook/journal"
	"bevelbook/render/page"
	"bevelbook/render/photo"
)

const (
	photoEdge = 1600     // greatest width and height of a published picture, in pixels
	thumbEdge = 480      // of one beside others
	mostBytes = 64 << 20 // of a file that is published as it is
)

// asTheyAre are the files that may be published unchanged: data and drawings for the bench and
// documents, nothing that a browser would run.
var asTheyAre = map[string]bool{
	".obj": true, ".stl": true, ".3mf": true, ".step": true, ".stp": true, ".dxf": true, ".pdf": true,
	".csv": true, ".tsv": true, ".txt": true, ".json": true, ".zip": true, ".mp4": true, ".webm": true, ".mp3": true, ".ogg": true,
}

// pictures are the files that are fitted for publishing.
var pictures = map[string]bool{".jpg": true, ".jpeg": true, ".png": true, ".gif": true, ".webp": true}

// use says what shown pages refer to a file for, and what its copy is called: its path, or for a
// picture that path without its ending.
type use struct {
	thumb bool
	as    string
}

// use decides what the copies of the files that shown pages refer to are called.
func (p *plan) use() {
	for _, pg := range p.Pages {
		if p.book.Shown(pg) {
			p.usesOf(pg, p.uses)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(p.uses)) {
		u := p.uses[name]
		if u.as = name; pictures[strings.ToLower(path.Ext(name))] {
			u.as = strings.TrimSuffix(name, path.Ext(name))
		}
		u.as = p.claim(u.as)
		p.uses[name] = u
	}
}

// files are the jobs that publish what the shown pages refer to.
func (p *press) files() []job {
	var jobs []job
	for _, name := range slices.Sorted(maps.Keys(p.uses)) {
		jobs = append(jobs, func() error { return p.publish(name, p.uses[name]) })
	}
	return jobs
}

// usesOf notes the files that a page refers to.
func (p *plan) usesOf(pg *journal.Page, uses map[string]use) {
	note := func(name string, u use) {
		if _, ok := p.Files[name]; ok {
			u.thumb = u.thumb || uses[name].thumb
			uses[name] = u
		}
	}
	for _, i := range pg.Doc.Images {
		if t := pg.Resolve(i.Target); !t.Outside && !t.Escapes {
			note(t.Path, use{})
		}
	}
	for _, l := range pg.Doc.Links {
		if t := pg.Resolve(l.Target); !t.Outside && !t.Escapes {
			note(t.Path, use{})
		}
	}
	note(pg.Doc.Front.Cover, use{thumb: true})
}

// publish puts one file into the site, or leaves it with the reason.
func (p *press) publish(name string, u use) error {
	ext := strings.ToLower(path.Ext(name))
	if p.Files[name] > mostBytes {
		p.leave(name, fmt.Errorf("it is larger than %d MB", mostBytes>>20))
		return nil
	}
	if !pictures[ext] && !asTheyAre[ext] && ext != ".svg" {
		p.leave(name, errors.New("files of this kind are not published; link to a copy that readers can open, or zip it"))
		return nil
	}
	data, err := fs.ReadFile(p.fsys, name)
	if err != nil {
		return err
	}
	switch {
	case pictures[ext]:
		return p.picture(name, data, u)
	case ext == ".svg":
		return p.drawing(name, data, u)
	}
	return p.copy(name, data, page.File{Path: u.as})
}

// copy publishes a file as it is.
func (p *press) copy(name string, data []byte, f page.File) error {
	p.published(name, f)
	return p.to.Put(f.Path, data)
}

// file keeps the copy of a file for the pages that are drawn later.
func (p *plan) file(name string, f page.File) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.book.Files[name] = f
}

// picture publishes a photo, made small and stripped of all but the picture. The name carries the
// mark of its source, so that a picture that did not change is not made again.
func (p *press) picture(name string, data []byte, u use) error {
	sum := sha256.Sum256(data)
	stem := u.as + "-" + hex.EncodeToString(sum[:4])
	f, err := p.fitted(stem, data, photoEdge)
	if errors.Is(err, errPicture) {
		p.leave(name, err)
		return nil
	}
	if err != nil {
		return err
	}
	p.published(name, f)
	if !u.thumb {
		return nil
	}
	t, err := p.fitted(stem+"-small", data, thumbEdge)
	if err == nil {
		p.published(thumbOf(name), t)
	}
	return err
}

// thumbOf names the small copy of a picture among the published files.
func thumbOf(name string) string { return name + "#small" }

// errPicture marks a picture that cannot be read.
var errPicture = errors.New("it cannot be shown")

// fitted makes a picture fit to be published, or keeps the one that the last press made of it.
func (p *press) fitted(stem string, data []byte, edge int) (page.File, error) {
	for _, ext := range []string{".jpg", ".png"} {
		at, err := p.to.Keep(stem + ext)
		if err != nil {
			return page.File{}, err
		}
		if at != "" {
			return sized(stem+ext, at)
		}
	}
	pic, err := photo.Fit(data, photo.Options{MaxEdge: edge})
	if err != nil {
		return page.File{}, fmt.Errorf("%w: %w", errPicture, err)
	}
	f := page.File{Path: stem + pic.Ext, Width: pic.Width, Height: pic.Height}
	return f, p.to.Put(f.Path, pic.Data)
}

// sized reads the size of a picture that was pressed before.
func sized(path, at string) (page.File, error) {
	f, err := os.Open(at)
	if err != nil {
		return page.File{}, err
	}
	defer f.Close()
	c, _, err := image.DecodeConfig(f)
	return page.File{Path: path, Width: c.Width, Height: c.Height}, err
}

// drawing publishes an SVG picture that only draws itself.
func (p *press) drawing(name string, data []byte, u use) error {
	if err := photo.CheckSVG(data); err != nil {
		p.leave(name, err)
		return nil
	}
	w, h := svgSize(data)
	return p.copy(name, data, page.File{Path: u.as, Width: w, Height: h})
}

// svgSize is the shape of an SVG picture from its viewBox, in a width that pages can show.
func svgSize(data []byte) (w, h int) {
	const width, plainHeight = 800, 600
	_, rest, ok := bytes.Cut(data, []byte(`viewBox="`))
	box, _, closed := bytes.Cut(rest, []byte(`"`))
	var x, y, bw, bh float64
	if ok && closed {
		fmt.Sscanf(strings.ReplaceAll(string(box), ",", " "), "%f %f %f %f", &x, &y, &bw, &bh)
	}
	if !(bw > 0) || !(bh > 0) || bh > 20*bw {
		return width, plainHeight
	}
	return width, max(1, int(width*bh/bw+0.5))
}
