// Package desk is the live preview: it watches a journal's folder, keeps the journal worked out in
// memory, serves its site to the maker's own browser, and patches the page that is open there after
// each save.
//
// One goroutine (loop.go) owns the journal and the list of open pages; everything else asks it. A
// second one (watch.go) owns the watching. A page is served byte for byte as a press would write it,
// with the author's strip put in; what the strip says is put together in strip.go.
//
// The server trusts nobody (guard.go): it listens on loopback unless told, answers only to its own
// name, only to its own pages, and only with files that the site lists. The package knows nothing of
// the language: it asks the snapshot.
package desk
