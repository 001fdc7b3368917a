package page

import (
	"html/template"
	"io"
	"strings"
	"sync"

	"bevelbook/themes"
)

// Look draws views with a theme. It may be used by several goroutines.
type Look struct {
	pages *template.Template

	mu        sync.Mutex
	furniture map[Frame]furniture // by frames without what is a page's own; guarded by mu
}

type furniture struct{ head, masthead, foot template.HTML }

// NewLook readies a theme.
func NewLook(theme *themes.Theme) *Look {
	return &Look{pages: theme.Pages, furniture: map[Frame]furniture{}}
}

// View is one of the views of this package: it embeds a Frame.
type View interface{ frame() *Frame }

// Draw writes a page: name is one of themes.Pages, view a pointer to the view of that name.
// It fills in the frame's Head, Masthead and Foot.
func (l *Look) Draw(w io.Writer, name string, view View) error {
	if err := l.furnish(view.frame()); err != nil {
		return err
	}
	return l.pages.ExecuteTemplate(w, name, view)
}

func (l *Look) furnish(f *Frame) error {
	shared := *f
	shared.Title, shared.Description = "", ""
	shared.Head, shared.Masthead, shared.Foot = "", "", ""
	l.mu.Lock()
	defer l.mu.Unlock()
	drawn, ok := l.furniture[shared]
	if !ok {
		for name, piece := range map[string]*template.HTML{"head": &drawn.head, "masthead": &drawn.masthead, "foot": &drawn.foot} {
			var b strings.Builder
			if err := l.pages.ExecuteTemplate(&b, name, &shared); err != nil {
				return err
			}
			*piece = template.HTML(b.String())
		}
		l.furniture[shared] = drawn
	}
	f.Head, f.Masthead, f.Foot = drawn.head, drawn.masthead, drawn.foot
	return nil
}
