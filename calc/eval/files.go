package eval

import "errors"

// Files hands in the bytes of one of the journal's files (a trace, a model) by its slash-separated
// path relative to the journal's folder. It may be called from any goroutine.
type Files func(path string) ([]byte, error)

// ErrNoFiles is given for every file where a program was handed none.
var ErrNoFiles = errors.New("there are no files here")

// read gives a file to a node and notes, whether it was to be had or not, that the node hangs on it.
func (p *Program) read(n *Node, path string) ([]byte, error) {
	n.Reads = append(n.Reads, path)
	if p.Files == nil {
		return nil, ErrNoFiles
	}
	return p.Files(path)
}
