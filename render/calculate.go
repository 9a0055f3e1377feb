package render

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/language"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/handbook"
	"benchleaf/render/remark"
	"benchleaf/theme"
)

// Calculator is a calculator that runs outside its page: a built-in, or one of
// a handbook's own with the values that its page gives it.
type Calculator struct {
	*calc.Calculator        // titles and labels filled in
	Page             string // the source file of a handbook's own; "" of a built-in

	lang  string // of what is given
	words *theme.Words
	page  *handbook.Page
	form  *handbook.Calculator
}

// Input is the value of an input, NaN where it has none, the unit that it is
// stated in, and where it comes from: "" where it was given.
type Input struct {
	SI   float64
	Unit unit.Unit
	From string
}

// ErrLanguage says that a text is no language tag.
var ErrLanguage = errors.New("this is no language; write it like es or es-MX")

// Calculators returns the built-in calculators and, where dir is not "", those
// of the handbook there, each kind in the order of names. Their words are those
// of lang, English where that is "" or has none; a handbook's own are those of
// its pages in lang, or in its first language.
func Calculators(dir, lang string) ([]*Calculator, remark.List, error) {
	if lang != "" {
		tag, err := language.Parse(lang)
		if err != nil || tag.String() != lang {
			return nil, nil, fmt.Errorf("%q: %w", lang, ErrLanguage)
		}
	}
	look, err := theme.Load()
	if err != nil {
		return nil, nil, err
	}
	words := look.Words(lang)
	var list []*Calculator
	for _, c := range calc.All() {
		list = append(list, &Calculator{labelled(c, words), "", lang, words, &handbook.Page{}, &handbook.Calculator{Calc: c}})
	}
	if dir == "" {
		return list, nil, nil
	}
	tree, book, result, err := model(dir)
	if err != nil {
		return nil, nil, err
	}
	return append(list, ownCalculators(book, lang, words)...), result.Remarks, tree.Close()
}

// ownCalculators returns those of the pages in lang, or in the first language
// of a handbook that has none in it. A name counts once.
func ownCalculators(book *handbook.Handbook, lang string, words *theme.Words) []*Calculator {
	from := book.Languages[0]
	if slices.Contains(book.Languages, lang) {
		from = lang
	}
	found := map[string]*Calculator{}
	for _, p := range book.Pages {
		for _, form := range p.Calculators {
			if p.Lang != from || !form.Calc.Own() || found[form.Calc.Name] != nil {
				continue
			}
			with := *form.Calc
			with.Examples = form.Examples
			found[with.Name] = &Calculator{&with, p.Source.Path, lang, words, p, form}
		}
	}
	return slices.SortedFunc(maps.Values(found), func(a, b *Calculator) int { return cmp.Compare(a.Name, b.Name) })
}

// labelled returns a built-in with its words.
func labelled(c *calc.Calculator, words *theme.Words) *calc.Calculator {
	with := *c
	with.Title = words.Word("calculator." + c.Name)
	with.About = words.Word("calculator." + c.Name + ".about")
	with.Inputs, with.Results = slices.Clone(c.Inputs), slices.Clone(c.Results)
	for _, list := range [][]calc.Quantity{with.Inputs, with.Results} {
		for i := range list {
			list[i].Label = words.Word(c.Name + "." + list[i].Name)
		}
	}
	return &with
}

// OptionText is what a reader sees of an option.
func (c *Calculator) OptionText(q calc.Quantity, option string) string {
	return c.words.Word(c.Name + "." + q.Name + "." + option)
}

// with is the form with the values given in place of its own. Where some are
// given, an optional input that is not among them is empty: its start value
// would count before what was given in its stead.
func (c *Calculator) with(given map[string]handbook.Preset) *handbook.Calculator {
	form := *c.form
	form.Presets = maps.Clone(form.Presets)
	if form.Presets == nil {
		form.Presets = map[string]handbook.Preset{}
	}
	for _, q := range form.Calc.Inputs {
		if _, ok := form.Presets[q.Name]; !ok && len(given) > 0 && q.Optional && !math.IsNaN(q.Start) {
			form.Presets[q.Name] = handbook.Preset{SI: math.NaN(), Shown: q.Unit}
		}
	}
	maps.Copy(form.Presets, given)
	if form.Module == nil {
		form.Module = handbook.BuiltinModule(form.Calc)
	}
	return &form
}

// Values returns the values of all inputs, with those that are given.
func (c *Calculator) Values(given map[string]handbook.Preset) []Input {
	form := c.with(given)
	list := make([]Input, len(c.Inputs))
	for i, si := range c.page.Inputs(form) {
		q := c.Inputs[i]
		list[i] = Input{si, q.Unit, "start value"}
		_, isGiven := given[q.Name]
		preset, ok := form.Presets[q.Name]
		switch {
		case isGiven:
			list[i].Unit, list[i].From = preset.Shown, ""
		case preset.From != nil:
			from := preset.From.Calculator
			list[i].From = "from " + strings.TrimPrefix(from.ID, handbook.CalculatorAnchor("")) + "." + from.Calc.Results[preset.From.Result].Name
		case preset.Spec != nil:
			list[i].Unit, list[i].From = handbook.FieldUnit(preset.Spec.Unit, q.Unit), "from spec:"+preset.Spec.ID
			if _, model := c.page.Nominal(preset); model != nil {
				list[i].From += " for " + model.ID
			}
		case ok:
			list[i].Unit = preset.Shown
			if math.IsNaN(si) {
				list[i].From = "not given"
			}
		case q.Follows != "":
			j := slices.IndexFunc(c.Inputs, func(other calc.Quantity) bool { return other.Name == q.Follows })
			list[i].Unit, list[i].From = list[j].Unit, "as "+q.Follows
		case c.Own():
			list[i].SI = math.NaN() // what it starts from has a remark
		}
	}
	return list
}

// Run runs the calculator's module, the very one that a page carries. It
// returns the results in SI, and with how many digits a page would print each
// in its own unit.
func (c *Calculator) Run(given map[string]handbook.Preset) (out []float64, digits []int, err error) {
	form := c.with(given)
	if out, err = c.page.Results(form); err != nil {
		return nil, nil, err
	}
	spreads := c.page.Spread(form, func(of *handbook.Calculator, input int, _ float64) float64 {
		q := of.Calc.Inputs[input]
		if _, isGiven := given[q.Name]; isGiven && of == form {
			return c.halfPlace(of, q, c.lang)
		}
		return c.halfPlace(of, q, "en")
	})
	for i, q := range c.Results {
		digits = append(digits, unit.ResultDigits(q.FromSI(out[i]), spreads[i].By/q.Unit.Factor, q.Digits))
	}
	return out, digits, nil
}

// halfPlace is half the worth of the last digit of an input's value as it is
// written, in SI. An input that follows another moves with it.
func (c *Calculator) halfPlace(of *handbook.Calculator, q calc.Quantity, lang string) float64 {
	preset, ok := of.Presets[q.Name]
	switch {
	case preset.Spec != nil:
		n, _ := c.page.Nominal(preset)
		if n == nil {
			return 0
		}
		return unit.LastPlace(n.Text, lang) * handbook.FieldUnit(preset.Spec.Unit, q.Unit).Factor / 2
	case ok:
		return unit.LastPlace(preset.Text, lang) * preset.Shown.Factor / 2
	case q.Follows != "":
		return 0
	}
	return unit.LastPlace(strconv.FormatFloat(q.Start, 'f', -1, 64), "en") * q.Unit.Factor / 2
}
