package entry

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// arrow begins a code span that is to be replaced by its value.
const arrow = "->"

// collector walks the tree once and notes what the rest of the program asks for.
type collector struct {
	*Document
	ends map[ast.Node]int // where links and images end
	// Links and images that the walk is inside of, as indices into the lists.
	openLinks, openImages []int
}

// collect fills the lists of the document from its tree.
func (d *Document) collect() {
	c := collector{Document: d}
	_ = ast.Walk(d.Root, c.visit) // visit returns no error
}

func (c *collector) visit(n ast.Node, entering bool) (ast.WalkStatus, error) {
	switch n := n.(type) {
	case *ast.FencedCodeBlock:
		if entering {
			c.block(n)
		}
		return ast.WalkSkipChildren, nil
	case *ast.CodeSpan:
		if entering {
			c.span(n)
		}
		return ast.WalkSkipChildren, nil
	case *ast.Heading:
		if entering {
			c.heading(n)
		}
	case *ast.Link:
		c.link(n, entering)
	case *ast.Image:
		c.image(n, entering)
	}
	return ast.WalkContinue, nil
}

func (c *collector) span(n *ast.CodeSpan) {
	first, isText := n.FirstChild().(*ast.Text)
	if !isText {
		return
	}
	start, end := first.Segment.Start, n.LastChild().(*ast.Text).Segment.Stop
	inside := strings.TrimLeft(c.File.Text[start:end], " \t")
	if !strings.HasPrefix(inside, arrow) {
		return
	}
	start = end - len(inside) + len(arrow)
	start, end = trim(c.File.Text, start, end)
	c.Spans = append(c.Spans, Span{At: c.File.Span(start, end), Node: n})
}

func (c *collector) heading(n *ast.Heading) {
	start := max(n.Pos(), 0)
	end := start
	if lines := n.Lines(); lines.Len() > 0 {
		start, end = lines.At(0).Start, lines.At(lines.Len()-1).Stop
	}
	start, end = trim(c.File.Text, start, end)
	h := Heading{Level: n.Level, Text: plainText(n, c.Source), At: c.File.Span(start, end)}
	if id, ok := n.AttributeString("id"); ok {
		if b, ok := id.([]byte); ok {
			h.ID = string(b)
		}
	}
	c.Headings = append(c.Headings, h)
}

// link notes a link before what is inside it, to keep the order of the text, and its end afterwards,
// when the ends of the pictures inside are known.
func (c *collector) link(n *ast.Link, entering bool) {
	if entering {
		at := c.File.Span(n.Pos(), n.Pos())
		c.openLinks = append(c.openLinks, len(c.Links))
		c.Links = append(c.Links, Link{Target: target(n.Destination), At: at, Node: n})
		return
	}
	last := len(c.openLinks) - 1
	c.Links[c.openLinks[last]].At.End = c.linkEnd(n, n.Reference)
	c.openLinks = c.openLinks[:last]
}

func (c *collector) image(n *ast.Image, entering bool) {
	if entering {
		at := c.File.Span(n.Pos(), n.Pos())
		c.openImages = append(c.openImages, len(c.Images))
		c.Images = append(c.Images, Image{Target: target(n.Destination), At: at, Node: n})
		return
	}
	last := len(c.openImages) - 1
	image := &c.Images[c.openImages[last]]
	image.At.End = c.linkEnd(n, n.Reference)
	c.openImages = c.openImages[:last]
	if last == 0 { // the description of a picture inside a description is part of the outer one
		image.Alt = plainText(n, c.Source)
	}
}

// target is the address as its author meant it.
func target(destination []byte) string {
	if strings.IndexByte(string(destination), '\\') < 0 && strings.IndexByte(string(destination), '&') < 0 {
		return string(destination)
	}
	return string(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(destination))))
}

// plainText is what a reader hears of a node: its text without marks.
func plainText(n ast.Node, src []byte) string {
	if only, ok := n.FirstChild().(*ast.Text); ok && n.ChildCount() == 1 {
		return textOf(only, src)
	}
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Text:
				b.WriteString(textOf(n, src))
				if n.SoftLineBreak() || n.HardLineBreak() {
					b.WriteByte(' ')
				}
			case *ast.String:
				b.Write(n.Value)
			case *ast.AutoLink:
				b.Write(n.Label(src))
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

func textOf(t *ast.Text, src []byte) string {
	value := segmentText(t.Segment, src)
	if t.IsRaw() {
		return value
	}
	return target([]byte(value))
}

func segmentText(s text.Segment, src []byte) string { return string(src[s.Start:s.Stop]) }

// trim draws start and end together until no space is left at either.
func trim(s string, start, end int) (int, int) {
	for start < end && isSpace(s[start]) {
		start++
	}
	for start < end && isSpace(s[end-1]) {
		end--
	}
	return start, end
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }
