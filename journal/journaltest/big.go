package journaltest

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"strings"
	"testing/fstest"
)

// sections of a generated journal.
const sections = 20

// words that the prose is made of.
var words = strings.Fields(`the a lantern roof board edge glue sheet foam saw tilt rail tower side cheek wall
groove cut line mark pencil lamp light harbour walk arm shoulder ledge strap buckle seam paint coat primer
gallery window pane corner bevel layer stack spacer hand left right mirror wearer room cone ring slow sharp
blade guide dust mask open door evening rain wind then so that which when under over between before after
again holds leans closes turns falls keeps makes needs takes wide thin thick long short warm dry clean`)

// Big is a journal of n dated entries in sections, each of about 600 words and three blocks: most of
// them dims, some panels, bevels and stacks. One measurement in it is private.
func Big(n int) fs.FS {
	files := fstest.MapFS{}
	put := func(path, text string) { files[path] = &fstest.MapFile{Data: []byte(text)} }
	put("journal.md", "---\ntitle: A long build\nauthor: Nobody\nunits: mm\nbase_url: https://build.example/\n---\nWelcome to it.\n")
	put("shop.md", shop)
	put("wearer.md", "---\ntitle: Measures\n---\n```wearer\nforearm_length: 255 mm\n```\n")
	for i := range n {
		put(fmt.Sprintf("log/%04d.md", i), entry(i))
	}
	return files
}

const shop = "---\ntitle: The shop\n---\n" +
	"```material foam10\nthickness: 10 mm\nsheet: (1000 mm, 500 mm)\ndensity: 100 kg/m^3\nprice: 11.90 EUR\n```\n\n" +
	"```material foam4\nthickness: 4 mm\nsheet: (1000 mm, 500 mm)\ndensity: 110 kg/m^3\nprice: 6.40 EUR\n```\n\n" +
	"```tool bandsaw\ntilt: 45 deg\nheight: 150 mm\nkerf: 0.6 mm\nhold: 60 mm\n```\n\n" +
	"```limits\nworn_wall: 12 mm\nweight: 6000 kg\n```\n"

// entry is the i-th entry: a heading a part, values in the prose, and the blocks between.
func entry(i int) string {
	r := rand.New(rand.NewPCG(1, uint64(i)))
	var b strings.Builder
	fmt.Fprintf(&b, "---\ntitle: Entry %d, %s %s\ndate: %04d-%02d-%02d\nsection: part_%02d\nsides: [left, right]\nminutes: %d\n---\n",
		i, words[r.IntN(len(words))], words[r.IntN(len(words))], 2001+i/336, 1+i/28%12, 1+i%28, i*7%sections, 30+r.IntN(200))
	fmt.Fprintf(&b, "%s\n\n## %s\n\n", prose(r, 150), prose(r, 3))
	fmt.Fprintf(&b, "```dims d%d\nreach:  round(wearer.forearm_length - 25 mm, 5 mm)   # elbow to wrist\nwall:   foam10.thickness\nwidth:  %d mm\nheight: width / 2 + 2 * wall\n```\n\n", i, 100+r.IntN(200))
	fmt.Fprintf(&b, "The side is `-> d%d.height` high and `-> d%d.reach` deep, *not* `-> d%d.width + 2 * d%d.wall` as it was. %s\n\n", i, i, i, i, prose(r, 150))
	b.WriteString(block(r, i, 1))
	fmt.Fprintf(&b, "## %s\n\n%s, **as** [before](%04d.md).\n\n- %s\n- %s\n\n", prose(r, 4), prose(r, 140), max(0, i-1), prose(r, 8), prose(r, 9))
	b.WriteString(block(r, i, 2))
	fmt.Fprintf(&b, "%s\n", prose(r, 150))
	return b.String()
}

// block is one of the kinds, dims the most often.
func block(r *rand.Rand, i, n int) string {
	name := fmt.Sprintf("p%d_%d", i, n)
	switch r.IntN(10) {
	case 0, 1, 2:
		return fmt.Sprintf("```panel %s\noutline:    trapezoid(long: %d mm, short: %d mm, height: d%d.height)\nmaterial:   foam10\nbevel left: %d deg\nbevel short: 17 deg\nhole pivot: circle(diameter: 5 mm, at: (%d mm, 45 mm))\nhand:       pair\n```\n\n",
			name, 150+r.IntN(80), 120+r.IntN(20), i, 10+r.IntN(30), 40+r.IntN(30))
	case 3:
		return fmt.Sprintf("```bevel %s\ndihedral: %d deg\nmaterial: foam10\nsaw:      bandsaw\n```\n\n", name, 100+r.IntN(60))
	case 4:
		return fmt.Sprintf("```stack %s\nlayers: foam4, %d x foam10\nsplit:  1\n```\n\n", name, 1+r.IntN(3))
	}
	return fmt.Sprintf("```dims %s\na: %d mm\nb: 3 3/8 in\nc: hypot(a, b)\nd: if(c > 200 mm, c, a + b)\n```\n\nThat is `-> %s.c to 0.5 mm`, or `-> %s.d`.\n\n", name, 50+r.IntN(300), name, name)
}

func prose(r *rand.Rand, n int) string {
	var b strings.Builder
	for k := range n {
		switch {
		case k == 0:
		case k%17 == 0:
			b.WriteString(", ")
		case k%41 == 0:
			b.WriteString(". ")
		case k%13 == 0:
			b.WriteByte('\n')
		default:
			b.WriteByte(' ')
		}
		b.WriteString(words[r.IntN(len(words))])
	}
	b.WriteByte('.')
	return b.String()
}
