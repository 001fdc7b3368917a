// Package eval links the names of all blocks and works them out.
//
// Linking makes one graph: a node for each named value, one for each block, one for each inline
// expression; arrows from a node to what it needs. Values are worked out along the arrows, on all
// cores, each once. A node that cannot be worked out never stops another: it holds Unknown, and
// whoever needs it says what it waits for. Values carry how private they are.
//
// Passages of text can be replaced in a graph that has been worked out; only what hangs on them is worked
// out again (Update).
//
// Inside are millimetres, grams, minutes and radians. The package does no I/O, knows no kind of
// block (a kind hands in a function), and never imports kind, part or anything above.
package eval
