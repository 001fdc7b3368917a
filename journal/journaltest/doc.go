// Package journaltest makes journals of any size for tests and benchmarks. The same numbers give the
// same journal.
package journaltest
