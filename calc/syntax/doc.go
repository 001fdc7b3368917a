// Package syntax reads the block language: a scanner, a parser that keeps the place of everything,
// a tree, and a printer whose output parses to the same tree.
//
// One rule: `key: expression`, one a line. `#` starts a comment. An open bracket or a trailing comma
// continues the line. The package knows unit names (a unit is told from a name by what stands before
// it) and nothing of what names mean, of kinds of block, or of geometry.
package syntax
