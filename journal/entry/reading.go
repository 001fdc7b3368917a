package entry

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
)

// reading is the front matter of one page while it is read.
type reading struct {
	front  frontText
	use    use
	into   *Front
	seen   map[string]source.Span // keys so far
	key    string                 // the one that is read now
	lines  []int                  // offset of each line, of the part that is read now, as YAML counts lines
	faults []finding.Finding
}

// readFront reads the front matter into the document. A key that cannot be read is left out and the
// others are read all the same.
func (d *Document) readFront(front frontText, isJournal bool) []finding.Finding {
	d.Front = Front{Share: true, At: map[string]source.Span{}}
	if !front.opened {
		return nil
	}
	r := reading{front: front, use: byEntry, into: &d.Front, seen: map[string]source.Span{}}
	if isJournal {
		r.use = byJournal
	}
	if !front.closed {
		r.note(FrontNotClosed, d.File.Span(0, 3), "add a line of --- below the last key",
			"front matter begins here and has no line of --- that ends it")
	}
	if size := front.end - front.start; size > maxFront {
		r.note(TooLong, d.File.Span(0, 3), "keep long text in the page itself",
			"the front matter holds %d bytes; %d are read", size, maxFront)
		return r.faults
	}
	if reason := r.part(front.start, front.end); reason != "" {
		r.oneByOne()
	}
	return r.faults
}

// oneByOne reads each key by itself, since the whole is not YAML: only the keys that are not are lost.
func (r *reading) oneByOne() {
	s := r.front.file.Text
	for start := r.front.start; start < r.front.end; {
		end := min(lineEnd(s, start)+1, r.front.end)
		for end < r.front.end && !beginsKey(s[end]) {
			end = min(lineEnd(s, end)+1, r.front.end)
		}
		if reason := r.part(start, end); reason != "" {
			from, to := trim(s, start, lineEnd(s, start))
			r.note(FrontBroken, r.front.file.Span(from, to),
				"Write the value in double quotes when it holds a colon, a # or a bracket", "this is not YAML: %s", reason)
		}
		start = end
	}
}

// beginsKey tells whether a line that begins so does not belong to the key before.
func beginsKey(c byte) bool { return strings.IndexByte(" \t\r\n#-]}", c) < 0 }

// part reads the keys in a stretch of the front matter, or says why it is not YAML, having read none.
func (r *reading) part(start, end int) (reason string) {
	text := r.front.file.Text[start:end]
	r.lines = yamlLines(r.lines[:0], text, start)
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		return plainReason(err)
	}
	if len(doc.Content) == 0 {
		return ""
	}
	top := doc.Content[0]
	if top.Kind != yaml.MappingNode || top.Anchor != "" || top.Style&yaml.TaggedStyle != 0 {
		if !r.plain(top) {
			return ""
		}
		r.note(WrongValue, r.at(top), "Write one `key: value` on each line", "front matter is keys with values, not %s", kindName(top))
		return ""
	}
	for i := 0; i+1 < len(top.Content); i += 2 {
		r.pair(top.Content[i], top.Content[i+1])
	}
	return ""
}

// pair reads one key with its value.
func (r *reading) pair(name, value *yaml.Node) {
	if !r.plain(name) {
		return
	}
	at := r.at(name)
	k := lookup(name.Value)
	if name.Kind != yaml.ScalarNode || k == nil || k.use&r.use == 0 {
		r.unknown(name.Value, k, at)
		return
	}
	if first, twice := r.seen[k.name]; twice {
		f := faultf(SetTwice, at, "remove one of the two", "`%s` is set twice; the first counts", k.name)
		f.Notes = []finding.Related{{At: first, Message: "set here first"}}
		r.faults = append(r.faults, f)
		return
	}
	r.seen[k.name], r.key = at, k.name
	if r.plain(value) && k.read(r, r.into, value) {
		r.into.At[k.name] = r.at(value)
	}
}

// unknown says that there is no such key, or not on this page, and what it might mean.
func (r *reading) unknown(name string, k *key, at source.Span) {
	if k != nil {
		where := "belongs in journal.md"
		if r.use == byJournal {
			where = "belongs in entries, not in journal.md"
		}
		r.note(UnknownKey, at, "Move it there", "`%s` %s", name, where)
		return
	}
	known := names(r.use)
	help := "Known keys are " + strings.Join(known, ", ")
	if near := spell.Nearest(name, known); near != "" {
		help = fmt.Sprintf("Did you mean `%s`?", near)
	}
	r.note(UnknownKey, at, help, "front matter has no key `%s`", short(name))
}

// plain tells whether a value is free of YAML's roundabout ways; the first that it has is a fault.
func (r *reading) plain(n *yaml.Node) bool {
	what := ""
	switch {
	case n.Kind == yaml.AliasNode:
		what = "an alias (*)"
	case n.Anchor != "":
		what = "an anchor (&)"
	case n.Style&yaml.TaggedStyle != 0:
		what = "a tag (!)"
	case n.Tag == "!!merge":
		what = "a merge key (<<)"
	}
	if what != "" {
		r.note(FrontNotPlain, r.at(n), "Write the value out, in double quotes if it begins with a sign", "front matter does not take %s", what)
		return false
	}
	for _, child := range n.Content {
		if !r.plain(child) {
			return false
		}
	}
	return true
}

func (r *reading) note(name Fault, at source.Span, help, format string, args ...any) {
	r.faults = append(r.faults, faultf(name, at, help, format, args...))
}

// kindName says what a value is, for people.
func kindName(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "keys with values"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.Tag == "!!null":
		return "nothing"
	}
	return "a single value"
}

// plainReason is the message of the YAML reader without its own mark and line.
func plainReason(err error) string {
	s := strings.TrimPrefix(err.Error(), "yaml: ")
	if rest, ok := strings.CutPrefix(s, "line "); ok {
		if _, after, ok := strings.Cut(rest, ": "); ok {
			s = after
		}
	}
	return s
}

// short cuts what is quoted in a message.
func short(s string) string {
	const most = 40
	for i, n := 0, 0; i < len(s); n++ {
		if n == most {
			return s[:i] + "…"
		}
		_, size := utf8.DecodeRuneInString(s[i:])
		i += size
	}
	return s
}
