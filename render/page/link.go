package page

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"bevelbook/calc/source"
	"bevelbook/journal"
)

// Href leads from one path of the site to another, with every character escaped that an address
// gives a meaning to (RFC 3986, 3.3).
func Href(from, to string) string {
	for {
		dir, rest, ok := strings.Cut(from, "/")
		if !ok || !strings.HasPrefix(to, dir+"/") {
			break
		}
		from, to = rest, to[len(dir)+1:]
	}
	var out []byte
	for range strings.Count(from, "/") {
		out = append(out, "../"...)
	}
	return string(appendEscaped(out, to))
}

// Root leads from a path of the site to its root.
func Root(from string) string { return strings.Repeat("../", strings.Count(from, "/")) }

// appendEscaped keeps letters, digits and the marks that mean nothing in an address.
func appendEscaped(dst []byte, path string) []byte {
	const hex = "0123456789ABCDEF"
	for i := range len(path) {
		switch c := path[i]; {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9',
			c == '/', c == '-', c == '_', c == '.', c == '~', c == ',', c == '+', c == '(', c == ')':
			dst = append(dst, c)
		default:
			dst = append(dst, '%', hex[c>>4], hex[c&15])
		}
	}
	return dst
}

// ToBlock leads to a block's card, "" if its page is not shown.
func (b *Book) ToBlock(from string, blk *journal.Block) string {
	to, ok := b.Pages[blk.Page.Path]
	if !ok {
		return ""
	}
	anchor := "#" + string(appendEscaped(nil, blk.Anchor()))
	if to == from {
		return anchor
	}
	return Href(from, to) + anchor
}

// toPlace leads to the card that holds a place, or else to its page, "" if that is not shown.
func (b *Book) toPlace(from string, at source.Span) string {
	p, ok := b.pageOf(at)
	if !ok || !b.Shown(p) {
		return ""
	}
	if blk := blockAt(p, at); blk != nil {
		return b.ToBlock(from, blk)
	}
	return Href(from, b.Pages[p.Path])
}

func (b *Book) pageOf(at source.Span) (*journal.Page, bool) {
	if at.File == nil {
		return nil, false
	}
	return b.Snapshot.Page(at.File.Name)
}

// blockAt is the block whose fence holds the place, or nil.
func blockAt(p *journal.Page, at source.Span) *journal.Block {
	for _, blk := range p.Blocks {
		if f := blk.Entry.Fence; at.File == f.File && f.Start <= at.Start && at.Start < f.End {
			return blk
		}
	}
	return nil
}

// toSection leads to a section's page.
func (b *Book) toSection(from, name string) string {
	to, ok := b.Sections[name]
	if !ok {
		return ""
	}
	return Href(from, to)
}

// SectionTitle is a section's name for people: "Lantern room" for lantern_room.
func SectionTitle(name string) string {
	if name == "" {
		return ""
	}
	text := strings.ReplaceAll(name, "_", " ")
	r, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[size:]
}
