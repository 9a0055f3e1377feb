package formula

import (
	"fmt"
	"math"
	"strings"

	"benchleaf/calc/unit"
)

// quantity is what is known of a step before any number: its dimension, or that
// it is a condition.
//
// A temperature is a point on a scale, not a size: 20 °C and 10 °C do not make
// 30 °C. points counts, through sums and constant factors, how many points a
// step holds: a difference of temperatures has 0, a temperature 1, the sum of
// two has 2 and their mean 1 again. It is NaN where that is unknown, as for a
// temperature times something measured, a thermodynamic temperature.
type quantity struct {
	dimension unit.Dimension
	condition bool
	points    float64
	rotation  rotation
	zero      bool   // the number 0 as written: it fits any dimension
	declared  string // of a name: the unit that the author gave it
	bad       bool   // a problem has been told
}

var plainNumber = quantity{points: math.NaN()}

// judge finds dimensions that do not agree, in one formula.
type judge struct {
	*compiler
	f *formula
}

// judge works out what a formula gives, after those that it needs.
func (c *compiler) judge(f *formula) {
	if f.tree == nil || f.broken {
		f.gives.bad = true
		return
	}
	j := &judge{c, f}
	got := j.of(f.tree)
	if got.bad {
		f.gives.bad = true
		return
	}
	got.declared, got.zero = "", got.zero && f.section == InResults
	f.gives = got
	if got.condition {
		j.refuse(f.tree, fmt.Sprintf("%s is a condition; %s must be a number", j.quote(f.tree), quote(f.name)), "Write choose(condition, a, b): a if the condition holds, else b.")
		f.gives.bad = true
		return
	}
	if f.section == InResults {
		if !j.result(f, got) {
			f.gives.bad = true
			return
		}
		f.gives.dimension = f.unit.Kind.Dimension()
		f.gives.declared = f.unit.Symbol
		f.gives.rotation = rotationOfResult(f.unit, got.rotation)
		if math.IsNaN(got.points) && !(f.unit.Kind == unit.Temperature && f.unit.Offset == 0) {
			f.gives.points = pointsOf(f.unit) // what the author says of it
		}
	}
}

// result holds what a formula gives against the unit of its result.
func (j *judge) result(f *formula, got quantity) bool {
	want := f.unit.Kind.Dimension()
	says := "`" + f.name + "` says " + f.unit.Symbol
	if f.unit.Symbol == "" {
		says = "`" + f.name + "` has no unit"
	}
	if !got.zero && got.dimension != want {
		mend := fmt.Sprintf("Correct the formula, or give `%s` a unit such as %s.", f.name, j.called(got.dimension))
		if got.dimension.IsZero() {
			mend = fmt.Sprintf("Correct the formula, or give `%s` no unit.", f.name)
		}
		return j.refuse(f.tree, fmt.Sprintf("%s gives %s; %s", j.quote(f.tree), j.called(got.dimension), says), mend)
	}
	if !j.turns(f, got) {
		return false
	}
	if want != temperature || math.IsNaN(got.points) {
		return true
	}
	switch {
	case got.zero && f.unit.Offset != 0:
		return j.refuse(f.tree, fmt.Sprintf("%s is the absolute zero; %s", j.quote(f.tree), says), "Give the temperature that is meant as a constant with its unit.")
	case f.unit.Kind == unit.TemperatureDifference && !near(got.points, 0):
		mend := "Subtract a temperature for the difference, or write the unit " + strings.TrimPrefix(f.unit.Symbol, "Δ") + "."
		return j.refuse(f.tree, fmt.Sprintf("%s is %s, no difference; %s", j.quote(f.tree), pointsName(got.points), says), mend)
	case f.unit.Kind == unit.Temperature && f.unit.Offset != 0 && near(got.points, 0):
		return j.refuse(f.tree, fmt.Sprintf("%s is a temperature difference; %s", j.quote(f.tree), says), "Write Δ"+f.unit.Symbol+".")
	case f.unit.Kind == unit.Temperature && f.unit.Offset != 0 && !near(got.points, 1):
		return j.refuse(f.tree, fmt.Sprintf("%s is %s; %s", j.quote(f.tree), pointsName(got.points), says), "Divide the sum for a mean; a quantity that is a difference of temperatures has the unit ΔK, Δ°C or Δ°F.")
	}
	return true
}

// pointsName says what a step with so many points is.
func pointsName(points float64) string {
	if near(points, 1) {
		return "a temperature"
	}
	return fmt.Sprintf("%.3g times a temperature", points)
}

var temperature = unit.Temperature.Dimension()

// near compares counts of points, which constant factors may have rounded.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

func (j *judge) quote(n *node) string { return quote(j.f.text[n.start:n.end]) }

func (j *judge) refuse(n *node, message, mend string) bool {
	j.problem(j.f, Dimensions, n.start, n.end, message, mend)
	return false
}

// of returns what a step gives; bad if it has a problem, which is told once.
func (j *judge) of(n *node) quantity {
	bad := quantity{bad: true}
	switch n.op {
	case "number":
		return quantity{points: 0, zero: n.value == 0}
	case "name":
		return j.named(n.symbol)
	case "!", "&&", "||":
		for _, x := range n.args {
			got := j.of(x)
			if got.bad {
				return bad
			}
			if !got.condition {
				j.refuse(x, fmt.Sprintf("`%s` wants a condition; %s is a number", n.op, j.quote(x)), "Compare it, as in x > 0.")
				return bad
			}
		}
		return quantity{condition: true}
	case "<", "<=", ">", ">=", "==", "!=":
		if got := j.same(n); got.bad {
			return bad
		}
		return quantity{condition: true}
	case "choose":
		return j.choose(n)
	}
	if f, ok := functions[n.op]; ok {
		return f.rule(j, n)
	}
	args := make([]quantity, len(n.args))
	for i, x := range n.args {
		if args[i] = j.number(x); args[i].bad {
			return bad
		}
	}
	var got quantity
	switch n.op {
	case "negate":
		got = args[0]
		got.points = -got.points
	case "+", "-":
		var ok bool
		if got, ok = j.agree(n, args); !ok {
			return bad
		}
		got.points = args[0].points + args[1].points
		if n.op == "-" {
			got.points = args[0].points - args[1].points
		}
		got.zero = args[0].zero && args[1].zero
		got.rotation.known = args[0].rotation == args[1].rotation && got.rotation.known
	case "*":
		got = quantity{dimension: args[0].dimension.Times(args[1].dimension), points: math.NaN(), rotation: args[0].rotation.times(args[1].rotation, 1)}
		for i := range 2 {
			got.scale(args[i], args[1-i], n.args[1-i].constant, n.args[1-i].value)
		}
	case "/":
		got = quantity{dimension: args[0].dimension.Over(args[1].dimension), points: math.NaN(), rotation: args[0].rotation.times(args[1].rotation, -1)}
		got.scale(args[0], args[1], n.args[1].constant, 1/n.args[1].value)
	}
	got.declared = ""
	if !within(got.dimension) {
		j.refuse(n, j.quote(n)+" has a power of a unit that no quantity has", "Correct the formula.")
		return bad
	}
	return got
}

// scale counts the points of a product of x and a factor. A difference stays one
// whatever plain number multiplies it.
func (q *quantity) scale(x, factor quantity, constant bool, by float64) {
	if x.dimension != temperature || !factor.dimension.IsZero() {
		return
	}
	if constant {
		q.points = x.points * by
	} else if near(x.points, 0) {
		q.points = 0
	}
}

// within reports whether the exponents are some that a quantity may have.
func within(d unit.Dimension) bool { return greatest(d) <= maxExponent }

// greatest returns the greatest exponent of a base unit, without its sign.
func greatest(d unit.Dimension) int {
	most := 0
	for _, e := range []int{int(d.Length), int(d.Mass), int(d.Time), int(d.Current), int(d.Temperature)} {
		most = max(most, e, -e)
	}
	return most
}

// scaled returns the dimension of a power, where the exponent is a fraction of
// small whole numbers and the power has whole exponents.
func scaled(d unit.Dimension, exponent float64) (unit.Dimension, bool) {
	if math.Abs(exponent)*float64(greatest(d)) > maxExponent {
		return d, false
	}
	for n := 1; n <= maxRoot; n++ {
		if p := math.Round(exponent * float64(n)); p/float64(n) == exponent {
			return d.Power(int(p)).Root(n)
		}
	}
	return d, false
}

// named returns what a name gives.
func (j *judge) named(s *symbol) quantity {
	if s.formula != nil {
		got := s.formula.gives
		got.zero = false
		return got
	}
	return quantity{dimension: s.unit.Kind.Dimension(), points: pointsOf(s.unit), rotation: declaredRotation(s), declared: s.unit.Symbol}
}

// pointsOf counts the points of a quantity by its unit.
func pointsOf(u unit.Unit) float64 {
	switch u.Kind {
	case unit.Temperature:
		return 1
	case unit.TemperatureDifference:
		return 0
	}
	return math.NaN()
}

// number returns what a step gives, which must be a number.
func (j *judge) number(n *node) quantity {
	got := j.of(n)
	if !got.bad && got.condition {
		mend := "Write choose(condition, a, b): a if the condition holds, else b."
		if len(n.args) == 2 && n.op != "&&" && n.op != "||" {
			mend = "Write choose(condition, a, b), or two comparisons with &&: a < x && x < b."
		}
		j.refuse(n, j.quote(n)+" is a condition; a number is wanted here", mend)
		got.bad = true
	}
	return got
}

// agreement says what cannot be done with two quantities that differ.
var agreement = map[string]string{
	"+": "added", "-": "subtracted", "<": "compared", "<=": "compared", ">": "compared", ">=": "compared", "==": "compared", "!=": "compared",
	"min": "compared by min", "max": "compared by max", "choose": "results of one choose",
}

// agree returns the one dimension of operands, of which the number 0 fits any.
func (j *judge) agree(n *node, args []quantity) (quantity, bool) {
	first := -1
	operands := n.args[len(n.args)-len(args):]
	for i, x := range args {
		switch {
		case x.zero:
		case first < 0:
			first = i
		case x.dimension != args[first].dimension:
			a, b := operands[first], operands[i]
			mend := j.mendShare(n, a, b, x)
			for _, literal := range []*node{a, b} {
				if literal.constant && literal.op != "name" {
					mend = "Give " + j.quote(literal) + " as a constant with its unit: its name can stand here."
				}
			}
			return quantity{}, j.refuse(n, fmt.Sprintf("%s is %s and %s is %s; they cannot be %s", j.quote(a), j.name(args[first]), j.quote(b), j.name(x), agreement[n.op]), mend)
		case x.rotation.lacks2Pi(args[first].rotation):
			return quantity{}, j.refuse(n, fmt.Sprintf("%s and %s are apart by a factor of 2 * pi; they cannot be %s", j.quote(operands[first]), j.quote(operands[i]), agreement[n.op]), j.mendRotation(n))
		}
	}
	if first < 0 {
		return args[0], true
	}
	return args[first], true
}

// mendShare says what to do with two dimensions: the second of a sum may be a
// share of the first.
func (j *judge) mendShare(n, a, b *node, second quantity) string {
	if second.declared == "%" && (n.op == "+" || n.op == "-") {
		whole, share := j.f.text[a.start:a.end], j.f.text[b.start:b.end]
		if precedence := precedences[a.op]; precedence != 0 && precedence < precedences["*"] {
			whole = "(" + whole + ")"
		}
		return fmt.Sprintf("If `%s` is a share of it, write %s * (1 %s %s).", share, whole, n.op, share)
	}
	return fmt.Sprintf("Multiply or divide first: only quantities of one dimension can be %s.", agreement[n.op])
}

// same is the rule of comparisons, min and max, whose operands must be of one
// dimension and, if temperatures, all points or all differences.
func (j *judge) same(n *node) quantity {
	args := make([]quantity, len(n.args))
	for i, x := range n.args {
		if args[i] = j.number(x); args[i].bad {
			return args[i]
		}
	}
	return j.alike(n, args)
}

// choose is the rule of choose: a condition, and two numbers that are alike.
func (j *judge) choose(n *node) quantity {
	condition := j.of(n.args[0])
	if !condition.bad && !condition.condition {
		j.refuse(n.args[0], fmt.Sprintf("choose wants a condition first; %s is a number", j.quote(n.args[0])), "Compare it, as in choose(x > 0, a, b).")
		condition.bad = true
	}
	args := []quantity{j.number(n.args[1]), j.number(n.args[2])}
	if condition.bad || args[0].bad || args[1].bad {
		return quantity{bad: true}
	}
	return j.alike(n, args)
}

// alike returns what operands that stand for one another give.
func (j *judge) alike(n *node, args []quantity) quantity {
	got, ok := j.agree(n, args)
	if !ok {
		return quantity{bad: true}
	}
	operands := n.args[len(n.args)-len(args):]
	got.declared = ""
	got.zero = true
	for i, x := range args {
		got.zero = got.zero && x.zero
		if got.dimension != temperature || near(x.points, got.points) || math.IsNaN(x.points) || math.IsNaN(got.points) {
			continue
		}
		if x.zero || args[0].zero {
			j.refuse(n, "beside a temperature 0 is the absolute zero", "Give the temperature that is meant as a constant with its unit.")
		} else {
			j.refuse(n, fmt.Sprintf("%s is %s and %s is %s; they cannot be %s", j.quote(operands[0]), pointsOrDifference(args[0].points), j.quote(operands[i]), pointsOrDifference(x.points), agreement[n.op]),
				"Compare temperatures with temperatures, and differences (ΔK, Δ°C, Δ°F) with differences.")
		}
		return quantity{bad: true}
	}
	for _, x := range args {
		if math.IsNaN(x.points) {
			got.points = x.points
		}
		got.rotation.known = got.rotation.known && x.rotation == args[0].rotation
	}
	return got
}

func pointsOrDifference(points float64) string {
	if near(points, 0) {
		return "a temperature difference"
	}
	return pointsName(points)
}

// plain is the rule of functions over plain numbers.
func (j *judge) plain(n *node) quantity {
	for _, x := range n.args {
		got := j.number(x)
		if got.bad {
			return got
		}
		if !got.dimension.IsZero() {
			j.refuse(x, fmt.Sprintf("%s wants a plain number; %s is %s", n.op, j.quote(x), j.name(got)), "Divide it by a quantity of the same kind first.")
			return quantity{bad: true}
		}
	}
	return plainNumber
}

// magnitude is the rule of abs and copysign, which keep the first dimension.
func (j *judge) magnitude(n *node) quantity {
	got := j.number(n.args[0])
	for _, x := range n.args[1:] {
		got.bad = j.number(x).bad || got.bad
	}
	if !near(got.points, 0) && !(n.op == "abs" && near(got.points, 1)) {
		got.points = math.NaN()
	}
	got.declared, got.zero = "", false
	return got
}

// root is the rule of sqrt, which halves the exponents.
func (j *judge) root(n *node) quantity {
	got := j.number(n.args[0])
	if got.bad {
		return got
	}
	halved, ok := scaled(got.dimension, 0.5)
	if !ok {
		j.refuse(n.args[0], fmt.Sprintf("%s is %s, of which there is no square root", j.quote(n.args[0]), j.name(got)), "Correct what stands under the root.")
		return quantity{bad: true}
	}
	return quantity{dimension: halved, points: math.NaN()}
}

// power is the rule of pow.
func (j *judge) power(n *node) quantity {
	base, exponent := j.number(n.args[0]), j.number(n.args[1])
	if base.bad || exponent.bad {
		return quantity{bad: true}
	}
	if !exponent.dimension.IsZero() {
		j.refuse(n.args[1], fmt.Sprintf("the exponent of pow must be a plain number; %s is %s", j.quote(n.args[1]), j.name(exponent)), "Divide it by a quantity of the same kind first.")
		return quantity{bad: true}
	}
	if base.dimension.IsZero() {
		return plainNumber
	}
	if !n.args[1].constant {
		j.refuse(n, fmt.Sprintf("%s is %s; its power wants a constant exponent", j.quote(n.args[0]), j.name(base)), "Divide it by a quantity of the same kind first, or write the exponent as a number.")
		return quantity{bad: true}
	}
	raised, ok := scaled(base.dimension, n.args[1].value)
	if !ok || !within(raised) {
		j.refuse(n, fmt.Sprintf("%s is %s, which has no power %s", j.quote(n.args[0]), j.name(base), j.quote(n.args[1])), "Correct the exponent, or divide the base by a quantity of the same kind first.")
		return quantity{bad: true}
	}
	return quantity{dimension: raised, points: math.NaN()}
}
