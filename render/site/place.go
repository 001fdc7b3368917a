package site

import (
	"cmp"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bevelbook/journal"
)

// The paths of a site that have the same name in every journal.
const (
	homePath      = "index.html"
	logPath       = "log.html"
	partsPath     = "parts.html"
	materialsPath = "materials.html"
	findingsPath  = "findings.html"
	searchPath    = "search.html"
	indexPath     = "search-index.js"
	feedPath      = "feed.xml"
	lostPath      = "404.html"
	partsJSONPath = "ledger/parts.json"
	partsCSVPath  = "ledger/parts.csv"
	stylePath     = "look/style.css"
	scriptPath    = "look/script.js"
	iconPath      = "look/icon.svg"
)

// fixed are they, and the folders that are the site's own.
var fixed = []string{homePath, logPath, partsPath, materialsPath, findingsPath, searchPath, indexPath, feedPath, lostPath,
	partsJSONPath, partsCSVPath, stylePath, scriptPath, iconPath, "look", "ledger", "templates", "sections"}

// place decides where every page stands, before anything is drawn: pages link to each other.
func (p *plan) place() {
	for _, name := range fixed {
		p.taken[strings.ToLower(name)] = true
	}
	for _, pg := range p.Pages {
		switch {
		case pg.IsHome():
			p.book.Pages[pg.Path] = homePath
		case !pg.Doc.Front.Share:
		default:
			p.book.Pages[pg.Path] = p.claim(strings.TrimSuffix(pg.Path, ".md") + ".html")
			if pg.Dated() {
				p.entries = append(p.entries, pg)
			} else {
				p.others = append(p.others, pg)
			}
		}
	}
	slices.SortStableFunc(p.entries, byDate)
	for _, sec := range p.Sections {
		if slices.ContainsFunc(sec.Pages, p.book.Shown) {
			p.book.Sections[sec.Name] = p.claim("sections/" + sec.Name + ".html")
		}
	}
}

// byDate puts the older page first.
func byDate(a, b *journal.Page) int {
	return cmp.Or(cmp.Compare(a.Doc.Front.Date, b.Doc.Front.Date), cmp.Compare(a.Path, b.Path))
}

// claim gives a path that no other file of the site has, as near as possible to the one asked for.
// Paths that differ only in case are one file on many systems.
func (p *plan) claim(want string) string {
	want = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || strings.ContainsRune(`\:*?"<>|`, r) {
			return '-'
		}
		return r
	}, want)
	ext := path.Ext(want)
	dir, base := path.Split(strings.TrimSuffix(want, ext))
	want = shortened(dir) + shortened(base) + ext
	stem, got := strings.TrimSuffix(want, ext), want
	for n := 2; p.taken[strings.ToLower(got)]; n++ {
		got = stem + "-" + strconv.Itoa(n) + ext
	}
	p.taken[strings.ToLower(got)] = true
	return got
}

// longestName is the most bytes of a folder's name or of a file's without what is put behind it: file
// systems take 255 (NAME_MAX of POSIX on most), and a picture's mark, "-small" and the name beside it
// while it is written need room.
const longestName = 180

// shortened cuts each name of a path that a file system might refuse.
func shortened(path string) string {
	if len(path) <= longestName {
		return path
	}
	names := strings.Split(path, "/")
	for i, name := range names {
		if len(name) > longestName {
			names[i] = strings.ToValidUTF8(name[:longestName], "")
		}
	}
	return strings.Join(names, "/")
}
