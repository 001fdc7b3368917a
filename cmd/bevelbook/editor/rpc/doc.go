// Package rpc carries JSON-RPC 2.0 messages over a pair of streams, each behind a header with its
// length, as the base protocol of the Language Server Protocol (LSP 3.17, "Base Protocol") says. It
// knows no method, and imports nothing of ours.
package rpc
