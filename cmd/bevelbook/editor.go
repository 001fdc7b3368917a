package main

import (
	"os"

	"bevelbook/cmd/bevelbook/editor"
)

var editorCommand = command{
	name: "editor", usage: "",
	doc: "serves a text editor: findings as you type, values, completion, renaming",
	long: "It is a language server: it speaks the Language Server Protocol 3.17 over standard input and output, and\n" +
		"your text editor starts it. In the editor's settings for language servers, give it\n\n" +
		"  command line   bevelbook editor\n" +
		"  files          *.md (Markdown)\n" +
		"  root marker    journal.md\n\n" +
		"It tells errors and findings of the whole journal as you type, with unsaved pages as they are in the\n" +
		"editor; what stands under the pointer, with its working; what may be written; where names are set and\n" +
		"used. It renames over all entries, and refuses what would mean something else then. It prints blocks\n" +
		"tidily and leaves the text around them alone, and pages outside of a folder with journal.md.\n\n" +
		"A private measurement is told where you point at its name. Lists, lenses and hints, which others may\n" +
		"see on your screen unasked, show the word private in its place.\n\n" +
		"Exit 0: the editor said goodbye; 1: it went away without.",
	run: runEditor,
}

func runEditor(c *call) int {
	if _, code, ok := c.parse(0); !ok {
		return code
	}
	return editor.Serve(os.Stdin, c.out, c.err)
}
