package site

import (
	"encoding/json"
	"encoding/xml"
	"net/url"
	"strings"
	"testing"
	"time"

	"bevelbook/render/page"
)

// RFC 4287, 4.1.1 and 4.1.2: a feed and each entry have exactly one id, title and updated; a feed whose
// entries name no author has one itself; ids are absolute and differ.
func TestTheFeedHasWhatRFC4287AsksFor(t *testing.T) {
	f := files{"journal.md": homePage, "log/a b.md": "---\ntitle: \"Tom & <Jerry>\"\ndate: 2026-09-05\n---\nWords.\n", "log/c.md": "---\ntitle: Later\ndate: 2026-10-05\n---\n"}
	var feed struct {
		XMLName xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
		ID      []string `xml:"id"`
		Title   []string `xml:"title"`
		Updated []string `xml:"updated"`
		Author  []string `xml:"author>name"`
		Entries []struct {
			ID      []string `xml:"id"`
			Title   []string `xml:"title"`
			Updated []string `xml:"updated"`
		} `xml:"entry"`
	}
	if err := xml.Unmarshal([]byte(site(t, f, Options{})["feed.xml"]), &feed); err != nil {
		t.Fatal(err)
	}
	if len(feed.ID) != 1 || len(feed.Title) != 1 || len(feed.Updated) != 1 || len(feed.Author) != 1 || len(feed.Entries) != 2 {
		t.Fatalf("%+v", feed)
	}
	if feed.Updated[0] != "2026-10-05T00:00:00Z" || feed.Entries[0].Title[0] != "Later" || feed.Entries[1].Title[0] != "Tom & <Jerry>" {
		t.Errorf("%+v", feed)
	}
	seen := map[string]bool{}
	for _, e := range feed.Entries {
		u, err := url.Parse(e.ID[0])
		if len(e.ID) != 1 || err != nil || !u.IsAbs() || seen[e.ID[0]] {
			t.Errorf("the id %q", e.ID)
		}
		seen[e.ID[0]] = true
		if _, err := time.Parse(time.RFC3339, e.Updated[0]); err != nil {
			t.Error(err)
		}
	}
	if !seen["https://lamp.example/build/log/a%20b.html"] {
		t.Errorf("ids %v", seen)
	}
}

func TestAJournalWithoutAnAddressHasNoFeed(t *testing.T) {
	for _, address := range []string{"", "base_url: lamp.example\n", "base_url: \"javascript:alert(1)\"\n"} {
		got := site(t, files{"journal.md": "---\ntitle: A\n" + address + "---\n", "log/a.md": "---\ntitle: A\ndate: 2026-09-05\n---\n"}, Options{})
		if got["feed.xml"] != "" || strings.Contains(got["index.html"], "feed.xml") || strings.Contains(got["404.html"], "javascript") {
			t.Errorf("%q: there is a feed or a link to one", address)
		}
	}
}

func TestTheSearchIndexIsAScriptOfRows(t *testing.T) {
	got := site(t, files{"journal.md": homePage, "log/a b.md": "---\ntitle: </script>\ndate: 2026-09-05\nsection: arm\n---\n# Head\n\nSide `-> wall` long.\n\n```dims\nwall: 12 mm\n```\n\n```panel lid\noutline: rect(width: wall, height: 9 mm)\nthickness: 2 mm\n```\n"}, Options{})
	index := strings.TrimPrefix(got["search-index.js"], "bookIndex=")
	var rows []page.Found
	if err := json.Unmarshal([]byte(index), &rows); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(index, "</script>") {
		t.Error("the script could be ended by a title")
	}
	want := []page.Found{
		{Title: "</script>", Href: "log/a%20b.html", Kind: "entry", Under: "5 Sep 2026", Text: "Head · Side 12 mm long."},
		{Title: "Arm", Href: "sections/arm.html", Kind: "section", Text: "</script>"},
		{Title: "lid", Href: "log/a%20b.html#panel-lid", Kind: "part", Under: "Arm", Text: "2 mm bottom right top left"},
	}
	if len(rows) != len(want) {
		t.Fatalf("%d rows: %+v", len(rows), rows)
	}
	for i := range want {
		if rows[i] != want[i] {
			t.Errorf("row %d: %+v, want %+v", i, rows[i], want[i])
		}
	}
}
