package entry

import (
	"go.yaml.in/yaml/v3"
)

// use tells which pages may have a key.
type use int

const (
	byEntry   use = 1 << iota // all pages but journal.md
	byJournal                 // journal.md
)

// key is one key of front matter.
type key struct {
	name string
	use  use
	read func(*reading, *Front, *yaml.Node) bool // false when it noted a fault
}

// keys lists the keys, in the order in which they are documented.
var keys = []key{
	{"title", byEntry | byJournal, textInto(func(f *Front) *string { return &f.Title }, nil)},
	{"date", byEntry, textInto(func(f *Front) *string { return &f.Date }, checkDate)},
	{"section", byEntry, textInto(func(f *Front) *string { return &f.Section }, checkSection)},
	{"sides", byEntry, (*reading).sides},
	{"minutes", byEntry, (*reading).minutes},
	{"cover", byEntry, textInto(func(f *Front) *string { return &f.Cover }, nil)},
	{"share", byEntry, (*reading).share},
	{"accept", byEntry, (*reading).accept},
	{"author", byJournal, textInto(func(f *Front) *string { return &f.Author }, nil)},
	{"units", byJournal, textInto(func(f *Front) *string { return &f.Units }, checkUnits)},
	{"base_url", byJournal, textInto(func(f *Front) *string { return &f.BaseURL }, checkAddress)},
	{"theme", byJournal, textInto(func(f *Front) *string { return &f.Theme }, checkTheme)},
	{"language", byJournal, textInto(func(f *Front) *string { return &f.Language }, checkLanguage)},
	{"description", byJournal, textInto(func(f *Front) *string { return &f.Description }, nil)},
}

// lookup returns the key of that name, or nil.
func lookup(name string) *key {
	for i := range keys {
		if keys[i].name == name {
			return &keys[i]
		}
	}
	return nil
}

// names are the keys that pages of this use may have.
func names(u use) []string {
	var list []string
	for _, k := range keys {
		if k.use&u != 0 {
			list = append(list, k.name)
		}
	}
	return list
}

// Keys lists the keys that front matter takes, in the order in which they are documented: those of
// journal.md, or those of any other page.
func Keys(isJournal bool) []string {
	if isJournal {
		return names(byJournal)
	}
	return names(byEntry)
}
