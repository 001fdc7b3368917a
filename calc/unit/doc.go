// Package unit knows dimensions and quantities, the table of units, how a unit is read, and how a
// quantity is shown.
//
// Inside, every value is in base units: millimetres, grams, minutes, radians, and each currency in
// itself. An angle is a dimension of its own here, so that a length and an angle cannot be mixed
// up. There are no exchange rates. The package imports of ours only calc/spell.
package unit
