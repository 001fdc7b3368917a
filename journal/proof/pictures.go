package proof

import (
	"strings"

	"bevelbook/calc/finding"
	"bevelbook/calc/spell"
	"bevelbook/journal"
	"bevelbook/journal/entry"
)

var photoMissing = Check{
	Name: "photo-missing", Severity: finding.Stop,
	Doc:  "a picture that the journal's folder does not hold",
	page: checkPhotoMissing,
}

func checkPhotoMissing(r *report, p *journal.Page) {
	for _, img := range p.Doc.Images {
		t := p.Resolve(img.Target)
		switch {
		case t.Outside:
			r.page(p, img.At, "Copy it into photos/ and refer to it there: the site asks nothing of others", "the picture %s lies on another site", img.Target)
		case t.Escapes:
			r.page(p, img.At, "Copy it into the journal's folder", "the picture %s lies outside the journal", img.Target)
		default:
			if _, ok := r.Files[t.Path]; !ok {
				r.page(p, img.At, r.nearFile(t.Path), "there is no picture %s", t.Path)
			}
		}
	}
	if cover := p.Doc.Front.Cover; cover != "" {
		r.cover(p, cover)
	}
}

// cover looks for the picture that the front matter names, from the journal's folder.
func (r *report) cover(p *journal.Page, cover string) {
	if _, ok := r.Files[cover]; !ok {
		r.page(p, p.Doc.Front.At["cover"], r.nearFile(cover), "there is no cover picture %s", cover)
	}
}

// nearFile names the file that was probably meant.
func (r *report) nearFile(path string) string {
	var names []string
	for name := range r.Files {
		names = append(names, name)
	}
	if near := spell.Nearest(path, names); near != "" {
		return "Did you mean " + near + "?"
	}
	return "Put the file there, or check its name; letter case counts"
}

var noAltText = Check{
	Name: "no-alt-text", Severity: finding.Mind,
	Doc: "a picture without words for people who cannot see it",
	page: func(r *report, p *journal.Page) {
		for _, img := range p.Doc.Images {
			if strings.TrimSpace(img.Alt) == "" {
				r.page(p, img.At, "Write between the square brackets what it shows: ![the roof on its stand](…)", "the picture %s has no words for people who cannot see it", img.Target)
			}
		}
	},
}

var linkBroken = Check{
	Name: "link-broken", Severity: finding.Mind,
	Doc:  "a link to a page, file or heading that is not there",
	page: checkLinkBroken,
}

func checkLinkBroken(r *report, p *journal.Page) {
	for _, l := range p.Doc.Links {
		t := p.Resolve(l.Target)
		switch {
		case t.Outside:
		case t.Escapes:
			r.page(p, l.At, "Write it relative to this page, inside the journal", "the link %s leads out of the journal", l.Target)
		case t.Path != "" && !r.Has(t.Path):
			r.page(p, l.At, r.nearPage(t.Path), "there is no page or file %s", t.Path)
		default:
			r.anchor(p, l, t)
		}
	}
}

// anchor checks the place on a page that a link names.
func (r *report) anchor(p *journal.Page, l entry.Link, t journal.Target) {
	page := p
	if t.Path != "" {
		other, ok := r.Page(t.Path)
		if !ok {
			return // a file, which has no headings
		}
		page = other
	}
	if t.Fragment == "" || hasAnchor(page, t.Fragment) {
		return
	}
	help := "Link to a heading, or to a block by its kind and name, as in #panel-cheek"
	if near := nearAnchor(page, t.Fragment); near != "" {
		help = "Did you mean #" + near + "?"
	}
	r.page(p, l.At, help, "%s has no place called %s", page.Path, t.Fragment)
}

// nearAnchor is the place on the page that was probably meant: the block of that name, or the nearest
// spelling; "" if there is none.
func nearAnchor(page *journal.Page, fragment string) string {
	var ids []string
	for _, h := range page.Doc.Headings {
		ids = append(ids, h.ID)
	}
	for _, b := range page.Blocks {
		if b.Name == fragment {
			return b.Anchor()
		}
		ids = append(ids, b.Anchor())
	}
	return spell.Nearest(fragment, ids)
}

// hasAnchor tells whether the page has a heading or a block of that name.
func hasAnchor(p *journal.Page, id string) bool {
	for _, h := range p.Doc.Headings {
		if h.ID == id {
			return true
		}
	}
	for _, b := range p.Blocks {
		if b.Anchor() == id {
			return true
		}
	}
	return false
}

// nearPage names the page or file that was probably meant.
func (r *report) nearPage(path string) string {
	var names []string
	for _, p := range r.Pages {
		names = append(names, p.Path)
	}
	if near := spell.Nearest(path, names); near != "" {
		return "Did you mean " + near + "?"
	}
	return r.nearFile(path)
}
