package formula

import (
	"slices"
	"strings"
	"testing"
)

// bench is a definition whose one result is given. It has no mistake but that
// most of it may be unused.
func bench(t testing.TB, result string) Definition {
	return Definition{
		Name: "bench",
		Inputs: []Input{
			{"supply", find(t, "V"), 6, 16, 12},
			{"current", find(t, "A"), 0, 20, 2},
			{"resistance", find(t, "Ω"), 0, 100, 6},
			{"ambient", find(t, "°C"), -40, 50, 20},
			{"outside", find(t, "°F"), -40, 120, 68},
			{"rise", find(t, "Δ°C"), 0, 100, 40},
			{"load-voltage", find(t, "mV"), 0, 16000, 11500},
			{"share", find(t, "%"), 0, 100, 50},
			{"angle", find(t, "deg"), 0, 360, 90},
			{"length", find(t, "m"), 1, 2, 1},
		},
		Constants: []Constant{{"area", find(t, "mm²"), 2}, {"count", find(t, ""), 2}},
		Values:    []Value{{"loss", "supply * current"}},
		Results:   []Result{{"power", find(t, "W"), result}},
	}
}

// mistakes are formulas of the result power, the place of the mistake in « », and
// what is said of it.
var mistakes = []struct {
	formula       string
	fault         Fault
	message, mend string
}{
	// Signs that are none.
	{"«1,5» * loss", Syntax, "a number has a decimal point, not a comma", "Write 1.5."},
	{"(«1,05») * loss", Syntax, "a number has a decimal point, not a comma", "Write 1.05."},
	{"loss«,» loss", Syntax, "a comma can only stand between the arguments of a function", "Remove it, or write one formula for each value."},
	{"loss * «sqrt(1,5)»", Syntax, "sqrt takes 1 argument, not 2", "Write a point for a decimal comma: 1.5."},
	{"supply «·» current", Syntax, "`·` is no sign of a formula", "Write *."},
	{"supply «×» current", Syntax, "`×` is no sign of a formula", "Write *."},
	{"loss «x» loss", Syntax, "`x` is no sign of a formula", "Write * for a product."},
	{"supply «÷» current", Syntax, "`÷` is no sign of a formula", "Write /."},
	{"loss «−» loss", Syntax, "`−` (U+2212) is not the hyphen of the keyboard", "Write -."},
	{"loss «–» loss", Syntax, "`–` (U+2013) is not the hyphen of the keyboard", "Write -."},
	{"choose(supply «≤» load_voltage, loss, 0)", Syntax, "`≤` is no sign of a formula", "Write <=."},
	{"choose(supply «=<» load_voltage, loss, 0)", Syntax, "`=<` is no comparison", "Write <=."},
	{"choose(supply «<>» load_voltage, loss, 0)", Syntax, "`<>` is no comparison", "Write !=."},
	{"choose(supply «=» load_voltage, loss, 0)", Syntax, "one = is no comparison", "Write == for \"is equal to\"."},
	{"«power =» loss", Syntax, "the formula stands without its name", "Write what is behind the =."},
	{"choose(supply > 0 «&» supply < load_voltage, loss, 0)", Syntax, "one & is no sign of a formula", "Write && for \"and\"."},
	{"choose(supply > 0 «and» current > 0, loss, 0)", Syntax, "`and` is no sign of a formula", "Write &&."},
	{"choose(«not» supply > 0, loss, 0)", Syntax, "`not` is no sign of a formula", "Write !."},
	{"«|»loss|", Syntax, "one | is no sign of a formula", "Write || for \"or\", or abs(x) for the magnitude of x."},
	{"supply«^»2 / resistance", Syntax, "`^` is no power in a formula", "Write pow(x, 2) for the square of x."},
	{"supply«**»2 / resistance", Syntax, "`**` is no sign of a formula", "Write pow(x, 2) for the square of x."},
	{"supply«²» / resistance", Syntax, "`²` is no sign of a formula", "Write pow(x, 2) for the square of x."},
	{"loss * 5«%»", Syntax, "`%` is no sign of a formula", "Give the figure as a constant in %, or divide by 100."},
	{"supply > 0 «?» loss : 0", Syntax, "`?` is no sign of a formula", "Write choose(condition, a, b): a if the condition holds, else b."},
	{"loss * «[»1 + 2]", Syntax, "`[` is no sign of a formula", "Write ( and )."},
	{"loss«[»1]", Syntax, "`[` is no sign of a formula", "Write ( and )."},
	{"loss«;» loss", Syntax, "`;` is no sign of a formula", "Write one formula; another one is a value of its own."},
	{"«\"»loss\"", Syntax, "a formula has no text in quotes", "Write names without quotes."},
	{"loss «//» half", Syntax, "`//` begins no comment here", "Write one / for a division, and remarks outside the formula."},
	{"loss «/*» half */", Syntax, "`/*` begins no comment here", "Write remarks outside the formula."},
	{"loss «++» loss", Syntax, "`++` is no sign of a formula", "Write one +."},
	{"loss «--» loss", Syntax, "`--` is no sign of a formula", "Write a space or a parenthesis between the two: a - (-b)."},
	{"loss«.»x", Syntax, "`.` is no sign of a formula", "Write numbers, names and + - * / with parentheses."},
	{"loss * «$»2", Syntax, "`$` is no sign of a formula", "Write numbers, names and + - * / with parentheses."},
	{"loss * «π»", Syntax, "`π` is no sign of a formula", "Write pi."},
	{"loss * r«é»sistance", Syntax, "`é` (U+00E9) is no letter of a name", "Write names with a to z, digits and underscores."},
	{"loss *«\u00a0»2", Syntax, "a space that does not break (U+00A0) stands in the formula", "Write an ordinary space."},
	{"loss *«\x00»2", Syntax, "a character that cannot be seen (U+0000) stands in the formula", "Remove it."},
	{"loss *«\xff»2", Syntax, "the text is not UTF-8 here", "Save the file as UTF-8 in the editor."},

	// Numbers.
	{"«010» * loss", Syntax, "a number does not begin with 0 and another digit", "Write 10."},
	{"«00.5» * loss", Syntax, "a number does not begin with 0 and another digit", "Write 0.5."},
	{"«0x10» * loss", Syntax, "`0x10` is no number in decimal digits", "Write it in decimal digits."},
	{"«1_000» * loss", Syntax, "a number has no underscore", "Write 1000."},
	{"«1 000» * loss", Syntax, "between `1` and `000` a sign is missing", "Write 1000 if it is one number, or the sign."},
	{"«2i» * loss", Syntax, "a formula has no imaginary numbers", "Write the number without i, or * before the name."},
	{"«1.2.3» * loss", Syntax, "`1.2.3` is no number", "Write one point, before the decimals."},
	{"«1e999» * loss", Limit, "`1e999` is too large a number", "Write one below 1e308."},
	{"«1e-999» * loss", Limit, "`1e-999` is too small a number", "Write 0."},

	// Something missing.
	{"", Syntax, "there is no formula", "Write what is to be computed."},
	{" \n", Syntax, "there is no formula", "Write what is to be computed."},
	{"loss «*»", Syntax, "behind `*` something is missing", "Complete the formula, or remove the sign."},
	{"«*» loss", Syntax, "a formula cannot begin with `*`", "Write what stands before it, or remove it."},
	{"loss * «/» 2", Syntax, "between `*` and `/` something is missing", "Write a number or a name there, or remove a sign."},
	{"loss * «(»2", Syntax, "this parenthesis is not closed", "Write the ) that is missing."},
	{"loss«)» * 2", Syntax, "this parenthesis was not opened", "Write the ( that is missing, or remove this one."},
	{"loss + «()»", Syntax, "nothing stands between the parentheses", "Write what belongs there, or remove them."},
	{"«2 loss»", Syntax, "between `2` and `loss` a sign is missing", "Write * for a product."},
	{"(loss«)(»2)", Syntax, "between `)` and `(` a sign is missing", "Write * for a product."},
	{"12 «V» * current", Syntax, "a unit cannot stand in a formula", "Give 12 V as a constant: its name can stand here."},
	{"12 «Ω» * current", Syntax, "a unit cannot stand in a formula", "Give the figure as a constant with its unit."},

	// Names and functions.
	{"«suply» * current", Unknown, "`suply` is no name here", "Write supply if that is meant, or give the name as an input, a constant or a value."},
	{"«Supply» * current", Unknown, "`Supply` is no name here", "Write supply if that is meant, or give the name as an input, a constant or a value."},
	{"«torque» * current", Unknown, "`torque` is no name here", "Give it as an input, a constant or a value."},
	{"«load-voltage» * current", Unknown, "`load-voltage` is read as a subtraction", "Write load_voltage for load-voltage."},
	{"current * «load-voltge»", Unknown, "`load-voltge` is read as a subtraction", "Write load_voltage for load-voltge."},
	{"(«volts» + volts) * current / volts", Unknown, "`volts` is no name here", "Give it as an input, a constant or a value."},
	{"«range» * loss", Unknown, "`range` is no name here, nor can it be one", "Write the name of an input, a constant, a value or a result."},
	{"loss * «e»", Unknown, "`e` is no name here", "Write exp(1), or exp(x) for a power of e."},
	{"choose(«true», loss, 0)", Unknown, "`true` is no part of a formula", "Write a comparison, such as x > 0."},
	{"«if»(supply > load_voltage, loss, 0)", Unknown, "`if` is no function", "Write choose(condition, a, b)."},
	{"loss * «ln»(2)", Unknown, "`ln` is no function", "Write log(x), the natural logarithm."},
	{"loss * «tan»(angle)", Unknown, "`tan` is no function", "Write sin(x) / cos(x)."},
	{"loss * «asin»(share)", Unknown, "`asin` is no function", "Write atan(x / sqrt(1 - x * x))."},
	{"loss * «arccos»(share)", Unknown, "`arccos` is no function", "Write pi / 2 - atan(x / sqrt(1 - x * x))."},
	{"loss * «sqr»(2)", Unknown, "`sqr` is no function", "Write pow(x, 2)."},
	{"loss * «flor»(2)", Unknown, "`flor` is no function", "Write floor if that is meant."},
	{"loss * «gamma»(2)", Unknown, "`gamma` is no function", "Functions: abs, atan, ceil, choose, copysign, cos, exp, floor, log, log10, max, min, pow, sin, sqrt, trunc."},
	{"loss * «sqrt share»", Syntax, "`sqrt` is a function", "Write its argument in parentheses: sqrt(share)."},
	{"loss * «abs 2»", Syntax, "`abs` is a function", "Write its argument in parentheses: abs(2)."},
	{"loss * «sqrt»", Syntax, "`sqrt` is a function", "Write its arguments in parentheses: sqrt(x)."},
	{"«supply»(2)", Syntax, "`supply` is no function", "Write supply * ( for a product."},
	{"«pi»(2)", Syntax, "`pi` is no function", "Write pi * ( for a product."},
	{"loss * «min(2)»", Syntax, "min takes 2 arguments or more, not 1", "Write min(a, b)."},
	{"loss * «pow(2)»", Syntax, "pow takes 2 arguments, not 1", "Write pow(x, y)."},
	{"«choose(supply > load_voltage, loss)»", Syntax, "choose takes 3 arguments, not 2", "Write choose(condition, a, b)."},

	// Dimensions.
	{"«supply / resistance»", Dimensions, "`supply / resistance` gives A; `power` says W", "Correct the formula, or give `power` a unit such as A."},
	{"(«supply / load_voltage»)", Dimensions, "`supply / load_voltage` gives a plain number; `power` says W", "Correct the formula, or give `power` no unit."},
	{"«supply * length»", Dimensions, "`supply * length` gives V·m; `power` says W", "Correct the formula, or give `power` a unit such as V·m."},
	{"«supply*supply»", Dimensions, "`supply*supply` gives V²; `power` says W", "Correct the formula, or give `power` a unit such as V²."},
	{"«1 / (supply - load_voltage)»", Dimensions, "`1 / (supply - load_voltage)` gives 1/V; `power` says W", "Correct the formula, or give `power` a unit such as 1/V."},
	{"loss + («supply + current»)", Dimensions, "`supply` is V and `current` is A; they cannot be added", "Multiply or divide first: only quantities of one dimension can be added."},
	{"loss * («load_voltage - current»)", Dimensions, "`load_voltage` is mV and `current` is A; they cannot be subtracted", "Multiply or divide first: only quantities of one dimension can be subtracted."},
	{"«supply*resistance*supply»", Dimensions, "`supply*resistance*supply` gives V²·Ω; `power` says W", "Correct the formula, or give `power` a unit such as V²·Ω."},
	{"«supply*resistance»", Dimensions, "`supply*resistance` gives V·Ω; `power` says W", "Correct the formula, or give `power` a unit such as V·Ω."},
	{"«length/(supply*supply)/resistance»", Dimensions, "`length/(supply*supply)/resistance` gives m/(V²·Ω); `power` says W", "Correct the formula, or give `power` a unit such as m/(V²·Ω)."},
	{"«loss + share»", Dimensions, "`loss` is W and `share` is %; they cannot be added", "If `share` is a share of it, write loss * (1 + share)."},
	{"«loss * count + loss - share»", Dimensions, "`loss * count + loss` is W and `share` is %; they cannot be subtracted", "If `share` is a share of it, write (loss * count + loss) * (1 - share)."},
	{"«share + loss»", Dimensions, "`share` is % and `loss` is W; they cannot be added", "Multiply or divide first: only quantities of one dimension can be added."},
	{"«loss + supply / load_voltage»", Dimensions, "`loss` is W and `supply / load_voltage` is a plain number; they cannot be added", "Multiply or divide first: only quantities of one dimension can be added."},
	{"«min(loss, share)»", Dimensions, "`loss` is W and `share` is %; they cannot be compared by min", "Multiply or divide first: only quantities of one dimension can be compared by min."},
	{"«loss + 3»", Dimensions, "`loss` is W and `3` is a plain number; they cannot be added", "Give `3` as a constant with its unit: its name can stand here."},
	{"«min(0, supply, current)» * current", Dimensions, "`supply` is V and `current` is A; they cannot be compared by min", "Multiply or divide first: only quantities of one dimension can be compared by min."},
	{"choose(«supply > current», loss, 0)", Dimensions, "`supply` is V and `current` is A; they cannot be compared", "Multiply or divide first: only quantities of one dimension can be compared."},
	{"«choose(supply > load_voltage, loss, supply)»", Dimensions, "`loss` is W and `supply` is V; they cannot be results of one choose", "Multiply or divide first: only quantities of one dimension can be results of one choose."},
	{"loss * exp(«supply»)", Dimensions, "exp wants a plain number; `supply` is V", "Divide it by a quantity of the same kind first."},
	{"loss * sin(«ambient»)", Dimensions, "sin wants a plain number; `ambient` is °C", "Divide it by a quantity of the same kind first."},
	{"loss * floor(«supply»)", Dimensions, "floor wants a plain number; `supply` is V", "Divide it by a quantity of the same kind first."},
	{"sqrt(«supply») * current", Dimensions, "`supply` is V, of which there is no square root", "Correct what stands under the root."},
	{"«pow(supply, 0.3)» * current", Dimensions, "`supply` is V, which has no power `0.3`", "Correct the exponent, or divide the base by a quantity of the same kind first."},
	{"«pow(supply, share)» * current", Dimensions, "`supply` is V; its power wants a constant exponent", "Divide it by a quantity of the same kind first, or write the exponent as a number."},
	{"pow(share, «supply») * current", Dimensions, "the exponent of pow must be a plain number; `supply` is V", "Divide it by a quantity of the same kind first."},
	{"«supply > load_voltage»", Dimensions, "`supply > load_voltage` is a condition; `power` must be a number", "Write choose(condition, a, b): a if the condition holds, else b."},
	{"loss * («supply > load_voltage»)", Dimensions, "`supply > load_voltage` is a condition; a number is wanted here", "Write choose(condition, a, b), or two comparisons with &&: a < x && x < b."},
	{"choose(«0 < share» < 1, loss, 0)", Dimensions, "`0 < share` is a condition; a number is wanted here", "Write choose(condition, a, b), or two comparisons with &&: a < x && x < b."},
	{"choose(«current», loss, 0)", Dimensions, "choose wants a condition first; `current` is a number", "Compare it, as in choose(x > 0, a, b)."},
	{"choose(share > 0 && «current», loss, 0)", Dimensions, "`&&` wants a condition; `current` is a number", "Compare it, as in x > 0."},
	{"loss * !«share»", Dimensions, "`!` wants a condition; `share` is a number", "Compare it, as in x > 0."},

	// Temperatures.
	{"loss * choose(«ambient > 0», 1, 2)", Dimensions, "beside a temperature 0 is the absolute zero", "Give the temperature that is meant as a constant with its unit."},
	{"loss * choose(«ambient > rise», 1, 2)", Dimensions, "`ambient` is a temperature and `rise` is a temperature difference; they cannot be compared", "Compare temperatures with temperatures, and differences (ΔK, Δ°C, Δ°F) with differences."},

	// No value.
	{"«supply * supply / resistance»", Domain, "with supply 12 V and resistance 0 Ω `supply * supply / resistance` has no value", "`resistance` must not be 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"«loss / (share - 0.3)»", Domain, "with supply 12 V, current 2 A and share 30 % `loss / (share - 0.3)` has no value", "`share - 0.3` must not be 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * «log(share)»", Domain, "with share 0 % `log(share)` has no value", "`share` must be above 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * «sqrt(share - 0.5)»", Domain, "with share 0 % `sqrt(share - 0.5)` has no value", "`share - 0.5` must not be below 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * «exp(share * 1000)»", Domain, "with share 100 % `exp(share * 1000)` has no value", "The value must not be too large for a number: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * «sin(share * 1e5)»", Domain, "with share 50 % `sin(share * 1e5)` has no value", "`share * 1e5` must be from -10000 to 10000 rad: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * «pow(share - 1, share)»", Domain, "with share 50 % `pow(share - 1, share)` has no value", "`share - 1` must not be below 0, nor be 0 with an exponent below 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
	{"loss * («1 / 0»)", Domain, "`1 / 0` has no value", "`0` must not be 0: narrow the ranges, or say what holds instead with choose(condition, a, b)."},
}

func TestMistakes(t *testing.T) {
	for _, m := range mistakes {
		text := strings.NewReplacer("«", "", "»", "").Replace(m.formula)
		start := max(0, strings.Index(m.formula, "«"))
		end := max(0, strings.Index(m.formula, "»")-len("«"))
		program, problems := Compile(bench(t, text))
		problems = slices.DeleteFunc(problems, func(p Problem) bool { return p.Fault == Unused })
		want := Problem{m.fault, InResults, 0, start, end, m.message, m.mend}
		if len(problems) != 1 || problems[0] != want || program != nil {
			t.Errorf("%s\n got %+v\nwant %+v", m.formula, problems, want)
		}
	}
}

// Mistakes of names, and of formulas together. The place is a section and an
// index.
func TestMistakesOfNames(t *testing.T) {
	plain := find(t, "")
	input := func(name string) Input { return Input{name, plain, 1, 2, 1} }
	result := func(formula string) []Result { return []Result{{"result", plain, formula}} }
	cases := []struct {
		d    Definition
		want []Problem
	}{
		{Definition{Inputs: []Input{input("range")}, Results: result("range * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`range` is a word of the language of formulas", "Write a longer name, such as range-value."}}},
		{Definition{Inputs: []Input{input("sqrt")}, Results: result("sqrt * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`sqrt` is the name of a function", "Write a longer name, such as sqrt-value."}}},
		{Definition{Inputs: []Input{input("pi")}, Results: result("pi * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`pi` is the number 3.14159…", "Write another name."}}},
		{Definition{Inputs: []Input{input("load_voltage")}, Results: result("load_voltage * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`load_voltage` is no name: it has an underscore", "Write load-voltage here; a formula writes the underscore for the hyphen."}}},
		{Definition{Inputs: []Input{input("true")}, Results: result("true * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`true` is a word of the language of formulas", "Write a longer name, such as true-value."}}},
		{Definition{Inputs: []Input{input("Supply")}, Results: result("Supply * 2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "`Supply` is no name", "Begin with a letter, and write a to z, digits and single hyphens, such as load-voltage."}}},
		{Definition{Inputs: []Input{input("")}, Results: result("2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "the name is empty", "Write one: letters a to z, digits and hyphens."}}},
		{Definition{Inputs: []Input{input(strings.Repeat("a", 61))}, Results: result("2")},
			[]Problem{{BadName, InInputs, 0, 0, 0, "the name has 61 letters; at most 60 can be taken", "Shorten it; the label may be long."}}},
		{Definition{Inputs: []Input{input("a-b")}, Values: []Value{{"a-b", "2"}}, Results: result("a_b")},
			[]Problem{{BadName, InValues, 0, 0, 0, "`a-b` is there already, as an input", "Give one of the two another name."}}},
		{Definition{Inputs: []Input{input("used"), input("idle")}, Constants: []Constant{{"spare", plain, 1}}, Values: []Value{{"lost", "used"}}, Results: result("used")},
			[]Problem{
				{Unused, InInputs, 1, 0, 0, "no formula uses `idle`", "Use it in a formula, or remove it."},
				{Unused, InConstants, 0, 0, 0, "no formula uses `spare`", "Use it in a formula, or remove it."},
				{Unused, InValues, 0, 0, 0, "no formula uses `lost`", "Use it in a formula, or remove it."}}},
		// With all three names known a hyphen is a subtraction.
		{Definition{Inputs: []Input{input("a"), input("b"), input("a-b")}, Results: result("a-b")},
			[]Problem{{Unused, InInputs, 2, 0, 0, "no formula uses `a_b`", "Use it in a formula, or remove it."}}},
		{Definition{Inputs: []Input{input("load"), input("load-voltage")}, Results: result("load * (1 + load-voltage)")},
			[]Problem{{Unknown, InResults, 0, 12, 24, "`load-voltage` is read as a subtraction", "Write load_voltage for load-voltage."}}},
		{Definition{Values: []Value{{"a", "1 + b"}, {"b", "2 * c"}, {"c", "a"}, {"d", "a"}}, Results: result("d")},
			[]Problem{{Cycle, InValues, 2, 0, 1, "`a` needs `b`, which needs `c`, which needs `a`", "Take one of them out of the ring: nothing can be computed from itself."}}},
		{Definition{Results: result("1 + result")},
			[]Problem{{Cycle, InResults, 0, 4, 10, "`result` needs itself", "Take one of them out of the ring: nothing can be computed from itself."}}},
		// What rests on a mistake is not told again.
		{Definition{Inputs: []Input{input("x")}, Values: []Value{{"a", "x +"}, {"b", "a + choose(a, 1, 2)"}}, Results: result("b + 1")},
			[]Problem{
				{Syntax, InValues, 0, 2, 3, "behind `+` something is missing", "Complete the formula, or remove the sign."}}},
		{Definition{Inputs: []Input{{"x", plain, 2, 1, 1}}, Results: result("x")},
			[]Problem{{Limit, InInputs, 0, 0, 0, "the range of `x` holds no number", "Write the least value and the greatest."}}},
		{Definition{Inputs: []Input{{"ambient", find(t, "°C"), 0, 50, 20}, {"inside", find(t, "°C"), 0, 50, 20}}, Results: []Result{{"rise", find(t, "°C"), "inside - ambient"}}},
			[]Problem{{Dimensions, InResults, 0, 0, 16, "`inside - ambient` is a temperature difference; `rise` says °C", "Write Δ°C."}}},
		{Definition{Inputs: []Input{{"ambient", find(t, "°C"), 0, 50, 20}}, Results: []Result{{"rise", find(t, "Δ°F"), "ambient"}}},
			[]Problem{{Dimensions, InResults, 0, 0, 7, "`ambient` is a temperature, no difference; `rise` says Δ°F", "Subtract a temperature for the difference, or write the unit °F."}}},
		{Definition{Inputs: []Input{{"ambient", find(t, "°C"), 0, 50, 20}, {"rise", find(t, "K"), 0, 50, 20}}, Results: []Result{{"hot", find(t, "°C"), "ambient + rise"}}},
			[]Problem{{Dimensions, InResults, 0, 0, 14, "`ambient + rise` is 2 times a temperature; `hot` says °C", "Divide the sum for a mean; a quantity that is a difference of temperatures has the unit ΔK, Δ°C or Δ°F."}}},
		{Definition{Inputs: []Input{{"surface", find(t, "°C"), 0, 50, 20}}, Results: []Result{{"none", find(t, "°C"), "0"}}},
			[]Problem{
				{Unused, InInputs, 0, 0, 0, "no formula uses `surface`", "Use it in a formula, or remove it."},
				{Dimensions, InResults, 0, 0, 1, "`0` is the absolute zero; `none` says °C", "Give the temperature that is meant as a constant with its unit."}}},
		// A result in °C is a temperature, whatever it was computed from.
		{Definition{Inputs: []Input{{"ambient", find(t, "°C"), 0, 50, 20}, {"power", find(t, "W"), 0, 50, 20}, {"resistance", find(t, "K/W"), 1, 5, 2}},
			Results: []Result{{"surface", find(t, "°C"), "ambient + power * resistance"}, {"rise", find(t, "°C"), "surface - ambient"}}},
			[]Problem{{Dimensions, InResults, 1, 0, 17, "`surface - ambient` is a temperature difference; `rise` says °C", "Write Δ°C."}}},
		{Definition{Inputs: []Input{input("x")}},
			[]Problem{{Limit, InResults, 0, 0, 0, "the calculator has no result", "Give it one, with a name, a unit and a formula."}}},
		{Definition{Inputs: []Input{input("x")}, Results: result(strings.Repeat("x+", 1000) + "x")},
			[]Problem{{Limit, InResults, 0, 0, 2001, "the formula has 2001 bytes; at most 2000 can be taken", "Move parts of it into values of their own."}}},
		{Definition{Inputs: []Input{input("x")}, Results: result(strings.Repeat("x+", 100) + "x")},
			[]Problem{{Limit, InResults, 0, 0, 201, "more than 100 operations stand one within the other", "Move a part of it into a value of its own."}}},
		{Definition{Inputs: []Input{input("x")}, Results: result(strings.Repeat("(", 101) + "x" + strings.Repeat(")", 101))},
			[]Problem{{Limit, InResults, 0, 100, 101, "more than 100 parentheses or signs stand one within the other", "Move a part of the formula into a value of its own."}}},
		{Definition{Inputs: slices.Repeat([]Input{input("x")}, 60), Values: slices.Repeat([]Value{{"y", "x"}}, 40), Results: result("y")},
			[]Problem{{Limit, InResults, 0, 0, 0, "the calculator has more than 100 names", "Divide it into two; the second can take results of the first."}}},
	}
	for _, c := range cases {
		if _, got := Compile(c.d); !slices.Equal(got, c.want) {
			t.Errorf("%+v\n got %+v\nwant %+v", c.d, got, c.want)
		}
	}
}
