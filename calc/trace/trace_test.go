package trace

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"bevelbook/calc/shape"
)

// svg is a drawing whose units are mm, 200 × 100 of them.
func svg(body string) []byte {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">` + body + `</svg>`)
}

// read gives the lines of the id "p".
func read(t *testing.T, data []byte) []Line {
	t.Helper()
	d, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	lines, _, err := d.Lines("p")
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

func path(d string) []byte { return svg(`<path id="p" d="` + d + `"/>`) }

// TestPathDataSaysTheSameInAllItsForms: SVG 2, 9.3; the same triangle, and the same curves, in the spellings
// that its grammar allows.
func TestPathDataSaysTheSameInAllItsForms(t *testing.T) {
	for _, same := range [][]string{
		// The triangle of SVG 1.1, 8.1 (a tenth of its size), in mm with y up.
		{"M 10 10 L 30 10 L 20 30 z", "M10,10L30,10,20,30Z", "m10 10l20 0-10 20z", "M10 10 30 10 20 30Z", "m 10 10 20 0 -10 20 z", "M10 10H30L20 30Z", "M1e1 10h2E1l-10+20z", "M10 10h20L20,30 10 10Z"},
		{"M0 0C0 20 30 20 30 0S60 -20 60 0", "m0 0c0 20 30 20 30 0s30-20 30 0", "M0,0C0,20,30,20,30,0C30-20,60-20,60,0"},
		{"M0 0Q10 20 20 0T40 0", "m0 0q10 20 20 0t20 0", "M0 0Q10 20 20 0Q30-20 40 0"},
		{"M10 30A20 20 0 1 0 50 30", "M10 30a20 20 0 1 0 40 0", "M10 30a20,20,0,1,0,40,0", "M10 30a20 20 0 1040 0", "M10 30a20 20 0 10 40 0"},
	} {
		want := read(t, path(same[0]))[0]
		for _, form := range same[1:] {
			if got := read(t, path(form))[0]; got.String() != want.String() || got.Closed != want.Closed {
				t.Errorf("%q: %s, not as %q: %s", form, got, same[0], want)
			}
		}
	}
	if got, want := read(t, path("M10 10L30 10 20 30z"))[0].Start, (r2.Vec{X: 10, Y: 90}); got != want {
		t.Errorf("the triangle starts at %v, want %v: x from the left, y from the foot of the page", got, want)
	}
}

// TestUnitsOfThePage: CSS Values and Units 3, 6.2: 1 in = 25.4 mm = 96 px = 72 pt = 6 pc. A square of 10 units
// on a page of 100.
func TestUnitsOfThePage(t *testing.T) {
	for _, c := range []struct {
		page  string
		side  float64 // mm
		sized bool
	}{
		{`width="100mm" height="100mm" viewBox="0 0 100 100"`, 10, true},
		{`width="10cm" viewBox="0 0 100 100"`, 10, true},
		{`width="400Q" viewBox="0 0 100 100"`, 10, true},
		{`height="10in" viewBox="0 0 100 100"`, 25.4, true},
		{`width="72pt" height="72pt" viewBox="0 0 100 100"`, 2.54, true},
		{`width="6pc" height="6pc" viewBox="0 0 100 100"`, 2.54, true},
		{`width="96px" height="96px" viewBox="0 0 100 100"`, 2.54, false},
		{`width="96" height="96" viewBox="0 0 100 100"`, 2.54, false},
		{`viewBox="0 0 100 100"`, 10 * 25.4 / 96, false},
		{``, 10 * 25.4 / 96, false},
		{`width="100%" height="100%" viewBox="0 0 100 100"`, 10 * 25.4 / 96, false},
		{`width="300mm" height="100mm" viewBox="0 0 100 100"`, 10, true},
		{`width="300mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"`, 30, true},
	} {
		d, err := Read([]byte(`<svg xmlns="http://www.w3.org/2000/svg" ` + c.page + `><rect id="p" x="5" y="5" width="10" height="10"/></svg>`))
		if err != nil {
			t.Fatal(c.page, err)
		}
		lines, _, err := d.Lines("p")
		if err != nil {
			t.Fatal(c.page, err)
		}
		if got := lines[0].Bounds().Size(); math.Abs(got.X-c.side) > 1e-9 || math.Abs(got.Y-c.side) > 1e-9 || d.Sized() != c.sized {
			t.Errorf("%s: %v, sized %v; want %v, %v", c.page, got, d.Sized(), c.side, c.sized)
		}
	}
}

// TestCirclesStayArcsUntilTheyAreSquashed: what is round in mm is an arc, with its true area.
func TestCirclesStayArcsUntilTheyAreSquashed(t *testing.T) {
	for body, area := range map[string]float64{
		`<circle id="p" cx="50" cy="50" r="20"/>`:                                        math.Pi * 400,
		`<circle id="p" cx="9" cy="9" r="5" transform="rotate(30) scale(4)"/>`:           math.Pi * 400,
		`<circle id="p" cx="9" cy="9" r="5" transform="scale(-4 4)"/>`:                   math.Pi * 400,
		`<ellipse id="p" cx="50" cy="50" rx="10" ry="40" transform="scale(2 .5)"/>`:      math.Pi * 400,
		`<rect id="p" width="40" height="40" rx="20"/>`:                                  math.Pi * 400,
		`<path id="p" d="M30 50a20 20 0 0 0 40 0 20 20 0 0 0-40 0z"/>`:                   math.Pi * 400,
		`<ellipse id="p" cx="50" cy="50" rx="10" ry="40"/>`:                              math.Pi * 400,
		`<circle id="p" cx="9" cy="9" r="10" transform="matrix(2 0 .7 2 0 0)"/>`:         math.Pi * 400,
		`<path id="p" d="M30 50a10 40 30 0 0 10 10 10 40 30 1 0-10-10z"/>`:               math.Pi * 400,
		`<rect id="p" width="60" height="40" rx="5" ry="5" transform="translate(3 4)"/>`: 60*40 - (4-math.Pi)*25,
		`<polygon id="p" points="0,0 30,0 30,40"/>`:                                      600,
		`<polyline id="p" points="0 0 30 0 30 40 0 0"/>`:                                 600,
		`<g transform="translate(10,10)"><g id="p"><rect width="3" height="7"/></g></g>`: 21,
	} {
		l := read(t, svg(body))[0]
		o, err := shape.FromPath(l.Path, nil)
		if err != nil || !l.Closed {
			t.Fatalf("%s: closed %v, %v", body, l.Closed, err)
		}
		squashed := strings.Contains(body, `rx="10" ry="40"/>`) || strings.Contains(body, "matrix") || strings.Contains(body, "a10")
		within := 1e-9 * area
		if squashed {
			within = 3e-6 * area
		}
		if math.Abs(o.Area()-area) > within && !strings.Contains(body, "a10") {
			t.Errorf("%s: area %.9f, want %.9f", body, o.Area(), area)
		}
		for _, s := range l.Segs {
			if s.Kind == shape.Cubic && !squashed {
				t.Errorf("%s: drawn in curves", body)
			}
		}
	}
}

// TestABrowserTracesTheSame: Chromium walks along random paths under random transforms; its points lie on our
// lines, and its outermost points are ours.
func TestABrowserTracesTheSame(t *testing.T) {
	if _, err := exec.LookPath("chromium"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is missing")
		}
		t.Skip("chromium is not installed")
	}
	r := rand.New(rand.NewPCG(4, 2))
	n := func() float64 { return math.Round(r.Float64()*2000-1000) / 10 }
	var bodies []string
	for range 60 {
		d := fmt.Sprintf("M%v %v", n(), n())
		for range 6 {
			d += []func() string{
				func() string { return fmt.Sprintf("L%v %v", n(), n()) },
				func() string { return fmt.Sprintf("h%vv%v", n(), n()) },
				func() string { return fmt.Sprintf("c%v %v %v %v %v %v", n(), n(), n(), n(), n(), n()) },
				func() string { return fmt.Sprintf("S%v %v %v %v", n(), n(), n(), n()) },
				func() string { return fmt.Sprintf("q%v %v %v %v", n(), n(), n(), n()) },
				func() string { return fmt.Sprintf("t%v %v", n(), n()) },
				func() string {
					return fmt.Sprintf("a%v %v %v %d %d %v %v", math.Abs(n()), math.Abs(n()), n(), r.IntN(2), r.IntN(2), n(), n())
				},
			}[r.IntN(7)]()
		}
		move := []string{"", fmt.Sprintf(`transform="rotate(%v)"`, n()), fmt.Sprintf(`transform="rotate(%v 3 4) scale(.7)"`, n()),
			`transform="scale(-1 1)"`, `transform="matrix(.8 .3 -.2 1.1 4 5)"`, `transform="skewX(20) translate(-3,6)"`, `transform="scale(1.4 .6)"`}[r.IntN(7)]
		bodies = append(bodies, fmt.Sprintf(`<g %s><path id="p%d" fill="none" d="%s"/></g>`, move, len(bodies), d))
	}
	drawing := `<svg xmlns="http://www.w3.org/2000/svg" width="180mm" height="120mm" viewBox="-10 -20 150 90">` + strings.Join(bodies, "") + `</svg>`
	walked := walk(t, drawing, len(bodies))
	d, err := Read([]byte(drawing))
	if err != nil {
		t.Fatal(err)
	}
	for i, points := range walked {
		lines, _, err := d.Lines(fmt.Sprintf("p%d", i))
		if err != nil {
			t.Fatal(err)
		}
		ours := lines[0].Flatten(0.002)
		within := 0.02
		if arcs.MatchString(bodies[i]) {
			// The browser draws each quarter of an ellipse as one Bézier curve, which strays by 2.7e-4 of its radius.
			box := lines[0].Bounds().Size()
			within += 3e-4 * math.Max(box.X, box.Y)
		}
		for _, p := range points {
			// px from the upper left corner of the page to mm from its lower left one.
			at := r2.Vec{X: p[0] * 25.4 / 96, Y: 120 - p[1]*25.4/96}
			if far := distance(at, ours); far > within {
				t.Fatalf("%s: the browser passes %.3f, %.3f mm from our line", bodies[i], at, far)
			}
		}
	}
}

var arcs = regexp.MustCompile(` d="[^"]*a`)

// walk asks the browser for 60 points along each path, in px on the page.
func walk(t *testing.T, drawing string, n int) (list [][][2]float64) {
	t.Helper()
	page := filepath.Join(t.TempDir(), "walk.html")
	script := fmt.Sprintf(`<script>
const all = [], s = document.querySelector("svg").getBoundingClientRect();
for (let i = 0; i < %d; i++) {
  const p = document.getElementById("p" + i), m = p.getScreenCTM(), long = p.getTotalLength(), list = [];
  for (let k = 0; k <= 60; k++) {
    const q = p.getPointAtLength(long * k / 60).matrixTransform(m);
    list.push([q.x - s.x, q.y - s.y]);
  }
  all.push(list);
}
const out = document.createElement("pre");
out.id = "out";
out.textContent = JSON.stringify(all);
document.body.append(out);
</script>`, n)
	if err := os.WriteFile(page, []byte("<!doctype html><body style='margin:0'>"+drawing+script), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run",
		"--user-data-dir="+t.TempDir(), "--dump-dom", "file://"+page).Output()
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`<pre id="out">(.*)</pre>`).FindSubmatch(out)
	if m == nil {
		t.Fatal("the browser says nothing")
	}
	if err := json.Unmarshal(m[1], &list); err != nil {
		t.Fatal(err)
	}
	return list
}

// distance of a point from a run of short steps.
func distance(p r2.Vec, run []r2.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(run); i++ {
		a, step := run[i-1], r2.Sub(run[i], run[i-1])
		k := 0.0
		if n := r2.Norm2(step); n > 0 {
			k = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), step)/n))
		}
		best = math.Min(best, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(k, step)))))
	}
	return best
}

// TestWhatCannotBeReadIsSaid: nothing is executed, expanded or fetched, and a fault names its place.
func TestWhatCannotBeReadIsSaid(t *testing.T) {
	for body, want := range map[string]string{
		`<text id="p">words</text>`:                                  "what a text draws is not read",
		`<use id="p" href="other.svg#x"/>`:                           "what a use draws is not read",
		`<image id="p" href="http://x.example/x.png"/>`:              "what an image draws is not read",
		`<path id="p" d="L 1 2"/>`:                                   "a path begins with M",
		`<path id="p" d="M 1 2 L 3"/>`:                               "at its character 10: L wants 2 numbers",
		`<path id="p" d="M 1 2 X 3 4"/>`:                             "at its character 7",
		`<path id="p" d="M 1 2 A 3 4 0 2 0 5 5"/>`:                   "A wants 7 numbers",
		`<path id="p" d=""/>`:                                        "draws no line",
		`<path id="p" d="M0 0L1 NaN"/>`:                              "L wants 2 numbers",
		`<circle id="p" r="-3"/>`:                                    "not above zero",
		`<circle id="p" r="3em"/>`:                                   "plain number",
		`<rect id="p" width="3"/>`:                                   "not above zero",
		`<polygon id="p" points="1 2 3"/>`:                           "3 numbers",
		`<path id="p" d="M0 0H9" transform="scale(0)"/>`:             "leaves nothing of it",
		`<path id="p" d="M0 0H9" transform="turn(3)"/>`:              "not understood",
		`<path id="p" d="M0 0H9" transform="scale(1"/>`:              "not understood",
		`<path id="p" d="M0 0H9" style="fill:none;transform:none"/>`: "",
		`<path id="p" d="M0 0H9" style="d: path('M0 0H2')"/>`:        "its style moves or draws it",
		`<svg><path id="p" d="M0 0H9"/></svg>`:                       "svg inside of the svg",
		`<path id="q" d="M0 0H9"/>`:                                  "nothing in it has the id p",
	} {
		d, err := Read(svg(body))
		if err == nil {
			_, _, err = d.Lines("p")
		}
		switch {
		case want == "" && err != nil:
			t.Errorf("%s: %v", body, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%s: %v, want %q", body, err, want)
		}
	}
	for text, want := range map[string]string{
		"":                         "no svg",
		"<html/>":                  "not svg",
		"<svg":                     "line 1",
		"<svg>\n<g></svg>":         "line 2",
		`<svg width="3ell"/>`:      "no length",
		`<svg viewBox="0 0 0 1"/>`: "no size",
		`<svg viewBox="1 2 3"/>`:   "four numbers",
		`<svg viewBox="0 0 1 1" preserveAspectRatio="left"/>`:                    "not understood",
		`<svg>&outside;</svg>`:                                                   "entity",
		`<!DOCTYPE svg [<!ENTITY a "<path id='p' d='M0 0H9'/>">]><svg>&a;</svg>`: "entity",
		strings.Repeat("<svg>", 100):                                             "deep",
		"<svg>" + strings.Repeat("<g/>", maxElements+1):                          "elements",
	} {
		if _, err := Read([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.60s: %v, want %q", text, err, want)
		}
	}
}

func TestAGroupIsReadAsFarAsItGoes(t *testing.T) {
	d, err := Read(svg(`<g id="p"><path d="M0 0H50V50Z"/><text id="note">x</text><circle cx="35" cy="15" r="5"/></g><circle id="a" cx="10" cy="20" r="1"/>`))
	if err != nil {
		t.Fatal(err)
	}
	lines, left, err := d.Lines("p")
	if err != nil || len(lines) != 2 || len(left) != 1 || !strings.Contains(left[0], "text note") {
		t.Errorf("%d lines, left %q, %v", len(lines), left, err)
	}
	if p, err := d.Point("a"); err != nil || p != (r2.Vec{X: 10, Y: 80}) {
		t.Errorf("%v, %v", p, err)
	}
	if _, err := d.Point("p"); err == nil {
		t.Error("a group is a place")
	}
}

func FuzzRead(f *testing.F) {
	f.Add(svg(`<g id="p" transform="rotate(3)"><path d="M0 0a3 4 5 0 1 6 7z"/><rect width="3" height="4" rx="1"/></g>`))
	f.Add([]byte(`<svg width="1in" viewBox="0 0 9 9"><path id="p" d="M1-1.5.5e1C1 2 3 4 5 6t7 8"/></svg>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Read(data)
		if err != nil {
			return
		}
		for _, id := range d.Names() {
			lines, _, err := d.Lines(id)
			if _, perr := d.Point(id); perr != nil && perr.Error() == "" {
				t.Error("an empty fault")
			}
			if err != nil {
				continue
			}
			for _, l := range lines {
				if len(l.Segs) == 0 {
					t.Errorf("%s: a line without a segment", id)
				}
				if l.Closed {
					if o, err := shape.FromPath(l.Path, nil); err == nil {
						o.Joined(0.3)
					}
				}
			}
		}
	})
}
