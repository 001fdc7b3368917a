package entry

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"go.yaml.in/yaml/v3"

	"bevelbook/calc/source"
	"bevelbook/calc/unit"
)

// fit checks the text of a value: it returns "" or what the key wants instead, and the way out.
type fit func(value string) (wants, help string)

// textInto reads a text into a field of the front matter when it fits.
func textInto(field func(*Front) *string, check fit) func(*reading, *Front, *yaml.Node) bool {
	return func(r *reading, f *Front, n *yaml.Node) bool {
		if n.Kind != yaml.ScalarNode || n.Tag == "!!null" || strings.TrimSpace(n.Value) == "" {
			return r.wrong(n, "a text", "Write it behind the colon, or remove the key")
		}
		if check != nil {
			if wants, help := check(n.Value); wants != "" {
				return r.wrong(n, wants, help)
			}
		}
		*field(f) = n.Value
		return true
	}
}

// wrong notes that a value is not what its key wants.
func (r *reading) wrong(n *yaml.Node, wants, help string) bool {
	is := "not " + kindName(n)
	switch {
	case n.Kind == yaml.ScalarNode && n.Tag == "!!null":
		is = "and has nothing"
	case n.Kind == yaml.ScalarNode:
		is = "not `" + short(n.Value) + "`"
	}
	r.note(WrongValue, r.at(n), help, "`%s` wants %s, %s", r.key, wants, is)
	return false
}

func checkDate(s string) (wants, help string) {
	if _, err := time.Parse(time.DateOnly, s); err != nil {
		return "a day of the calendar", "Write year, month and day: 2026-09-05"
	}
	return "", ""
}

func checkSection(s string) (wants, help string) {
	if isIdentifier(s) {
		return "", ""
	}
	word := strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return c
		}
		return '_'
	}, strings.TrimSpace(s))
	if isIdentifier(word) {
		return "a name of letters, digits and _", fmt.Sprintf("Write `section: %s`", short(word))
	}
	return "a name of letters, digits and _", "begin the name with a letter"
}

// isIdentifier tells whether s is a name of the block language: letters, digits and underscores,
// the first not a digit.
func isIdentifier(s string) bool {
	for i, c := range s {
		if c != '_' && !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c)) || c == unicode.ReplacementChar {
			return false
		}
	}
	return s != ""
}

func checkUnits(s string) (wants, help string) {
	if _, err := unit.ParseStyle(s); err != nil {
		return "the units to show lengths in", "Write `units: mm`, `units: in`, or `units: in 1/16` (a step of a rule, from 1/2 to 1/64)"
	}
	return "", ""
}

func checkAddress(s string) (wants, help string) {
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return "the address of the site", "Write it whole, such as https://lighthouse.example/walk/"
	}
	return "", ""
}

func checkTheme(s string) (wants, help string) {
	for _, c := range s {
		if c != '-' && c != '_' && (c > unicode.MaxASCII || !unicode.IsLetter(c) && !unicode.IsDigit(c)) {
			return "the name of a theme", "A theme's name holds letters, digits and hyphens"
		}
	}
	return "", ""
}

// checkLanguage takes what has the shape of a language tag: parts of up to eight letters and digits,
// joined by hyphens, the first of two or three letters (RFC 5646, section 2.1; longer first parts are
// reserved there).
func checkLanguage(s string) (wants, help string) {
	const wanted, way = "the tag of a language", "Write it as in en, de or pt-BR"
	for i, part := range strings.Split(s, "-") {
		if len(part) == 0 || len(part) > 8 || i == 0 && (len(part) < 2 || len(part) > 3) {
			return wanted, way
		}
		for _, c := range part {
			if c > unicode.MaxASCII || !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c)) {
				return wanted, way
			}
		}
	}
	return "", ""
}

// sides reads `left`, `right` or a list of both.
func (r *reading) sides(f *Front, n *yaml.Node) bool {
	items := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		items = n.Content
	}
	const wants, help = "left, right or both", "Write `sides: [left, right]`"
	var list []string
	for _, item := range items {
		side := item.Value
		if item.Kind != yaml.ScalarNode || side != "left" && side != "right" || slices.Contains(list, side) {
			return r.wrong(item, wants+", each once", help)
		}
		list = append(list, side)
	}
	if len(list) == 0 {
		return r.wrong(n, wants, help)
	}
	f.Sides = list
	return true
}

// minutes reads a plain number.
func (r *reading) minutes(f *Front, n *yaml.Node) bool {
	const wants = "a plain number of minutes"
	if n.Kind != yaml.ScalarNode {
		return r.wrong(n, wants, "Write `minutes: 90`")
	}
	if v, ok := decimal(n.Value); ok && v <= 1e6 {
		f.Minutes = v
		return true
	}
	if v, ok := hoursAndMinutes(n.Value); ok {
		return r.wrong(n, wants, "Write `minutes: "+strconv.FormatFloat(v, 'f', -1, 64)+"`")
	}
	return r.wrong(n, wants, "Write `minutes: 90` for an hour and a half")
}

// decimal reads digits with at most one point, and nothing else that Go takes for a number.
func decimal(s string) (float64, bool) {
	if strings.Trim(s, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// hoursAndMinutes reads what people write for times: "90 min", "1 h 30 min", "1h30", "1:30".
func hoursAndMinutes(s string) (minutes float64, ok bool) {
	scale := map[string]float64{"h": 60, "hour": 60, "hours": 60, ":": 60, "": 1, "m": 1, "min": 1, "minute": 1, "minutes": 1}
	rest := strings.TrimSpace(s)
	for rest != "" {
		i := len(rest) - len(strings.TrimLeft(rest, "0123456789."))
		v, isNumber := decimal(rest[:i])
		rest = strings.TrimLeft(rest[i:], " ")
		j := strings.IndexAny(rest, " 0123456789")
		if j < 0 {
			j = len(rest)
		}
		per, known := scale[rest[:j]]
		if !isNumber || !known {
			return 0, false
		}
		minutes += v * per
		rest = strings.TrimLeft(rest[j:], " ")
	}
	return minutes, minutes > 0 && minutes <= 1e6
}

// share reads yes or no.
func (r *reading) share(f *Front, n *yaml.Node) bool {
	answers := map[string]bool{"yes": true, "true": true, "no": false, "false": false}
	answer, known := answers[n.Value]
	if n.Kind != yaml.ScalarNode || !known {
		return r.wrong(n, "yes or no", "Write `share: no` to keep the page out of the site")
	}
	f.Share = answer
	return true
}

// accept reads findings with reasons.
func (r *reading) accept(f *Front, n *yaml.Node) bool {
	const help = "Write a line such as `off-sheet cheek: \"it is cut from a roll\"` below it"
	if n.Kind != yaml.MappingNode {
		return r.wrong(n, "findings with reasons", help)
	}
	seen := map[string]source.Span{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, reason := n.Content[i], n.Content[i+1]
		words := strings.Fields(name.Value)
		if name.Kind != yaml.ScalarNode || len(words) < 1 || len(words) > 2 {
			r.wrong(name, "the name of a finding, and of a part if only that one is meant", help)
			continue
		}
		if reason.Kind != yaml.ScalarNode || reason.Tag == "!!null" || strings.TrimSpace(reason.Value) == "" {
			r.wrong(reason, "the reason why this is accepted", help)
			continue
		}
		words = append(words, "")
		a := Accept{Finding: words[0], Part: words[1], Reason: reason.Value, At: r.at(name)}
		if _, twice := seen[a.Finding+" "+a.Part]; twice {
			r.note(SetTwice, a.At, "remove one of the two", "`%s` is accepted twice; the first counts", short(name.Value))
			continue
		}
		seen[a.Finding+" "+a.Part] = a.At
		f.Accept = append(f.Accept, a)
	}
	return true
}
