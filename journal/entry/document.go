package entry

import (
	"github.com/yuin/goldmark/ast"

	"bevelbook/calc/source"
)

// Document is one page of a journal. It is not changed after Read.
type Document struct {
	File   *source.File // the text without byte order mark; what was not UTF-8 is U+FFFD
	Source []byte       // File.Text as goldmark read it: hand it to the renderer with Root
	Body   int          // offset in File.Text where the Markdown begins
	Front  Front

	Blocks   []Block // in the order of the text, as all the following
	Spans    []Span
	Headings []Heading
	Links    []Link
	Images   []Image

	// Root is the Markdown tree. Its segments are offsets in the whole of Source. A text beyond the
	// limits is one code block, so that a page can still show it, escaped.
	Root ast.Node
}

// Block is one fenced code block, whatever its first word.
type Block struct {
	Kind string // the first word of the info string, "" if there is none
	Name string // the rest of the info string
	Info source.Span
	// Fence is the whole block from the first mark of its opening fence to the last of its closing
	// one, or to the end of the last line when it is not closed.
	Fence source.Span
	Lines []source.Span // the lines between, without line ends, quote marks or indentation of lists
	Node  *ast.FencedCodeBlock
}

// Span is a code span that starts with "->" and is to be replaced by a value.
type Span struct {
	At   source.Span // the expression behind the arrow, without the spaces around it; may be empty
	Node *ast.CodeSpan
}

// Link is a link of the text, inline or by reference. Addresses that are links by themselves
// (https://… in the text) are not among them: they never lead into the journal.
type Link struct {
	Target string // the address with escapes and entities resolved; still percent-encoded
	At     source.Span
	Node   *ast.Link
}

// Image is a picture shown in the text.
type Image struct {
	Target string // as in Link
	Alt    string // the plain text of the description
	At     source.Span
	Node   *ast.Image
}

// Heading is one heading of the text.
type Heading struct {
	Level int    // 1 to 6
	Text  string // without emphasis or other marks
	ID    string // the anchor in the page, unique in the document
	At    source.Span
}
