package desk

import (
	"context"
	"errors"
	"io/fs"
	"time"

	"bevelbook/journal"
)

// loop does everything that touches the journal, one thing after the other.
func (d *Desk) loop(ctx context.Context) {
	defer func() {
		for _, s := range d.streams {
			s.end(endClosed)
		}
		d.streams = nil
		d.book.root.Close()
	}()
	for {
		select {
		case <-ctx.Done():
			return
		case do := <-d.calls:
			do()
		case b := <-d.watch.out:
			d.update(b)
		}
	}
}

// ask has the loop do something and waits for it; false if the desk closes.
func (d *Desk) ask(do func()) bool {
	done := make(chan struct{})
	select {
	case d.calls <- func() { do(); close(done) }:
	case <-d.closing:
		return false
	}
	select {
	case <-done:
		return true
	case <-d.closing:
		return false
	}
}

// update takes in a batch of changes and tells every open page what is new on it: what it shows
// first, the strip behind that.
func (d *Desk) update(b batch) {
	d.polling, d.notes = b.polling, nil
	if err := d.take(b); err != nil {
		if d.fault = err.Error(); errors.Is(err, journal.ErrNoJournal) {
			d.fault = "journal.md is not there any more; the desk shows what it last read, and waits"
		}
	} else {
		d.fault = ""
	}
	if err := d.book.Fault(); err != nil && d.fault == "" {
		d.slip = err.Error()
	} else {
		d.slip = ""
	}
	d.show()
	if words := d.strip("index.html").words; words != d.said {
		d.said = words
		d.tell("%s  %s", time.Now().Format(time.TimeOnly), words)
	}
}

// take brings the journal up to date, or reads it anew if its folder may be another one.
func (d *Desk) take(b batch) error {
	if !b.all && d.fault == "" {
		_, err := d.book.Update(b.paths...)
		return err
	}
	fresh, err := openBook(d.root, d.opt.Layouts, d.relaid)
	if err != nil {
		return err
	}
	d.book.root.Close()
	d.book = fresh
	return nil
}

// show sends every stream what has changed for it.
func (d *Desk) show() {
	pages := map[string]*view{}
	for i := len(d.streams) - 1; i >= 0; i-- { // the latest first: it is the one that is looked at
		s := d.streams[i]
		if pages[s.page] == nil {
			pages[s.page] = d.view(s.page)
		}
		s.show(pages[s.page])
	}
	strips := map[string]*strip{}
	for i := len(d.streams) - 1; i >= 0; i-- {
		s := d.streams[i]
		if strips[s.page] == nil {
			strips[s.page] = d.strip(s.page)
		}
		s.tell(strips[s.page])
	}
}

// view is a page as it is served.
type view struct {
	page string
	html []byte // as pressed; nil if the site has no such page
	mark string // of the html
}

func (d *Desk) view(page string) *view {
	html, err := d.book.Page(page)
	if errors.Is(err, fs.ErrNotExist) {
		return &view{page: page, mark: "gone"}
	}
	if err != nil {
		html = []byte(err.Error())
	}
	return &view{page, html, markOf(html)}
}
