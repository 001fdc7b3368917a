package journaltest

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// Wild is a small journal that somebody edits without sense: names are set, broken, mended, moved
// between sections, set twice, looped; pages and pictures come, go and are renamed. Names are few, so
// that edits meet. The same steps always make the same journal.
type Wild struct {
	Files fstest.MapFS
	pages map[string]*wildPage
}

// wildPage is a page as it is edited: its front matter and what stands below each other.
type wildPage struct {
	front map[string]string
	items []string
}

var (
	wildNames    = strings.Fields("ant bee cat dog eel fox")
	wildSections = []string{"", "arm", "leg", "helm"}
	wildPictures = []string{"photos/one.png", "photos/two.png", "photos/old/three.png", "photos/plan.svg", "models/notes.csv"}
	wildTraces   = []string{"traces/plate.svg", "traces/fin.svg"}
)

// NewWild begins a journal with a shop, a wearer and some entries.
func NewWild() *Wild {
	w := &Wild{Files: fstest.MapFS{}, pages: map[string]*wildPage{}}
	w.put("journal.md", &wildPage{map[string]string{"title": "Wild", "author": "Nobody", "units": "mm", "base_url": "https://wild.example/"}, []string{"Welcome."}})
	w.put("shop.md", &wildPage{map[string]string{"title": "Shop"}, []string{
		"```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\nprice: 11.90 EUR\n```",
		"```material foam4\nthickness: 4 mm\n```",
		"```tool bandsaw\ntilt: 45 deg\nheight: 150 mm\nhold: 60 mm\n```",
		"```limits\nworn_wall: 12 mm\n```",
		"```dims\nant: 100 mm\nbee: ant + 20 mm\n```",
	}})
	w.put("wearer.md", &wildPage{map[string]string{"title": "Measures"}, []string{"```wearer\nforearm_length: 255 mm\n```"}})
	for i := range 5 {
		r := rand.New(rand.NewPCG(7, uint64(i)))
		p := w.newPage(r)
		for range 2 + r.IntN(4) {
			p.items = append(p.items, w.item(r))
		}
		w.put(fmt.Sprintf("log/%d.md", i), p)
	}
	w.picture("photos/one.png", 40)
	w.picture("photos/old/three.png", 30)
	w.trace("traces/plate.svg", 120)
	return w
}

func pick[T any](r *rand.Rand, list []T) T { return list[r.IntN(len(list))] }

func (w *Wild) newPage(r *rand.Rand) *wildPage {
	p := &wildPage{front: map[string]string{"title": "Page " + pick(r, wildNames), "date": fmt.Sprintf("2026-01-1%d", r.IntN(6))}}
	for range 5 {
		w.setFront(r, p)
	}
	return p
}

// setFront changes or removes a key of the front matter.
func (w *Wild) setFront(r *rand.Rand, p *wildPage) {
	key := pick(r, strings.Fields("title title title date section section sides minutes cover share accept accept"))
	value := ""
	switch key {
	case "title":
		value = "Page " + pick(r, wildNames) + " " + pick(r, wildNames)
	case "date":
		value = fmt.Sprintf("2026-0%d-1%d", 1+r.IntN(9), r.IntN(3))
	case "section":
		value = pick(r, wildSections)
	case "sides":
		value = pick(r, []string{"[left, right]", "[left, right]", "left", "right", "neither"})
	case "minutes":
		value = fmt.Sprint(r.IntN(100))
	case "cover":
		value = pick(r, wildPictures)
	case "share":
		value = pick(r, []string{"yes", "yes", "no"})
	case "accept":
		name := pick(r, strings.Fields("unused unmirrored off-sheet too-small-to-hold measure-shown link-broken no-such wall-too-thick beyond-saw"))
		if r.IntN(2) == 0 {
			name += " " + pick(r, []string{"", "arm.", "leg."}) + pick(r, wildNames)
		}
		value = "\n  " + name + ": \"because " + pick(r, wildNames) + "\""
	}
	if value == "" || r.IntN(4) == 0 {
		delete(p.front, key)
		return
	}
	p.front[key] = value
}

// expr is an expression of lengths, sometimes broken.
func (w *Wild) expr(r *rand.Rand) string {
	name := func() string {
		n := pick(r, wildNames)
		switch r.IntN(12) {
		case 0:
			return pick(r, wildSections[1:]) + "." + n
		case 1:
			return pick(r, wildNames) + "." + n
		case 2:
			return "wearer.forearm_length"
		case 3:
			return pick(r, []string{"foam10", "foam4", "wall"}) + ".thickness"
		case 4:
			return n + ".width"
		}
		return n
	}
	switch r.IntN(16) {
	case 0, 14, 15:
		return name()
	case 1:
		return name() + " + 1 mm"
	case 2:
		return "2 * " + name() + " - " + name()
	case 3:
		return "max(" + name() + ", 30 mm)"
	case 4:
		return "round(" + name() + " + 3 mm, 50 mm)"
	case 5:
		return "if(" + name() + " > 50 mm, 80 mm, " + name() + ")"
	case 6:
		return pick(r, []string{name() + " +", "10 mmm", "1 mm + 5 deg", "nothing_" + name(), "1 mm / 0", "antt", ""})
	case 7:
		return name() + " as in to 1/16"
	}
	return fmt.Sprintf("%d mm", pick(r, []int{20, 55, 90, 120, 255, 300, 700}))
}

// item is a block or a paragraph.
func (w *Wild) item(r *rand.Rand) string {
	name := pick(r, wildNames)
	lines := func(n int) string {
		var b strings.Builder
		for range n {
			fmt.Fprintf(&b, "%s: %s\n", pick(r, wildNames), w.expr(r))
		}
		return b.String()
	}
	switch r.IntN(16) {
	case 0, 1:
		return "```dims\n" + lines(1+r.IntN(3)) + "```"
	case 2, 3:
		return "```dims " + name + "\n" + lines(1+r.IntN(4)) + "```"
	case 4, 5, 6:
		outline := fmt.Sprintf("trapezoid(long: %s, short: %s, height: 60 mm)", w.expr(r), w.expr(r))
		if r.IntN(3) == 0 {
			outline = "rect(width: " + w.expr(r) + ", height: 80 mm)"
		}
		if r.IntN(5) == 0 {
			outline = "trace(\"" + pick(r, wildTraces) + "#plate\")"
		}
		more := pick(r, []string{"", "hand: pair\n", "hand: left\n", "worn: yes\n", "bevel: 30 deg\n", "bevel left: 60 deg\n", "hole pivot: circle(diameter: 5 mm, at: (20 mm, 30 mm))\n", "count: 2\n"})
		of := pick(r, []string{"material: foam10", "material: foam10", "material: foam4", "stack: wall", "stack: " + name, "thickness: " + w.expr(r)})
		return "```panel " + name + "\noutline: " + outline + "\n" + of + "\n" + more + "```"
	case 7:
		return "```stack " + pick(r, []string{"wall", name}) + "\nlayers: foam4, " + w.expr(r) + "\n" + pick(r, []string{"", "worn: yes\n", "match: wall\n"}) + "```"
	case 8:
		return "```list\nof: " + pick(r, strings.Fields("parts materials hours findings templates")) + "\nover: " + pick(r, []string{"section", "build"}) + "\n```"
	case 9:
		return pick(r, []string{
			"```material " + pick(r, []string{"foam10", "foam4", "foam2"}) + "\nthickness: " + w.expr(r) + "\nsheet: (400 mm, 300 mm)\nturns: " + pick(r, []string{"none", "quarter", "any"}) + "\n```",
			"```tool " + name + "\ntilt: " + pick(r, []string{"20", "50"}) + " deg\nhold: " + w.expr(r) + "\n```",
			"```limits\nworn_wall: " + w.expr(r) + "\n```",
			"```wearer\nforearm_length: " + w.expr(r) + "\nhand_length: 190 mm\n" + pick(r, []string{"", "share: yes\n"}) + "```",
			"```seam " + name + "\nedges: " + pick(r, wildNames) + ".edge.left, " + pick(r, []string{"", "arm.", "leg."}) + pick(r, wildNames) + ".edge." + pick(r, []string{"left", "right", "long"}) + "\n```",
			"```limits\nseam_gap: " + w.expr(r) + "\n```",
			"```tally\ncut " + name + ": " + pick(r, []string{"1", "2, 1", "9"}) + "\n```",
			"```bevel " + name + "\ndihedral: 120 deg\nmaterial: foam10\n```",
		})
	case 10:
		return fmt.Sprintf("![%s](../%s)", pick(r, []string{"", "a picture"}), pick(r, wildPictures))
	case 11:
		return fmt.Sprintf("See [there](../log/%s.md%s), [that](../shop.md#%s) and [data](../%s).", pick(r, []string{"0", "1", "2", "3", "4", "5", "9", "../wearer"}),
			pick(r, []string{"", "#part-" + name, "#dims-" + name, "#panel-" + name, "#dims-2"}), pick(r, []string{"tool-bandsaw", "limits", "dims"}), pick(r, wildPictures))
	case 12:
		return "## Part " + name
	}
	return "The value is `-> " + w.expr(r) + "` and `-> " + w.expr(r) + "`, a " + name + "."
}

// text is a page as a file.
func (p *wildPage) text() string {
	var b strings.Builder
	b.WriteString("---\n")
	for _, key := range slices.Sorted(maps.Keys(p.front)) {
		fmt.Fprintf(&b, "%s: %s\n", key, p.front[key])
	}
	b.WriteString("---\n")
	for _, item := range p.items {
		b.WriteString(item)
		b.WriteString("\n\n")
	}
	return b.String()
}

func (w *Wild) put(path string, p *wildPage) {
	w.pages[path] = p
	w.Files[path] = &fstest.MapFile{Data: []byte(p.text())}
}

func (w *Wild) picture(path string, size int) {
	if strings.HasSuffix(path, ".png") {
		img := image.NewRGBA(image.Rect(0, 0, size, size/2+1))
		img.Set(size/3, size/4, color.RGBA{uint8(size), 80, 90, 255})
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			panic(err) // a picture in memory
		}
		w.Files[path] = &fstest.MapFile{Data: b.Bytes()}
		return
	}
	w.Files[path] = &fstest.MapFile{Data: fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d 20"><path d="M0 0h9"/></svg>`, size)}
}

func (w *Wild) trace(path string, size int) {
	w.Files[path] = &fstest.MapFile{Data: fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200"><path id="plate" d="M10 10H%dV80H10Z"/></svg>`, size)}
}

// Step does one edit, which depends on nothing but its number and the journal as it stands. It tells
// what it did and which paths a watcher of folders would name.
func (w *Wild) Step(number uint64) (recipe string, changed []string) {
	r := rand.New(rand.NewPCG(11, number))
	paths := slices.Sorted(maps.Keys(w.pages))
	path := pick(r, paths)
	p := w.pages[path]
	home := path == "journal.md"
	at := 0
	if len(p.items) > 0 {
		at = r.IntN(len(p.items))
	}
	switch n := r.IntN(30); {
	case n < 6:
		item := w.item(r)
		p.items = slices.Insert(p.items, at, item)
		recipe = fmt.Sprintf("insert into %s: %q", path, item)
	case n < 10 && len(p.items) > 0:
		recipe = fmt.Sprintf("delete from %s: %q", path, p.items[at])
		p.items = slices.Delete(p.items, at, at+1)
	case n < 14 && len(p.items) > 0:
		p.items[at] = w.item(r)
		recipe = fmt.Sprintf("write in %s: %q", path, p.items[at])
	case n < 16 && len(p.items) > 0:
		old, name := pick(r, wildNames), pick(r, wildNames)
		p.items[at] = strings.ReplaceAll(p.items[at], old, name)
		recipe = fmt.Sprintf("rename %s to %s in %s", old, name, path)
	case n < 18 && !home:
		w.setFront(r, p)
		recipe = fmt.Sprintf("front matter of %s: %q", path, p.front)
	case n == 18 && len(p.items) > 0:
		other := pick(r, paths)
		q := w.pages[other]
		item := p.items[at]
		p.items = slices.Delete(p.items, at, at+1)
		q.items = append(q.items, item)
		w.put(other, q)
		changed = append(changed, other)
		recipe = fmt.Sprintf("move %q from %s to %s", item, path, other)
	case n == 19 && home:
		p.front[pick(r, []string{"title", "units", "author"})] = pick(r, []string{"mm", "in 1/16", "Wilder"})
		recipe = fmt.Sprintf("settings %q", p.front)
	case n == 20 && !home:
		delete(w.pages, path)
		delete(w.Files, path)
		return "remove " + path, []string{path}
	case n == 21 && !home:
		to := fmt.Sprintf("log/%d.md", r.IntN(12))
		if w.pages[to] != nil {
			return w.touch(path)
		}
		delete(w.pages, path)
		delete(w.Files, path)
		w.put(to, p)
		return "rename " + path + " to " + to, []string{path, to}
	case n == 22:
		to := fmt.Sprintf("log/%d.md", r.IntN(12))
		if w.pages[to] != nil {
			return w.touch(path)
		}
		q := w.newPage(r)
		for range 3 {
			q.items = append(q.items, w.item(r))
		}
		w.put(to, q)
		return fmt.Sprintf("new page %s: %q", to, q.text()), []string{"log"}
	case n == 23 || n == 24:
		path = pick(r, wildPictures)
		if w.Files[path] != nil && r.IntN(2) == 0 {
			delete(w.Files, path)
			return "remove " + path, []string{path}
		}
		w.picture(path, 20+r.IntN(30))
		return "picture " + path, []string{path}
	case n == 25:
		path = pick(r, wildTraces)
		if w.Files[path] != nil && r.IntN(3) == 0 {
			delete(w.Files, path)
			return "remove " + path, []string{"traces"}
		}
		w.trace(path, 40+r.IntN(100))
		return "trace " + path, []string{path}
	case n == 27 && len(p.items) > 0: // the same values, said otherwise
		p.items[at] = strings.NewReplacer(" mm\n", " mm + 0 mm\n", " mm`", " mm + 0 mm`").Replace(p.items[at])
		recipe = fmt.Sprintf("say otherwise in %s: %q", path, p.items[at])
	case n == 26:
		text := []byte(p.text())
		i := r.IntN(len(text))
		text = slices.Delete(text, i, min(len(text), i+1+r.IntN(9)))
		if home && !bytes.Contains(text, []byte("title")) {
			return w.touch(path)
		}
		w.Files[path] = &fstest.MapFile{Data: text}
		return fmt.Sprintf("break %s: %q", path, text), []string{path}
	default:
		p.items = append(p.items, "More words, "+pick(r, wildNames)+".")
		if r.IntN(2) == 0 {
			p.items = slices.Insert(p.items, 0, p.items[len(p.items)-1])
			p.items = p.items[:len(p.items)-1]
		}
		if len(p.items) > 14 {
			p.items = p.items[2:]
		}
		recipe = "prose in " + path
	}
	w.put(path, p)
	return recipe, append(changed, path, path+"~", "log/.swap")
}

// Follow edits a journal at random, several times from the beginning, and after each step lets somebody
// who follows it tell what is wrong; "" for nothing. When something is, the steps that it does not need
// are left out and the others logged.
func Follow(t *testing.T, steps int, begin func(files fstest.MapFS) (after func(changed []string) (wrong string))) {
	t.Helper()
	const seeds = 4
	play := func(steps []uint64) (at int, recipe, wrong string) {
		w := NewWild()
		after := begin(w.Files)
		for i, step := range steps {
			recipe, changed := w.Step(step)
			if wrong := after(changed); wrong != "" {
				return i, recipe, wrong
			}
		}
		return -1, "", ""
	}
	for seed := range uint64(seeds) {
		var list []uint64
		for i := range steps / seeds {
			list = append(list, seed<<32|uint64(i))
		}
		at, recipe, wrong := play(list)
		if at < 0 {
			continue
		}
		list = shrink(list[:at+1], func(fewer []uint64) bool { i, _, _ := play(fewer); return i >= 0 })
		if i, _, again := play(list); i >= 0 {
			at, wrong = i, again
			w := NewWild()
			for _, step := range list[:at+1] {
				recipe, _ = w.Step(step)
				t.Logf("%#x %s", step, recipe)
			}
		}
		t.Fatalf("%s\n%s", recipe, wrong)
	}
}

// shrink takes out steps that a failure does not need, for as long as people wait.
func shrink(steps []uint64, fails func([]uint64) bool) []uint64 {
	const patience = 90 * time.Second
	begun := time.Now()
	for size := len(steps) / 2; size > 0; size /= 2 {
		for from := 0; from+size <= len(steps) && time.Since(begun) < patience; {
			fewer := slices.Concat(steps[:from], steps[from+size:])
			if fails(fewer) {
				steps = fewer
			} else {
				from += size
			}
		}
	}
	return steps
}

// Differ shows the first lines in which two texts differ, "" if they do not.
func Differ(got, want string) string {
	if got == want {
		return ""
	}
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	at := 0
	for at < min(len(a), len(b)) && a[at] == b[at] {
		at++
	}
	around := func(list []string) string { return strings.Join(list[max(0, at-3):min(len(list), at+3)], "\n     ") }
	return "is   " + around(a) + "\nwant " + around(b)
}

// touch names a page that is as it was.
func (w *Wild) touch(path string) (string, []string) { return "touch " + path, []string{path} }
