package kind

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"gonum.org/v1/gonum/spatial/r3"

	"bevelbook/calc/mesh"
	"bevelbook/calc/solid"
	"bevelbook/calc/syntax"
)

// meshShell makes a shell of a model's panels, with an opening over each flat rim behind them, and says
// which family each panel is of: its group, or "panel" where the file names none.
func meshShell(m *mesh.Model) (*solid.Shell, map[string]string) {
	s := &solid.Shell{Points: m.Points}
	family := map[string]string{}
	names := meshNames(m.Panels)
	for i, p := range m.Panels {
		loop := fromLowest(m.Points, p.Loop)
		s.Faces = append(s.Faces, solid.Face{Name: names[i].own, Loop: loop})
		if names[i].own != names[i].family {
			family[names[i].own] = names[i].family
		}
	}
	taken := func(name string) bool { return s.FaceIndex(name) >= 0 }
	for i, rim := range m.Rims {
		loop := slices.Clone(rim)
		slices.Reverse(loop) // an opening runs against the panels around it
		name := fmt.Sprintf("opening%d", i+1)
		for taken(name) {
			name += "_"
		}
		if levelLoop(m.Points, loop) {
			s.Faces = append(s.Faces, solid.Face{Name: name, Loop: loop, Open: true})
		}
	}
	return s, family
}

type meshName struct{ own, family string }

// meshNames names panels by their group, numbered where a group has several; without a group they are
// p1, p2 and so on, of the family panel.
func meshNames(panels []mesh.Panel) []meshName {
	count, of := map[string]int{}, make([]string, len(panels))
	for i, p := range panels {
		of[i] = meshWord(p.Group)
		count[of[i]]++
	}
	names, number, taken := make([]meshName, len(panels)), map[string]int{}, map[string]bool{}
	for name, n := range count {
		if n == 1 {
			taken[name] = true
		}
	}
	for i, name := range of {
		names[i] = meshName{name, name}
		if count[name] == 1 && name != "" {
			continue
		}
		stem := name
		if name == "" {
			names[i].family, stem = "panel", "p"
		}
		for {
			number[name]++
			names[i].own = fmt.Sprintf("%s%d", stem, number[name])
			if !taken[names[i].own] {
				break
			}
		}
		taken[names[i].own] = true
	}
	return names
}

// shellResultNames are results of every shell, which no panel can be called.
var shellResultNames = strings.Fields("width depth height inner_width inner_depth inner_height outer_girth inner_girth opening opening_width opening_depth " +
	"level weight wall_volume outer_volume inner_volume outer_area inner_area seam_length glue_area scale triangles panels model_volume rims panel")

// meshWord makes one word of the language of a group's name: what is neither letter nor digit becomes _.
func meshWord(group string) string {
	const most = 40
	var w strings.Builder
	for i, r := range strings.TrimSpace(group) {
		switch {
		case i >= most:
		case r == '_' || r < 0x80 && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			w.WriteRune(unicode.ToLower(r))
		default:
			w.WriteByte('_')
		}
	}
	name := strings.Trim(w.String(), "_")
	if name == "" {
		return ""
	}
	if !syntax.IsName(name) {
		name = "p" + name
	}
	if syntax.Reserved(name) != "" || slices.Contains(shellResultNames, name) {
		name += "_panel"
	}
	return name
}

// fromLowest starts a loop at its lowest corner, the leftmost of several seen from outside, so that
// panels alike have edges of the same names.
func fromLowest(points []r3.Vec, loop []int) []int {
	var area r3.Vec
	for k := 1; k+1 < len(loop); k++ {
		area = r3.Add(area, r3.Cross(r3.Sub(points[loop[k]], points[loop[0]]), r3.Sub(points[loop[k+1]], points[loop[0]])))
	}
	right := r3.Vec{X: -area.Y, Y: area.X} // level, and to the right of who looks at the face
	up := r3.Vec{Z: 1}
	if r3.Norm(right) < 0.01*r3.Norm(area) {
		right, up = r3.Vec{X: 1}, r3.Vec{Y: math.Copysign(1, area.Z)}
	} else {
		right = r3.Unit(right)
	}
	const same = 1e-6
	first := 0
	for k := range loop {
		d := r3.Sub(points[loop[k]], points[loop[first]])
		if y := r3.Dot(d, up); y < -same || y < same && r3.Dot(d, right) < -same {
			first = k
		}
	}
	return append(slices.Clone(loop[first:]), loop[:first]...)
}

// levelLoop tells whether the corners of a rim lie in one plane and come once each.
func levelLoop(points []r3.Vec, loop []int) bool {
	if len(loop) < 3 {
		return false
	}
	var area, mean r3.Vec
	seen := map[int]bool{}
	for k, i := range loop {
		area = r3.Add(area, r3.Cross(r3.Sub(points[i], points[loop[0]]), r3.Sub(points[loop[(k+1)%len(loop)]], points[loop[0]])))
		mean = r3.Add(mean, r3.Scale(1/float64(len(loop)), points[i]))
		if seen[i] {
			return false
		}
		seen[i] = true
	}
	size := r3.Norm(area)
	for _, i := range loop {
		if !(math.Abs(r3.Dot(area, r3.Sub(points[i], mean))) <= solid.Flat/2*size) || size == 0 {
			return false
		}
	}
	return true
}
