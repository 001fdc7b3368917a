// Package journal reads a folder of Markdown into one snapshot: pages, blocks, the graph of names
// worked out, sections, and the ledger of parts and materials.
//
// It reads through fs.FS and writes nothing; paths are slash-separated and relative to the journal's
// folder. A snapshot is not changed after Load. The package never imports proof or render.
package journal
