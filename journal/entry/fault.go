package entry

// Fault is the name of something wrong with a page as such.
type Fault string

// The faults of reading a page.
const (
	// NotUTF8: bytes that are no text in UTF-8.
	NotUTF8 Fault = "not-utf8"

	// TooLong: a page, a line or a table beyond what is read; see limit.go.
	TooLong Fault = "too-long"

	// TooDeep: quotes or lists nested deeper than anybody writes.
	TooDeep Fault = "too-deep"

	// FrontNotClosed: front matter begins with --- and no second line of --- ends it.
	FrontNotClosed Fault = "front-matter-not-closed"

	// FrontBroken: front matter that is not YAML.
	//
	//	title: The roof: a cone
	FrontBroken Fault = "front-matter-broken"

	// FrontNotPlain: YAML that says the same thing in a roundabout way: anchors, aliases, tags.
	//
	//	title: &t Roof
	FrontNotPlain Fault = "front-matter-not-plain"

	// UnknownKey: a key that front matter does not have.
	//
	//	tite: Roof
	UnknownKey Fault = "unknown-key"

	// SetTwice: the same key twice.
	//
	//	title: Roof
	//	title: Cone
	SetTwice Fault = "set-twice"

	// WrongValue: a value that its key cannot take.
	//
	//	date: tomorrow
	WrongValue Fault = "wrong-value"
)
