package mesh

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

const tetra = "v 0 0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n"

// TestOBJSpellings: one tetrahedron in the ways in which programs write it.
func TestOBJSpellings(t *testing.T) {
	for name, text := range map[string]string{
		"plain":              tetra,
		"crlf":               strings.ReplaceAll(tetra, "\n", "\r\n"),
		"no end of line":     strings.TrimSuffix(tetra, "\n"),
		"tabs and comments":  "# made by hand\n\n" + strings.ReplaceAll(tetra, " ", "\t") + "# end",
		"exponents":          "v 0 0 0\nv 1e1 0 0\nv 0 .1E+2 -0\nv 0e0 0 100.e-1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4",
		"weights and colour": "v 0 0 0 1\nv 10 0 0 1\nv 0 10 0 0.5 0.5 0.5\nv 0 0 10\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4",
		"slashes":            "vt 0 0\nvn 0 0 1\nv 0 0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\nf 1/1 3/1 2/1\nf 1//1 2//1 4//1\nf 2/1/1 3/1/1 4/1/1\nf 3/ 1/ 4/",
		"backwards":          "v 0 0 0\nv 10 0 0\nv 0 10 0\nf -3 -1 -2\nv 0 0 10\nf -4 -3 -1\nf -3 -2 -1\nf -2 -4 -1",
		"continued":          "v 0 \\\n0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\nf 1 \\\r\n3 2\nf 1 2 4\nf 2\\\n 3 4\nf 3 1 4",
	} {
		m := read(t, "a.obj", []byte(text), fine)
		if len(m.Panels) != 4 || len(m.Points) != 4 || math.Abs(m.Volume-1000./6) > 1e-9 {
			t.Errorf("%s: %d panels, %d corners, volume %g", name, len(m.Panels), len(m.Points), m.Volume)
		}
	}
}

// TestFaultsOfFilesSayWhere: what cannot be read, and the words that a person needs to mend it.
func TestFaultsOfFilesSayWhere(t *testing.T) {
	whole := binarySTL([][3]r3.Vec{{{}, {X: 1}, {Y: 1}}, {{}, {Y: 1}, {Z: 1}}})
	nan := bytes.Clone(whole)
	binary.LittleEndian.PutUint32(nan[84+50+12+8:], math.Float32bits(float32(math.NaN())))
	longer := bytes.Clone(whole)
	binary.LittleEndian.PutUint32(longer[80:], 1)
	liar := bytes.Clone(whole)
	binary.LittleEndian.PutUint32(liar[80:], 0xffffffff)
	facet := "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"
	for _, c := range []struct{ name, text, where, what string }{
		{"a.ply", "ply", "", "neither .obj nor .stl"},
		{"a.obj", "", "", "no faces"},
		{"a.obj", "v 0 0 0\nv 1 0\n", "line 2", "has 2"},
		{"a.obj", "v 0 0 nan\n", "line 1", `"nan"`},
		{"a.obj", "v 0 0 0\nv inf 0 0\n", "line 2", `"inf"`},
		{"a.obj", "v 0 0 1e999\n", "line 1", "no number"},
		{"a.obj", "v 0 0 -1e10\n", "line 1", "too far out"},
		{"a.obj", "v 0 0 1-2\n", "line 1", "no number"},
		{"a.obj", "v 0 0 0x10\n", "line 1", `"0x10"`},
		{"a.obj", tetra + "f 1 2 5\n", "line 9", "no corner \"5\"; 4 stand"},
		{"a.obj", tetra + "f 1 2 0\n", "line 9", "no corner \"0\""},
		{"a.obj", tetra + "f 1 2 -5\n", "line 9", "no corner \"-5\""},
		{"a.obj", tetra + "f 1 2 99999999999\n", "line 9", "is no corner"},
		{"a.obj", tetra + "f 1 2 /3\n", "line 9", "is no corner"},
		{"a.obj", tetra + "f 1 2 1/2/3/4\n", "line 9", "slashes"},
		{"a.obj", tetra + "f 1 2\n", "line 9", "has 2"},
		{"a.obj", tetra + "f" + strings.Repeat(" 1", 300), "line 9", "more than 256 corners"},
		{"a.obj", tetra + "surf 0 1 0 1\n", "line 9", "curved"},
		{"a.obj", "\x00\x01\x02\x03", "line 1", "begins no line"},
		{"a.obj", strings.Repeat("x", 1<<20), "line 1", "begins no line"},
		{"a.stl", "", "", "no STL"},
		{"a.stl", "solid a\n" + facet, "line 9", "before endsolid, after 1"},
		{"a.stl", "solid a\n" + facet[:30], "line 4", "ends in a facet"},
		{"a.stl", "solid a\n" + strings.Replace(facet, "vertex 0 1 0", "", 1) + "endsolid\n" + strings.Repeat(" ", 100), "line 7", "where vertex is due"},
		{"a.stl", "solid a\n" + strings.Replace(facet, "0 1 0", "0 1 NaN", 1) + "endsolid a\n", "line 6", `"NaN"`},
		{"a.stl", "solid a\nendsolid a\nfacet\n" + strings.Repeat(" ", 100), "line 3", "where a solid begins"},
		{"a.stl", string(whole[:len(whole)-7]), "", "says that it has 2 triangles and holds 1"},
		{"a.stl", string(longer), "", "says that it has 1 triangles, and 50 bytes stand behind"},
		{"a.stl", string(liar), "", "4294967295 triangles and holds 2"},
		{"a.stl", string(nan), "triangle 2", "NaN"},
	} {
		_, err := Read(c.name, []byte(c.text))
		var fault *Fault
		if !errors.As(err, &fault) {
			t.Errorf("%.40q: no fault", c.text)
			continue
		}
		if fault.Where != c.where || !strings.Contains(fault.What, c.what) || fault.Help == "" || len(fault.What) > 200 {
			t.Errorf("%.40q: %s: %s (%s); want %s: …%s…", c.text, fault.Where, fault.What, fault.Help, c.where, c.what)
		}
	}
}

// TestSTLInBinaryMayBeginWithSolid: the count decides, not the header.
func TestSTLInBinaryMayBeginWithSolid(t *testing.T) {
	f, err := Read("a.stl", binarySTL([][3]r3.Vec{{{}, {X: 1}, {Y: 1}}}))
	if err != nil || len(f.Tri) != 1 || f.Lines || f.Where(0) != "triangle 1" {
		t.Errorf("%+v, %v", f, err)
	}
}

// TestGroupsPartPanels: a border between two groups in one plane stays a seam, and names are kept.
func TestGroupsPartPanels(t *testing.T) {
	const text = "o hood\nv 0 0 0\nv 10 0 0\nv 20 0 0\nv 20 10 0\nv 10 10 0\nv 0 10 0\nv 10 5 9\n" +
		"g left\nf 1 6 5 2\ng right\nf 2 5 4 3\ng\nf 1 2 7\nf 2 3 7\nf 3 4 7\nf 4 5 7\nf 5 6 7\nf 6 1 7\n"
	m := read(t, "a.obj", []byte(text), fine)
	count := map[string]int{}
	for _, p := range m.Panels {
		count[p.Group]++
	}
	if count["left"] != 1 || count["right"] != 1 || count["hood"] != 4 {
		t.Errorf("panels by group: %v", count)
	}
}

func FuzzOBJ(f *testing.F) {
	f.Add([]byte(tetra))
	f.Add([]byte("v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\ng a b\nf -1// -2/3 -3\\\n -4\n"))
	f.Fuzz(func(t *testing.T, data []byte) { survives(t, "a.obj", data) })
}

func FuzzSTL(f *testing.F) {
	f.Add(binarySTL([][3]r3.Vec{{{}, {X: 1}, {Y: 1}}, {{}, {Y: 1}, {Z: 1}}}))
	f.Add(textSTL([][3]r3.Vec{{{}, {X: 1}, {Y: 1}}, {{}, {Y: 1}, {Z: 1}}}))
	f.Fuzz(func(t *testing.T, data []byte) { survives(t, "a.stl", data) })
}

// survives reads and builds what it can: it must not panic, and what comes out must hang together.
func survives(t *testing.T, name string, data []byte) {
	f, err := Read(name, data)
	if err != nil {
		if fault := (*Fault)(nil); !errors.As(err, &fault) || fault.What == "" {
			t.Fatalf("no fault: %v", err)
		}
		return
	}
	m, flaws := f.Build(Options{Weld: 0.01, Flat: 0.1, Most: 1000})
	if m == nil {
		if len(flaws) == 0 {
			t.Fatal("no model and no flaw")
		}
		return
	}
	for _, p := range m.Panels {
		if len(p.Loop) < 3 {
			t.Fatalf("a panel of %d corners", len(p.Loop))
		}
		for _, i := range p.Loop {
			if i < 0 || i >= len(m.Points) {
				t.Fatalf("corner %d of %d", i, len(m.Points))
			}
		}
	}
	m.Offset(5, 0.01)
}
