// Package journal reads a folder of Markdown into one snapshot: pages, blocks, the graph of names
// worked out, sections, and the ledger of parts and materials.
//
// It reads through fs.FS and writes nothing; paths are slash-separated and relative to the journal's
// folder. A snapshot changes only when Update brings it up to date. The package never imports proof or render.
package journal
