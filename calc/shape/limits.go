package shape

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"
)

// The limits of what is worked on. Anything beyond is refused with a sentence, never cut down.
const (
	maxSize     = 1e6        // mm: no length and no coordinate is larger
	maxSegments = 100_000    // of an outline that is checked or moved edge by edge
	maxPoints   = 1_000_000  // of a flattened outline
	maxSides    = 1000       // of a regular polygon
	maxWalked   = 50_000_000 // joints looked at in comparing two figures
	maxBulge    = 1e4        // beyond it an arc is a full turn within a twentieth of a degree
)

// The tolerances, each by what it decides. Millimetres unless they say otherwise.
const (
	samePoint    = 1e-9    // two points are one
	onEdge       = 1e-6    // a point lies on the edge
	flatRadius   = 1e9     // an arc with a larger radius is worked as its chord
	smoothJoint  = 1e-4    // radians: two edges meet without a corner
	lengthError  = 1e-9    // relative: quadrature of a cubic's length
	checkFlat    = 1e-3    // chord error when outlines are checked for crossings
	checkShare   = 1e-5    // the same as a share of the outline's size, for very small ones
	cubicMoved   = 0.002   // a moved cubic strays less; 0.01 is promised
	equalRun     = 1e-6    // two runs are the same
	defaultChord = 0.01    // chord error when none is asked for
	bevelError   = 1e-6    // radians: two bevels are the same
	noTurn       = 1e-15   // sines and cosines nearer to 0 or 1 are exactly that
	leastLength  = 1e-6    // an edge shorter than this has vanished
	leastShare   = 1e-9    // an area below this share of its box is no area
	kinkAngle    = 1e-3    // radians: a joint that the eye calls a corner
	curveJump    = 1e-6    // 1/mm: a joint at which the curvature changes
	leastStep    = 1e-12   // a parameter step that no longer changes the point
	shallowArc   = 0.01    // radians: an arc so shallow is balanced like a parabola
	foldedTurn   = 1e-9    // sine of an angle at which two edges lie on one another
	newtonStep   = 1e-12   // parameter step at which an intersection counts as found
	meetingGap   = 1e-7    // between two curves at the point where they count as meeting
	nudge        = 1e-4    // parameter step away from a point at which a cubic stands still
	tooManyPairs = 1 << 25 // comparisons of boxes before an outline is refused as too tangled
)

// number writes v in the shortest way with at most four decimals.
func number(v float64) string {
	v = math.Round(v*1e4) / 1e4
	if v == 0 {
		return "0" // and never -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// size refuses what cannot be a length of foam.
func size(what string, v float64) error {
	switch {
	case !finite(v):
		return fmt.Errorf("the %s is not a number", what)
	case v <= 0:
		return fmt.Errorf("the %s is %s mm; it must be more than 0", what, number(v))
	case v < samePoint:
		return fmt.Errorf("the %s is too small to draw", what)
	case v > maxSize:
		return fmt.Errorf("the %s is %.4g mm; the most that is drawn is 1,000,000 mm", what, v)
	}
	return nil
}

// shiftSize refuses what cannot be a distance, of either sign.
func shiftSize(what string, v float64) error {
	if !finite(v) {
		return fmt.Errorf("the %s is not a number", what)
	}
	if math.Abs(v) > maxSize {
		return fmt.Errorf("the %s is %.4g mm; the most that is drawn is 1,000,000 mm", what, v)
	}
	return nil
}

func place(p r2.Vec) error {
	if !finite(p.X) || !finite(p.Y) {
		return fmt.Errorf("a point is not a number")
	}
	if math.Abs(p.X) > maxSize || math.Abs(p.Y) > maxSize {
		return fmt.Errorf("the point (%.4g, %.4g) lies more than 1,000,000 mm away", p.X, p.Y)
	}
	return nil
}
