package eval

import (
	"math"

	"bevelbook/calc/unit"
)

// numeric are the functions on quantities. Angles carry units; ranges keep the dimension of what
// they are given, and refuse to mix dimensions.
var numeric = []Function{
	{Name: "abs", Doc: "the size without its sign", Params: quantities("a"), Keeps: true, Give: keep(math.Abs)},
	{Name: "min", Doc: "the smallest", Rest: Param{"a", Anything, false}, Keeps: true, Give: extreme(-1)},
	{Name: "max", Doc: "the largest", Rest: Param{"a", Anything, false}, Keeps: true, Give: extreme(1)},
	{Name: "sum", Doc: "the sum of all values and lists", Rest: Param{"a", Anything, false}, Keeps: true, Give: sum},
	{Name: "mean", Doc: "the mean of all values and lists", Rest: Param{"a", Anything, false}, Keeps: true, Give: mean},
	{Name: "count", Doc: "how many values the lists hold, those of lists in lists too", Rest: Param{"a", Anything, false}, Give: count},
	{Name: "clamp", Doc: "the value, kept between two limits", Params: quantities("a", "low", "high"), Keeps: true, Give: clamp},
	{Name: "round", Doc: "the nearest multiple of a step", Params: stepped, Keeps: true, Give: steps(math.Round)},
	{Name: "ceil", Doc: "the next multiple of a step upwards", Params: stepped, Keeps: true, Give: steps(math.Ceil)},
	{Name: "floor", Doc: "the next multiple of a step downwards", Params: stepped, Keeps: true, Give: steps(math.Floor)},
	{Name: "sqrt", Doc: "the square root", Params: quantities("a"), Give: func(c *Call) Value {
		q, err := unit.Sqrt(c.quantity(0))
		return checked(q, err, c.At)
	}},
	{Name: "hypot", Doc: "the long side of a right triangle", Params: quantities("a", "b"), Give: func(c *Call) Value {
		a, b := c.quantity(0), c.quantity(1)
		_, err := unit.Compare(a, b) // of one dimension
		long := math.Hypot(a.Value, b.Value)
		if err == nil && math.IsInf(long, 0) {
			err = unit.ErrTooLarge
		}
		return checked(unit.Quantity{Value: long, Dim: a.Dim}, err, c.At)
	}},
	{Name: "sin", Doc: "the sine of an angle", Params: angle, Give: ofAngle(math.Sin)},
	{Name: "cos", Doc: "the cosine of an angle", Params: angle, Give: ofAngle(math.Cos)},
	{Name: "tan", Doc: "the tangent of an angle", Params: angle, Give: ofAngle(math.Tan)},
	{Name: "asin", Doc: "the angle with this sine", Params: number, Give: toAngle(math.Asin)},
	{Name: "acos", Doc: "the angle with this cosine", Params: number, Give: toAngle(math.Acos)},
	{Name: "atan", Doc: "the angle with this tangent", Params: number, Give: toAngle(math.Atan)},
	{Name: "atan2", Doc: "the angle of a rise over a run", Params: quantities("rise", "run"), Give: func(c *Call) Value {
		a, b := c.quantity(0), c.quantity(1)
		_, err := unit.Compare(a, b) // of one dimension
		return checked(unit.Quantity{Value: math.Atan2(a.Value, b.Value), Dim: unit.Angle}, err, c.At)
	}},
}

var (
	angle   = []Param{{Name: "angle", Want: AnAngle}}
	number  = []Param{{Name: "a", Want: ANumber}}
	stepped = []Param{{Name: "a", Want: AQuantity}, {Name: "step", Want: AQuantity, Optional: true}}
)

func quantities(names ...string) []Param {
	var list []Param
	for _, n := range names {
		list = append(list, Param{Name: n, Want: AQuantity})
	}
	return list
}

// keep makes a function that changes the size and keeps the dimension.
func keep(f func(float64) float64) func(*Call) Value {
	return func(c *Call) Value {
		q := c.quantity(0)
		return Num(f(q.Value), q.Dim)
	}
}

func ofAngle(f func(float64) float64) func(*Call) Value {
	return func(c *Call) Value {
		v := f(c.num(0, 0))
		if math.Abs(v) > 1e12 {
			fail(NoResult, c.At, "Check the angle: the tangent grows without end towards 90°", "%s has no finite value at this angle", c.fn.Name)
		}
		return Num(v, unit.None)
	}
}

func toAngle(f func(float64) float64) func(*Call) Value {
	return func(c *Call) Value {
		v := f(c.num(0, 0))
		if math.IsNaN(v) {
			fail(NoResult, c.At, "Check the lengths it is worked out from", "no angle has this %s: it must lie between -1 and 1", map[string]string{"asin": "sine", "acos": "cosine"}[c.fn.Name])
		}
		return Num(v, unit.Angle)
	}
}

// steps makes round, ceil and floor: to the step, or to whole plain numbers.
func steps(f func(float64) float64) func(*Call) Value {
	return func(c *Call) Value {
		q := c.quantity(0)
		step := unit.Number(1)
		if c.has(1) {
			step = c.quantity(1)
		} else if q.Dim != unit.None {
			fail(WrongArguments, c.At, "Name a step, as in round(a, 1 mm)", "%s of %s needs a step", c.fn.Name, Num(0, q.Dim).Type())
		}
		if !(step.Value > 0) {
			fail(WrongValue, c.args[1].at, "Name a step above zero, as in "+c.fn.Name+"(a, 1 mm)", "%s needs a step above zero", c.fn.Name)
		}
		n, err := unit.Div(q, step)
		if err == nil && n.Dim != unit.None {
			fail(UnitsDiffer, c.args[1].at, "Give the step in a unit of the value", "%s cannot go in steps of %s", c.args[0].value.Type(), c.args[1].value.Type())
		}
		r := checked(n, err, c.At)
		return Num(f(snap(r.Value))*step.Value, q.Dim)
	}
}

// snap takes away the last bits of a division, so that ceil(0.3 / 0.1) is 3 and not 4.
func snap(v float64) float64 {
	const bits = 1e-9
	if r := math.Round(v); math.Abs(v-r) < bits*math.Max(1, math.Abs(r)) {
		return r
	}
	return v
}

// all lists the quantities among the arguments, those in lists too.
func (c *Call) all() []Quantity {
	var list []Quantity
	var add func(b bound, v Value)
	add = func(b bound, v Value) {
		switch v := v.(type) {
		case Quantity:
			list = append(list, v)
		case List:
			for _, item := range v {
				add(b, item)
			}
		default:
			fail(WrongValue, b.at, "Use it as "+c.fn.Usage(), "%s is for quantities, and this holds %s", c.fn.Name, v.Type())
		}
	}
	for _, b := range c.rest {
		add(b, b.value)
	}
	return list
}

func extreme(sign int) func(*Call) Value {
	return func(c *Call) Value {
		list := c.all()
		if len(list) == 0 {
			fail(WrongArguments, c.At, "Use it as "+c.fn.Usage(), "%s needs at least one value", c.fn.Name)
		}
		best := list[0]
		for _, q := range list[1:] {
			order, err := unit.Compare(q.Quantity, best.Quantity)
			checked(unit.Quantity{}, err, c.At)
			if order*sign > 0 {
				best = q
			}
		}
		return best
	}
}

func sum(c *Call) Value {
	list := c.all()
	if len(list) == 0 {
		return Num(0, unit.None)
	}
	total := list[0].Quantity
	for _, q := range list[1:] {
		t, err := unit.Add(total, q.Quantity)
		total = checked(t, err, c.At).Quantity
	}
	return Quantity{Quantity: total}
}

func mean(c *Call) Value {
	n := len(c.all())
	if n == 0 {
		fail(WrongArguments, c.At, "Use it as "+c.fn.Usage(), "mean needs at least one value")
	}
	total := sum(c).(Quantity)
	return Num(total.Value/float64(n), total.Dim)
}

func count(c *Call) Value {
	n := 0
	for _, b := range c.rest {
		n += leaves(b.value)
	}
	return Num(float64(n), unit.None)
}

// leaves counts what a value holds that is no list.
func leaves(v Value) int {
	l, ok := v.(List)
	if !ok {
		return 1
	}
	n := 0
	for _, item := range l {
		n += leaves(item)
	}
	return n
}

func clamp(c *Call) Value {
	a, low, high := c.quantity(0), c.quantity(1), c.quantity(2)
	below, err := unit.Compare(a, low)
	checked(a, err, c.At)
	above, err := unit.Compare(a, high)
	checked(a, err, c.At)
	switch {
	case low.Value > high.Value:
		fail(WrongArguments, c.At, "Use it as "+c.fn.Usage(), "the lower limit lies above the upper one")
	case below < 0:
		a = low
	case above > 0:
		a = high
	}
	return Quantity{Quantity: a}
}
