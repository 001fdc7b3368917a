package photo

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Bounds of an SVG picture. A traced drawing stays far below them.
const (
	maxSVGBytes    = 8 << 20
	maxSVGElements = 200_000
	maxSVGDepth    = 64
	maxSVGUses     = 1_000

	svgSpace   = "http://www.w3.org/2000/svg"
	xlinkSpace = "http://www.w3.org/1999/xlink"
	xmlSpace   = "http://www.w3.org/XML/1998/namespace"
)

// drawn lists the elements of SVG (SVG 2 and 1.1) that draw, describe or define and can neither run, fetch, lead
// away nor hold another language.
var drawn = wordSet(`svg g defs symbol use title desc switch view style
	path rect circle ellipse line polyline polygon text tspan textPath
	linearGradient radialGradient stop pattern marker clipPath mask
	filter feBlend feColorMatrix feComponentTransfer feComposite feConvolveMatrix feDiffuseLighting
	feDisplacementMap feDistantLight feDropShadow feFlood feFuncA feFuncB feFuncG feFuncR feGaussianBlur
	feMerge feMergeNode feMorphology feOffset fePointLight feSpecularLighting feSpotLight feTile feTurbulence`)

// functions lists what may stand before a bracket in an attribute or a style. Each takes numbers or colours only;
// url is looked at by itself.
var functions = wordSet(`url rgb rgba hsl hsla matrix matrix3d translate translatex translatey scale scalex scaley
	rotate skewx skewy calc min max clamp var polygon circle ellipse inset path
	blur brightness contrast drop-shadow grayscale hue-rotate invert opacity saturate sepia
	not is nth-child nth-of-type nth-last-child nth-last-of-type`)

// labels lists attributes that are only read out or matched, so that brackets in them call nothing.
var labels = wordSet(`id class lang role d points aria-label aria-description aria-labelledby aria-describedby title`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// svgCheck walks one picture.
type svgCheck struct {
	open     []string // the ids of the open elements, "" where there is none
	elements int
	style    *strings.Builder    // the text of the style element that is open
	uses     []use               // what the picture repeats
	repeated map[string]struct{} // the ids that are repeated
}

// use is one repetition and the ids of the elements around it.
type use struct{ around []string }

// CheckSVG refuses an SVG picture that could do more than draw itself: scripts, event handlers, animations, links,
// anything fetched from elsewhere, embedded pictures, other languages inside it, entities, and repetitions of
// repetitions, which a few lines can make to fill any memory. It is strict: it knows what is harmless, and refuses
// the rest. The error says what stands in the way and in which line.
func CheckSVG(data []byte) error {
	if len(data) > maxSVGBytes {
		return fmt.Errorf("the SVG picture is larger than %d MB", maxSVGBytes>>20)
	}
	if !utf8.Valid(data) {
		return errors.New("the SVG picture is not UTF-8 text; save it as plain SVG")
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	c := svgCheck{repeated: map[string]struct{}{}}
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err == nil {
			err = c.token(token)
		}
		if err != nil {
			line, _ := d.InputPos()
			return fmt.Errorf("the SVG picture cannot be shown, line %d: %w", line, err)
		}
	}
	if c.elements == 0 {
		return errors.New("the SVG picture is empty")
	}
	return c.repetitions()
}

func (c *svgCheck) token(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		return c.start(t)
	case xml.EndElement:
		return c.end(t)
	case xml.CharData:
		if c.style != nil {
			c.style.Write(t)
		}
	case xml.Directive:
		return errors.New("document types and entities are refused; save it as plain SVG")
	case xml.ProcInst:
		if t.Target != "xml" || c.elements > 0 {
			return fmt.Errorf("an instruction (%s) is refused", t.Target)
		}
	}
	return nil
}

func (c *svgCheck) start(t xml.StartElement) error {
	c.elements++
	switch {
	case t.Name.Space != svgSpace:
		return fmt.Errorf("the element %s is not SVG; save it as plain SVG", t.Name.Local)
	case !drawn[t.Name.Local]:
		return fmt.Errorf("the element %s is refused: a picture may only draw itself", t.Name.Local)
	case len(c.open) == 0 && (t.Name.Local != "svg" || c.elements > 1):
		return errors.New("it is not one svg element")
	case len(c.open) >= maxSVGDepth:
		return fmt.Errorf("elements stand more than %d deep", maxSVGDepth)
	case c.elements > maxSVGElements:
		return fmt.Errorf("it has more than %d elements", maxSVGElements)
	case c.style != nil:
		return errors.New("a style holds an element")
	}
	id, target := "", ""
	for _, a := range t.Attr {
		if err := checkAttr(a); err != nil {
			return err
		}
		switch a.Name.Local {
		case "id":
			id = a.Value
		case "href":
			target = strings.TrimPrefix(strings.TrimSpace(a.Value), "#")
			if t.Name.Local == "use" {
				c.repeated[target] = struct{}{}
			}
		}
	}
	c.open = append(c.open, id)
	switch t.Name.Local {
	case "use":
		if len(c.uses) == maxSVGUses {
			return fmt.Errorf("it has more than %d use elements", maxSVGUses)
		}
		c.uses = append(c.uses, use{append([]string(nil), c.open...)})
	case "style":
		c.style = &strings.Builder{}
	}
	return nil
}

func (c *svgCheck) end(t xml.EndElement) error {
	c.open = c.open[:len(c.open)-1]
	if t.Name.Local != "style" {
		return nil
	}
	css := c.style.String()
	c.style = nil
	return checkStyle(css)
}

// repetitions refuses a use inside what is used: the picture would grow with every level.
func (c *svgCheck) repetitions() error {
	for _, u := range c.uses {
		for _, id := range u.around {
			if _, again := c.repeated[id]; again && id != "" {
				return fmt.Errorf("the SVG picture cannot be shown: what is repeated (#%s) repeats something itself", id)
			}
		}
	}
	return nil
}

func checkAttr(a xml.Attr) error {
	name := strings.ToLower(a.Name.Local)
	switch {
	case a.Name.Space == "xmlns", a.Name.Space == "" && name == "xmlns":
		return nil // what it leads to is seen at the elements
	case a.Name.Space == xmlSpace && (name == "space" || name == "lang"):
		return nil
	case name == "href" && (a.Name.Space == "" || a.Name.Space == xlinkSpace):
		// A percent sign could spell an id in a way that the search for repetitions does not see.
		if !strings.HasPrefix(strings.TrimSpace(a.Value), "#") || strings.Contains(a.Value, "%") {
			return fmt.Errorf("the reference %.60q leads out of the picture", a.Value)
		}
		return nil
	case a.Name.Space != "":
		return fmt.Errorf("the attribute %s is not SVG; save it as plain SVG", a.Name.Local)
	case strings.HasPrefix(name, "on"):
		return fmt.Errorf("the event handler %s is refused", a.Name.Local)
	case name == "src" || name == "base" || !isPlainName(name):
		return fmt.Errorf("the attribute %s is refused", a.Name.Local)
	case labels[name], strings.HasPrefix(name, "data-"):
		return nil
	}
	return checkStyle(a.Value)
}

func isPlainName(name string) bool {
	return strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-_") == ""
}

// checkStyle refuses CSS, in an element or an attribute, that could fetch: rules that begin with @, escapes and
// comments that could hide one, and functions that are not known to be harmless.
func checkStyle(css string) error {
	if i := strings.IndexAny(css, `\@`); i >= 0 {
		return fmt.Errorf("%q in a style is refused", css[i])
	}
	if strings.Contains(css, "/*") {
		return errors.New("a comment in a style is refused")
	}
	low := strings.ToLower(css)
	for at := 0; ; {
		i := strings.IndexByte(low[at:], '(')
		if i < 0 {
			return nil
		}
		before := low[at : at+i]
		at += i + 1
		name := before[strings.LastIndexFunc(before, func(r rune) bool { return !isNameRune(r) })+1:]
		if name == "" {
			continue
		}
		if !functions[name] {
			return fmt.Errorf("%.40s(…) in a style is refused", name)
		}
		if name == "url" && !strings.HasPrefix(strings.TrimLeft(low[at:], " \t\r\n\"'"), "#") {
			return errors.New("url(…) leads out of the picture")
		}
	}
}

func isNameRune(r rune) bool {
	return r == '-' || r == '_' || '0' <= r && r <= '9' || 'a' <= r && r <= 'z' || r >= 0x80
}
