package page

import (
	"strings"
	"unicode/utf8"
)

// writer appends HTML. str takes markup of our own; everything from a journal goes through text
// (element or quoted attribute) or href.
type writer struct{ out []byte }

func (w *writer) str(s string) { w.out = append(w.out, s...) }

// text escapes what could end a text or a quoted attribute. Bytes that are not UTF-8 and the
// characters that HTML does not allow (HTML Living Standard, 13.2.3.5) become U+FFFD.
func (w *writer) text(s string) {
	from := 0
	for i := 0; i < len(s); {
		size, with := 1, ""
		switch c := s[i]; {
		case c == '&':
			with = "&amp;"
		case c == '<':
			with = "&lt;"
		case c == '>':
			with = "&gt;"
		case c == '"':
			with = "&#34;"
		case c < ' ' && c != '\t' && c != '\n' && c != '\r', c == 0x7f:
			with = "\uFFFD"
		case c >= utf8.RuneSelf:
			var r rune
			if r, size = utf8.DecodeRuneInString(s[i:]); r == utf8.RuneError && size == 1 {
				with = "\uFFFD"
			}
		}
		if with != "" {
			w.str(s[from:i])
			w.str(with)
			from = i + size
		}
		i += size
	}
	w.str(s[from:])
}

// wrapped writes text between two pieces of markup, and nothing at all when there is no text.
func (w *writer) wrapped(before, s, after string) {
	if s == "" {
		return
	}
	w.str(before)
	w.text(s)
	w.str(after)
}

func (w *writer) link(l Link) {
	if l.Href == "" {
		w.text(l.Text)
		return
	}
	w.str(`<a href="`)
	w.href(l.Href)
	w.str(`">`)
	w.text(l.Text)
	w.str(`</a>`)
}

// href writes an address as an attribute's value. An address with a scheme that could run a
// program ("javascript:", "data:") leads nowhere instead.
func (w *writer) href(s string) {
	if !harmless(s) {
		w.str("#")
		return
	}
	w.text(s)
}

// harmless tells whether an address is relative or of a scheme that only leads somewhere
// (the scheme is what stands before the first colon, RFC 3986, 3.1).
func harmless(s string) bool {
	colon := strings.IndexByte(s, ':')
	if colon < 0 || strings.ContainsAny(s[:colon], "/?#") {
		return true
	}
	switch strings.ToLower(s[:colon]) {
	case "http", "https", "mailto":
		return true
	}
	return false
}
