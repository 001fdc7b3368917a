package desk

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// browser is one Chromium for all tests of the package.
var browser struct {
	once    sync.Once
	context context.Context
	close   func()
	err     error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if browser.close != nil {
		browser.close()
	}
	os.Exit(code)
}

// tab is one page in the browser.
type tab struct {
	t   testing.TB
	ctx context.Context
}

// newTab opens a tab of the given width, or skips the test where there is no browser; in CI that is
// a failure.
func newTab(t testing.TB, width, height int64) *tab {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is missing")
		}
		t.Skip("chromium is missing: the desk is not looked at in a browser")
	}
	browser.once.Do(func() {
		opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
			chromedp.Flag("no-proxy-server", true), chromedp.Flag("enable-features", ""))
		alloc, closeAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
		ctx, closeBrowser := chromedp.NewContext(alloc)
		browser.context, browser.close = ctx, func() { closeBrowser(); closeAlloc() }
		_, browser.err = chromedp.Run(ctx, chromedp.Evaluate[int]("1"))
	})
	if browser.err != nil {
		t.Fatal(browser.err)
	}
	ctx, closeTab := chromedp.NewContext(browser.context)
	t.Cleanup(closeTab)
	// The first run makes the tab, which lives as long as the context of that run.
	if _, err := chromedp.Run(ctx, chromedp.EmulateViewport(width, height)); err != nil {
		t.Fatal(err)
	}
	b := &tab{t, ctx}
	return b
}

// do runs one action in the page.
func do[T any](b *tab, action chromedp.Action[T]) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, action)
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}

// open shows an address.
func (b *tab) open(address string) {
	b.t.Helper()
	do(b, chromedp.Navigate(address))
}

// run runs a script in the page.
func (b *tab) run(script string) {
	b.t.Helper()
	do(b, chromedp.Evaluate[chromedp.Void](script))
}

// get is the value of an expression in the page.
func get[T any](b *tab, expression string) T {
	b.t.Helper()
	return do(b, chromedp.Evaluate[T](expression))
}

// until waits for an expression to be true in the page, which may be on its way to another.
func (b *tab) until(expression string) {
	b.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if ok, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool]("!!("+expression+")")); ok && err == nil {
			return
		}
	}
	body, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.body.innerText.slice(0, 1500)`))
	b.t.Fatalf("%s does not come true; the page says\n%s", expression, body)
}

// shoot keeps a picture of the page where DESK_PICTURES says, for somebody to look at.
func (b *tab) shoot(name string) {
	b.t.Helper()
	if dir := os.Getenv("DESK_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name+".png"), do(b, chromedp.CaptureScreenshot()), 0o666); err != nil {
			b.t.Fatal(err)
		}
	}
}

func has(text string) string {
	return fmt.Sprintf("document.querySelector('main').innerText.includes(%q)", text)
}

func TestASaveIsOnThePageAndTheReaderKeepsItsPlace(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	b.until(has("The last words"))
	// The reader scrolls to the board, unfolds its source and puts the focus there.
	b.run(`(() => {
		const d = document.querySelector("#panel-board details.source");
		d.open = true;
		d.querySelector("summary").focus({preventScroll: true});
		document.getElementById("panel-board").scrollIntoView();
		window.first = document.getElementById("panel-board");
	})()`)
	before := get[float64](b, `document.getElementById("panel-board").getBoundingClientRect().top`)
	if get[float64](b, `scrollY`) < 300 {
		t.Fatal("the page does not scroll")
	}
	write(t, d.dir, "log/one.md", strings.Replace(firstEntry("344 mm"), "The first words.", "The first words.\n\nAnd some more of them, above.", 1))
	b.until(has("344 mm"))
	b.until(has("some more of them, above"))
	b.until(`document.querySelector(".fresh") !== null`)
	if marked := get[bool](b, `document.getElementById("panel-board").classList.contains("fresh") && document.getElementById("dims").classList.contains("fresh")`); !marked {
		t.Error("the cards that changed are not marked")
	}
	if !get[bool](b, `document.getElementById("panel-board") === window.first && document.querySelector("#panel-board details.source").open`) {
		t.Error("what was unfolded is folded again")
	}
	if !get[bool](b, `document.activeElement === document.querySelector("#panel-board details.source summary")`) {
		t.Error("the focus is lost, it is at " + get[string](b, `document.activeElement.outerHTML.slice(0, 100)`))
	}
	if after := get[float64](b, `document.getElementById("panel-board").getBoundingClientRect().top`); after < before-2 || after > before+2 {
		t.Errorf("the board moved on the screen from %v to %v", before, after)
	}
	b.until(`document.querySelector(".fresh") === null`)
	b.until(`document.getElementById("desk-told").textContent !== ""`)
}

func TestAnErrorIsShownWhereItIsAndGoesAwayByItself(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	b.until(`document.getElementById("desk-errors").hidden`)
	b.run(`scrollTo(0, 400)`)
	write(t, d.dir, "log/one.md", firstEntry("330 mn"))
	b.until(`!document.getElementById("desk-errors").hidden`)
	b.until(`document.querySelector("#dims .trouble") !== null`)
	const errors = `document.getElementById("desk-errors").innerText`
	if text := get[string](b, errors); !strings.Contains(text, "log/one.md:18:12") || !strings.Contains(text, "mn") {
		t.Errorf("above the page stands %q", text)
	}
	if !get[bool](b, `(() => { const r = document.getElementById("desk-errors").getBoundingClientRect(); return r.top >= 0 && r.top < 5 && r.height > 20 })()`) {
		t.Error("the errors are not in sight")
	}
	b.until(`document.getElementById("desk-told").textContent.includes("log/one.md:18:12")`)
	b.until(`document.querySelector("#desk-stop li.here") !== null`)
	b.shoot("error")
	// Values that wait for it say so on other pages too.
	other := newTab(t, 1280, 900)
	other.open(d.Address() + "log/two.html")
	other.until(`document.querySelector(".val-err") !== null`)
	write(t, d.dir, "log/one.md", firstEntry("320 mm"))
	b.until(`document.getElementById("desk-errors").hidden`)
	b.until(`document.querySelector("#dims .trouble") === null`)
	b.until(has("320 mm"))
	other.until(has("160 mm"))
}

func TestALostDeskIsShownAndPickedUpAgain(t *testing.T) {
	dir := small(t)
	d := runDesk(t, Options{Dir: dir})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	b.until(has("330 mm"))
	b.run(`scrollTo(0, 500); window.stayed = true`)
	port := d.Port()
	d.stop()
	b.until(`document.documentElement.classList.contains("desk-lost") && document.getElementById("desk-told").textContent.includes("lost")`)
	b.shoot("lost")
	write(t, dir, "log/one.md", firstEntry("340 mm"))
	runDesk(t, Options{Dir: dir, Port: port})
	b.until(has("340 mm"))
	b.until(`!document.documentElement.classList.contains("desk-lost")`)
	if !get[bool](b, `window.stayed === true && scrollY > 450`) {
		t.Error("the page was loaded anew")
	}
}

func TestAFindingLeadsToItsPlace(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	write(t, d.dir, "log/three.md", "---\ntitle: Three\ndate: 2026-09-07\nsection: helm\n---\n"+strings.Repeat("Words that fill the page.\n\n", 40)+
		"```dims late\nwide: nobody + 1 mm\n```\n")
	b := newTab(t, 1280, 900)
	b.open(d.Address())
	b.until(`document.querySelector("#desk-stop a") !== null`)
	if place := get[string](b, `document.querySelector("#desk-stop a").innerText`); !strings.HasPrefix(place, "log/three.md:87:7") {
		t.Errorf("the finding stands at %s", place)
	}
	b.run(`document.querySelector("#desk-stop a").click()`)
	b.until(`location.pathname === "/log/three.html" && location.hash === "#dims-late"`)
	b.until(`(() => { const r = document.getElementById("dims-late").getBoundingClientRect(), e = document.getElementById("desk-errors").getBoundingClientRect(); return r.top >= e.bottom && r.top < innerHeight })()`)
}

func TestTheStripTellsHandsAndFindingsAndFolds(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address())
	b.until(`document.querySelector("#desk-hands") !== null`)
	row := `Array.from(document.querySelectorAll("#desk-hands tbody tr")).map(r => r.innerText.replace(/\s+/g, " ").trim()).join("; ")`
	if got := get[string](b, row); got != "Helm 1 1 0" {
		t.Errorf("the hands are %q", got)
	}
	write(t, d.dir, "log/one.md", strings.Replace(firstEntry("330 mm"), "hand: pair", "hand: left", 1))
	b.until(row + ` === "Helm 1 0 uneven 0"`)
	b.until(`document.querySelector("#desk-stop") !== null`) // unmirrored
	width := `document.querySelector(".sheet").getBoundingClientRect().right`
	beside := get[float64](b, width)
	b.run(`document.getElementById("desk-fold").click()`)
	if get[float64](b, width) <= beside || get[string](b, `document.getElementById("desk-fold").getAttribute("aria-expanded")`) != "false" {
		t.Error("the strip does not fold")
	}
	for _, at := range []int64{390, 320} {
		phone := newTab(t, at, 800)
		phone.open(d.Address() + "log/one.html")
		phone.until(`document.getElementById("desk-fold").getAttribute("aria-expanded") === "false"`)
		if !get[bool](phone, `(() => { const r = document.getElementById("desk").getBoundingClientRect(); return r.height < 120 && Math.abs(r.bottom - innerHeight) < 1 })()`) {
			t.Errorf("at %d px the strip is no bar at the foot", at)
		}
		if get[bool](phone, fmt.Sprintf(`document.documentElement.scrollWidth > %d`, at)) {
			t.Errorf("at %d px the page is wider than the screen", at)
		}
		phone.shoot(fmt.Sprint("bar-", at))
		phone.run(`document.getElementById("desk-fold").click()`)
		phone.until(`document.querySelector("#desk-hands").getBoundingClientRect().height > 0`)
		phone.shoot(fmt.Sprint("strip-", at))
		// WCAG 2.2, 2.5.8: no target below 24 px.
		if small := get[string](phone, `Array.from(document.querySelectorAll("#desk a, #desk button")).filter(e => { const r = e.getBoundingClientRect(); return r.height < 24 }).map(e => e.outerHTML).join()`); small != "" {
			t.Errorf("at %d px too small to hit: %s", at, small)
		}
	}
}

func TestAPageThatShrinksForAMomentKeepsItsPlace(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	b.until(has("330 mm"))
	b.run(`document.querySelector("#panel-board details.source").open = true; document.querySelector("#panel-board summary").focus({preventScroll: true}); document.getElementById("panel-board").scrollIntoView()`)
	b.until(`document.querySelector("#panel-board details.source").open`)
	top := `document.getElementById("panel-board").getBoundingClientRect().top`
	scroll := `scrollY - document.getElementById("desk-errors").offsetHeight` // the errors above take their room
	before, scrolled := get[float64](b, top), get[float64](b, scroll)
	whole := firstEntry("330 mm")
	write(t, d.dir, "log/one.md", whole[:len(whole)/9])
	b.until(`document.getElementById("panel-board") === null`)
	b.until(fmt.Sprintf("%s === %v", scroll, scrolled))
	write(t, d.dir, "log/one.md", whole)
	b.until(`document.getElementById("panel-board") !== null`)
	b.until(`document.querySelector("#panel-board details.source").open`)
	b.until(`document.activeElement.closest("#panel-board") !== null`)
	b.until(fmt.Sprintf("Math.abs(%s - %v) < 2", top, before))
}

func TestAPageThatIsGoneSaysSoAndComesBack(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/two.html")
	b.until(has("165 mm"))
	at := filepath.Join(d.dir, "log", "two.md")
	if err := os.Rename(at, at+".away"); err != nil {
		t.Fatal(err)
	}
	b.until(`document.documentElement.classList.contains("desk-gone") && document.getElementById("desk-told").textContent.includes("no longer")`)
	write(t, d.dir, "log/two.md", "---\ntitle: Two\ndate: 2026-09-06\nsection: helm\n---\nIt is `-> flats / 3` now.\n")
	b.until(`!document.documentElement.classList.contains("desk-gone") && ` + has("110 mm"))
}

func TestAPageInTheBackForwardCacheHoldsNoStream(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	open := func() (n int) {
		d.ask(func() { n = len(d.streams) })
		return n
	}
	b := newTab(t, 1280, 900)
	b.open(d.Address() + "log/one.html")
	eventually(t, "the page listens", func() bool { return open() == 1 })
	b.run(`window.stayed = true`)
	b.open(d.Address() + "log/two.html")
	b.until(has("165 mm"))
	eventually(t, "only the page that is shown listens", func() bool { return open() == 1 })
	write(t, d.dir, "log/one.md", firstEntry("310 mm"))
	b.until(has("155 mm"))
	b.run(`history.back()`)
	b.until(`location.pathname === "/log/one.html" && ` + has("310 mm"))
	if !get[bool](b, `window.stayed === true`) {
		t.Error("the page could not be kept for going back")
	}
	eventually(t, "it listens again", func() bool { return open() == 1 })
}
