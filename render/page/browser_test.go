package page

import (
	"context"
	"encoding/json"
	"fmt"
	"html"
	"html/template"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"bevelbook/themes"
)

// harness opens every page in a frame of each width and lists what a reader would stumble over.
// A target inside a line of words is exempt from the least size (WCAG 2.2, 2.5.8, "Inline").
const harness = `<!doctype html><title>harness</title><body><script>
"use strict";
const wrong = [], pages = PAGES;
function look(name, width, d) {
  const here = name + " at " + width + " px: ";
  if (d.documentElement.scrollWidth > width) {
    const far = [...d.querySelectorAll("main *, header *, footer *")].filter(e => e.getBoundingClientRect().right > width + 1 && !e.closest(".scroll, pre, svg, .vh, .prose > table"));
    wrong.push(here + "is " + d.documentElement.scrollWidth + " px wide, by " + far.slice(0, 3).map(e => e.tagName + "." + e.className).join(", "));
  }
  for (const e of d.querySelectorAll("a, button, summary, input")) {
    const r = e.getBoundingClientRect();
    if (r.width === 0 || e.matches(".skip") || e.closest("p, dd:not(.block dd), td, th, h1, h2, h3, .place") && !e.matches("summary")) continue;
    if (r.height < 24 || r.width < 24) wrong.push(here + "target " + e.tagName + "." + e.className + " in " + e.parentElement.className + " is " + r.width.toFixed(1) + " by " + r.height.toFixed(1));
  }
  if (d.querySelector(".toggle").hidden) wrong.push(here + "the lamp's switch stays hidden");
}
async function all() {
  for (const width of [320, 390, 1280]) for (const name of pages) {
    const f = document.createElement("iframe");
    f.style = "border:0;height:900px;width:" + width + "px";
    f.src = name + ".html";
    const loaded = new Promise(done => f.onload = done);
    document.body.append(f);
    await loaded;
    f.contentDocument.querySelectorAll("details").forEach(x => x.open = true);
    look(name, width, f.contentDocument);
    if (name === "search") {
      const q = f.contentDocument.getElementById("q");
      q.value = "CHEEK foam";
      q.dispatchEvent(new Event("input"));
      const hit = f.contentDocument.querySelectorAll(".found li");
      if (hit.length !== 1 || hit[0].querySelector("a").getAttribute("href") !== "parts.html#cheek" || !hit[0].querySelector("mark")) wrong.push("the search finds " + hit.length + " pages");
      if (f.contentDocument.querySelector(".found img")) wrong.push("the search lets markup through");
    }
    f.remove();
  }
  const out = document.createElement("pre");
  out.id = "out";
  out.textContent = JSON.stringify(wrong);
  document.body.append(out);
}
all();
</script>`

// A browser judges the pages: none is wider than the window, targets can be hit, search finds.
func TestABrowserFindsNothingToStumbleOver(t *testing.T) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is missing")
		}
		t.Skip("chromium is missing: the pages are not looked at")
	}
	server := httptest.NewServer(samplePages(t))
	defer server.Close()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	dom, err := exec.CommandContext(ctx, browser, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
		"--disable-background-networking", "--no-proxy-server", "--user-data-dir="+t.TempDir(), "--window-size=1400,1000",
		"--virtual-time-budget=20000", "--dump-dom", server.URL+"/harness.html").Output()
	if err != nil {
		t.Fatal(err)
	}
	_, found, ok := strings.Cut(string(dom), `<pre id="out">`)
	if !ok {
		t.Fatalf("the pages were not looked at: %.300s", dom)
	}
	found, _, _ = strings.Cut(found, "</pre>")
	var wrong []string
	if err := json.Unmarshal([]byte(html.UnescapeString(found)), &wrong); err != nil {
		t.Fatal(err)
	}
	for _, w := range wrong {
		t.Error(w)
	}
}

// samplePages serves every view, full of long words, with a card in the prose.
func samplePages(t *testing.T) http.Handler {
	t.Helper()
	theme, err := themes.Get("drafting")
	if err != nil {
		t.Fatal(err)
	}
	const long = "Dachsparrenunterseitenverkleidungsabschnitt_with_under_scores and then some ordinary words"
	card := filled(&Card{}, long)
	card.Private = ""
	var table Table
	for i := range 12 {
		table.Columns = append(table.Columns, Column{fmt.Sprint("column ", i), true})
	}
	card.Tables = []Table{table}
	mux := http.NewServeMux()
	serve := func(path, kind, body string) {
		mux.HandleFunc("/"+path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", kind)
			fmt.Fprint(w, body)
		})
	}
	var names []string
	for name, view := range views {
		names = append(names, name)
		v := filled(view(), long)
		*v.frame() = Frame{Lang: "en", Journal: "A journal", Author: "A maker", Title: long, Findings: true}
		if e, ok := v.(*Entry); ok {
			e.Body = template.HTML(`<p>Words.</p>` + string(card.HTML()) + `<pre><code>` + strings.Repeat("wide ", 80) + `</code></pre>`)
		}
		serve(name+".html", "text/html; charset=utf-8", drawn(t, name, v))
	}
	list, err := json.Marshal(names)
	if err != nil {
		t.Fatal(err)
	}
	serve("harness.html", "text/html; charset=utf-8", strings.Replace(harness, "PAGES", string(list), 1))
	serve("look/style.css", "text/css", string(theme.Style))
	serve("look/script.js", "text/javascript", string(theme.Script))
	rows, err := json.Marshal([]Found{{Title: "cheek", Href: "parts.html#cheek", Kind: "part", Text: "10 mm foam10 <img src=x>"},
		{Title: "Rivets", Href: "log/rivets.html", Kind: "entry", Text: "that bend"}})
	if err != nil {
		t.Fatal(err)
	}
	serve("search-index.js", "text/javascript", "bookIndex="+string(rows))
	return mux
}
