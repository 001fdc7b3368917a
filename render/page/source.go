package page

import (
	"crypto/sha256"
	"html/template"
	"sync"

	"github.com/alecthomas/chroma/v2"
	"github.com/alecthomas/chroma/v2/lexers"

	"bevelbook/calc/kind"
	"bevelbook/journal"
)

// markup vouches for bytes that one of our own writers made.
func markup(b []byte) template.HTML { return template.HTML(b) }

// sourceOf is a block as it is written, in colours.
func sourceOf(blk *journal.Block) template.HTML {
	lines := blk.Entry.Lines
	if len(lines) == 0 {
		return ""
	}
	size := 0
	for _, l := range lines {
		size += l.End - l.Start + 1
	}
	w := writer{make([]byte, 0, 4*size)}
	w.tokens(scanned(lines))
	return template.HTML(w.out)
}

// tokens writes tokens as spans, those without a colour of their own as they are.
func (w *writer) tokens(next chroma.Iterator) {
	for t := next(); t != chroma.EOF; t = next() {
		class := classOf(t.Type)
		if class == "" {
			w.text(t.Value)
			continue
		}
		w.str(`<span class="`)
		w.str(class)
		w.str(`">`)
		w.text(t.Value)
		w.str(`</span>`)
	}
}

// classes are the colours of a theme, by chroma's kinds of token; the most special one counts.
var classes = map[chroma.TokenType]string{
	chroma.Keyword:             "tok-key",
	chroma.KeywordConstant:     "tok-unit",
	chroma.KeywordType:         "tok-unit",
	chroma.NameAttribute:       "tok-unit",
	chroma.NameTag:             "tok-key",
	chroma.NameFunction:        "tok-fn",
	chroma.NameBuiltin:         "tok-fn",
	chroma.NameClass:           "tok-fn",
	chroma.LiteralString:       "tok-str",
	chroma.LiteralNumber:       "tok-num",
	chroma.Operator:            "tok-op",
	chroma.Punctuation:         "tok-op",
	chroma.Comment:             "tok-com",
	chroma.Error:               "tok-err",
	chroma.GenericDeleted:      "tok-err",
	chroma.GenericInserted:     "tok-str",
	chroma.GenericHeading:      "tok-key",
	chroma.LiteralStringSymbol: "tok-unit",
}

func classOf(t chroma.TokenType) string {
	if c, ok := classes[t]; ok {
		return c
	}
	if c, ok := classes[t.SubCategory()]; ok {
		return c
	}
	return classes[t.Category()]
}

// Beyond these sizes code of other languages stays uncoloured: its lexers are made of regular
// expressions and have no bound of their own.
const (
	mostColoured = 16 << 10
	mostCached   = 512
)

// colours remembers code of other languages, which is slow to colour, between pages and presses.
var colours = struct {
	sync.Mutex
	by     map[[sha256.Size]byte][]byte
	lexers map[string]chroma.Lexer // nil for a language that nobody knows
}{by: map[[sha256.Size]byte][]byte{}, lexers: map[string]chroma.Lexer{}}

// highlighted colours code, false if its language is not known or it is too long.
func highlighted(language, code string) ([]byte, bool) {
	if language == "" || len(code) > mostColoured || len(language) > 40 {
		return nil, false
	}
	key := sha256.Sum256([]byte(language + "\n" + code))
	colours.Lock()
	done, ok := colours.by[key]
	lexer, known := colours.lexers[language]
	colours.Unlock()
	if ok {
		return done, true
	}
	if !known {
		lexer = lexers.Get(language)
		colours.Lock()
		if len(colours.lexers) < mostCached {
			colours.lexers[language] = lexer
		}
		colours.Unlock()
	}
	if lexer == nil {
		return nil, false
	}
	next, err := lexer.Tokenise(&chroma.TokeniseOptions{State: "root"}, code)
	if err != nil {
		return nil, false
	}
	w := writer{make([]byte, 0, 3*len(code))}
	w.tokens(next)
	colours.Lock()
	defer colours.Unlock()
	if len(colours.by) < mostCached {
		colours.by[key] = w.out
	}
	return w.out, true
}

// A fence of another program's Markdown may hold our language too; chroma finds it by these names.
func init() {
	names := []string{}
	for _, k := range kind.All {
		names = append(names, "bevelbook-"+k.Name)
	}
	lexers.Register(Lexer{&chroma.Config{Name: "bevelbook", Aliases: names}})
}
