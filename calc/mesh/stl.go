package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// An STL in binary has a header of 80 bytes, which may begin with "solid" like a text, the number of
// triangles in 4, and 50 bytes for each: normal and three corners as 32-bit floats, and 2 bytes that
// mean nothing here. Normals are not read: the order of the corners says the same.
const (
	stlHeader = 84
	stlFacet  = 50
)

func readSTL(data []byte) (*Facets, error) {
	size := uint64(len(data))
	if size < stlHeader {
		if begins(data) {
			return readTextSTL(data)
		}
		return nil, &Fault{"", fmt.Sprintf("%d bytes are no STL", size), "Export the model again; the file may have been cut short"}
	}
	count := uint64(binary.LittleEndian.Uint32(data[80:]))
	need := stlHeader + stlFacet*count
	if need != size && begins(data) && bytes.Contains(data[:min(len(data), 1024)], []byte("facet")) {
		return readTextSTL(data)
	}
	switch {
	case size < need:
		return nil, &Fault{"", fmt.Sprintf("it says that it has %d triangles and holds %d", count, (size-stlHeader)/stlFacet),
			"Export the model again; the file may have been cut short"}
	case size > need:
		return nil, &Fault{"", fmt.Sprintf("it says that it has %d triangles, and %d bytes stand behind them", count, size-need),
			"Export the model again; its count or its end is wrong"}
	case count > MaxFacets:
		return nil, &Fault{"", fmt.Sprintf("it has %d triangles; the most is %d", count, MaxFacets), simpler}
	}
	return readBinarySTL(data[stlHeader:], int(count))
}

// begins tells whether a file begins like an STL in text.
func begins(data []byte) bool {
	w := words{data: data, line: 1}
	for {
		if word := w.next(); word != nil {
			return string(bytes.ToLower(word)) == "solid"
		}
		if !w.down() {
			return false
		}
	}
}

func readBinarySTL(data []byte, count int) (*Facets, error) {
	f := &Facets{Groups: []string{""}, Tri: make([][3]int32, count), Group: make([]int32, count), Place: make([]int32, count)}
	shared := newShared(f, count/2)
	for t := range count {
		f.Place[t] = int32(t + 1)
		at := data[t*stlFacet+12:]
		for k := range 3 {
			var c [3]float32
			for i := range c {
				c[i] = math.Float32frombits(binary.LittleEndian.Uint32(at[12*k+4*i:]))
				if err := sane(float64(c[i])); err != nil {
					return nil, &Fault{f.Where(t), err.Error(), "Repair the model and export it again"}
				}
			}
			f.Tri[t][k] = shared.point(r3.Vec{X: float64(c[0]), Y: float64(c[1]), Z: float64(c[2])})
		}
	}
	return f, nil
}

// shared finds the points that several triangles of an STL repeat, so that each is kept once.
type shared struct {
	*Facets
	index map[r3.Vec]int32
}

func newShared(f *Facets, points int) shared { return shared{f, make(map[r3.Vec]int32, points)} }

func (s shared) point(p r3.Vec) int32 {
	i, ok := s.index[p]
	if !ok {
		i = int32(len(s.Points))
		s.Points = append(s.Points, p)
		s.index[p] = i
	}
	return i
}

// stlReader is an STL in text on its way in.
type stlReader struct {
	words
	*Facets
	shared shared
}

// readTextSTL reads `solid NAME`, then `facet normal …`, `outer loop`, three times `vertex x y z`,
// `endloop`, `endfacet`, and `endsolid`; several solids in one file are groups by their names.
func readTextSTL(data []byte) (*Facets, error) {
	f := &Facets{Lines: true}
	r := stlReader{words{data: data, line: 1}, f, newShared(f, 0)}
	for {
		word := r.word()
		if word == "" {
			return f, nil
		}
		if word != "solid" {
			return nil, r.fault("Export the model again", "%s stands where a solid begins", shown([]byte(word)))
		}
		if len(f.Groups) >= maxGroups {
			return nil, r.fault("Name only what you want as panels", "there are more than %d solids", maxGroups)
		}
		group := f.group(r.rest())
		if err := r.facets(group); err != nil {
			return nil, err
		}
	}
}

// word is the next word in small letters, over line ends; "" at the end of the file.
func (r *stlReader) word() string {
	for {
		if word := r.next(); word != nil {
			return string(bytes.ToLower(word[:min(len(word), 64)]))
		}
		if !r.down() {
			return ""
		}
	}
}

const cutShort = "Export the model again; the file may have been cut short"

// facets reads to the end of a solid.
func (r *stlReader) facets(group int32) error {
	for {
		switch word := r.word(); word {
		case "endsolid":
			r.rest()
			return nil
		case "facet":
			if err := r.facet(group); err != nil {
				return err
			}
		case "":
			return r.fault(cutShort, "the text ends before endsolid, after %d triangles", len(r.Tri))
		default:
			return r.fault("Export the model again", "%s stands where a facet or endsolid is due", shown([]byte(word)))
		}
	}
}

func (r *stlReader) facet(group int32) error {
	if len(r.Tri) >= MaxFacets {
		return r.fault(simpler, "there are more than %d triangles", MaxFacets)
	}
	line := r.line
	r.rest() // its normal
	var t [3]int32
	for _, due := range []string{"outer", "loop", "vertex", "vertex", "vertex", "endloop", "endfacet"} {
		word := r.word()
		if word == "" {
			return r.fault(cutShort, "the text ends in a facet, where %s is due", due)
		}
		if word != due {
			return r.fault("A facet has three corners; export the model again", "%s stands where %s is due", shown([]byte(word)), due)
		}
		if word == "vertex" {
			p, err := r.point()
			if err != nil {
				return err
			}
			t[0], t[1], t[2] = t[1], t[2], r.shared.point(p)
		}
	}
	r.Tri, r.Group, r.Place = append(r.Tri, t), append(r.Group, group), append(r.Place, line)
	return nil
}
