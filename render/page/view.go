package page

import "html/template"

// The views: plain data from which a theme's templates draw pages. A string is text and is escaped
// by whoever writes it; template.HTML is HTML that this package made and vouches for. Numbers
// arrive as people read them ("2 h 15 min", "0.42 m²"): a template never formats or decides.
// An href is relative to the page it stands on. Paths of a Frame are relative to the site's root.

// Frame is what every page carries around its content.
type Frame struct {
	Lang        string // BCP 47, "en" when the journal names none
	Journal     string // the journal's title
	Author      string
	Title       string // the page's own title, "" on the home page
	Description string // one sentence for the head, "" for none
	Root        string // leads from this page to the site's root: "" or "../" or "../../"
	Here        string // the place in the masthead: "log", "parts", "materials", "findings", "search" or ""
	Findings    bool   // the author's copy, which has a findings page
	Feed        string // path of the feed, "" for none
	Generated   string // what made the site, as the last cell of the page's foot

	// Head, Masthead and Foot are the same on many pages; Look.Draw draws them once and fills them in.
	Head, Masthead, Foot template.HTML
}

func (f *Frame) frame() *Frame { return f }

// Link is words that lead somewhere.
type Link struct{ Text, Href string }

// Fact is a named value in a title block or beside a part.
type Fact struct{ Name, Value, Href string }

// Facts are the cells of a title block, or the lines beside a part.
type Facts []Fact

// HTML writes the facts as groups of a dl.
func (facts Facts) HTML() template.HTML {
	var w writer
	for _, f := range facts {
		w.str(`<div><dt>`)
		w.text(f.Name)
		w.str(`</dt><dd>`)
		w.link(Link{f.Value, f.Href})
		w.str("</dd></div>\n")
	}
	return template.HTML(w.out)
}

// Home is index.html: the welcome, the latest entries, the sections and the build in numbers.
type Home struct {
	Frame
	Facts    Facts
	Welcome  template.HTML
	Latest   []Line
	More     int // entries that are not among the latest
	Sections []Plate
}

// Line is one entry in a list of entries.
type Line struct {
	Title, Href  string
	Date, ISO    string // "5 Sep 2026", "2026-09-05"
	Section      string
	Minutes      string
	Summary      string
	Stops, Minds int // findings of the author's copy
}

// Plate is one section of the body in an overview.
type Plate struct {
	Title, Href string
	Sides       string // "left and right", "one piece"
	Picture     template.HTML
	Facts       Facts
	Hours       string
	Share       int // of the section with the most hours, in percent
}

// Log is the list of all entries, oldest first as they were built.
type Log struct {
	Frame
	Facts   Facts
	Entries []Line
	Pages   []Line // those without a date
}

// Entry is one dated page of the journal.
type Entry struct {
	Frame
	Block    Facts // the title block: section, sides, date, time, which entry
	Cover    template.HTML
	Contents Headings
	Body     template.HTML
	Stops    int // findings at this page's cards, of the author's copy
	Minds    int
	Previous Link
	Next     Link
}

// Heading is a line of an entry's contents.
type Heading struct{ ID, Text string }

// Headings are an entry's contents.
type Headings []Heading

// HTML writes the headings as items of a list.
func (list Headings) HTML() template.HTML {
	var w writer
	for _, h := range list {
		w.str(`<li><a href="#`)
		w.text(h.ID)
		w.str(`">`)
		w.text(h.Text)
		w.str("</a></li>\n")
	}
	return template.HTML(w.out)
}

// Section is the page of one section of the body.
type Section struct {
	Frame
	Block    Facts
	Welcome  template.HTML
	Entries  []Line
	Parts    []Piece
	Findings []Finding
}

// Parts is the catalogue, by section.
type Parts struct {
	Frame
	Facts  Facts
	Groups []Group
}

// Group is one section's share of the catalogue.
type Group struct {
	ID, Title, Href string
	Pieces          []Piece
	Links           []Link // in place of the pieces where there are too many for one page
}

// Piece is one part in the catalogue. Its ID is its anchor.
type Piece struct {
	ID, Name  string
	Hand      string // "left and right", "its own mirror image"
	Figure    template.HTML
	Facts     Facts
	Downloads []Download
	WorkedOut Link // the card that worked it out
	Trouble   string
}

// Materials is the ledger: what to buy and where the hours went.
type Materials struct {
	Frame
	Facts  Facts
	Tables []Titled
	Hours  []Bar
}

// Titled is a table under a heading of its own.
type Titled struct {
	ID, Title, Words string
	Table            Table
}

// Bar is one line of a chart drawn as dimension lines.
type Bar struct {
	Name, Href string
	Value      string
	Share      int // of the longest bar, in percent
}

// Findings is the author's page of all findings.
type Findings struct {
	Frame
	Stops, Minds, Notes, Accepted int
	Groups                        []FindingGroup
}

// FindingGroup holds findings that belong together: of one severity, or of one file.
type FindingGroup struct {
	Title, Href string
	Findings    []Finding
}

// Plain is a page of words without a date: a page of the shop, or the page for a lost reader.
type Plain struct {
	Frame
	Body template.HTML
}

// Found is one row of the search index, which stands in search-index.js as
// `bookIndex=[…]` so that it loads from a folder too. Href is relative to the root.
type Found struct {
	Title string `json:"t"`
	Href  string `json:"u"`
	Kind  string `json:"k"` // "entry", "section", "part", "page"
	Under string `json:"d"` // the date or the section, shown beside the title
	Text  string `json:"s"`
}
