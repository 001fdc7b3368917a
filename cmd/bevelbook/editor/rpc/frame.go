package rpc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// MaxMessage is the most bytes of one message that are read: a page of a journal holds 1 MB.
const MaxMessage = 32 << 20

// maxLine bounds a line of a header.
const maxLine = 4 << 10

// Reader reads messages.
type Reader struct{ in *bufio.Reader }

// NewReader reads from a stream.
func NewReader(in io.Reader) *Reader { return &Reader{bufio.NewReaderSize(in, maxLine)} }

// Read reads the next message. An *Error is to be answered, with the message's ID if it has one, and
// reading goes on behind what was wrong; any other error is the stream's, io.EOF at its end.
func (r *Reader) Read() (*Message, error) {
	size, err := r.header()
	switch {
	case err != nil:
		return &Message{}, err
	case size > MaxMessage:
		if _, err := io.CopyN(io.Discard, r.in, size); err != nil {
			return &Message{}, ended(err)
		}
		return &Message{}, Errorf(InvalidRequest, "a message of %d bytes is not read; at most %d are", size, MaxMessage)
	}
	body := make([]byte, size)
	if _, err := io.ReadFull(r.in, body); err != nil {
		return &Message{}, ended(err)
	}
	return decode(body)
}

// ended tells a stream that ends within a message like one that ends behind it: nobody is left to be
// told.
func ended(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) {
		return io.EOF
	}
	return err
}

// header reads header lines up to the empty one and gives the length of what follows. The fields are
// those of HTTP (RFC 9110, section 5), their names in any case; only Content-Length says anything here.
func (r *Reader) header() (size int64, err error) {
	size = -1
	var fault *Error
	for lines := 0; ; lines++ {
		line, err := r.line()
		if errors.Is(err, bufio.ErrBufferFull) {
			fault = Errorf(ParseError, "a line of the header is longer than %d bytes", maxLine)
			continue
		}
		if err != nil {
			return 0, err
		}
		if len(line) == 0 {
			if lines == 0 {
				continue // a line end too many behind the message before
			}
			break
		}
		name, value, _ := bytes.Cut(line, []byte(":"))
		if !bytes.EqualFold(bytes.TrimSpace(name), []byte("content-length")) {
			continue
		}
		size, err = strconv.ParseInt(string(bytes.TrimSpace(value)), 10, 64)
		if err != nil || size < 0 {
			size, fault = -1, Errorf(ParseError, "Content-Length is no number of bytes")
		}
	}
	switch {
	case fault != nil:
		return 0, fault
	case size < 0:
		return 0, Errorf(ParseError, "a header without Content-Length")
	}
	return size, nil
}

// line reads one line without its end. A line that is too long is passed over.
func (r *Reader) line() ([]byte, error) {
	line, err := r.in.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		for errors.Is(err, bufio.ErrBufferFull) {
			_, err = r.in.ReadSlice('\n')
		}
		if err == nil {
			err = bufio.ErrBufferFull
		}
		return nil, err
	}
	return bytes.TrimRight(line, "\r\n"), err
}

// write frames one message and writes it in one piece.
func write(w io.Writer, message any) error {
	var body bytes.Buffer
	enc := json.NewEncoder(&body)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(message); err != nil {
		return err
	}
	text := bytes.TrimSuffix(body.Bytes(), []byte("\n"))
	frame := fmt.Appendf(make([]byte, 0, len(text)+40), "Content-Length: %d\r\n\r\n", len(text))
	_, err := w.Write(append(frame, text...))
	return err
}
