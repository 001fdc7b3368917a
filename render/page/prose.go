package page

import (
	"cmp"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"bevelbook/calc/finding"
	"bevelbook/journal"
	"bevelbook/journal/entry"
)

// Prose draws a page's text with its blocks as cards and its values in place, as it stands at the
// path from of the site.
func (b *Book) Prose(p *journal.Page, from string) template.HTML {
	s := sheets.Get().(*sheet)
	defer sheets.Put(s)
	*s = sheet{book: b, page: p, from: from, writer: writer{s.out[:0]}}
	if err := markdown.Renderer().Render(s, p.Doc.Source, p.Doc.Root); err != nil {
		panic(err) // a sheet takes whatever is written to it
	}
	return template.HTML(s.out)
}

// sheets are reused, so that their bytes are not asked for anew for each page.
var sheets = sync.Pool{New: func() any { return new(sheet) }}

// sheet is a page while it is drawn. It goes through goldmark as the writer, so that one set of
// renderers serves all pages at once.
type sheet struct {
	writer
	book *Book
	page *journal.Page
	from string
	// how many blocks, values, links and pictures have been drawn: the tree comes in their order
	blocks, spans, links, images int
	shown                        int // pictures
}

// markdown draws the same tree as entry.Markdown with our own renderers before goldmark's.
var markdown = entry.NewMarkdown(goldmark.WithRendererOptions(
	renderer.WithNodeRenderers(util.Prioritized(ours{}, 100))))

// plain are goldmark's own renderers, for what is not ours.
var plain = func() kept {
	k := kept{}
	html.NewRenderer().RegisterFuncs(k)
	return k
}()

type kept map[ast.NodeKind]renderer.NodeRendererFunc

// Register keeps a renderer.
func (k kept) Register(kind ast.NodeKind, f renderer.NodeRendererFunc) { k[kind] = f }

// ours are the renderers that know the journal.
type ours struct{}

// RegisterFuncs names them.
func (ours) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	for kind, draw := range map[ast.NodeKind]func(*sheet, ast.Node, bool) (ast.WalkStatus, bool){
		ast.KindFencedCodeBlock: (*sheet).fence,
		ast.KindCodeSpan:        (*sheet).span,
		ast.KindLink:            (*sheet).anchor,
		ast.KindImage:           (*sheet).image,
		ast.KindParagraph:       (*sheet).paragraph,
		ast.KindHeading:         (*sheet).heading,
	} {
		r.Register(kind, func(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
			if status, done := draw(w.(*sheet), n, entering); done {
				return status, nil
			}
			return plain[kind](w, src, n, entering)
		})
	}
}

// fence draws a block of ours as a card and other code in colours.
func (s *sheet) fence(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	f := n.(*ast.FencedCodeBlock)
	if blk := s.blockOf(f); blk != nil {
		if entering {
			c := s.book.card(s.from, blk)
			s.out = c.Append(s.out)
		}
		return ast.WalkSkipChildren, true
	}
	if !entering {
		return ast.WalkContinue, false
	}
	language := string(f.Language(s.page.Doc.Source))
	code := f.Lines().Value(s.page.Doc.Source)
	colours, ok := highlighted(language, string(code))
	if !ok {
		return ast.WalkContinue, false
	}
	s.wrapped(`<pre><code class="language-`, language, `">`)
	s.out = append(s.out, colours...)
	return ast.WalkContinue, true
}

// blockOf is the block that a fence holds, or nil. It is asked twice for each, on the way in and out.
func (s *sheet) blockOf(n *ast.FencedCodeBlock) *journal.Block {
	list := s.page.Blocks
	for i := range list {
		if blk := list[(s.blocks+i)%len(list)]; blk.Entry.Node == n {
			s.blocks = (s.blocks + i) % len(list)
			return blk
		}
	}
	return nil
}

// span draws a value in its place.
func (s *sheet) span(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	x := spanOf(s.page, n.(*ast.CodeSpan), &s.spans)
	if x == nil {
		return ast.WalkContinue, false
	}
	if entering {
		v := s.book.inline(x)
		s.out = v.Append(s.out)
	}
	return ast.WalkSkipChildren, true
}

// spanOf is the value that a code span asks for, or nil; at is where to begin to look.
func spanOf(p *journal.Page, n *ast.CodeSpan, at *int) *journal.Span {
	start := 0
	if at != nil {
		start = *at
	}
	for i := range p.Spans {
		k := (start + i) % len(p.Spans)
		if p.Spans[k].Span.Node == n {
			if at != nil {
				*at = k
			}
			return p.Spans[k]
		}
	}
	return nil
}

// anchor draws a link. One to a page of the journal leads to where the site has it, and is plain
// text where the site does not show it.
func (s *sheet) anchor(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	link := n.(*ast.Link)
	to, ours := s.leads(s.target(link))
	if !ours {
		return ast.WalkContinue, false
	}
	switch {
	case to == "":
	case entering:
		s.str(`<a href="`)
		s.text(to)
		s.str(`"`)
		s.titled(link.Title)
		s.str(`>`)
	default:
		s.str(`</a>`)
	}
	return ast.WalkContinue, true
}

// titled writes the title of a link or picture.
func (s *sheet) titled(title []byte) {
	if title == nil {
		return
	}
	s.str(` title="`)
	html.DefaultWriter.Write(s, title)
	s.str(`"`)
}

// target is the address of a link as its author meant it.
func (s *sheet) target(n *ast.Link) string {
	list := s.page.Doc.Links
	for i := range list {
		if k := (s.links + i) % len(list); list[k].Node == n {
			s.links = k
			return list[k].Target
		}
	}
	return string(n.Destination)
}

// leads tells where an address of the page leads in the site. It is not ours if it leads outside of
// the journal or stays on the page; "" if the site does not have what it names.
func (s *sheet) leads(target string) (to string, ours bool) {
	if target == "" || target[0] == '#' {
		return "", false
	}
	t := s.page.Resolve(target)
	if t.Outside || t.Escapes || t.Path == "" || !s.book.Snapshot.Has(t.Path) {
		return "", false
	}
	fragment := ""
	if t.Fragment != "" {
		fragment = "#" + string(appendEscaped(nil, t.Fragment))
	}
	if at, ok := s.book.Pages[t.Path]; ok {
		if at == s.from && fragment != "" {
			return fragment, true
		}
		return Href(s.from, at) + fragment, true
	}
	if f, ok := s.book.File(t.Path); ok {
		return Href(s.from, f.Path) + fragment, true
	}
	return "", true
}

// image draws a picture with its size, so that the text does not jump. A picture on another site
// becomes a link: reading a page asks nobody else for anything.
func (s *sheet) image(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	if !entering {
		return ast.WalkContinue, false
	}
	i := n.(*ast.Image)
	note := s.picture(i)
	if note.Node == nil {
		return ast.WalkContinue, false
	}
	if f, ok := s.published(note); ok {
		s.img(f, note.Alt, i.Title)
		return ast.WalkSkipChildren, true
	}
	t := s.page.Resolve(note.Target)
	switch {
	case !t.Outside && !t.Escapes && s.book.Snapshot.Has(t.Path):
		s.wrapped(`<span class="val-err">`, note.Alt, `</span>`) // it is no picture that can be shown
	case t.Outside && !strings.HasPrefix(note.Target, "data:"):
		s.link(Link{"picture elsewhere: " + note.Alt, note.Target})
	case s.book.lacks(s.page, note):
		s.wrapped(`<span class="gone">picture missing: `, cmp.Or(strings.TrimSpace(note.Alt), note.Target), `</span>`)
	default:
		return ast.WalkContinue, false
	}
	return ast.WalkSkipChildren, true
}

// lacks tells whether the checks found that a picture of the page is not there.
func (b *Book) lacks(p *journal.Page, i entry.Image) bool {
	return slices.ContainsFunc(b.on(p.Path).list, func(f finding.Finding) bool {
		return f.Name == "photo-missing" && f.At == i.At
	})
}

// picture is what the document notes of a picture.
func (s *sheet) picture(n *ast.Image) entry.Image {
	list := s.page.Doc.Images
	for i := range list {
		if k := (s.images + i) % len(list); list[k].Node == n {
			s.images = k
			return list[k]
		}
	}
	return entry.Image{}
}

// published is the copy of a picture in the site.
func (s *sheet) published(i entry.Image) (File, bool) {
	t := s.page.Resolve(i.Target)
	if t.Outside || t.Escapes {
		return File{}, false
	}
	f, ok := s.book.File(t.Path)
	return f, ok && f.Width > 0
}

func (s *sheet) img(f File, alt string, title []byte) {
	s.appendImg(Href(s.from, f.Path), f, alt, s.shown > 0)
	s.shown++
	s.out = s.out[:len(s.out)-1]
	s.titled(title)
	s.str(`>`)
}

// appendImg writes a picture; a late one is fetched when it comes into sight.
func (w *writer) appendImg(src string, f File, alt string, late bool) {
	w.str(`<img src="`)
	w.text(src)
	w.str(`" alt="`)
	w.text(alt)
	w.str(`" width="`)
	w.int(f.Width)
	w.str(`" height="`)
	w.int(f.Height)
	w.str(`"`)
	if late {
		w.str(` loading="lazy" decoding="async"`)
	}
	w.str(`>`)
}

// Picture is a picture as an element of the page at from; a late one is fetched when it comes into sight.
func Picture(from string, f File, alt string, late bool) template.HTML {
	var w writer
	w.appendImg(Href(from, f.Path), f, alt, late)
	return template.HTML(w.out)
}

// paragraph draws a picture that stands alone as a figure, its title as the caption.
func (s *sheet) paragraph(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	i := onlyImage(n)
	if i == nil {
		return ast.WalkContinue, false
	}
	note := s.picture(i)
	f, ok := s.published(note)
	if note.Node == nil || !ok {
		return ast.WalkContinue, false
	}
	if !entering {
		return ast.WalkSkipChildren, true
	}
	s.str(`<figure class="photo">`)
	s.appendImg(Href(s.from, f.Path), f, note.Alt, s.shown > 0)
	s.shown++
	if len(i.Title) > 0 {
		s.str(`<figcaption>`)
		html.DefaultWriter.Write(s, i.Title)
		s.str(`</figcaption>`)
	}
	s.str("</figure>\n")
	return ast.WalkSkipChildren, true
}

// onlyImage is the picture that a paragraph holds and nothing else, or nil.
func onlyImage(n ast.Node) *ast.Image {
	if n.FirstChild() == nil || n.FirstChild() != n.LastChild() {
		return nil
	}
	i, _ := n.FirstChild().(*ast.Image)
	return i
}

// heading leaves out the heading that says the page's title again.
func (s *sheet) heading(n ast.Node, entering bool) (ast.WalkStatus, bool) {
	h := n.(*ast.Heading)
	if h.Level != 1 || n.PreviousSibling() != nil || n.Parent() != s.page.Doc.Root ||
		len(s.page.Doc.Headings) == 0 || s.page.Doc.Headings[0].Text != s.page.Title() {
		return ast.WalkContinue, false
	}
	return ast.WalkSkipChildren, true
}

// What goldmark asks of a writer.

// Write appends bytes.
func (w *writer) Write(p []byte) (int, error) {
	w.out = append(w.out, p...)
	return len(p), nil
}

// WriteString appends a text.
func (w *writer) WriteString(s string) (int, error) {
	w.out = append(w.out, s...)
	return len(s), nil
}

// WriteByte appends a byte.
func (w *writer) WriteByte(c byte) error {
	w.out = append(w.out, c)
	return nil
}

// WriteRune appends a character.
func (w *writer) WriteRune(r rune) (int, error) {
	w.out = utf8.AppendRune(w.out, r)
	return utf8.RuneLen(r), nil
}

// Available is the room that is left without growing.
func (w *writer) Available() int { return cap(w.out) - len(w.out) }

// Buffered counts what was written.
func (w *writer) Buffered() int { return len(w.out) }

// Flush has nothing to do.
func (w *writer) Flush() error { return nil }

func (w *writer) int(n int) { w.out = strconv.AppendInt(w.out, int64(n), 10) }
