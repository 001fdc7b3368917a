// Package site presses a journal into a site: it decides what stands where, has every page drawn,
// every part's template written and every picture made fit to publish, and puts all of it into a
// folder, whole or not at all (package folder).
//
// The same journal gives the same bytes: nothing here reads a clock. What a page says is the work of
// package page; what the site must not tell (private measurements, pages with `share: no`) is kept
// back there and in the choice of files here.
package site
