// Package template writes cut templates at full size.
//
// Piece turns a part into a drawing with all the words that the bench needs; PDF prints drawings on
// sheets of paper, tiled and with marks to join them; SVG writes them as one file in mm. Everything is
// in mm of the piece, y up, and never scaled. The PDF format and its fonts are fpdf's. The package knows parts and drawings: no journal, no pages.
package template
