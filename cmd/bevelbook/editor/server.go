package editor

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"sync"
	"time"

	"bevelbook/cmd/bevelbook/editor/rpc"
)

// rest is how long what was typed may wait for more of it before it is worked out unasked.
const rest = 20 * time.Millisecond

// queue is how many messages are read ahead.
const queue = 1024

// server serves one client.
type server struct {
	in    *rpc.Reader
	out   io.Writer
	log   io.Writer // faults of the program itself
	inbox chan incoming
	asked asked
	rest  time.Duration

	phase   phase
	client  client
	docs    map[string]*document // open, by path
	books   map[string]*book     // by folder
	folders []string             // of the client
	// watching tells that the client was asked to report changes of files; else saving tells of them.
	watching bool
	requests int // of our own so far
	broken   error

	// rested, when not nil, is told that all of so many messages are done and nothing is left to do.
	rested func(handled int)
}

// phase is how far the conversation is.
type phase uint8

const (
	fresh   phase = iota // before initialize
	running              // after it
	closing              // after shutdown
)

// incoming is one message, or what was wrong with it.
type incoming struct {
	*rpc.Message
	fault *rpc.Error
}

// Serve reads requests from in and answers on out until the client says exit or closes its stream. It
// gives the exit code that the protocol asks for: 0 after a shutdown, else 1. What goes wrong inside
// goes to log.
func Serve(in io.Reader, out, log io.Writer) int {
	return newServer(in, out, log).run()
}

func newServer(in io.Reader, out, log io.Writer) *server {
	return &server{
		in: rpc.NewReader(in), out: out, log: log, rest: rest, inbox: make(chan incoming, queue),
		docs: map[string]*document{}, books: map[string]*book{},
	}
}

func (s *server) run() int {
	go s.listen()
	return s.serve()
}

// serve carries out messages in their order. Findings are told when no message waits.
func (s *server) serve() int {
	timer := time.NewTimer(s.rest)
	timer.Stop()
	due := false // the timer runs
	for handled := 0; ; {
		select {
		case m, open := <-s.inbox:
			if !open || s.broken != nil || s.take(m) {
				return s.code()
			}
			handled++
		case <-timer.C:
			due = false
			if len(s.inbox) == 0 { // else there is more to come, and this would be stale
				s.publish()
			}
		}
		switch stale := s.stale(); {
		case stale && !due:
			timer.Reset(s.rest)
			due = true
		case !stale && len(s.inbox) == 0 && s.rested != nil:
			s.rested(handled)
		}
	}
}

// code is the exit code.
func (s *server) code() int {
	if s.phase == closing {
		return 0
	}
	return 1
}

// listen reads messages ahead until the stream ends.
func (s *server) listen() {
	defer close(s.inbox)
	for {
		m, err := s.in.Read()
		var fault *rpc.Error
		if err != nil && !errors.As(err, &fault) {
			return
		}
		if m.Method == "$/cancelRequest" {
			s.asked.cancel(m.Params)
		} else if m.IsRequest() {
			s.asked.add(m.ID)
		}
		s.inbox <- incoming{m, fault}
	}
}

// asked are the requests that were read and not yet answered; true for one that is cancelled.
type asked struct {
	sync.Mutex
	ids map[string]bool
}

func (a *asked) add(id json.RawMessage) {
	a.Lock()
	defer a.Unlock()
	if a.ids == nil {
		a.ids = map[string]bool{}
	}
	a.ids[string(id)] = false
}

// cancel marks a request that waits.
func (a *asked) cancel(params json.RawMessage) {
	var p struct {
		ID json.RawMessage `json:"id"`
	}
	if json.Unmarshal(params, &p) != nil {
		return
	}
	a.Lock()
	defer a.Unlock()
	if _, waits := a.ids[string(p.ID)]; waits {
		a.ids[string(p.ID)] = true
	}
}

// remove forgets a request and tells whether it was cancelled.
func (a *asked) remove(id json.RawMessage) (cancelled bool) {
	a.Lock()
	defer a.Unlock()
	cancelled = a.ids[string(id)]
	delete(a.ids, string(id))
	return cancelled
}

// take carries out one message; over is true when it was the last.
func (s *server) take(m incoming) (over bool) {
	switch {
	case m.fault != nil:
		s.asked.remove(m.ID)
		s.refuse(m.ID, m.fault)
	case m.Method == "exit":
		return true
	case m.IsRequest():
		if s.asked.remove(m.ID) {
			s.refuse(m.ID, rpc.Errorf(rpc.RequestCancelled, "cancelled"))
			return false
		}
		result, fault := s.carryOut(m.Message)
		if fault != nil {
			s.refuse(m.ID, fault)
			return false
		}
		s.keep(rpc.Answer(s.out, m.ID, result))
	case m.Method != "":
		s.hear(m.Message)
	}
	return false
}

// carryOut carries out a request. A fault of the program is answered like any other, so that the
// editor keeps its server.
func (s *server) carryOut(m *rpc.Message) (result any, fault *rpc.Error) {
	defer s.recovered(m.Method, &fault)
	switch {
	case s.phase == fresh && m.Method != "initialize":
		return nil, rpc.Errorf(rpc.ServerNotInitialized, "initialize comes first")
	case s.phase == closing:
		return nil, rpc.Errorf(rpc.InvalidRequest, "nothing but exit follows shutdown")
	case s.phase == running && m.Method == "initialize":
		return nil, rpc.Errorf(rpc.InvalidRequest, "initialize comes once")
	}
	do, ok := requests[m.Method]
	if !ok {
		return nil, rpc.Errorf(rpc.MethodNotFound, "there is no request %s here", short(m.Method))
	}
	return do(s, m.Params)
}

// hear carries out a notification. One that is not known, or comes at the wrong time, is dropped, as
// the protocol wants it.
func (s *server) hear(m *rpc.Message) {
	var fault *rpc.Error
	defer s.recovered(m.Method, &fault)
	do, ok := notifications[m.Method]
	if !ok || s.phase != running {
		return
	}
	if _, err := do(s, m.Params); err != nil {
		fmt.Fprintf(s.log, "bevelbook editor: %s: %s\n", m.Method, err.Message)
	}
}

// recovered keeps a fault of the program from ending the server.
func (s *server) recovered(method string, fault **rpc.Error) {
	if r := recover(); r != nil {
		fmt.Fprintf(s.log, "bevelbook editor: %s: %v\n%s", method, r, debug.Stack())
		*fault = rpc.Errorf(rpc.InternalError, "a fault of bevelbook itself: %v", r)
	}
}

// do carries out one method.
type do func(*server, json.RawMessage) (any, *rpc.Error)

// on makes a method of a function with parameters of its own type.
func on[P any](f func(*server, P) (any, *rpc.Error)) do {
	return func(s *server, params json.RawMessage) (any, *rpc.Error) {
		var p P
		if params != nil {
			if err := json.Unmarshal(params, &p); err != nil {
				return nil, rpc.Errorf(rpc.InvalidParams, "%s", misshapen(err))
			}
		}
		return f(s, p)
	}
}

// misshapen tells which parameter has another shape than the specification says.
func misshapen(err error) string {
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) && wrong.Field != "" {
		return fmt.Sprintf("the parameter %s cannot be a %s", wrong.Field, wrong.Value)
	}
	return "the parameters have another shape"
}

// told makes a method of a function that answers nothing.
func told[P any](f func(*server, P)) do {
	return on(func(s *server, p P) (any, *rpc.Error) {
		f(s, p)
		return nil, nil
	})
}

func (s *server) refuse(id json.RawMessage, fault *rpc.Error) { s.keep(rpc.Refuse(s.out, id, fault)) }

func (s *server) notify(method string, params any) { s.keep(rpc.Notify(s.out, method, params)) }

// request asks the client for something; its answer is not waited for.
func (s *server) request(method string, params any) {
	s.requests++
	s.keep(rpc.Request(s.out, s.requests, method, params))
}

// keep notes that nobody listens any more.
func (s *server) keep(err error) {
	if err != nil && s.broken == nil {
		s.broken = err
	}
}

// short cuts what is quoted in a message.
func short(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
