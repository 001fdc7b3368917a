package site

import (
	"regexp"
	"strings"
	"testing"
)

// The canary: a measurement with digits that nothing else in the journal has, in every unit and
// rounding in which it could show.
const measured = "263.19 mm"

var canary = regexp.MustCompile(`263[.,]19|263[.,]2\b|\b263 ?mm|26[.,]3[12]?\b|10[.,]36|\b10 3/8|526[.,][34]|52[.,]6|CANARY`)

// secretive is a journal that tries to tell the measurement in every way that we know of.
var secretive = files{
	"journal.md": homePage + "\nHome says `-> wearer.forearm_length` and `-> arm`.\n",
	"wearer.md": "---\ntitle: Measures\n---\nTaken twice.\n\n" +
		"```wearer\nforearm_length: " + measured + "   # CANARY remark\nhand_length: 263.19 mmm\nstature: 263.19 mm\nneck_girth: forearm_length + 5 deg\nhead_girth: sqrt(0 mm^2 - 263.19 mm * 1 mm)\nown: 263.19 mm, CANARY\n263.19: CANARY\n```\n",
	"log/a.md": "---\ntitle: Arm\ndate: 2026-09-05\nsection: forearm\n---\n" +
		"First `-> wearer.forearm_length` words.\n\n## Of `-> wearer.forearm_length`\n\n## Two\n\n## Three\n\n" +
		"```dims\nreach: round(wearer.forearm_length - 25 mm, 5 mm)   # a remark to keep\n" +
		"alias: wearer.forearm_length\nrounded: round(wearer.forearm_length, 1 mm)\nstepped: wearer.forearm_length to 1\ninches: wearer.forearm_length as in\n" +
		"doubled: 2 * wearer.forearm_length\nlisted: [wearer.forearm_length, 1 mm]\npoint: (wearer.forearm_length, 1 mm)\nand_nothing: wearer.forearm_length + 0 mm\nin_inches: and_nothing + 0 mm as in\nacross: rect(width: alias, height: 20 mm).width\nframe: rect(width: alias, height: 20 mm)\nnested: [across, 2 mm]\nleast: min(alias, 900 mm)\n" +
		"bad_root: sqrt(wearer.forearm_length - 900 mm)\nbad_sum: wearer.forearm_length + 5 deg\nbad_circle: circle(radius: 0 mm - wearer.forearm_length)\nbad_round: round(wearer.forearm_length, 0 mm)\nbad_count: 2 x wearer.forearm_length\nbad_if: if(wearer.forearm_length, 1, 2)\n```\n\n" +
		"It is `-> reach`, `-> alias`, `-> rounded`, `-> inches`, `-> doubled`, `-> listed`, `-> point`, `-> least`, `-> wearer.forearm_length as cm`, `-> wearer`, `-> wearer.forearm_length * 1`, `-> sqrt(wearer.forearm_length - 900 mm)`, `-> half / 2`, `-> hypot(alias, 0 mm)`, `-> sqrt(alias^2)`, `-> across`, `-> frame`, `-> path((0, 0), (alias, 0 mm)).length`, `-> alias * wall / wall`.\n\n" +
		"```dims\nwall: 10 mm\nhalf: reach / 2\n```\n\n" +
		"```tool odd\nhold: wearer.forearm_length\nheight: reach\n```\n\n" +
		"```bevel odder\ndihedral: wearer.forearm_length\n```\n\n" +
		"```panel lid\noutline: rect(width: reach, height: 60 mm)\nthickness: 10 mm\ncount: wearer.forearm_length\n```\n\n" +
		"```panel plate\noutline: rect(width: reach, height: 60 mm)\nthickness: 10 mm\nbevel left: 30 deg\n```\n\n" +
		"```panel bare\noutline: rect(width: wearer.forearm_length, height: 60 mm)\nthickness: 10 mm\n```\n\n" +
		"```panel leaning\noutline: rect(width: wearer.forearm_length + 20 mm, height: 60 mm)\nthickness: 10 mm\nbevel left: 45 deg\nbevel right: 45 deg\n```\n\n" +
		"```panel thick\noutline: rect(width: 90 mm, height: 60 mm)\nthickness: wearer.forearm_length\n```\n\n" +
		"```stack wall\nlayers: 2 mm, wearer.forearm_length\n```\n\n" +
		"```list all\nof: findings\nover: build\n```\n\n```list parts\nof: parts\n```\n",
}

func TestAPrivateMeasurementReachesNoFileOfTheSite(t *testing.T) {
	for _, share := range []bool{false, true} {
		got := site(t, secretive, Options{Share: share})
		for path, text := range got {
			if strings.HasSuffix(path, ".pdf") || strings.HasPrefix(path, ".") || strings.HasPrefix(path, "look/") {
				continue // PDFs are of the same pieces as the SVGs; the list holds sums
			}
			for _, at := range canary.FindAllStringIndex(text, 5) {
				t.Errorf("share %v: %s tells it: …%s…", share, path, text[max(0, at[0]-120):min(len(text), at[1]+60)])
			}
		}
		page := got["log/a.html"]
		for _, words := range []string{"kept private", ">240 mm</output>", "a remark to keep", "panel-plate"} {
			if !strings.Contains(page, words) {
				t.Errorf("share %v: the page lacks %q", share, words)
			}
		}
	}
}

func TestASharedMeasurementIsShown(t *testing.T) {
	got := site(t, files{"journal.md": homePage, "wearer.md": "```wearer\nshare: yes\nforearm_length: 263.5 mm\n```\n\n`-> wearer.forearm_length`\n"}, Options{})
	if strings.Count(got["wearer.html"], "263.5 mm") < 2 {
		t.Error(got["wearer.html"])
	}
}

func TestAValueShapedByAPrivateOneShowsNoNumbersInItsWorking(t *testing.T) {
	got := site(t, files{"journal.md": homePage,
		"a.md": "```wearer\nforearm_length: 263.5 mm\n```\n\n```dims\nreach: round(wearer.forearm_length - 25 mm, 5 mm)\nhalf: reach / 2\nopen: 10 mm\nother: open / 2\n```\n"}, Options{})
	page := got["a.html"]
	for _, words := range []string{"<code>round(wearer.forearm_length - 25 mm, 5 mm)</code><code>= 240 mm</code>", "<code>reach / 2</code><code>= 120 mm</code>", "<code>open / 2</code><code>= 10 mm / 2</code><code>= 5 mm</code>"} {
		if !strings.Contains(page, words) {
			t.Errorf("the page lacks %s in %s", words, page)
		}
	}
}

func TestASizeThatIsAMeasurementStaysAtHomeUntilAnEntryAcceptsIt(t *testing.T) {
	const panel = "```panel cuff\noutline: rect(width: wearer.forearm_length, height: 60 mm)\nthickness: 10 mm\n```\n"
	const wearer = "```wearer\nforearm_length: 263.5 mm\n```\n\n"
	held := site(t, files{"journal.md": homePage, "a.md": wearer + panel}, Options{})
	open := site(t, files{"journal.md": homePage,
		"a.md": "---\naccept:\n  measure-shown cuff: \"the wearer says it may be seen\"\n---\n" + wearer + panel}, Options{})
	if strings.Contains(held["a.html"], "263.5") || held["templates/cuff.svg"] != "" || strings.Contains(held["ledger/parts.json"], "cuff") {
		t.Error("a part as wide as the wearer's arm is published")
	}
	if !strings.Contains(held["a.html"], "Kept at home") {
		t.Error("the page does not say that the part is kept at home")
	}
	if !strings.Contains(open["a.html"], "263.5 mm") || !strings.Contains(open["ledger/parts.json"], "cuff") {
		t.Error("the part is kept at home although an entry accepts it")
	}
}
