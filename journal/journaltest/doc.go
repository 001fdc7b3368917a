// Package journaltest helps to test with journals: it makes journals of any size, the same numbers
// giving the same journal, and compares small ones, kept in archives, with what is to be found in
// them. It imports nothing of ours.
package journaltest
