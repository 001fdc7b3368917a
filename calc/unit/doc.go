// Package unit holds dimensions and quantities, the table of units, and how quantities are shown.
package unit
