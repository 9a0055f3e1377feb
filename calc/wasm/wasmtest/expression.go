package wasmtest

import "fmt"

// expr returns an expression of the kind that is no constant.
func (g *generator) expr(k kind, depth int) string {
	if depth <= 0 || g.chance(5) {
		if v := g.variable(k, false); v != "" {
			return v
		}
	}
	depth--
	switch k {
	case float:
		return g.float(depth)
	case whole:
		return g.whole(depth)
	case truth:
		return g.truth(depth)
	case pair:
		return g.pair(depth)
	case nest:
		switch {
		case depth <= 0 || g.chance(3):
			return "(Nest{Back: " + g.pair(depth) + "})"
		case g.chance(2):
			return "(Nest{" + g.expr(pair, depth) + ", " + g.expr(truth, depth) + ", " + g.expr(pair, depth) + "})"
		}
		return "(Nest{Flag: " + g.expr(truth, depth) + ", Pair: " + g.expr(pair, depth) + "})"
	}
	return "Level(" + g.expr(whole, depth) + ")"
}

// operand is an expression that may be a constant.
func (g *generator) operand(k kind, depth int) string {
	if !g.chance(4) {
		return g.expr(k, depth)
	}
	switch k {
	case float:
		return g.pick("0.5", "2", "1e9", "third", "-3.25", "seven", "1e-320", "0.1", "(1.0/64)", "1048576", "-1")
	case whole:
		return g.pick("2", "-1", "seven", "(1 << 40)", "least", "63", "-64", "len(tableF)", "9007199254740993")
	}
	return g.pick("true", "false", "(third > 0.25)")
}

func (g *generator) float(depth int) string {
	x := func() string { return g.expr(float, depth) }
	y := func() string { return g.operand(float, depth) }
	switch g.r.IntN(22) {
	case 0, 1:
		return "(" + x() + " + " + y() + ")"
	case 2, 3:
		return "(" + x() + " - " + y() + ")"
	case 4, 5:
		return "float64(" + x() + " * " + y() + ")"
	case 6, 7:
		return "(" + x() + " / " + g.pick(x(), "0.7", "1e3", x()) + ")"
	case 8:
		return "(-" + x() + ")"
	case 9:
		return "float64(" + g.expr(whole, depth) + ")"
	case 10:
		return g.pick("min", "max") + "(" + x() + ", " + y() + ")"
	case 11:
		return "min(" + x() + ", " + y() + ", " + x() + ")"
	case 12:
		return "elementary." + g.pick("Sqrt", "Floor", "Ceil", "Trunc", "Abs") + "(" + x() + ")"
	case 13:
		return "elementary." + g.pick("Min", "Max", "Pow") + "(" + x() + ", " + y() + ")"
	case 14:
		return "elementary." + g.pick("Exp", "Log", "Log10", "Sin", "Cos", "Atan") + "(" + x() + ")"
	case 15:
		// The sign of NaN is no value: a Copysign from it is kept out.
		return "elementary.Copysign(" + x() + ", float64(" + g.expr(whole, depth) + "))"
	case 16:
		return "tableF[" + g.index(7, depth) + "]"
	case 17:
		return "join(two(" + x() + ", " + g.operand(whole, depth) + "))"
	case 18:
		return g.expr(pair, depth) + ".Turned().Sum()"
	case 19:
		return "Kelvin(" + x() + ").Celsius()"
	case 20:
		return g.expr(nest, depth) + g.pick(".Deep("+x()+").V", ".Back.U", ".V", ".Sum()")
	}
	return "elementary.Inf(" + g.expr(whole, depth) + ")"
}

func (g *generator) whole(depth int) string {
	x := func() string { return g.expr(whole, depth) }
	y := func() string { return g.operand(whole, depth) }
	switch g.r.IntN(13) {
	case 0, 1:
		return "(" + x() + " + " + y() + ")"
	case 2:
		return "(" + x() + " - " + y() + ")"
	case 3:
		return "(" + x() + " * " + y() + ")"
	case 4, 5:
		divisor := g.pick("3", "-1", "-7", "max("+x()+", 1)", "min("+x()+", -1)")
		if g.chance(12) {
			divisor = x() // may be zero
		}
		return "(" + x() + g.pick(" / ", " % ") + divisor + ")"
	case 6:
		return "(-" + x() + ")"
	case 7:
		return g.toInt + "(" + g.expr(float, depth) + ")"
	case 8:
		return g.pick("min", "max") + "(" + x() + ", " + y() + ")"
	case 9:
		return "tableI[" + g.index(5, depth) + "]"
	case 10:
		return g.expr(pair, depth) + ".Turned().W"
	case 11:
		return "int(" + g.expr(level, depth) + ")"
	}
	return "(+" + x() + ")"
}

// index returns an index below n, seldom one that may be out of range.
func (g *generator) index(n, depth int) string {
	x := g.expr(whole, depth)
	if g.chance(15) {
		return x
	}
	return fmt.Sprintf("(%s%%%d+%d)%%%d", x, n, n, n)
}

func (g *generator) truth(depth int) string {
	compare := []string{" == ", " != ", " < ", " <= ", " > ", " >= "}
	switch g.r.IntN(12) {
	case 0, 1:
		return "(" + g.expr(float, depth) + g.pick(compare...) + g.operand(float, depth) + ")"
	case 2, 3:
		return "(" + g.expr(whole, depth) + g.pick(compare...) + g.operand(whole, depth) + ")"
	case 4:
		return "(" + g.expr(truth, depth) + g.pick(" && ", " || ") + g.operand(truth, depth) + ")"
	case 5:
		return "(!" + g.expr(truth, depth) + ")"
	case 6:
		return "(" + g.expr(truth, depth) + g.pick(" == ", " != ") + g.operand(truth, depth) + ")"
	case 7:
		return "tableB[" + g.index(3, depth) + "]"
	case 8:
		return g.expr(level, depth) + ".Above(" + g.pick("low", "middle", "high") + ")"
	case 9: // the second operand would trap where the first decides
		if v := g.variable(whole, false); v != "" {
			return "(" + v + g.pick(" != 0 && ", " == 0 || ") + g.expr(whole, depth) + "/" + v + g.pick(compare...) + g.operand(whole, depth) + ")"
		}
	case 10: // no comparison is the opposite of another where there is NaN
		return "(!(" + g.expr(float, depth) + g.pick(compare...) + g.operand(float, depth) + "))"
	}
	return "elementary.IsNaN(" + g.expr(float, depth) + ")"
}

func (g *generator) pair(depth int) string {
	if depth > 0 {
		switch g.r.IntN(4) {
		case 0:
			return "(Pair{" + g.operand(float, depth) + ", " + g.operand(whole, depth) + ", " + g.expr(float, depth) + "})"
		case 1:
			return "(Pair{V: " + g.expr(float, depth) + ", U: " + g.operand(float, depth) + "})"
		case 2:
			return g.expr(pair, depth) + ".Turned()"
		}
	}
	return g.pick("(Pair{})", "(Pair{W: seven})", "(Pair{U: third, V: -1})")
}
