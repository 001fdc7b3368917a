// Package photo makes pictures fit to be published: upright, no larger than needed, and with nothing in them but
// the picture. Position, camera, date, comments, colour profiles and thumbnails are left behind because every picture
// is decoded to its pixels and written anew; the same input gives the same bytes on every machine.
// (A colour profile goes with the rest: colours are read as sRGB.) SVG pictures are not redrawn but checked.
//
// The package works on bytes: it opens no files, and imports none of ours.
package photo
