// Package entry reads one Markdown file of a journal into plain data: the front matter, every
// fenced block, the code spans that ask for a value, headings, links and images, each with its
// place, and the Markdown tree itself.
//
// All places, those in the tree included, are byte offsets in the whole text of Document.File, front
// matter counted. The package knows neither what blocks mean nor how a page looks; it never
// imports calc/eval, calc/kind or anything of render. Reading never fails: what is wrong is a
// finding, and the rest of the page is still read.
package entry
