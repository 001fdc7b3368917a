package site

import (
	"bytes"
	"encoding/xml"
	"net/url"
	"strings"

	"bevelbook/render/page"
)

// mostFed is how many entries the feed holds.
const mostFed = 30

// The feed's elements (RFC 4287).
type (
	atomFeed struct {
		XMLName xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
		Lang    string      `xml:"xml:lang,attr"`
		ID      string      `xml:"id"`
		Title   string      `xml:"title"`
		Sub     string      `xml:"subtitle,omitempty"`
		Updated string      `xml:"updated"`
		Author  atomAuthor  `xml:"author"`
		Links   []atomLink  `xml:"link"`
		Entries []atomEntry `xml:"entry"`
	}
	atomAuthor struct {
		Name string `xml:"name"`
	}
	atomLink struct {
		Rel  string `xml:"rel,attr,omitempty"`
		Type string `xml:"type,attr,omitempty"`
		Href string `xml:"href,attr"`
	}
	atomEntry struct {
		ID      string   `xml:"id"`
		Title   string   `xml:"title"`
		Updated string   `xml:"updated"`
		Link    atomLink `xml:"link"`
		Summary string   `xml:"summary"`
	}
)

// hasFeed tells whether the journal can have a feed: it needs an address of its own, for a feed is
// read away from the site, and an entry.
func (p *plan) hasFeed() bool { return base(p.Settings.BaseURL) != "" && len(p.entries) > 0 }

// base is the site's address with a slash at its end, "" if there is none that others could use.
func base(address string) string {
	u, err := url.Parse(strings.TrimSpace(address))
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return ""
	}
	u.RawQuery, u.Fragment = "", ""
	return strings.TrimSuffix(u.String(), "/") + "/"
}

// sitePath is the path of the site's address, "" if it is not known.
func sitePath(address string) string {
	b := base(address)
	if b == "" {
		return ""
	}
	u, err := url.Parse(b)
	if err != nil {
		return ""
	}
	return u.EscapedPath()
}

// feed writes the latest entries, the newest first. An entry's date is all that is known of its
// time: the start of that day.
func (p *press) feed() error {
	root := base(p.Settings.BaseURL)
	f := atomFeed{
		Lang: p.frame(feedPath, "", "").Lang, ID: root, Title: p.Settings.Title, Sub: p.Settings.Description,
		Updated: moment(p.entries[len(p.entries)-1].Doc.Front.Date), Author: atomAuthor{p.Settings.Author},
		Links: []atomLink{{Rel: "self", Type: "application/atom+xml", Href: root + feedPath}, {Rel: "alternate", Type: "text/html", Href: root}},
	}
	if f.Author.Name == "" {
		f.Author.Name = p.Settings.Title
	}
	for i := len(p.entries) - 1; i >= 0 && len(f.Entries) < mostFed; i-- {
		l := p.told(p.entries[i])
		at := root + page.Href("", l.Href)
		f.Entries = append(f.Entries, atomEntry{ID: at, Title: l.Title, Updated: moment(l.ISO), Link: atomLink{Rel: "alternate", Type: "text/html", Href: at}, Summary: l.Summary})
	}
	var out bytes.Buffer
	out.WriteString(xml.Header)
	enc := xml.NewEncoder(&out)
	enc.Indent("", " ")
	if err := enc.Encode(f); err != nil {
		return err
	}
	out.WriteByte('\n')
	return p.to.Put(feedPath, out.Bytes())
}

func moment(date string) string { return date + "T00:00:00Z" }
