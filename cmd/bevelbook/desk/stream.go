package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"time"
)

// stream is one open page. The loop lays down what the page is to know next, a later message of the
// same kind in place of an earlier one, so that a slow reader costs no more than a fast one.
type stream struct {
	page string

	// What the reader has or is about to get; they belong to the loop.
	mark, stripMark string

	wake chan struct{}

	mu   sync.Mutex // guards what follows
	news map[string]any
	over string // why the stream ends, "" while it lives
}

// Why a stream ends.
const (
	endClosed = "closed" // the desk closes; the page tries again
	endFull   = "full"   // too many are open; the page waits until somebody looks at it
)

// The kinds of message, in the order in which they are sent.
var kinds = []string{"page", "strip"}

func (s *stream) put(kind string, message any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.news == nil {
		s.news = map[string]any{}
	}
	s.news[kind] = message
	s.rouse()
}

func (s *stream) rouse() {
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

func (s *stream) end(why string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over == "" {
		s.over = why
	}
	s.rouse()
}

// show has the reader told of its page if that is another than the one it has.
func (s *stream) show(v *view) {
	if v.mark == s.mark {
		return
	}
	s.mark = v.mark
	s.put("page", pageNews{HTML: string(v.html), Mark: v.mark, Gone: v.html == nil})
}

// tell has the reader told of the strip if that changed.
func (s *stream) tell(st *strip) {
	if st.mark == s.stripMark {
		return
	}
	s.stripMark = st.mark
	s.put("strip", stripNews{HTML: st.errors + st.html, Mark: st.mark, Words: st.words})
}

// pageNews brings a page up to date.
type pageNews struct {
	HTML string `json:"html"` // the whole page, as pressed
	Mark string `json:"mark"`
	Gone bool   `json:"gone,omitempty"` // the site has it no more
}

// stripNews brings the author's strip up to date.
type stripNews struct {
	HTML  string `json:"html"`
	Mark  string `json:"mark"`
	Words string `json:"words"` // what is read out
}

// retry is how soon a browser that lost the stream tries again by itself, in milliseconds; the page's
// own script is as a rule faster.
const retry = 1000

// stream serves one open page with events until either side goes away.
func (d *Desk) stream(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	s := &stream{page: q.Get("page"), mark: q.Get("mark"), stripMark: q.Get("strip"), wake: make(chan struct{}, 1)}
	if !d.ask(func() { d.join(s) }) {
		http.Error(w, "the desk closes", http.StatusServiceUnavailable)
		return
	}
	defer d.ask(func() { d.leave(s) })
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("Connection", "close") // what a stream leaves behind is not worth keeping
	control := http.NewResponseController(w)
	send := func(text string) bool {
		control.SetWriteDeadline(time.Now().Add(d.limits.write))
		if _, err := w.Write([]byte(text)); err != nil {
			return false
		}
		return control.Flush() == nil
	}
	if !send(fmt.Sprintf("retry: %d\n\n", retry)) {
		return
	}
	for {
		text, over := s.take()
		if text != "" && !send(text) || over {
			return
		}
		select {
		case <-s.wake:
		case <-r.Context().Done():
			return
		}
	}
}

// take is what there is to send, in the form of an event stream (HTML Living Standard, 9.2.5).
func (s *stream) take() (text string, over bool) {
	s.mu.Lock()
	news, why := s.news, s.over
	s.news = nil
	s.mu.Unlock()
	var b strings.Builder
	for _, kind := range kinds {
		if message, ok := news[kind]; ok {
			fmt.Fprintf(&b, "event: %s\ndata: ", kind)
			enc := json.NewEncoder(&b)
			enc.SetEscapeHTML(false) // it is no page, and markup would grow to three times its size
			if err := enc.Encode(message); err != nil {
				panic(err) // strings and truths always can be
			}
			b.WriteString("\n")
		}
	}
	if why == endFull {
		b.WriteString("event: full\ndata: 0\n\n")
	}
	return b.String(), why != ""
}

// join takes a stream in and catches it up. If there are too many, the oldest goes: a page that
// somebody left open long ago, or a connection that died unseen.
func (d *Desk) join(s *stream) {
	for len(d.streams) >= d.limits.streams {
		d.streams[0].end(endFull)
		d.streams = d.streams[1:]
	}
	d.streams = append(d.streams, s)
	s.show(d.view(s.page))
	s.tell(d.strip(s.page))
}

func (d *Desk) leave(s *stream) {
	for i, other := range d.streams {
		if other == s {
			d.streams = append(d.streams[:i:i], d.streams[i+1:]...)
			return
		}
	}
}
