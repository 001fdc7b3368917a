package solid

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// latitudesOf are equal steps.
func latitudesOf(from, to float64, n int) []float64 {
	list := make([]float64, n+1)
	for i := range list {
		list[i] = from + (to-from)*float64(i)/float64(n)
	}
	return list
}

// The seams between panels of one zone are those of the compound-angle tables of woodworking handbooks,
// sin β = sin α · sin(180°/n) for panels that lean at α from the horizontal; the level seams between zones take
// half of what the slopes differ.
func TestBevelsOfADomeInZones(t *testing.T) {
	for _, n := range []int{4, 6, 8, 12} {
		lat := latitudesOf(0, math.Pi/2, 4)
		s := Zones(n, 200, lat)
		for i := range s.Faces {
			s.Faces[i].Wall, s.Faces[i].Open = 6, s.Faces[i].Name == Floor || s.Faces[i].Name == Lid
		}
		body := built(t, s, Options{})
		slope := func(zone int) float64 {
			a, b := lat[zone-1], lat[zone]
			return math.Atan2(math.Sin(b)-math.Sin(a), math.Cos(math.Pi/float64(n))*(math.Cos(a)-math.Cos(b)))
		}
		for _, p := range body.Panels {
			var zone int
			fmt.Sscanf(p.Name, "zone%d_", &zone)
			for _, side := range p.Sides {
				want := 0.0
				switch side.Name {
				case "left", "right":
					want = math.Asin(math.Sin(slope(zone)) * math.Sin(math.Pi/float64(n)))
				case "bottom":
					if zone > 1 {
						want = (slope(zone-1) - slope(zone)) / 2
					}
				case "top":
					want = (slope(zone) - slope(zone+1)) / 2
				}
				if math.Abs(side.Bevel-want) > 1e-9 {
					t.Errorf("%d sides: bevel of %s.%s is %v, not %v", n, p.Name, side.Name, side.Bevel, want)
				}
			}
		}
		if len(body.Seams) != 4*n+3*n {
			t.Errorf("%d sides: %d seams", n, len(body.Seams))
		}
	}
}

// Many sides and many zones come near the sphere: its zone between two levels a height h apart has the area
// 2π·r·h (Archimedes). From pole to pole there is neither floor nor lid.
func TestZonesComeNearTheSphere(t *testing.T) {
	s := Zones(180, 100, latitudesOf(-math.Pi/2, math.Pi/3, 90))
	area := 0.0
	for i, f := range s.Faces {
		if strings.HasPrefix(f.Name, "zone") {
			area += r3.Norm(s.areaVector(i)) / areaShare
		}
	}
	want := 2 * math.Pi * 100 * 100 * (1 + math.Sqrt(3)/2)
	if math.Abs(area-want) > 1e-3*want {
		t.Errorf("area is %v, not %v", area, want)
	}
	if s.FaceIndex(Floor) >= 0 || s.FaceIndex(Lid) < 0 {
		t.Error("the floor is at the pole, the lid is not")
	}
}

// areaShare is how long areaVector is for an area of 1.
var areaShare = func() float64 {
	s := &Shell{Points: []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}, Faces: []Face{{Loop: []int{0, 1, 2, 3}}}}
	return r3.Norm(s.areaVector(0))
}()

// No plane of a panel comes nearer to the middle than ZoneRoom says, and one comes so near.
func TestZoneRoomIsWhatPlanesLeave(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for range 100 {
		n, from := 3+rng.IntN(12), 1.5*(2*rng.Float64()-1)
		lat := latitudesOf(from, from+(math.Pi/2-from)*(0.2+0.8*rng.Float64()), 1+rng.IntN(6))
		s := Zones(n, 1, lat)
		least := math.Inf(1)
		for i, f := range s.Faces {
			if strings.HasPrefix(f.Name, "zone") {
				least = math.Min(least, math.Abs(r3.Dot(s.Normal(i), s.Points[f.Loop[0]])))
			}
		}
		if got := ZoneRoom(n, lat); math.Abs(got-least) > 1e-9 {
			t.Errorf("%d sides at %v: room for %v, not %v", n, lat, got, least)
		}
	}
}
