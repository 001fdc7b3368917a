package page

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"bevelbook/themes"
)

// The views, one for each page of a theme.
var views = map[string]func() View{
	"home":      func() View { return &Home{} },
	"log":       func() View { return &Log{} },
	"entry":     func() View { return &Entry{} },
	"section":   func() View { return &Section{} },
	"parts":     func() View { return &Parts{} },
	"materials": func() View { return &Materials{} },
	"findings":  func() View { return &Findings{} },
	"plain":     func() View { return &Plain{} },
	"search":    func() View { return &Plain{} },
}

const (
	hostile = `</title></script><script>alert(1)</script>"'><img src=x onerror=alert(2)>&amp;`
	vouched = `<p>vouched</p>`
)

// fill sets every field below v: text to s, slices to two elements, numbers to 3, markup to vouched.
// Anchors (ID) become unique.
func fill(v reflect.Value, s string, n *int) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		fill(v.Elem(), s, n)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Name == "ID" {
				*n++
				v.Field(i).SetString(fmt.Sprint("id", *n, s))
				continue
			}
			fill(v.Field(i), s, n)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fill(v.Index(0), s, n)
		fill(v.Index(1), s, n)
	case reflect.String:
		if v.Type() == reflect.TypeFor[template.HTML]() {
			v.SetString(vouched)
		} else {
			v.SetString(s)
		}
	case reflect.Int:
		v.SetInt(3)
	case reflect.Bool:
		v.SetBool(false)
	default:
		panic(fmt.Sprintf("a view holds a %s", v.Type()))
	}
}

func filled[V any](view V, s string) V {
	n := 0
	fill(reflect.ValueOf(view), s, &n)
	return view
}

func drawn(t *testing.T, name string, view View) string {
	t.Helper()
	theme, err := themes.Get("drafting")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := NewLook(theme).Draw(&b, name, view); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestEveryPageOfAThemeHasAView(t *testing.T) {
	for _, p := range themes.Pages {
		if views[p] == nil {
			t.Errorf("page %s has no view", p)
		}
	}
}

func TestEveryTemplateEscapesAHostileTitle(t *testing.T) {
	for name, view := range views {
		page := drawn(t, name, filled(view(), hostile))
		if strings.Contains(page, "<script>alert") || strings.Contains(page, "<img src=x") {
			t.Errorf("%s lets the markup of a title through", name)
		}
		if !strings.Contains(page, "&lt;script&gt;alert") {
			t.Errorf("%s does not show the title", name)
		}
		checkNesting(t, name, page)
	}
}

func TestEveryPageIsWellFormedFullAndEmpty(t *testing.T) {
	for name, view := range views {
		checkNesting(t, name+" full", drawn(t, name, filled(view(), "words")))
		checkNesting(t, name+" empty", drawn(t, name, view()))
	}
}

var (
	tag    = regexp.MustCompile(`<(/?)([a-zA-Z][a-zA-Z0-9]*)((?:[^>"]|"[^"]*")*?)(/?)>`)
	anchor = regexp.MustCompile(`\sid="([^"]*)"`)
)

// Elements without an end (HTML Living Standard, 13.1.2, "void elements").
const void = " area base br col embed hr img input link meta source track wbr "

// checkNesting holds a page to what a reader's software leans on: elements close in order, one h1,
// one main, anchors once each.
func checkNesting(t *testing.T, name, page string) {
	t.Helper()
	var open []string
	ids, count := map[string]bool{}, map[string]int{}
	for _, m := range tag.FindAllStringSubmatch(page, -1) {
		element := strings.ToLower(m[2])
		if id := anchor.FindStringSubmatch(m[3]); id != nil {
			if ids[id[1]] {
				t.Errorf("%s: the anchor %q stands twice", name, id[1])
			}
			ids[id[1]] = true
		}
		switch {
		case m[1] == "/":
			if len(open) == 0 || open[len(open)-1] != element {
				t.Errorf("%s: </%s> closes %v", name, element, open)
				return
			}
			open = open[:len(open)-1]
		case m[4] != "/" && !strings.Contains(void, " "+element+" "):
			open = append(open, element)
			count[element]++
		}
	}
	if len(open) != 0 {
		t.Errorf("%s leaves %v open", name, open)
	}
	for _, once := range []string{"h1", "main", "title"} {
		if want := 1; strings.HasPrefix(page, "<!doctype") && count[once] != want {
			t.Errorf("%s has %d %s", name, count[once], once)
		}
	}
}

func TestLinksOfThePageFrameStartAtTheRoot(t *testing.T) {
	e := Entry{Frame: Frame{Root: "../../", Title: "x"}}
	page := drawn(t, "entry", &e)
	for _, m := range regexp.MustCompile(`(?:href|src)="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !strings.HasPrefix(m[1], "../../") && !strings.HasPrefix(m[1], "#") {
			t.Errorf("%s does not start at the root", m[1])
		}
	}
}

func TestThePlaceOfThePageIsMarkedInTheMasthead(t *testing.T) {
	page := drawn(t, "parts", &Parts{Frame: Frame{Here: "parts"}})
	if !strings.Contains(page, `parts.html" aria-current="page"`) || strings.Count(page, "aria-current") != 1 {
		t.Error("parts is not the one current place")
	}
}

func TestASharedCopyHasNoLinkToFindings(t *testing.T) {
	if page := drawn(t, "log", &Log{}); strings.Contains(page, "findings.html") {
		t.Error("a shared copy links to the findings")
	}
	if page := drawn(t, "log", &Log{Frame: Frame{Findings: true}}); !strings.Contains(page, "findings.html") {
		t.Error("the author's copy lacks its link to the findings")
	}
}

func TestPagesOfOneDepthShareTheirMastheadAndOthersDoNot(t *testing.T) {
	theme, err := themes.Get("drafting")
	if err != nil {
		t.Fatal(err)
	}
	look := NewLook(theme)
	for _, f := range []Frame{{Journal: "A"}, {Journal: "A", Root: "../"}, {Journal: "A", Here: "log"}, {Journal: "B"}, {Journal: "A"}} {
		page := &Plain{Frame: f}
		if err := look.Draw(io.Discard, "plain", page); err != nil {
			t.Fatal(err)
		}
		masthead := string(page.Masthead)
		if !strings.Contains(masthead, `<span>`+f.Journal+`</span>`) || !strings.Contains(masthead, `href="`+f.Root+`log.html"`) {
			t.Errorf("%+v has another page's masthead: %s", f, masthead)
		}
		if strings.Contains(masthead, "aria-current") != (f.Here != "") {
			t.Errorf("%+v has another place's mark: %s", f, masthead)
		}
	}
	if len(look.furniture) != 4 {
		t.Errorf("%d mastheads were drawn, want 4", len(look.furniture))
	}
}

// The frame around an entry must stay a small part of a page's time.
func BenchmarkEntryFrame(b *testing.B) {
	theme, err := themes.Get("drafting")
	if err != nil {
		b.Fatal(err)
	}
	e := Entry{
		Frame: Frame{Lang: "en", Journal: "The walking lighthouse", Author: "A. Maker", Title: "A roof that sheds rain",
			Description: "Eight flat triangles make the cone.", Root: "../", Here: "log", Feed: "feed.xml", Generated: "bevelbook"},
		Block: []Fact{{"Section", "Lantern room", "../sections/lantern_room.html"}, {"Made", "one piece", ""},
			{"Date", "5 Sep 2026", ""}, {"Time", "2 h 15 min", ""}, {"Entry", "4 of 14", ""}},
		Contents: []Heading{{"why", "Why eight flats"}, {"saw", "Setting the saw"}, {"cut", "One triangle"}, {"glue", "Glue and wait"}},
		Body:     template.HTML(strings.Repeat("<p>words and words</p>\n", 300)),
		Previous: Link{"The helm", "2026-08-29-helm.html"}, Next: Link{"Rivets", "2026-09-27-rivets.html"},
	}
	look := NewLook(theme)
	b.ReportAllocs()
	for b.Loop() {
		if err := look.Draw(io.Discard, "entry", &e); err != nil {
			b.Fatal(err)
		}
	}
}
