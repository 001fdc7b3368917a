package desk

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// pieces of an entry, from which random ones are put together.
var pieces = []string{
	"A board leans on the next one.", "The glue holds `-> wide + %d mm`.", "## Heading %d", "- one\n- two\n- item %d", "> Said %d times.",
	"| a | b |\n| --- | --- |\n| %d | 2 |\n| 3 | `-> wide` |", "1. first\n2. second %d", "```dims d%d\na: wide + 1 mm\nb: a * 2\n```",
	"```panel p%d\noutline: rect(width: wide, height: 60 mm)\nmaterial: foam10\n```", "```dims e%d\na: nobody + 1 mm\n```", "`code` and *words* and **%d**", "***",
	"<b>no markup</b>", "```\nplain %d\n```", "The same words again.", "The same words again.",
}

// Whatever is edited, the patched page is the page that a fresh look shows, but for what scripts and
// the reader did to it.
func TestAPatchedPageIsThePageAsServed(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	dir := small(t)
	var list []string
	piece := func() string {
		p := pieces[r.IntN(len(pieces))]
		if strings.Contains(p, "%d") {
			p = fmt.Sprintf(p, r.IntN(30))
		}
		return p
	}
	text := func(n int) string {
		return fmt.Sprintf("---\ntitle: Random %d\ndate: 2026-09-07\nsection: helm\n---\n```dims\nwide: %d mm\n```\n\n%s\n", n%3, 100+n%5, strings.Join(list, "\n\n"))
	}
	for range 12 {
		list = append(list, piece())
	}
	write(t, dir, "log/random.md", text(0))
	d := runDesk(t, Options{Dir: dir})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/random.html")
	b.run(`window.bare = (tree) => {
		tree = tree.cloneNode(true);
		tree.querySelectorAll(".fresh").forEach(e => { e.classList.remove("fresh"); });
		tree.querySelectorAll("*").forEach(e => { if (e.className === "") { e.removeAttribute("class"); } });
		tree.querySelectorAll("details").forEach(e => { e.open = false; });
		tree.querySelectorAll(".val[data-how]").forEach(e => { e.title = e.dataset.how; e.removeAttribute("data-how"); e.removeAttribute("tabindex"); });
		tree.normalize();
		const sorted = (e) => e.nodeType === 1 ? [e.nodeName, Array.from(e.attributes).map(a => a.name + "=" + a.value).sort(), Array.from(e.childNodes).map(sorted)] : [e.nodeName, e.nodeValue];
		return JSON.stringify(sorted(tree));
	};
	window.stayed = true`)
	for n := 1; n <= 60; n++ {
		for range 1 + r.IntN(3) {
			at := r.IntN(len(list) + 1)
			switch k := r.IntN(5); {
			case k == 0 && len(list) > 3:
				at = min(at, len(list)-1)
				list = append(list[:at:at], list[at+1:]...)
			case k == 1 && len(list) > 1:
				from := r.IntN(len(list))
				at = min(at, len(list)-1)
				list[from], list[at] = list[at], list[from]
			case k == 2 && len(list) > 0:
				list[min(at, len(list)-1)] = piece()
			default:
				list = append(list[:at:at], append([]string{piece()}, list[at:]...)...)
			}
		}
		if n%7 == 0 {
			b.run(`document.querySelectorAll("details").forEach((d, i) => { d.open = i % 2 === 0; })`)
		}
		write(t, dir, "log/random.md", text(n))
		b.until(`document.title.startsWith("Random ` + fmt.Sprint(n%3) + `")`)
		same := `fetch(location.pathname).then(a => a.text()).then(text => {
			const doc = new DOMParser().parseFromString(text, "text/html");
			return bare(document.getElementById("content")) === bare(doc.getElementById("content")) ? "" : document.getElementById("content").innerHTML + "\n------\n" + doc.getElementById("content").innerHTML;
		})`
		differs := ""
		eventually(t, "the page is as served", func() bool {
			differs, _ = chromedp.Run(b.ctx, chromedp.Evaluate[string](same, chromedp.EvalAwaitPromise))
			return differs == ""
		})
	}
	if !get[bool](b, "window.stayed") {
		t.Error("the page was loaded anew")
	}
}

// Whoever wants less motion sees a mark that stands still.
func TestTheMarkStandsStillForWhoWantsLessMotion(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	for want, moves := range map[string]bool{"reduce": false, "no-preference": true} {
		b := newTab(t, 1280, 900)
		if _, err := chromedp.Run(b.ctx, media("prefers-reduced-motion", want)); err != nil {
			t.Fatal(err)
		}
		b.open(d.Address() + "log/one.html")
		b.run(`window.seen = []; new MutationObserver(() => { document.querySelectorAll(".fresh").forEach(e => seen.push(getComputedStyle(e).animationName + " " + getComputedStyle(e).outlineStyle)); }).observe(document.body, {subtree: true, attributes: true, attributeFilter: ["class"]})`)
		write(t, d.dir, "log/one.md", firstEntry(fmt.Sprintf("%d mm", 300+len(want))))
		b.until(`seen.length > 0`)
		if got := get[string](b, `seen[0]`); strings.HasPrefix(got, "none") == moves || !strings.HasSuffix(got, "solid") {
			t.Errorf("with %s the mark is %q", want, got)
		}
	}
}

// media sets what the system says of its owner's wishes.
func media(name, value string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
		return err
	})
}

// A journal that cannot be read at present is said, and what was read last stays.
func TestAJournalThatIsAwayIsSaid(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	must(t, os.Rename(d.dir, d.dir+".away"))
	b.until(`document.getElementById("desk-errors").innerText.includes("journal.md is not there")`)
	if !get[bool](b, has("330 mm")) {
		t.Error("the page is gone")
	}
	write(t, d.dir+".away", "log/one.md", firstEntry("399 mm"))
	must(t, os.Rename(d.dir+".away", d.dir))
	b.until(`document.getElementById("desk-errors").hidden && ` + has("399 mm"))
}

// A theme that is not there is said too, and the site keeps the look that it had.
func TestAThemeThatIsNotThereIsSaid(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	write(t, d.dir, "journal.md", "---\ntitle: The lamp\ntheme: velvet\n---\nWelcome.\n")
	b.until(`document.getElementById("desk-errors").innerText.includes("velvet")`)
	write(t, d.dir, "journal.md", "---\ntitle: The lamp again\n---\nWelcome.\n")
	b.until(`document.getElementById("desk-errors").hidden && document.title.includes("lamp again")`)
}

func TestPollingIsSaidInTheStrip(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t), Poll: true})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	b.until(`document.getElementById("desk").innerText.includes("looked through twice a second")`)
	write(t, d.dir, "log/one.md", firstEntry("333 mm"))
	b.until(has("333 mm"))
}
