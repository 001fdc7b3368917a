package kind

import (
	"fmt"

	"bevelbook/calc/eval"
	"bevelbook/calc/finding"
	"bevelbook/calc/source"
	"bevelbook/calc/spell"
	"bevelbook/calc/syntax"
	"bevelbook/calc/unit"
)

var wearer = Kind{
	Name:   "wearer",
	Doc:    "body measurements, kept from what is published unless it says `share: yes`",
	Values: true,
	Keys: []Key{
		{Name: "share", Want: Truth, Doc: "yes lets the numbers be published; ask the wearer first"},
	},
	Private: func(b *syntax.Block) bool {
		for _, e := range b.Entries {
			if yes, ok := e.Value.(*syntax.Truth); ok && e.Name() == "share" && yes.Yes {
				return false
			}
		}
		return true
	},
	Check: checkMeasure,
}

// measure is a body measurement under its ISO 8559-1 or ISO 7250-1 name, words joined with _, with
// the 1st percentile of women and the 99th of men (the wider of both sexes) of the 2012
// Anthropometric Survey of U.S. Army Personnel (ANSUR II), in mm. Where the survey took the
// measurement another way (a flexed arm), its range still tells a slip from a body.
type measure struct {
	name      string
	low, high float64
	survey    string // the survey's own name
}

var measures = []measure{
	{"stature", 1482.5, 1927, "stature"},
	{"shoulder_breadth", 388, 593, "bideltoidbreadth"},
	{"biacromial_breadth", 322, 463, "biacromialbreadth"},
	{"shoulder_length", 113.8, 175, "shoulderlength"},
	{"chest_girth", 784, 1276.2, "chestcircumference"},
	{"chest_breadth", 232, 335, "chestbreadth"},
	{"chest_depth", 189.8, 321.2, "chestdepth"},
	{"waist_girth", 665, 1214, "waistcircumference"},
	{"waist_breadth", 232, 413, "waistbreadth"},
	{"waist_depth", 159, 329, "waistdepth"},
	{"back_waist_length", 364.9, 548.2, "waistbacklength"},
	{"hip_girth", 861.8, 1218, "buttockcircumference"},
	{"hip_breadth", 293, 423, "hipbreadth"},
	{"upper_arm_girth", 244, 448, "bicepscircumferenceflexed"},
	{"forearm_girth", 225, 365, "forearmcircumferenceflexed"},
	{"wrist_girth", 138, 198, "wristcircumference"},
	{"upper_arm_length", 271, 377, "acromionradialelength"},
	{"forearm_length", 209.8, 308, "radialestylionlength"},
	{"forearm_hand_length", 390, 540, "forearmhandlength"},
	{"arm_length", 477.7, 670, "sleeveoutseam"},
	{"arm_span", 1481.7, 2028.8, "span"},
	{"hand_girth", 167, 237, "handcircumference"},
	{"hand_length", 160, 218, "handlength"},
	{"hand_breadth", 69.8, 99, "handbreadth"},
	{"palm_length", 96, 133, "palmlength"},
	{"head_girth", 521, 614.2, "headcircumference"},
	{"head_breadth", 136, 168, "headbreadth"},
	{"head_length", 171.8, 215, "headlength"},
	{"neck_girth", 291, 467.2, "neckcircumference"},
	{"neck_base_girth", 329, 502, "neckcircumferencebase"},
	{"thigh_girth", 495, 774, "thighcircumference"},
	{"lower_thigh_girth", 329, 501.2, "lowerthighcircumference"},
	{"calf_girth", 312.7, 467, "calfcircumference"},
	{"ankle_girth", 185, 268, "anklecircumference"},
	{"heel_ankle_girth", 277, 385, "heelanklecircumference"},
	{"knee_height", 390, 556.2, "kneeheightmidpatella"},
	{"tibial_height", 381, 535, "tibialheight"},
	{"inside_leg_height", 685, 960, "crotchheight"},
	{"foot_length", 219, 302, "footlength"},
	{"foot_breadth", 82.8, 115, "footbreadthhorizontal"},
	{"foot_girth", 203, 284, "balloffootcircumference"},
	{"sitting_height", 784, 1001.2, "sittingheight"},
	{"elbow_breadth", 407.9, 700, "forearmforearmbreadth"},
}

// Measures lists the names of the body measurements whose range is known.
func Measures() []string {
	names := make([]string, len(measures))
	for i, m := range measures {
		names[i] = m.name
	}
	return names
}

// Children and taller or wider people than the survey's soldiers wear costumes too: the ranges are
// stretched by these before a measurement counts as a slip. Common practice, no source.
const (
	shrink  = 0.5
	stretch = 1.4
)

const (
	// OwnMeasure notes a name that is near a known measurement's and is none.
	OwnMeasure = "own-measure"
	// MeasureUnlikely is the finding of a measurement that no body has.
	MeasureUnlikely = "measure-unlikely"
)

// checkMeasure looks at one measurement: is it a length, and can a body have it?
func checkMeasure(key string, v eval.Value, at source.Span, style unit.Style) []finding.Finding {
	if key == "share" {
		return nil
	}
	q, ok := v.(eval.Quantity)
	if !ok || q.Dim != unit.Length && q.Dim != unit.Mass && q.Dim != unit.Angle {
		f := eval.Err(eval.WrongValue, at, "Write a length, as in 240 mm", "%s must be a measurement, and this is %s", key, v.Type())
		return []finding.Finding{f}
	}
	for _, m := range measures {
		if m.name == key {
			return m.unlikely(q, at, style)
		}
	}
	if near := spell.Nearest(key, Measures()); near != "" {
		f := eval.Err(OwnMeasure, at, fmt.Sprintf("Did you mean %s? Its range is checked then", near), "%s is no measurement known by its ISO name; it is kept as your own", key)
		f.Severity, f.Part = finding.Note, key
		return []finding.Finding{f}
	}
	return nil
}

func (m measure) unlikely(q eval.Quantity, at source.Span, style unit.Style) []finding.Finding {
	low, high := m.low*shrink, m.high*stretch
	if q.Dim == unit.Length && low <= q.Value && q.Value <= high {
		return nil
	}
	show := func(v float64) string { return eval.Num(v, unit.Length).Show(style) }
	f := eval.Err(MeasureUnlikely, at, "Measure again, and check the unit",
		"%s of %s is not between %s and %s", m.name, q.Show(style), show(low), show(high))
	f.Severity, f.Part, f.Private = finding.Mind, m.name, true
	return []finding.Finding{f}
}
