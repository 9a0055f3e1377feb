package compare

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"benchleaf/calc"
	"benchleaf/render/handbook"
)

// fieldCode is the field with a digest of what a calculator reckons.
const fieldCode = "code"

// formOf takes the facts of a calculator: what comes in and out, what is reckoned, and by
// which values.
func formOf(c *handbook.Calculator) Thing {
	t := Thing{ID: c.ID, Title: c.Title}
	if t.Title == "" {
		t.Title = c.Calc.Title
	}
	if t.Title == "" {
		t.Title = c.Calc.Name
	}
	t.say("title", c.Title)
	t.say("name", c.Calc.Name)
	t.say("about", folded(c.Calc.About))
	t.say("formula", slices.Clone(c.Calc.Formula)...)
	t.say("source", slices.Clone(c.Calc.Sources)...)
	t.say(fieldCode, reckoned(c))
	var inputs, results []string
	for _, q := range c.Calc.Inputs {
		line := named(q)
		if preset, ok := c.Presets[q.Name]; ok {
			line += " = " + presetText(preset)
		} else if q.Options == nil && !math.IsNaN(q.Start) {
			line += " = " + strings.TrimRight(figure(q.Start)+" "+q.Unit.Symbol, " ")
		}
		if q.Options == nil {
			line += strings.TrimRight(" ("+figure(q.Min)+" to "+figure(q.Max)+" "+q.Unit.Symbol, " ") + ")"
		} else {
			line += " (" + strings.Join(q.Options, ", ") + ")"
		}
		if m, ok := c.Meters[q.Name]; ok {
			line += ", meter ±(" + figure(m.Share*100) + " % + " + figure(m.Added) + ")"
		}
		for _, key := range []struct {
			text string
			set  bool
		}{{"may be empty", q.Optional}, {"read at the machine", q.Metered}, {"follows " + q.Follows, q.Follows != ""}} {
			if key.set {
				line += ", " + key.text
			}
		}
		inputs = append(inputs, line)
	}
	for _, q := range c.Calc.Results {
		line := strings.TrimRight(named(q)+" "+q.Unit.Symbol, " ") + ", " + strconv.Itoa(q.Digits) + " digits"
		if q.Fixed {
			line += ", in this unit"
		}
		results = append(results, line)
	}
	t.say("inputs", inputs...)
	t.say("results", results...)
	var limits, examples []string
	for _, result := range slices.Sorted(maps.Keys(c.Limits)) {
		limits = append(limits, result+": "+value(dataSpec, c.Limits[result].ID))
	}
	t.say("limits", limits...)
	for _, e := range slices.Concat(c.Calc.Examples, c.Examples) {
		var line []string
		for _, a := range e.Inputs {
			line = append(line, a.Name+" "+a.Value)
		}
		line = append(line, "->")
		for _, a := range e.Results {
			line = append(line, a.Name+" "+a.Value)
		}
		examples = append(examples, strings.Join(line, " "))
	}
	t.say("examples", examples...)
	return t
}

// named is a quantity with the words and the symbol that readers see.
func named(q calc.Quantity) string {
	name := q.Name
	if q.Symbol != "" && q.Symbol != name {
		name += " " + q.Symbol
	}
	if q.Label != "" {
		name += ` "` + folded(q.Label) + `"`
	}
	return name
}

func presetText(p handbook.Preset) string {
	switch {
	case p.From != nil:
		return "the result " + p.From.Calculator.Calc.Results[p.From.Result].Name + " of " + p.From.Calculator.ID
	case p.Spec != nil && p.Within:
		return "the tolerance of " + value(dataSpec, p.Spec.ID)
	case p.Spec != nil:
		return value(dataSpec, p.Spec.ID)
	}
	return p.Text
}

// plotLines are what a plot draws.
func plotLines(x *handbook.Plot) []string {
	c := x.Calculator.Calc
	over := c.Inputs[x.Over]
	lines := []string{
		x.Calculator.ID, c.Results[x.Show].Name + " over " + over.Name,
		strings.TrimRight(figure(over.FromSI(x.Min))+" to "+figure(over.FromSI(x.Max))+" "+over.Unit.Symbol, " "),
	}
	for _, s := range x.Limits {
		lines = append(lines, value(dataSpec, s.ID))
	}
	if x.Title != "" {
		lines = append(lines, x.Title)
	}
	return lines
}

// samples is how many sets of inputs a calculator is tried with.
const samples = 64

// tried are the digests of built-in calculators, by their modules.
var tried sync.Map

// reckoned is a digest of what a calculator makes of many inputs. So it is another one if any function
// that it rests on gives other results, and the same if that was only written otherwise. Nine
// digits are more than a reader is shown. A built-in calculator is tried over the ranges of its own, whatever part
// of them a block asks for.
func reckoned(c *handbook.Calculator) string {
	if known, ok := tried.Load(c.Module); ok && !c.Calc.Own() {
		return known.(string)
	}
	inputs := c.Calc.Inputs
	if whole, ok := calc.Find(c.Calc.Name); ok && !c.Calc.Own() {
		inputs = whole.Inputs
	}
	var text strings.Builder
	in := make([]float64, len(inputs))
	for k := range samples {
		for i, q := range inputs {
			// Multiples of an irrational number, less the whole of them, lie evenly; the root of each
			// input's own prime keeps the inputs apart.
			_, at := math.Modf(float64(k) * math.Sqrt(float64(primes[i%len(primes)])))
			v := q.Min + float64(at*(q.Max-q.Min)) // rounded, on every machine
			switch {
			case k == 0:
				v = q.Start
			case q.Options != nil:
				v = math.Floor(at * float64(len(q.Options)))
			case q.Optional && (k+i)%3 == 0:
				v = math.NaN()
			}
			in[i] = q.ToSI(v)
		}
		out, err := c.Module.Run(in)
		if err != nil {
			text.WriteString("none")
		}
		for _, v := range out {
			text.WriteString(strconv.FormatFloat(v, 'e', 8, 64) + " ")
		}
		text.WriteByte('\n')
	}
	known := digest(text.String())
	if !c.Calc.Own() {
		tried.Store(c.Module, known)
	}
	return known
}

var primes = []int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53}
