package desk

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"
)

// The desk's own paths. No page of a site stands there: a site's folders are named by the journal,
// and a name that begins with a dot is never one of them.
const (
	ownPath    = "/.desk/"
	streamPath = ownPath + "stream"
	stylePath  = ownPath + "desk.css"
	scriptPath = ownPath + "desk.js"
)

// policy is what pages may do (Content Security Policy, level 3): nothing but show what this server
// gives them. Bars and tables carry their widths as style attributes.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; " +
	"img-src 'self' data:; media-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// drawingPolicy is what a drawing may do that is opened by itself.
const drawingPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"

// types are those of the files that a site holds, told here so that no table of the system's decides.
var types = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".xml": "application/atom+xml; charset=utf-8", ".json": "application/json",
	".csv": "text/csv; charset=utf-8", ".tsv": "text/tab-separated-values; charset=utf-8", ".txt": "text/plain; charset=utf-8",
	".pdf": "application/pdf", ".jpg": "image/jpeg", ".png": "image/png", ".mp4": "video/mp4", ".webm": "video/webm",
	".mp3": "audio/mpeg", ".ogg": "audio/ogg", ".zip": "application/zip", ".obj": "model/obj", ".stl": "model/stl",
	".3mf": "model/3mf", ".step": "model/step", ".stp": "model/step", ".dxf": "image/vnd.dxf",
}

func typeOf(name string) string {
	ext := strings.ToLower(path.Ext(name))
	if t := types[ext]; t != "" {
		return t
	}
	if t := mime.TypeByExtension(ext); t != "" && !strings.Contains(t, "html") && !strings.Contains(t, "script") {
		return t
	}
	return "application/octet-stream"
}

// serve answers what the guard let through.
func (d *Desk) serve(w http.ResponseWriter, r *http.Request) {
	switch p := r.URL.Path; {
	case p == streamPath:
		d.stream(w, r)
	case p == stylePath:
		answer(w, r, p, d.look.DeskStyle)
	case p == scriptPath:
		answer(w, r, p, d.look.DeskScript)
	case strings.HasSuffix(p, "/"):
		d.file(w, r, strings.TrimPrefix(p, "/")+"index.html")
	default:
		d.file(w, r, p[1:])
	}
}

// file answers with a file of the site, found by its whole name.
func (d *Desk) file(w http.ResponseWriter, r *http.Request, name string) {
	var data []byte
	var err error
	var from *book
	ok := d.ask(func() {
		from = d.book
		if path.Ext(name) == ".html" {
			if data, err = from.Page(name); err == nil {
				data = d.laid(name, data)
			}
		}
	})
	if ok && path.Ext(name) != ".html" {
		data, err = from.Page(name) // pictures and prints take long, and the loop has other things to do
	}
	switch {
	case !ok:
		http.Error(w, "the desk closes", http.StatusServiceUnavailable)
	case err != nil:
		d.lost(w)
	default:
		answer(w, r, name, data)
	}
}

// answer sends a file. Browsers ask each time whether it changed; a page stays fit to be gone back to.
func answer(w http.ResponseWriter, r *http.Request, name string, data []byte) {
	h := w.Header()
	h.Set("Content-Type", typeOf(name))
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", `"`+markOf(data)+`"`)
	switch path.Ext(name) {
	case ".html":
		h.Set("Content-Security-Policy", policy)
	case ".svg":
		h.Set("Content-Security-Policy", drawingPolicy)
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

// lost says that the site has no such page.
func (d *Desk) lost(w http.ResponseWriter) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Security-Policy", policy)
	w.WriteHeader(http.StatusNotFound)
	w.Write([]byte(`<!doctype html><html lang="en"><head><meta charset="utf-8"><title>No such page</title>` +
		`<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/look/style.css"></head>` +
		`<body><div class="sheet"><main><h1>No such page</h1><p>The site has nothing under this address. ` +
		`<a href="/">Its first page</a> leads on.</p></main></div></body></html>`))
}

// markOf is a text that tells contents apart.
func markOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// laid is a page on the desk: as pressed, with the author's strip and the desk's script put in. Both
// places are the page's own: what a journal says is escaped and cannot look like them.
func (d *Desk) laid(name string, html []byte) []byte {
	head := bytes.Index(html, []byte("</head>"))
	body := bytes.LastIndex(html, []byte("</body>"))
	top := bytes.Index(html, []byte("<body>"))
	if head < 0 || top < head || body < top {
		return html
	}
	top += len("<body>")
	st := d.strip(name)
	var b bytes.Buffer
	b.Grow(len(html) + len(st.html) + 512)
	b.Write(html[:head])
	fmt.Fprintf(&b, "<link rel=\"stylesheet\" href=\"%s\">\n<script src=\"%s\" data-page=\"%s\" data-mark=\"%s\" data-strip=\"%s\" defer></script>\n",
		stylePath, scriptPath, template.HTMLEscapeString(name), markOf(html), st.mark)
	b.Write(html[head:top])
	b.WriteString("\n" + st.errors)
	b.Write(html[top:body])
	b.WriteString(st.html)
	b.Write(html[body:])
	return b.Bytes()
}
