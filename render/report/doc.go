// Package report prints findings: for people with the line and a caret, as JSON, and as SARIF for
// other programs. It formats and nothing else: order and severity are decided before, and it never
// imports journal. What comes from a journal is data: nothing of it reaches a terminal as a command.
package report
