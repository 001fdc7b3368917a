// Package nest lays outlines on sheets: as few sheets as it can, then as short a run on the last one.
//
// Lengths are millimetres (any one unit does), angles radians counter-clockwise, x right along a sheet's
// width, y up. A part is a simple polygon with polygons for holes; it is turned and shifted, never
// mirrored, so each hand is an item of its own. Curves come in as polygons with a stated slack, the most
// by which the true outline may reach beyond the polygon, and slack is kept clear like a gap, so that what
// is cut is never larger than what was laid.
//
// The search works on convex pieces that cover each part and are grown by half the gap. Two pieces overlap
// where the shift from one to the other lies in their no-fit polygon, which is convex too (the Minkowski sum
// of one with the other turned about), and how deep it lies there is how far they are from being clear. The first
// layout is bottom-left by decreasing area. Then room is taken away, parts overlap, and the overlap is
// searched out again: parts move one by one to where the weighted depths are least, and a pair that stays
// in each other's way gains weight (guided local search, as Umetani et al. 2009 and Elkeran 2013 for strips;
// sampling and descent after Gardeyn, Vanden Berghe and Wauters 2025, arXiv 2509.13329).
//
// Check shares nothing with the search but the input: it looks at the true polygons, edge by edge, and
// nothing leaves Run or Strip that it has not passed.
//
// The package reads no clock and draws its random numbers from the caller's: the same job and effort give
// the same layout, on any number of cores, unless Effort.Stop cuts it short. It imports nothing of ours but shape.
package nest
