package mesh

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r3"
)

// words reads a text word by word, where it lies. A backslash at the end of a line goes on with the
// next one.
type words struct {
	data []byte
	at   int
	line int32
}

// next is the next word of the line, nil at its end.
func (w *words) next() []byte {
	for w.at < len(w.data) {
		switch c := w.data[w.at]; {
		case c == '\n':
			return nil
		case blank(c):
			w.at++
		case w.continued() > 0:
			w.at += w.continued()
			w.line++
		default:
			from := w.at
			for w.at < len(w.data) && w.data[w.at] != '\n' && !blank(w.data[w.at]) && w.continued() == 0 {
				w.at++
			}
			return w.data[from:w.at]
		}
	}
	return nil
}

func blank(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\f' || c == '\v' }

// continued is the length of a backslash and line end that stand here, 0 for none.
func (w *words) continued() int {
	if w.data[w.at] != '\\' {
		return 0
	}
	switch rest := w.data[w.at:]; {
	case bytes.HasPrefix(rest, []byte("\\\n")):
		return 2
	case bytes.HasPrefix(rest, []byte("\\\r\n")):
		return 3
	}
	return 0
}

// down goes to the line below, whatever stands on this one; false at the end of the text.
func (w *words) down() bool {
	for w.at < len(w.data) && w.data[w.at] != '\n' {
		if n := w.continued(); n > 0 {
			w.at += n
			w.line++
			continue
		}
		w.at++
	}
	if w.at >= len(w.data) {
		return false
	}
	w.at++
	w.line++
	return true
}

// rest is what stands on the line from here, without blanks around it.
func (w *words) rest() string {
	from := w.at
	for w.at < len(w.data) && w.data[w.at] != '\n' {
		w.at++
	}
	return strings.TrimSpace(string(w.data[from:w.at]))
}

func (w *words) fault(help, format string, args ...any) error {
	return &Fault{fmt.Sprintf("line %d", w.line), fmt.Sprintf(format, args...), help}
}

// point reads three coordinates.
func (w *words) point() (r3.Vec, error) {
	var p r3.Vec
	for i, to := range []*float64{&p.X, &p.Y, &p.Z} {
		text := w.next()
		if text == nil {
			return p, w.fault("Write x, y and z, as in 10 0 2.5", "a corner needs three numbers and has %d", i)
		}
		v, err := number(text)
		if err != nil {
			return p, w.fault("Write plain numbers, as in 10 0 2.5; export the model again if a program wrote this", "%v", err)
		}
		*to = v
	}
	return p, nil
}

// number reads one coordinate; what is no finite number or beyond MaxCoordinate is refused.
func number(text []byte) (float64, error) {
	for _, c := range text {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, fmt.Errorf("%s is no number that a corner can have", shown(text))
		}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, fmt.Errorf("%s is no number", shown(text))
	}
	return v, sane(v)
}

func sane(v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%v is no number that a corner can have", v)
	}
	if math.Abs(v) > MaxCoordinate {
		return fmt.Errorf("%g is too far out; the farthest is %g", v, MaxCoordinate)
	}
	return nil
}

// shown is a word of a file as a message shows it: short, in quotes, without control characters.
func shown(text []byte) string {
	const most = 24
	more := ""
	if len(text) > most {
		text, more = text[:most], "…"
		for len(text) > 0 && !utf8.Valid(text) && len(text) > most-utf8.UTFMax {
			text = text[:len(text)-1]
		}
	}
	return strconv.Quote(string(text) + more)
}
