// Package editor serves a text editor while a journal is written: a language server over a pair of
// streams, as the Language Server Protocol 3.17 describes it. What it says of a journal comes from the
// same snapshot that is proofed and pressed, with the editor's unsaved texts laid over the disk.
//
// One goroutine reads messages, another owns all state, works in the order of the messages and is the
// only one to write. What has changed is noted at once and worked out when somebody asks, or when the
// keys rest for a moment. The package knows no rules of the trade and never imports render.
package editor
