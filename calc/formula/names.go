package formula

import (
	"fmt"
	"go/token"
	"slices"
	"strings"

	"benchleaf/calc/typo"
	"benchleaf/calc/unit"
)

// symbol is what a name in a formula stands for.
type symbol struct {
	name    string // in the definition, with hyphens
	section Section
	index   int
	unit    unit.Unit // of a value: none
	value   float64   // of a constant, in SI
	formula *formula  // of a value or result
	used    bool
}

// formula is the formula of one value or result.
type formula struct {
	*symbol
	text   string
	tree   *node // nil if it cannot be read
	broken bool  // it uses something that has a problem: what follows is not told
	gives  quantity

	state int // in the search for rings
}

// spelling returns a name as a formula writes it.
func spelling(name string) string { return strings.ReplaceAll(name, "-", "_") }

// declare enters the names of the definition. A name that cannot be one is a
// problem, and is not told again where a formula uses it.
func (c *compiler) declare() {
	d := c.definition
	enter := func(s *symbol) {
		written := spelling(s.name)
		message, mend := badName(s.name)
		if other := c.symbols[written]; message == "" && other != nil {
			message, mend = quote(s.name)+" is there already, as "+sectionNames[other.section], "Give one of the two another name."
		}
		if message != "" {
			c.problems = append(c.problems, Problem{Fault: BadName, Section: s.section, Index: s.index, Message: message, Mend: mend})
			if c.symbols[written] == nil {
				c.refused[written] = true
			}
			return
		}
		c.symbols[written] = s
		c.names = append(c.names, written)
	}
	for i, in := range d.Inputs {
		s := &symbol{name: in.Name, section: InInputs, index: i, unit: in.Unit}
		if !(finite(in.Unit.ToSI(in.Min)) && finite(in.Unit.ToSI(in.Max)) && in.Min <= in.Max) {
			c.problems = append(c.problems, Problem{Fault: Limit, Section: InInputs, Index: i,
				Message: "the range of " + quote(in.Name) + " holds no number", Mend: "Write the least value and the greatest."})
		}
		c.inputs = append(c.inputs, s)
		enter(s)
	}
	for i, k := range d.Constants {
		s := &symbol{name: k.Name, section: InConstants, index: i, unit: k.Unit, value: k.Unit.ToSI(k.Value)}
		if !finite(s.value) {
			c.problems = append(c.problems, Problem{Fault: Limit, Section: InConstants, Index: i,
				Message: "the figure of " + quote(k.Name) + " is no number", Mend: "Write a number and its unit."})
		}
		c.constants = append(c.constants, s)
		enter(s)
	}
	for i, v := range d.Values {
		s := &symbol{name: v.Name, section: InValues, index: i}
		s.formula = &formula{symbol: s, text: v.Formula}
		c.formulas = append(c.formulas, s.formula)
		enter(s)
	}
	for i, r := range d.Results {
		s := &symbol{name: r.Name, section: InResults, index: i, unit: r.Unit, used: true}
		s.formula = &formula{symbol: s, text: r.Formula}
		c.formulas = append(c.formulas, s.formula)
		enter(s)
	}
}

var sectionNames = [...]string{InInputs: "an input", InConstants: "a constant", InValues: "a value", InResults: "a result"}

// badName says why a name cannot be one.
func badName(name string) (message, mend string) {
	fits := name != "" && name[0] >= 'a' && name[0] <= 'z' && !strings.HasSuffix(name, "-") && !strings.Contains(name, "--")
	for i := range len(name) {
		fits = fits && (name[i] >= 'a' && name[i] <= 'z' || isDigit(name[i]) || name[i] == '-')
	}
	switch {
	case name == "":
		return "the name is empty", "Write one: letters a to z, digits and hyphens."
	case len(name) > maxName:
		return fmt.Sprintf("the name has %d letters; at most %d can be taken", len(name), maxName), "Shorten it; the label may be long."
	case strings.Contains(name, "_"):
		return quote(name) + " is no name: it has an underscore", "Write " + strings.ReplaceAll(name, "_", "-") + " here; a formula writes the underscore for the hyphen."
	case !fits:
		return quote(name) + " is no name", "Begin with a letter, and write a to z, digits and single hyphens, such as load-voltage."
	case token.IsKeyword(name) || name == "true" || name == "false":
		return quote(name) + " is a word of the language of formulas", "Write a longer name, such as " + name + "-value."
	case functions[name].arguments != 0:
		return quote(name) + " is the name of a function", "Write a longer name, such as " + name + "-value."
	case name == "pi":
		return "`pi` is the number 3.14159…", "Write another name."
	}
	return "", ""
}

// unknown says that nothing has a name, and which may be meant.
func (c *compiler) unknown(written string) (message, mend string) {
	message = quote(written) + " is no name here"
	lower := strings.ToLower(written)
	switch {
	case token.IsKeyword(written):
		if written == "if" || written == "else" {
			return quote(written) + " is no part of a formula", "Write choose(condition, a, b): a if the condition holds, else b."
		}
		return message + ", nor can it be one", "Write the name of an input, a constant, a value or a result."
	case lower == "true" || lower == "false":
		return quote(written) + " is no part of a formula", "Write a comparison, such as x > 0."
	case lower == "e":
		return message, "Write exp(1), or exp(x) for a power of e."
	}
	if nearest := nearest(lower, slices.Concat(c.names, Functions(), []string{"pi"})); nearest != "" {
		return message, "Write " + nearest + " if that is meant, or give the name as an input, a constant or a value."
	}
	return message, "Give it as an input, a constant or a value."
}

// unknownFunction says that nothing is called so, and what may be meant.
func (c *compiler) unknownFunction(written string) (message, mend string) {
	message = quote(written) + " is no function"
	if instead, ok := otherFunctions[strings.ToLower(written)]; ok {
		return message, "Write " + instead + "."
	}
	if nearest := nearest(strings.ToLower(written), Functions()); nearest != "" {
		return message, "Write " + nearest + " if that is meant."
	}
	return message, "Functions: " + strings.Join(Functions(), ", ") + "."
}

// The arc sine and the arc cosine, for an x between -1 and 1.
const (
	arcsine   = "atan(x / sqrt(1 - x * x))"
	arccosine = "pi / 2 - " + arcsine
)

// otherFunctions are functions that a formula does not have by that name.
var otherFunctions = map[string]string{
	"if": "choose(condition, a, b)", "iif": "choose(condition, a, b)", "else": "choose(condition, a, b)", "switch": "choose(condition, a, b)",
	"ln": "log(x), the natural logarithm", "lg": "log10(x)", "power": "pow(x, y)", "root": "sqrt(x)", "sqr": "pow(x, 2)", "square": "pow(x, 2)",
	"cbrt": "pow(x, 1/3)", "tan": "sin(x) / cos(x)", "arctan": "atan(x)", "tg": "sin(x) / cos(x)", "atan2": "atan(y / x)",
	"asin": arcsine, "arcsin": arcsine, "acos": arccosine, "arccos": arccosine,
	"round": "floor(x + 0.5)", "int": "trunc(x)", "sign": "copysign(1, x)", "sgn": "copysign(1, x)", "minimum": "min(a, b)", "maximum": "max(a, b)",
	"mod": "x - y * floor(x / y)", "not": "! before the condition", "and": "&& between the conditions", "or": "|| between the conditions",
}

// nearest returns the candidate that was probably meant, or "": at most one slip
// in three letters.
func nearest(written string, candidates []string) string {
	found, least := "", max(1, min(3, len(written)/3))+1
	if len(written) > maxName {
		return ""
	}
	for _, candidate := range candidates {
		if d := typo.Distance([]rune(written), []rune(candidate)); d < least && d < max(len(written), len(candidate)) {
			found, least = candidate, d
		}
	}
	return found
}

// unhyphenate finds names that are written with their hyphens, which a formula
// reads as subtractions: load-voltage, where load_voltage is known, or nearly,
// and not both parts are. It reports whether it found one.
func (c *compiler) unhyphenate(f *formula, words []word) bool {
	found := false
	for i := 0; i < len(words); i++ {
		if words[i].kind != name {
			continue
		}
		joined, known, last := words[i].text, c.known(words[i].text), i
		meant, end := "", i
		for last+2 < len(words) && words[last+1].text == "-" && words[last+2].kind != sign && words[last].end == words[last+2].start-1 {
			last += 2
			joined += "_" + words[last].text
			known = known && (words[last].kind == number || c.known(words[last].text))
			if known {
				continue
			}
			if c.symbols[joined] != nil {
				meant, end = joined, last
			} else if near := nearest(joined, c.names); strings.Contains(near, "_") && meant == "" {
				meant, end = near, last
			}
		}
		if meant != "" {
			written := f.text[words[i].start:words[end].end]
			c.problem(f, Unknown, words[i].start, words[end].end, quote(written)+" is read as a subtraction", fmt.Sprintf("Write %s for %s.", meant, written))
			found = true
			i = end
		}
	}
	return found
}

// known reports whether a formula may use the name.
func (c *compiler) known(written string) bool {
	return c.symbols[written] != nil || c.refused[written] || written == "pi"
}
