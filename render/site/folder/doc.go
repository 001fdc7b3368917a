// Package folder puts the files of a site into a folder, all of them or none.
//
// The new site is built in a folder beside the old one: what changed is written, what did not is linked, what a
// person laid into the folder is carried over. Then the two folders trade places in one step. A process killed at any
// moment leaves the old site whole or the new one whole, and the next press clears what it left lying about. (Killed,
// not unplugged: nothing here waits for the disk.)
//
// Paths inside a site are slash-separated and relative. The package knows nothing of pages: it imports none of ours.
package folder
