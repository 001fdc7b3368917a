package mesh

import (
	"strconv"
)

// passed are the words of an OBJ that say nothing about flat faces: normals, texture, materials,
// smoothing, points and lines.
var passed = map[string]bool{
	"vt": true, "vn": true, "vp": true, "usemtl": true, "mtllib": true, "usemap": true, "maplib": true, "s": true, "mg": true,
	"l": true, "p": true, "lod": true, "bevel": true, "c_interp": true, "d_interp": true, "shadow_obj": true, "trace_obj": true,
}

// curved are its words for surfaces that are no faces.
var curved = map[string]bool{
	"cstype": true, "deg": true, "bmat": true, "step": true, "curv": true, "curv2": true, "surf": true, "parm": true, "trim": true,
	"hole": true, "scrv": true, "sp": true, "end": true, "con": true, "ctech": true, "stech": true,
}

// objReader is an OBJ on its way in.
type objReader struct {
	words
	*Facets
	now     int32 // the group of the next face
	object  string
	corners []int32
	concave int
}

// readOBJ reads faces and their groups: `v x y z`, `f a b c …` with indices from 1, or from −1 backwards,
// each with or without texture and normal behind slashes, `g` and `o`. A group's name goes before an
// object's.
func readOBJ(data []byte) (*Facets, error) {
	r := objReader{words: words{data: data, line: 1}, Facets: &Facets{Lines: true}}
	r.now = r.group("")
	for {
		if word := r.next(); len(word) > 0 && word[0] != '#' {
			if err := r.statement(string(word)); err != nil {
				return nil, err
			}
		}
		if !r.down() {
			return r.Facets, nil
		}
	}
}

func (r *objReader) statement(word string) error {
	switch {
	case word == "v":
		if len(r.Points) >= MaxPoints {
			return r.fault(simpler, "there are more than %d corners", MaxPoints)
		}
		p, err := r.point()
		r.Points = append(r.Points, p)
		return err
	case word == "f" || word == "fo":
		return r.face()
	case word == "o":
		r.object = r.rest()
		return r.named(r.object)
	case word == "g":
		if name := r.rest(); name != "" && name != "default" && name != "off" {
			return r.named(name)
		}
		return r.named(r.object)
	case curved[word]:
		return r.fault("Turn curved surfaces into a mesh of flat faces before you export", "%s belongs to a curved surface", word)
	case passed[word]:
		return nil
	}
	return r.fault("Is it an OBJ? Its lines begin with v, f, g or o; export the model again", "%s begins no line of an OBJ", shown([]byte(word)))
}

// maxGroups bounds how many names a model has, so that looking one up stays cheap.
const maxGroups = 10_000

func (r *objReader) named(name string) error {
	if len(r.Groups) >= maxGroups {
		return r.fault("Name only what you want as panels", "there are more than %d groups", maxGroups)
	}
	if r.Groups[r.now] != name {
		r.now = r.group(name)
	}
	return nil
}

func (r *objReader) face() error {
	line := r.line
	r.corners = r.corners[:0]
	for text := r.next(); text != nil && text[0] != '#'; text = r.next() {
		if len(r.corners) == MaxCorners {
			return r.fault(simpler, "a face has more than %d corners", MaxCorners)
		}
		i, err := r.index(text)
		if err != nil {
			return err
		}
		r.corners = append(r.corners, i)
	}
	if len(r.corners) < 3 {
		return r.fault("Take it out, or give it three corners", "a face needs three corners and has %d", len(r.corners))
	}
	return r.add(r.corners, r.now, line, &r.concave)
}

// index reads a corner of a face: `7`, `7/2`, `7//3`, `7/2/3`, each number from 1, or from −1 backwards.
func (r *objReader) index(text []byte) (int32, error) {
	const help = "Corners are counted from 1 in the order of the v lines above, or backwards from -1; export the model again"
	first, slashes := text, 0
	for k, c := range text {
		if c != '/' {
			continue
		}
		if slashes == 0 {
			first = text[:k]
		}
		if slashes++; slashes > 2 {
			return 0, r.fault(help, "%s has too many slashes", shown(text))
		}
	}
	i, err := strconv.ParseInt(string(first), 10, 32)
	n := int64(len(r.Points))
	switch {
	case err != nil:
		return 0, r.fault(help, "%s is no corner", shown(text))
	case i < 0:
		i += n
	default:
		i--
	}
	if i < 0 || i >= n {
		return 0, r.fault(help, "there is no corner %s; %d stand above", shown(first), n)
	}
	return int32(i), nil
}
