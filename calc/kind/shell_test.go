package kind

import (
	"math"
	"testing"
)

// The compound mitres of n-sided frustums, tilt / mitre in degrees, panels leaning by the slope from the
// horizontal: sin tilt = sin α · sin(180°/n), tan mitre = cos α · tan(180°/n). Tables of this form stand in
// woodworking handbooks (compound-angle tables). The rows for four sides at 52° and 45° are those of the
// crown-moulding tables of carpentry, 31.6°/33.9° and 35.3°/30.0° (widely printed; from memory).
func TestRingsFollowTheCompoundAngleTable(t *testing.T) {
	slopes := []string{"30", "45", "52", "60", "75", "80", "90"}
	table := map[string][7][2]float64{
		"4":  {{20.70, 40.89}, {30.00, 35.26}, {33.86, 31.62}, {37.76, 26.57}, {43.08, 14.51}, {44.14, 9.85}, {45.00, 0}},
		"5":  {{17.09, 32.18}, {24.56, 27.19}, {27.59, 24.10}, {30.60, 19.96}, {34.59, 10.65}, {35.37, 7.19}, {36.00, 0}},
		"6":  {{14.48, 26.57}, {20.70, 22.21}, {23.20, 19.57}, {25.66, 16.10}, {28.88, 8.50}, {29.50, 5.73}, {30.00, 0}},
		"8":  {{11.03, 19.73}, {15.70, 16.32}, {17.55, 14.31}, {19.35, 11.70}, {21.69, 6.12}, {22.14, 4.11}, {22.50, 0}},
		"12": {{7.44, 13.06}, {10.55, 10.73}, {11.77, 9.37}, {12.95, 7.63}, {14.48, 3.97}, {14.77, 2.66}, {15.00, 0}},
	}
	for n, row := range table {
		for i, slope := range slopes {
			r, out, found := worked(t, "ring roof\nsides: "+n+"\nflats: 500 mm\nslope: "+slope+" deg\nheight: 60 mm\nthickness: 6 mm")
			for _, f := range found {
				t.Fatalf("%s sides at %s°: %s", n, slope, f.Message)
			}
			p := out.Parts[0]
			if len(out.Parts) != 1 || p.Name != "roof.side" || len(out.Seams) != p.Count {
				t.Fatalf("%d parts, the first %s × %d, and %d seams", len(out.Parts), p.Name, p.Count, len(out.Seams))
			}
			e := edge(t, p, "right")
			near(t, n+" at "+slope+" tilt", e.Bevel*180/math.Pi, row[i][0], 0.005)
			near(t, n+" at "+slope+" tilt by formula", number(t, r, "tilt"), e.Bevel, 1e-9)
			// The mitre is how far the edge leans in the panel from the square to its lower edge.
			at := p.Show.Corners()
			near(t, n+" at "+slope+" mitre", math.Atan2(at[1].X-at[2].X, at[2].Y-at[1].Y)*180/math.Pi, row[i][1], 0.005)
			near(t, n+" at "+slope+" mitre by formula", number(t, r, "mitre")*180/math.Pi, row[i][1], 0.005)
		}
	}
}
