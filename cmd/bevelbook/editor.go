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
		"Pages outside of a folder with journal.md are left alone, and so is the text around the blocks.\n" +
		"Values over a name are the author's own: private measurements are told where you point at them, and\n" +
		"not shown unasked. Exit 0: the editor said goodbye; 1: it went away without.",
	run: runEditor,
}

func runEditor(c *call) int {
	if _, code, ok := c.parse(0); !ok {
		return code
	}
	return editor.Serve(os.Stdin, c.out, c.err)
}
