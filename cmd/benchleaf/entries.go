package main

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
)

// entries are what a calculator is run with: what the command line gives, and
// from it the values of all inputs.
type entries struct {
	given  map[string]handbook.Preset
	inputs []render.Input
}

// reader reads the assignments of a command line.
type reader struct {
	calculator *render.Calculator
	lang       string
	given      map[string]handbook.Preset
	mistakes   remark.List
}

// readEntries reads assignments such as "current=2.4 A". The place of a mistake
// is the assignment.
func readEntries(c *render.Calculator, args []string, lang string) (*entries, remark.List) {
	r := &reader{c, lang, map[string]handbook.Preset{}, nil}
	first := map[string]string{}
	for _, arg := range args {
		name, text, ok := strings.Cut(arg, "=")
		name = strings.TrimSpace(name)
		at := remark.Place{File: arg}
		i := slices.IndexFunc(c.Inputs, func(q calc.Quantity) bool { return q.Name == name })
		switch before, again := first[name]; {
		case !ok:
			r.mistakes.Add(remark.ValueText, at, arg, "assignment", r.sample())
		case i < 0:
			r.unknown(at, name)
		case again:
			r.mistakes = append(r.mistakes, remark.IDDuplicate.At(at, name, "`"+before+"`").Instead("Give each input once."))
		default:
			first[name] = arg
			r.value(at, c.Inputs[i], strings.TrimSpace(text))
		}
	}
	if len(r.mistakes) > 0 {
		return nil, r.mistakes
	}
	e := &entries{r.given, c.Values(r.given)}
	for i, in := range e.inputs {
		q := c.Inputs[i]
		at := remark.Place{File: q.Name}
		switch {
		case in.From == "" || math.IsNaN(in.SI) && q.Optional:
		case math.IsNaN(in.SI):
			r.mistakes = append(r.mistakes, remark.KeyMissing.At(at, q.Name, c.Name).
				Instead("The handbook gives it no value. Write one, such as %s.", r.sampleOf(q)))
		case !q.Takes(in.SI):
			r.wrong(at, q, quantityText(in.Unit, in.SI, lang), "it comes "+in.From+", and "+r.rangeText(q))
		}
	}
	return e, r.mistakes
}

func (r *reader) unknown(at remark.Place, name string) {
	names := make([]string, len(r.calculator.Inputs))
	for i, q := range r.calculator.Inputs {
		names[i] = q.Name
	}
	mend := "Inputs: " + strings.Join(names, ", ") + "."
	if near := remark.Nearest(name, names); near != "" {
		mend = "Did you mean `" + near + "`? " + mend
	}
	r.mistakes = append(r.mistakes, remark.ReferenceUnknown.At(at, "input of "+r.calculator.Name, name).Instead("%s", mend))
}

// value reads what is given for an input; nothing leaves it empty.
func (r *reader) value(at remark.Place, q calc.Quantity, text string) {
	switch {
	case text == "" && q.Optional:
		r.given[q.Name] = handbook.Preset{SI: math.NaN(), Shown: q.Unit}
	case text == "":
		r.mistakes = append(r.mistakes, remark.ValueEmpty.At(at, q.Name).Instead("Write a value, or leave the input out."))
	case q.Kind == calc.Choice:
		r.option(at, q, text)
	default:
		si, used, err := unit.Parse(text, q.Unit, r.lang)
		switch {
		case err != nil:
			r.wrong(at, q, text, err.Error())
		case !q.Takes(si):
			r.wrong(at, q, text, r.rangeText(q))
		default:
			r.given[q.Name] = handbook.Preset{Text: text, SI: si, Shown: used}
		}
	}
}

// option reads an option by its name, or by its words.
func (r *reader) option(at remark.Place, q calc.Quantity, text string) {
	for i, o := range q.Options {
		if strings.EqualFold(o, text) || strings.EqualFold(r.calculator.OptionText(q, o), text) {
			r.given[q.Name] = handbook.Preset{Text: o, SI: float64(i)}
			return
		}
	}
	options := strings.Join(q.Options, ", ")
	why := remark.ValueChoice.At(at, text, q.Name, options)
	if near := remark.Nearest(text, q.Options); near != "" {
		why = why.Instead("Did you mean `%s`? One of: %s.", near, options)
	}
	r.mistakes = append(r.mistakes, why)
}

func (r *reader) wrong(at remark.Place, q calc.Quantity, text, why string) {
	mend := "Write a number from " + span(q, r.lang) + "."
	if units := q.Unit.Alternatives(); len(units) > 1 {
		mend += " Other units for it: " + joined(units, q.Unit) + "."
	}
	r.mistakes = append(r.mistakes, remark.QuantityWrong.At(at, text, q.Name, why, "").Instead("%s", mend))
}

func (r *reader) rangeText(q calc.Quantity) string { return "the range is " + span(q, r.lang) }

// span is a range with its unit, "0 to 60 V".
func span(q calc.Quantity, lang string) string {
	return figure(q.Unit, q.Min, lang) + " to " + quantityText(q.Unit, q.ToSI(q.Max), lang)
}

// joined lists units, "mV, kV", without one of them.
func joined(units []unit.Unit, without unit.Unit) string {
	var symbols []string
	for _, u := range units {
		if u != without {
			symbols = append(symbols, u.Symbol)
		}
	}
	return strings.Join(symbols, ", ")
}

// sample is an assignment as it could be.
func (r *reader) sample() string {
	q := r.calculator.Inputs[0]
	return assignment(q.Name, r.sampleOf(q))
}

func (r *reader) sampleOf(q calc.Quantity) string {
	if q.Kind == calc.Choice {
		return q.Options[0]
	}
	v := q.Start
	if math.IsNaN(v) {
		v = q.Min + (q.Max-q.Min)/4
	}
	return quantityText(q.Unit, q.ToSI(v), r.lang)
}

func assignment(name, value string) string { return name + "=" + argument(value) }

// argument is a text as one argument for a shell.
func argument(text string) string {
	if strings.ContainsAny(text, " ()*") {
		return `"` + text + `"`
	}
	return text
}

// quantityText prints a value of an input with its unit, no digit more than it
// needs.
func quantityText(u unit.Unit, si float64, lang string) string {
	return strings.TrimSpace(figure(u, u.FromSI(si), lang) + " " + u.Symbol)
}

// figure prints a number in a unit. Twelve digits are enough for what anyone
// types, and hide what the way through SI has cost.
func figure(u unit.Unit, v float64, lang string) string {
	if u.IsGauge() {
		return unit.SizeName(v)
	}
	rounded, err := strconv.ParseFloat(unit.Format(v, 12), 64)
	if err != nil {
		return unit.FormatIn(v, 12, lang)
	}
	format := byte('f')
	if size := math.Abs(rounded); size >= 1e15 || size != 0 && size < 1e-9 {
		format = 'e'
	}
	return strings.Replace(strconv.FormatFloat(rounded, format, -1, 64), ".", string(unit.DecimalSign(lang)), 1)
}
