// Package page turns the pages of a journal and what their blocks work out into HTML.
//
// Views (view.go, card.go, table.go) are plain data that read as people see them; a theme's
// templates draw the page around them. What a journal says is text until it is escaped here or in
// a template; template.HTML is only ever made by this package. It never reads or writes files.
package page
