package page

import (
	"html/template"
	"strings"
)

// Card shows what one block works out, inlaid in the prose. A page holds many cards and a build
// holds thousands, so cards are written straight to bytes and not through a template; their look
// is the theme's style.
type Card struct {
	ID        string // anchor, unique in the page and stable: "panel-cheek"
	Kind      string
	Name      string // "" for a block without one
	Summary   string // the one line worth knowing: "10 mm foam10, left and right"
	Private   string // why nothing is shown, "" for a public block
	Results   []Result
	More      []Result // further results, folded away
	Tables    []Table
	Figures   []Figure
	Downloads []Download
	Findings  []Finding
	Troubles  []Trouble
	Source    template.HTML // highlighted, "" to leave it out
	Place     string        // "log/2026-09-05-lantern-roof.md:14"
}

// Result is one value of a card.
type Result struct {
	Name    string
	Note    string // the maker's comment beside it
	Value   string
	How     *Working // nil for a value that was given, not worked out
	Private bool     // the value and its working stay unpublished
}

// Working says how a value came about.
type Working struct {
	Formula string // "length + 2 * wall"
	Numbers string // the same with numbers in it, "" when there is nothing to put in
	Value   string
}

// Figure is a drawing with its caption.
type Figure struct {
	SVG     template.HTML
	Caption string
	Wide    bool // takes the whole width; others stand beside the results where there is room
}

// Download is a file to take to the bench.
type Download struct {
	Href, Text string
	Detail     string // "4 pages"
}

// Finding is one finding as a page shows it.
type Finding struct {
	Severity string // "stop", "mind" or "note"
	Name     string
	Message  string
	Help     string
	Accepted string // the reason, "" if nobody accepted it
	Place    string // file:line:column
	Href     string // the card or entry it speaks of
	Notes    []Link
}

// Trouble is why a block, or a part of it, could not be worked out.
type Trouble struct {
	Message string
	Place   string // file:line:column
	Line    string // the line itself, "" when it is not to be shown
	Column  int    // of the first wrong character, from 1
	Width   int    // characters that are wrong, at least one is marked
	Help    string
	Waits   []Link // the blocks to mend first
	Notes   []Link // other places that it has to do with
}

// HTML writes the card.
func (c *Card) HTML() template.HTML { return template.HTML(c.Append(nil)) }

// Append writes the card at the end of dst.
func (c *Card) Append(dst []byte) []byte {
	w := writer{dst}
	w.str(`<div class="card card-`)
	w.text(c.Kind)
	if len(c.Troubles) > 0 {
		w.str(` card-trouble`)
	}
	w.str(`" id="`)
	w.text(c.ID)
	w.str(`" role="group" aria-labelledby="`)
	w.text(c.ID)
	w.str("-name\">\n")
	w.head(c)
	for i := range c.Troubles {
		w.trouble(&c.Troubles[i])
	}
	w.findings(c.Findings)
	w.content(c)
	w.downloads(c.Downloads)
	w.source(c)
	w.str("</div>\n")
	return w.out
}

func (w *writer) head(c *Card) {
	w.str(`<div class="card-head"><p class="card-name" id="`)
	w.text(c.ID)
	w.str(`-name"><span class="kind">`)
	w.text(c.Kind)
	w.str(`</span>`)
	w.wrapped(` <b>`, c.Name, `</b>`)
	w.str(`</p>`)
	w.wrapped(`<p class="card-sum">`, c.Summary, `</p>`)
	w.str(`<a class="self" href="#`)
	w.text(c.ID)
	w.str(`" aria-label="Link to `)
	w.text(c.Kind)
	if c.Name != "" {
		w.str(" ")
		w.text(c.Name)
	}
	w.str("\">#</a></div>\n")
}

// content writes figures, results and tables; a private block shows only that it is one.
func (w *writer) content(c *Card) {
	if c.Private != "" {
		w.wrapped(`<p class="private">`, c.Private, "</p>\n")
		return
	}
	if len(c.Figures)+len(c.Results)+len(c.More) > 0 {
		w.str(`<div class="card-body">`)
		for i := range c.Figures {
			c.Figures[i].append(w)
		}
		w.results(c)
		w.str("</div>\n")
	}
	for i := range c.Tables {
		c.Tables[i].append(w)
	}
}

func (f *Figure) append(w *writer) {
	w.str(`<figure class="fig`)
	if f.Wide {
		w.str(` wide`)
	}
	w.str(`">`)
	w.out = append(w.out, f.SVG...)
	w.wrapped(`<figcaption>`, f.Caption, `</figcaption>`)
	w.str(`</figure>`)
}

func (w *writer) results(c *Card) {
	if len(c.Results)+len(c.More) == 0 {
		return
	}
	w.str(`<div class="results">`)
	w.resultRows(c.Results)
	if len(c.More) > 0 {
		w.str(`<details class="more"><summary>`)
		w.int(len(c.More))
		w.str(` more</summary>`)
		w.resultRows(c.More)
		w.str(`</details>`)
	}
	w.str(`</div>`)
}

func (w *writer) resultRows(rows []Result) {
	if len(rows) == 0 {
		return
	}
	w.str("<dl>\n")
	for i := range rows {
		r := &rows[i]
		w.str(`<div><dt>`)
		w.text(r.Name)
		w.wrapped(` <small>`, r.Note, `</small>`)
		w.str(`</dt><dd>`)
		switch {
		case r.Private:
			w.str(keptPrivate)
		case r.How == nil:
			w.text(r.Value)
		default:
			w.working(r)
		}
		w.str("</dd></div>\n")
	}
	w.str("</dl>")
}

const keptPrivate = `<i class="private">kept private</i>`

// working folds the formula, the same with numbers, and the value behind the value itself.
func (w *writer) working(r *Result) {
	w.str(`<details class="how"><summary>`)
	w.text(r.Value)
	w.str(`</summary><div>`)
	w.wrapped(`<code>`, r.How.Formula, `</code>`)
	w.wrapped(`<code>= `, r.How.Numbers, `</code>`)
	w.wrapped(`<code>= `, r.How.Value, `</code>`)
	w.str(`</div></details>`)
}

func (w *writer) findings(list []Finding) {
	if len(list) == 0 {
		return
	}
	w.str(`<ul class="findings">`)
	for i := range list {
		list[i].append(w)
	}
	w.str("</ul>\n")
}

// HTML writes the finding as an item of a list.
func (f Finding) HTML() template.HTML {
	var w writer
	f.append(&w)
	return template.HTML(w.out)
}

func (f *Finding) append(w *writer) {
	w.str(`<li class="finding sev-`)
	w.text(f.Severity)
	if f.Accepted != "" {
		w.str(` accepted`)
	}
	w.str(`"><p><strong class="sev">`)
	w.text(f.Severity)
	w.str(`</strong> `)
	w.text(f.Message)
	w.str(`. <code class="fname">`)
	w.text(f.Name)
	w.str(`</code></p>`)
	w.help(f.Help)
	w.wrapped(`<p class="reason"><b>Accepted:</b> `, f.Accepted, `</p>`)
	if f.Place != "" || len(f.Notes) > 0 {
		w.str(`<p class="place">`)
		w.link(Link{f.Place, f.Href})
		for _, n := range f.Notes {
			w.str(` · `)
			w.link(n)
		}
		w.str(`</p>`)
	}
	w.str("</li>\n")
}

// help writes the way out; what stands between back quotes is what to type.
func (w *writer) help(text string) {
	if text == "" {
		return
	}
	w.str(`<p class="help">`)
	for {
		before, code, opened := strings.Cut(text, "`")
		code, after, closed := strings.Cut(code, "`")
		if !opened || !closed {
			break
		}
		w.text(before)
		w.wrapped(`<code>`, code, `</code>`)
		text = after
	}
	w.text(text)
	w.str(`</p>`)
}

// trouble writes an error with its line and a caret under the wrong characters.
func (w *writer) trouble(t *Trouble) {
	w.str(`<div class="trouble"><p class="message"><strong class="sev">`)
	if len(t.Waits) > 0 {
		w.str(`waits`)
	} else {
		w.str(`not worked out`)
	}
	w.str(`</strong> `)
	w.text(t.Message)
	for i, l := range t.Waits {
		if i == 0 {
			w.str(`: `)
		} else {
			w.str(`, `)
		}
		w.link(l)
	}
	w.str(`</p>`)
	w.wrapped(`<p class="place">`, t.Place, `</p>`)
	if t.Line != "" {
		w.str(`<pre class="excerpt" tabindex="0" role="group" aria-label="The line"><code>`)
		w.text(t.Line)
		w.str("\n<span class=\"caret\">")
		w.caret(t)
		w.str(`</span></code></pre>`)
	}
	w.help(t.Help)
	for _, n := range t.Notes {
		w.str(`<p class="help">`)
		w.link(n)
		w.str(`</p>`)
	}
	w.str("</div>\n")
}

// caret sets the marks under their characters: tabs stay tabs, so that both lines indent alike.
// A column outside the line is moved to its nearest end.
func (w *writer) caret(t *Trouble) {
	line := []rune(t.Line)
	from := min(max(t.Column-1, 0), len(line))
	for _, r := range line[:from] {
		if r == '\t' {
			w.str("\t")
		} else {
			w.str(" ")
		}
	}
	w.str("^")
	for range min(t.Width, len(line)-from) - 1 {
		w.str("^")
	}
}

func (w *writer) downloads(list []Download) {
	if len(list) == 0 {
		return
	}
	w.str(`<ul class="downloads" aria-label="Templates at full size">`)
	for _, d := range list {
		d.append(w)
	}
	w.str("</ul>\n")
}

// HTML writes the download as an item of a list.
func (d Download) HTML() template.HTML {
	var w writer
	d.append(&w)
	return template.HTML(w.out)
}

func (d *Download) append(w *writer) {
	w.str(`<li><a href="`)
	w.href(d.Href)
	w.str(`">`)
	w.text(d.Text)
	w.wrapped(` <small>`, d.Detail, `</small>`)
	w.str(`</a></li>`)
}

func (w *writer) source(c *Card) {
	if c.Source == "" {
		return
	}
	w.str(`<details class="source"><summary>Source`)
	w.wrapped(` <small>`, c.Place, `</small>`)
	w.str(`</summary><pre tabindex="0" role="group" aria-label="Source"><code>`)
	w.out = append(w.out, c.Source...)
	w.str("</code></pre></details>\n")
}

// Inline is a value that stands in a line of prose.
type Inline struct {
	Text    string
	Working string // "length + 2 * wall = 240 mm + 2 * 10 mm", "" for a given value
	Private bool
	Trouble string // why there is no value
}

// longValue is the length in bytes from which a value may break over two lines.
const longValue = 24

// Append writes the value at the end of dst.
func (v *Inline) Append(dst []byte) []byte {
	w := writer{dst}
	switch {
	case v.Trouble != "":
		w.str(`<span class="val val-err" title="`)
		w.text(v.Trouble)
		w.str(`">not worked out</span>`)
	case v.Private:
		w.str(keptPrivate)
	default:
		w.str(`<output class="val`)
		if len(v.Text) > longValue {
			w.str(` long`)
		}
		w.str(`"`)
		w.wrapped(` title="`, v.Working, `"`)
		w.str(`>`)
		w.text(v.Text)
		w.str(`</output>`)
	}
	return w.out
}
