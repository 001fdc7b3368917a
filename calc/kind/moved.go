package kind

import (
	"reflect"
	"sync"

	"bevelbook/calc/source"
)

// Moved is the output of a block whose text reads the same and stands elsewhere now: in the file to, by
// bytes further down than it was in from. The output itself is changed, not a copy.
func (o *Output) Moved(from, to *source.File, by int) {
	moving{from, to, by}.move(reflect.ValueOf(o).Elem())
}

// moving shifts places. It goes by types, so that a place in a new field is not forgotten.
type moving struct {
	from, to *source.File
	by       int
}

var span = reflect.TypeFor[source.Span]()

func (m moving) move(v reflect.Value) {
	if !holdsPlaces(v.Type()) {
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == span {
			if s := v.Interface().(source.Span); s.File == m.from {
				v.Set(reflect.ValueOf(source.Span{File: m.to, Start: s.Start + m.by, End: s.End + m.by}))
			}
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				m.move(v.Field(i))
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			m.move(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			m.move(v.Index(i))
		}
	}
}

// places remembers of types whether they hold places.
var places sync.Map

// holdsPlaces tells whether a value of a type can hold a place: values of the language and items of a
// drawing never do.
func holdsPlaces(t reflect.Type) bool {
	if known, ok := places.Load(t); ok {
		return known.(bool)
	}
	holds := looksInto(t, map[reflect.Type]bool{})
	places.Store(t, holds)
	return holds
}

func looksInto(t reflect.Type, seen map[reflect.Type]bool) bool {
	if t == span {
		return true
	}
	if seen[t] {
		return false // a type that holds itself
	}
	seen[t] = true
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() && looksInto(f.Type, seen) {
				return true
			}
		}
	case reflect.Pointer, reflect.Slice, reflect.Array:
		return looksInto(t.Elem(), seen)
	}
	return false
}
