package eval

import "errors"

// Files hands in the bytes of one of the journal's files (a trace, a model) by its slash-separated
// path relative to the journal's folder. It may be called from any goroutine.
type Files func(path string) ([]byte, error)

// ErrNoFile is the error of a file that the journal does not have.
var ErrNoFile = errors.New("the journal has no such file")

// read gives a file to a node and notes, whether it was to be had or not, that the node hangs on it.
func (p *Program) read(n *Node, path string) ([]byte, error) {
	n.Reads = append(n.Reads, path)
	if p.Files == nil {
		return nil, ErrNoFile
	}
	return p.Files(path)
}
