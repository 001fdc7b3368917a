package shopping

import (
	"bevelbook/calc/eval"
	"bevelbook/calc/unit"
)

// Area shows an area in the unit that sheets are bought by, so that a column of them compares.
func Area(mm2 float64, style unit.Style) string {
	q := eval.Num(mm2, unit.Area)
	q.As, q.Step = &squareMetre, 0.01
	if style.Imperial {
		q.As, q.Step = &squareFoot, 0.1
	}
	return q.Show(style)
}

// Volume shows a volume as tins are labelled.
func Volume(mm3 float64, style unit.Style) string {
	q := eval.Num(mm3, unit.Volume)
	switch {
	case style.Imperial:
		q.As, q.Step = &fluidOunce, 0.1
	case mm3 < 1e6:
		q.As, q.Step = &millilitre, 1
	default:
		q.As, q.Step = &litre, 0.01
	}
	return q.Show(style)
}

var squareMetre, squareFoot, millilitre, litre, fluidOunce = mustUnit("m^2"), mustUnit("ft^2"), mustUnit("ml"), mustUnit("l"), mustUnit("floz")

func mustUnit(name string) unit.Unit {
	u, err := unit.Parse(name)
	if err != nil {
		panic(err) // a slip in the line above, found by any test
	}
	return u
}
