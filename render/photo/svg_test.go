package photo

import (
	"fmt"
	"strings"
	"testing"
)

func svg(inside string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9">` + inside + `</svg>`
}

func TestDrawingsPass(t *testing.T) {
	for _, text := range []string{
		svg(``),
		`<?xml version="1.0" encoding="UTF-8" standalone="no"?><!-- lantern -->` + svg(`<title>Roof (front)</title>`),
		svg(`<defs><linearGradient id="g"><stop offset="0" stop-color="rgb(1,2,3)"/></linearGradient></defs><path d="M0 0h9" fill="url(#g)" transform="rotate(3) translate(1 2)"/>`),
		svg(`<style>.cut { stroke: #a00; fill: none } g:not(.x) > path { filter: url('#f') }</style><g class="cut (a)"/>`),
		svg(`<g id="a"><circle r="1"/></g><use href="#a"/><use xlink:href="#a" x="3"/>`),
		svg(`<text xml:space="preserve" aria-label="Side(left)" style="font-size:3px">alert(1) @ url(http://x)</text>`),
		`<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:rect width="1" height="1"/></s:svg>`,
	} {
		if err := CheckSVG([]byte(text)); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestSVGThatDoesMoreThanDrawIsRefused(t *testing.T) {
	deep := strings.Repeat("<g>", maxSVGDepth) + strings.Repeat("</g>", maxSVGDepth)
	for _, c := range []struct{ text, want string }{
		{svg(`<script>alert(1)</script>`), "script"},
		{svg(`<SCRIPT/>`), "SCRIPT"},
		{svg(`<h:script xmlns:h="http://www.w3.org/1999/xhtml">1</h:script>`), "not SVG"},
		{svg(`<g xmlns="http://www.w3.org/1999/xhtml"><iframe/></g>`), "not SVG"},
		{svg(`<foreignObject/>`), "foreignObject"},
		{svg(`<image href="data:image/png;base64,AA"/>`), "image"},
		{svg(`<a href="#x"/>`), "element a"},
		{svg(`<animate attributeName="href" to="javascript:1"/>`), "animate"},
		{svg(`<set attributeName="onload"/>`), "element set"},
		{svg(`<feImage href="#a"/>`), "feImage"},
		{svg(`<g onload="x"/>`), "event handler"},
		{svg(`<g OnClick="x"/>`), "event handler"},
		{svg(`<g xlink:onload="x"/>`), "not SVG"},
		{svg(`<use href="other.svg#a"/>`), "leads out"},
		{svg(`<use xlink:href=" http://x/#a"/>`), "leads out"},
		{svg(`<use href="&#106;avascript:1"/>`), "leads out"},
		{svg(`<g xml:base="http://x/"/>`), "not SVG"},
		{svg(`<g fill="url(http://x)"/>`), "leads out"},
		{svg(`<g style="fill: URL( ' //x#a' )"/>`), "leads out"},
		{svg(`<g style="fill: u\72l(http://x)"/>`), "in a style"},
		{svg(`<g style="background: image-set('http://x' 1x)"/>`), "image-set"},
		{svg(`<g src="x"/>`), "src"},
		{svg(`<style>@import "http://x";</style>`), "in a style"},
		{svg(`<style>&#64;import "http://x";</style>`), "in a style"},
		{svg(`<style><![CDATA[a { b: url(x) }]]></style>`), "leads out"},
		{svg(`<style>a { b: ur<!-- -->l(x) }</style>`), "leads out"},
		{svg(`<style><g/></style>`), "style"},
		{`<!DOCTYPE svg [<!ENTITY a "b">]>` + svg(`&a;`), "entities"},
		{svg(`&lantern;`), "entity"},
		{`<?xml-stylesheet href="x"?>` + svg(``), "instruction"},
		{svg(`<?php x?>`), "instruction"},
		{`<?xml version="1.0" encoding="UTF-7"?>` + svg(``), "encoding"},
		{svg(``) + svg(``), "one svg"},
		{`<g xmlns="http://www.w3.org/2000/svg"/>`, "one svg"},
		{`<svg/>`, "not SVG"},
		{`<svg xmlns="http://www.w3.org/2000/svg">`, "EOF"},
		{svg(deep), "deep"},
		{svg(strings.Repeat("<g/>", maxSVGElements)), "elements"},
		{svg(strings.Repeat(`<use href="#a"/>`, maxSVGUses+1)), "use elements"},
		{svg(`<g id="a"><use href="#b"/></g><g id="b"><use href="#c"/></g>`), "repeats"},
		{svg(`<use id="u" href="#u"/>`), "repeats"},
		{svg(`<g id="a"><use href="#%62"/></g>`), "leads out"},
		{"", "empty"},
		{"\xff\xfe<\x00", "UTF-8"},
		{strings.Repeat(" ", maxSVGBytes+1), "larger"},
	} {
		if err := CheckSVG([]byte(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.100s: %v, want %q", c.text, err, c.want)
		}
	}
}

func TestTheLineOfWhatIsRefusedIsTold(t *testing.T) {
	err := CheckSVG([]byte(svg("\n<g/>\n<script/>\n")))
	if want := "line 3"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%v, want %s", err, want)
	}
}

func FuzzCheckSVG(f *testing.F) {
	f.Add(svg(`<style>a{}</style><use href="#a"/>`))
	f.Add(svg(`<g style="fill:url(#a)" onload="x"/>`))
	f.Fuzz(func(t *testing.T, text string) {
		if CheckSVG([]byte(text)) != nil {
			return
		}
		low := strings.ToLower(text)
		for _, bad := range []string{"<script", "<foreignobject", "<!entity", "<!doctype"} {
			inComment := strings.Contains(low, "<!--") || strings.Contains(low, "<![cdata[")
			if !inComment && strings.Contains(low, bad) {
				t.Errorf("%s passes", fmt.Sprintf("%q", bad))
			}
		}
	})
}
